"""One supply as a network: after a service only the day and the level matter, so arcs leave such *hubs*.

A port is one way to serve the supply at an opportunity (one level of one service); it leads to the hub of its day and
level. The ports a hub can reach are a slice, and `rows` holds their weights, infinite where there is no arc: the
shortest-path passes then run over slices at the speed of `map`.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass, field

from vanlife_supply.trip.chance import Law, interval_chance, span_of
from vanlife_supply.trip.days import Opportunity
from vanlife_supply.trip.model import Service, Supply

INF = math.inf
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


NO_TIES = Ties(0.0, 0.0, 0.0, 1)
"""Where only what holds is asked."""


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
    ports of opportunities earlier than v, `into[h]` lists the ports that lead to hub h. `keys` are those of the
    intervals that fail on the most confident chains.
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


def reached(net: Net) -> set[int]:
    """The hubs some chain of arcs leads to from the start."""
    found = {0}
    for h, (low, row) in enumerate(zip(net.low, net.rows, strict=True)):
        if h in found:
            found.update(net.ports[p].hub for p, weight in enumerate(row, start=low) if weight < INF)
    return found


def reaches_end(net: Net) -> bool:
    """Whether any chain of arcs leads from the start to the end."""
    return any(net.end[h] < INF for h in reached(net))


def skeleton(supply: Supply, law: Law, chances: list[Opportunity]) -> Net:
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


def arc_chance(net: Net, h: int, day: int, *, closing: bool) -> float:
    """P that the supply holds from hub h to that day."""
    span = span_of(net.supply, net.days[h], day, net.stocks[h], opening=h == 0, closing=closing)
    return interval_chance(net.law, span, closing=closing)


def ports_by_day(net: Net) -> list[tuple[int, int, int]]:
    """(day, first port, one past its last port), in order of days."""
    runs: list[tuple[int, int, int]] = []
    for p, port in enumerate(net.ports):
        if runs and runs[-1][0] == port.day:
            runs[-1] = (port.day, runs[-1][1], p + 1)
        else:
            runs.append((port.day, p, p + 1))
    return runs
