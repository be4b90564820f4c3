"""What the arcs of a network cost: fees, amounts, exchanged containers, and the ties that decide between equal costs."""

from __future__ import annotations

import math

from vanlife_supply.trip.chance import TOLERANCE, Law, enough
from vanlife_supply.trip.days import Opportunity
from vanlife_supply.trip.model import Supply
from vanlife_supply.trip.network import INF, Net, Ties, arc_chance, ports_by_day, skeleton

HOPELESS = 0.1
"""A fitted law may rise by a hair where a factor falls, so days are scanned until the chance is this far too small."""


def sure(supply: Supply, law: Law, chances: list[Opportunity], nights: int, ties: Ties) -> Net:
    """The network of all intervals that hold with the demanded confidence; the end may be out of reach."""
    net = skeleton(supply, law, chances)
    weigher = Weigher(net, nights, ties)
    for h in range(len(net.days)):
        weigher.row(h)
    return net


class Weigher:
    """Fills the rows of a network with money, ties included."""

    def __init__(self, net: Net, nights: int, ties: Ties) -> None:
        self._net, self._nights, self._ties = net, nights, ties
        self._by_day = ports_by_day(net)
        self._first = list(net.low)
        self._run_of = {first: i for i, (_, first, _) in enumerate(self._by_day)}
        usable = net.supply.usable
        self._prices = [
            (p.service.fee, p.service.price, p.level * usable, net.supply.unit if p.service.exchange else None)
            for p in net.ports
        ]

    def row(self, h: int) -> None:
        """Weigh the arcs of hub h that hold with the demanded confidence."""
        net, demanded = self._net, self._net.supply.confidence
        row: list[float] = []
        for day, first, last in self._runs(h):
            p = arc_chance(net, h, day, closing=False)
            if p < demanded - HOPELESS:
                break
            row.extend(self._weights(h, day, first, last, p) if enough(p, demanded) else [INF] * (last - first))
        net.low[h], net.rows[h] = self._first[h], row
        p = arc_chance(net, h, self._nights, closing=True)
        net.end[h] = self._ending(h, p) if enough(p, demanded) else INF

    def chosen(self, h: int, hubs: set[int], *, ends: bool) -> None:
        """Weigh the arcs of hub h to the given hubs, and its end if it may be the last, however unsure they are."""
        net = self._net
        row: list[float] = []
        for day, first, last in self._runs(h):
            weights = self._weights(h, day, first, last, arc_chance(net, h, day, closing=False))
            row.extend(w if net.ports[p].hub in hubs else INF for p, w in enumerate(weights, start=first))
        net.low[h], net.rows[h] = self._first[h], row
        net.end[h] = self._ending(h, arc_chance(net, h, self._nights, closing=True)) if ends else INF

    def _runs(self, h: int) -> list[tuple[int, int, int]]:
        """The ports a service at hub h can be followed by, a day at a time."""
        return self._by_day[self._run_of.get(self._first[h], len(self._by_day)) :]

    def _weights(self, h: int, day: int, first: int, last: int, p: float) -> list[float]:
        net = self._net
        tie = self._ties.unsure * (1.0 - p) + (self._ties.opening(day) if h == 0 else 0.0)
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

    def _ending(self, h: int, p: float) -> float:
        net = self._net
        missing = net.supply.usable - net.stocks[h] + net.law.mean(net.days[h], self._nights)
        return net.supply.end_value * missing + self._ties.unsure * (1.0 - p)


def containers(missing: float, unit: float) -> int:
    """Exchange containers handed over: all that are not full, at least one."""
    return max(1, math.ceil(missing / unit - TOLERANCE))
