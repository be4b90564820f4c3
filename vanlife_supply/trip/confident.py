"""The network of one supply, or, when the demanded confidence is out of reach, of its most confident chains.

Leximin: raise the weakest interval first, then the second weakest, and so on; plain max-min would stop caring about all
others once the weakest is at nothing (trip.toml, schema 1, "No plan reaches the demanded confidence").
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator

from vanlife_supply.trip.chance import TOLERANCE, Law, enough
from vanlife_supply.trip.days import Opportunity
from vanlife_supply.trip.model import Supply
from vanlife_supply.trip.network import FAULTLESS, INF, Keys, Net, Ties, arc_chance, reached
from vanlife_supply.trip.weights import Weigher, sure

_KEY_DIGITS = 6
_LEAST_CHANCE = 1e-6


def build(supply: Supply, law: Law, chances: list[Opportunity], nights: int, ties: Ties) -> Net:
    """The network to search: arcs that hold with the demanded confidence, else those on the most confident chains."""
    net = sure(supply, law, chances, nights, ties)
    alive = reached(net)
    if all(net.end[h] == INF for h in alive):
        best = _MostConfident(net, nights)
        net.keys = best.keys
        weigher = Weigher(net, nights, ties)
        for h in range(len(net.days)):
            weigher.chosen(h, best.after(h), ends=best.ends(h))
        alive = reached(net)
    for h in set(range(len(net.days))) - alive:
        net.rows[h], net.end[h] = [], INF
    net.trim()
    return net


class _MostConfident:
    """The most confident chains of one supply, found from both ends: an arc is kept iff it lies on one of them."""

    def __init__(self, net: Net, nights: int) -> None:
        self._net, self._nights = net, nights
        self._targets: dict[int, list[int]] = {}
        for h, day in enumerate(net.days[1:], start=1):
            self._targets.setdefault(day, []).append(h)
        hubs = range(len(net.days))
        self._arcs = [list(self._arcs_of(h)) for h in hubs]
        self._ending = [self._key(h, nights, closing=True) for h in hubs]
        self._prefix = self._forward()
        self._suffix = self._backward()
        self.keys: Keys = self._suffix[0] or FAULTLESS

    def after(self, h: int) -> set[int]:
        """The hubs that may follow hub h on a most confident chain."""
        return {n for n, key in self._arcs[h] if self._best(h, key, self._suffix[n])}

    def ends(self, h: int) -> bool:
        """Whether a most confident chain has its last service at hub h."""
        return self._best(h, self._ending[h], FAULTLESS)

    def _best(self, h: int, key: float, after: Keys | None) -> bool:
        before = self._prefix[h]
        if before is None or after is None:
            return False
        return tuple(sorted((*before[:-1], *_with(after, key)))) == self.keys

    def _arcs_of(self, h: int) -> Iterator[tuple[int, float]]:
        net = self._net
        for day, hubs in self._targets.items():
            if day > net.days[h] or h == 0:
                key = self._key(h, day, closing=False)
                least = net.stocks[h] - net.law.mean(net.days[h], day) - TOLERANCE
                yield from ((n, key) for n in hubs if net.stocks[n] >= least)

    def _key(self, h: int, day: int, *, closing: bool) -> float:
        p = arc_chance(self._net, h, day, closing=closing)
        if enough(p, self._net.supply.confidence):
            return INF
        if p >= _LEAST_CHANCE:
            return round(p, _KEY_DIGITS)
        return round(-self._net.law.mean(self._net.days[h], day) / self._net.supply.usable, _KEY_DIGITS)

    def _forward(self) -> list[Keys | None]:
        best: list[Keys | None] = [None] * len(self._arcs)
        best[0] = FAULTLESS
        for h, arcs in enumerate(self._arcs):
            here = best[h]
            if here is not None:
                for n, key in arcs:
                    best[n] = _better(best[n], _with(here, key))
        return best

    def _backward(self) -> list[Keys | None]:
        best: list[Keys | None] = [None] * len(self._arcs)
        for h in reversed(range(len(self._arcs))):
            found: Keys | None = _with(FAULTLESS, self._ending[h])
            for n, key in self._arcs[h]:
                after = best[n]
                assert after is not None  # ending is possible at every hub
                found = _better(found, _with(after, key))
            best[h] = found
        return best


def _with(keys: Keys, key: float) -> Keys:
    if key == INF:
        return keys
    longer = list(keys)
    insort(longer, key)
    return tuple(longer)


def _better(one: Keys | None, other: Keys) -> Keys:
    return other if one is None or other > one else one
