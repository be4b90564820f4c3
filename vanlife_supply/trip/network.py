"""One supply as a network: after a service only the day and the level matter, so arcs leave such *hubs*.

A port is one way to serve the supply at an opportunity (one level of one service); it leads to the hub of its day and
level. The ports a hub can reach are a slice, and `rows` holds their weights, infinite where there is no arc: the
shortest-path passes then run over slices at the speed of `map`.
"""

from __future__ import annotations

import math
from bisect import bisect_right, insort
from collections.abc import Iterator
from dataclasses import dataclass, field

from vanlife_supply.trip.chance import TOLERANCE, Law, enough, interval_chance, span_of
from vanlife_supply.trip.days import Opportunity
from vanlife_supply.trip.model import Service, Supply

INF = math.inf
HOPELESS = 0.1
"""A fitted law may rise by a hair where a factor falls, so days are scanned until the chance is this far too small."""
_KEY_DIGITS = 6
_LEAST_CHANCE = 1e-6

Keys = tuple[float, ...]
"""Sorted keys of the failing intervals of a chain, closed by infinity: the larger, the more confident."""
FAULTLESS: Keys = (INF,)


@dataclass(frozen=True, slots=True)
class Ties:
    """Money, far below half a cent in a whole plan, that decides between equal costs.

    `visit`: a visit; `early`: a first service on day 0, falling to nothing on the last day; `unsure`: a chance of 0.
    """

    visit: float
    early: float
    unsure: float
    nights: int

    @classmethod
    def of(cls, nights: int, supplies: int) -> Ties:
        """Fewer visits first, then a later first stop, then surer intervals; all together below 0.003."""
        services = max(1, supplies) * (nights + 2)
        visit = min(1e-4, 0.002 / services)
        return cls(visit, visit / (4 * max(1, supplies)), visit / (16 * services), nights)

    def opening(self, day: int) -> float:
        """For a first service on that day."""
        return self.early * (1.0 - day / (self.nights + 1))

    @property
    def least(self) -> float:
        """The smallest difference worth proving: one first service a day later."""
        return self.early / (self.nights + 1)


@dataclass(frozen=True, slots=True)
class Port:
    """A way to serve: the index of its opportunity, its service and level, the hub it leads to."""

    opportunity: int
    day: int
    service: Service
    level: float
    hub: int


@dataclass(slots=True)
class Net:
    """Hubs (hub 0 is the start), ports in travelling order, and the weights between them.

    `rows[h]` holds the weights of ports `low[h]` …; `end[h]` the weight of no further service. `before[v]` counts the
    ports of opportunities earlier than v. `attainable` is None unless the demanded confidence is out of reach.
    """

    supply: Supply
    law: Law
    days: list[int]
    stocks: list[float]
    ports: list[Port]
    low: list[int]
    rows: list[list[float]]
    end: list[float]
    before: list[int]
    into: list[list[int]] = field(default_factory=list)
    keys: Keys = FAULTLESS

    def trim(self) -> None:
        """Cut the infinite ends off every row, for they are walked often."""
        for h, row in enumerate(self.rows):
            first, last = 0, len(row)
            while last > first and row[last - 1] == INF:
                last -= 1
            while first < last and row[first] == INF:
                first += 1
            self.low[h] += first
            self.rows[h] = row[first:last]


def build(supply: Supply, law: Law, chances: list[Opportunity], nights: int, ties: Ties) -> Net:
    """The network of all intervals that hold with the demanded confidence or, if they do not reach the end, of those
    on the most confident chains (leximin: raise the weakest interval first, then the next)."""
    net = _skeleton(supply, law, chances)
    weigh = _Weigher(net, nights, ties)
    alive = {0}
    for h in range(len(net.days)):
        if h in alive:
            weigh.row(h)
            alive.update(net.ports[net.low[h] + i].hub for i, w in enumerate(net.rows[h]) if w < INF)
    if not reaches_end(net):
        best = _Leximin(net, nights)
        net.keys = best.keys
        for h in range(len(net.days)):
            weigh.row(h, best)
    net.trim()
    return net


def reaches_end(net: Net) -> bool:
    """Whether any chain of arcs leads from the start to the end."""
    reached = {0}
    for h in range(len(net.days)):
        if h in reached:
            if net.end[h] < INF:
                return True
            reached.update(net.ports[net.low[h] + i].hub for i, w in enumerate(net.rows[h]) if w < INF)
    return False


def _skeleton(supply: Supply, law: Law, chances: list[Opportunity]) -> Net:
    """Hubs and ports, no arcs yet."""
    offers: list[tuple[int, int, Service, float]] = []
    before = []
    for v, chance in enumerate(chances):
        before.append(len(offers))
        service = chance.place.service(supply.name)
        if service is not None:
            offers.extend((v, chance.day, service, level) for level in service.levels)
    before.append(len(offers))
    served = sorted({(day, level * supply.usable) for _, day, _, level in offers})
    index = {hub: h for h, hub in enumerate(served, start=1)}
    ports = [Port(v, day, service, level, index[day, level * supply.usable]) for v, day, service, level in offers]
    into: list[list[int]] = [[] for _ in range(len(served) + 1)]
    for p, port in enumerate(ports):
        into[port.hub].append(p)
    days = [0, *(day for day, _ in served)]
    stocks = [supply.stock, *(stock for _, stock in served)]
    port_days = [port.day for port in ports]
    low = [0, *(bisect_right(port_days, day) for day in days[1:])]
    empty: list[list[float]] = [[] for _ in days]
    return Net(supply, law, days, stocks, ports, low, empty, [INF] * len(days), before, into)


class _Weigher:
    """Fills the rows of a network with money, ties included."""

    def __init__(self, net: Net, nights: int, ties: Ties) -> None:
        self._net, self._nights, self._ties = net, nights, ties
        self._first = list(net.low)
        self._by_day = _ports_by_day(net)
        usable = net.supply.usable
        self._prices = [
            (p.service.fee, p.service.price, p.level * usable, net.supply.unit if p.service.exchange else None)
            for p in net.ports
        ]

    def row(self, h: int, best: _Leximin | None = None) -> None:
        """Weigh the arcs of hub h: those that hold, or those on the most confident chains."""
        net, low = self._net, self._first[h]
        row: list[float] = []
        for day, first, last in self._by_day:
            if first < low:
                continue
            p = arc_chance(net, h, day, closing=False)
            if best is None:
                if p < net.supply.confidence - HOPELESS:
                    break
                allowed = enough(p, net.supply.confidence)
            else:
                allowed = True
            if allowed:
                tie = self._ties.unsure * (1.0 - p) + (self._ties.opening(day) if h == 0 else 0.0)
                weights = self._weights(h, day, first, last, tie)
                if best is not None:
                    weights = [w if best.on(h, port) else INF for port, w in enumerate(weights, start=first)]
                row.extend(weights)
            else:
                row.extend([INF] * (last - first))
        net.low[h], net.rows[h] = low, row
        self._end(h, best)

    def _weights(self, h: int, day: int, first: int, last: int, tie: float) -> list[float]:
        net = self._net
        missing = net.law.mean(net.days[h], day) - net.stocks[h]
        weights = []
        for fee, price, full, unit in self._prices[first:last]:
            amount = full + missing
            if amount < -TOLERANCE:
                weights.append(INF)
            elif unit is None:
                weights.append(fee + price * amount + tie if amount > 0.0 else fee + tie)
            else:
                weights.append(fee + price * containers(net.supply.usable + missing, unit) + tie)
        return weights

    def _end(self, h: int, best: _Leximin | None) -> None:
        net = self._net
        p = arc_chance(net, h, self._nights, closing=True)
        if enough(p, net.supply.confidence) if best is None else best.ends(h):
            missing = net.supply.usable - net.stocks[h] + net.law.mean(net.days[h], self._nights)
            net.end[h] = net.supply.end_value * missing + self._ties.unsure * (1.0 - p)
        else:
            net.end[h] = INF


def containers(missing: float, unit: float) -> int:
    """Exchange containers handed over: all that are not full, at least one."""
    return max(1, math.ceil(missing / unit - TOLERANCE))


def arc_chance(net: Net, h: int, day: int, *, closing: bool) -> float:
    """P that the supply holds from hub h to that day."""
    span = span_of(net.supply, net.days[h], day, net.stocks[h], opening=h == 0, closing=closing)
    return interval_chance(net.law, span, closing=closing)


def _ports_by_day(net: Net) -> list[tuple[int, int, int]]:
    """(day, first port, one past its last port), in order of days."""
    runs: list[tuple[int, int, int]] = []
    for p, port in enumerate(net.ports):
        if runs and runs[-1][0] == port.day:
            runs[-1] = (port.day, runs[-1][1], p + 1)
        else:
            runs.append((port.day, p, p + 1))
    return runs


class _Leximin:
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
        self._on = {(h, n) for h in hubs for n, key in self._arcs[h] if self._best(h, key, self._suffix[n])}

    def on(self, h: int, port: int) -> bool:
        """Whether the arc from hub h to that port lies on a most confident chain."""
        return (h, self._net.ports[port].hub) in self._on

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
