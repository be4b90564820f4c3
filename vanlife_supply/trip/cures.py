"""Where a trip breaks when no plan holds, and the smallest cures, each enough by itself for its supply.

Supplies do not hinder each other, so each is looked at alone: no search is needed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from vanlife_supply.trip.chance import LawMaker, assumed, enough, interval_chance, span_of
from vanlife_supply.trip.days import Opportunity, opportunities
from vanlife_supply.trip.model import Interval, Plan, Supply, Trip
from vanlife_supply.trip.network import INF, NO_TIES, Net, reached, reaches_end
from vanlife_supply.trip.weights import sure

MOST_CONTAINERS = 20
CONTAINER_SHARE = 0.15
"""The size of one more container where none is named, as a share of the usable capacity."""


@dataclass(frozen=True, slots=True)
class Break:
    """A supply that cannot hold: `reaches` is the last day it does, `failing` the intervals of the best effort.

    Cures, None where even the most of it is not enough: `less_use` percent less use; `containers` more of `size` (L or
    kg) each, full at the start (grey: empty); one more stop on any of `stop_days`; a demanded confidence no higher than
    `attainable`; `reading`: knowing the level at the start exactly would do.
    """

    supply: str
    attainable: float
    reaches: int
    failing: tuple[Interval, ...]
    less_use: int | None
    containers: int | None
    size: float
    stop_days: tuple[int, ...]
    reading: bool


def breaks(trip: Trip, plan: Plan, laws_of: LawMaker = assumed) -> tuple[Break, ...]:
    """One break for each supply of an infeasible plan; none for any other plan."""
    chances = opportunities(trip)
    return tuple(_break(trip, plan, name, chances, laws_of) for name in plan.attainable)


def _break(trip: Trip, plan: Plan, name: str, chances: list[Opportunity], laws_of: LawMaker) -> Break:
    supply = trip.supply(name)
    alone = replace(trip, supplies=(supply,))

    def holds(changed: Supply) -> bool:
        law = laws_of(replace(alone, supplies=(changed,)))[name]
        return reaches_end(sure(changed, law, chances, trip.nights, NO_TIES))

    net = sure(supply, laws_of(alone)[name], chances, trip.nights, NO_TIES)
    size = supply.unit or CONTAINER_SHARE * supply.usable
    return Break(
        name,
        plan.attainable[name],
        max(_last_day(net, h, trip.nights) for h in reached(net)),
        tuple(i for i in plan.intervals if i.supply == name and not enough(i.p, i.demanded)),
        _smallest(100, lambda percent: holds(replace(supply, mean=supply.mean * (1.0 - percent / 100.0)))),
        _smallest(MOST_CONTAINERS, lambda count: holds(_with_more(supply, count * size))),
        size,
        tuple(_days_for_one_stop(net, trip.nights)),
        supply.start_sd > 0.0 and holds(replace(supply, start_sd=0.0)),
    )


def _with_more(supply: Supply, amount: float) -> Supply:
    """More containers: full at the start, or empty where they are to be filled."""
    start = supply.start if supply.fills else supply.start + amount
    return replace(supply, usable=supply.usable + amount, start=start)


def _smallest(most: int, enough_of: Callable[[int], bool]) -> int | None:
    """The smallest whole number from 1 that is enough, given that more never hurts; None when `most` is not."""
    if not enough_of(most):
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough_of(middle) else (middle, high)
    return high


def _last_day(net: Net, h: int, nights: int) -> int:
    """The last day that a supply served at hub h still holds."""
    return _holds_until(net, net.days[h], net.stocks[h], nights, opening=h == 0)


def _holds_until(net: Net, day: int, stock: float, nights: int, *, opening: bool) -> int:
    last = day
    while last < nights:
        span = span_of(net.supply, day, last + 1, stock, opening=opening, closing=False)
        if not enough(interval_chance(net.law, span, closing=False), net.supply.confidence):
            break
        last += 1
    return last


def _days_for_one_stop(net: Net, nights: int) -> list[int]:
    """Days on which one more stop, bringing the supply to the full, would close the gap between start and end."""
    from_start: set[int] = set()
    for h in reached(net):
        first = 0 if h == 0 else net.days[h] + 1
        from_start.update(range(first, _last_day(net, h, nights) + 1))
    to_end = _reaching(net)
    return [day for day in sorted(from_start) if _goes_on(net, day, nights, to_end)]


def _goes_on(net: Net, day: int, nights: int, to_end: set[int]) -> bool:
    """Whether a full supply on that day lasts to the end, or to a service from which the end is reached."""
    full = net.supply.usable
    closing = span_of(net.supply, day, nights, full, opening=False, closing=True)
    if enough(interval_chance(net.law, closing, closing=True), net.supply.confidence):
        return True
    last = _holds_until(net, day, full, nights, opening=False)
    return any(day < net.days[h] <= last and net.stocks[h] >= full - net.law.mean(day, net.days[h]) for h in to_end if h > 0)


def _reaching(net: Net) -> set[int]:
    """The hubs from which the end is reached."""
    found: set[int] = set()
    for h in reversed(range(len(net.days))):
        ahead = (net.ports[p].hub for p, w in enumerate(net.rows[h], start=net.low[h]) if w < INF)
        if net.end[h] < INF or any(n in found for n in ahead):
            found.add(h)
    return found
