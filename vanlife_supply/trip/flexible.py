"""Stays "as long as we can": the most nights in all with which a plan holds, and of those ways to share them the cheapest.

Cost does not grow evenly with the nights (week days and seasons shift), nor does what holds, so nothing is bisected: from
the most nights downwards every way to share them among the stays is tried for whether it holds (which needs no search for
the cheapest), until one does. Then every length of each stay, the others as settled, is planned for its cost.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from vanlife_supply.trip.chance import TOLERANCE, LawMaker, assumed
from vanlife_supply.trip.days import opportunities
from vanlife_supply.trip.edit import with_stay_changed
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.network import NO_TIES, reaches_end
from vanlife_supply.trip.planner import never
from vanlife_supply.trip.planner import plan as solve
from vanlife_supply.trip.weights import sure


@dataclass(frozen=True, slots=True)
class Length:
    """What the trip costs with so many nights at the stay, the others as settled; None: no plan holds then."""

    nights: int
    cost: float | None


@dataclass(frozen=True, slots=True)
class Stretched:
    """A flexible stay (counted from 1), what each length costs, the length taken.

    `more`: nights in all that were not ruled out beyond those taken; `cheapest`: no other way to share them is cheaper.
    """

    stay: int
    lengths: tuple[Length, ...]
    taken: int
    more: int = 0
    cheapest: bool = True


@dataclass(frozen=True, slots=True)
class _Settled:
    trip: Trip
    plan: Plan
    more: int
    cheapest: bool


def stretch(
    trip: Trip, laws_of: LawMaker = assumed, out_of_time: Callable[[], bool] = never
) -> tuple[Trip, Plan, tuple[Stretched, ...]]:
    """The trip with every stay settled, its plan, and what each length would have cost."""
    flexible = [k for k, stay in enumerate(trip.stays, start=1) if stay.flexible]
    if not flexible:
        return trip, solve(trip, laws_of, out_of_time), ()
    found = _settle(trip, flexible, laws_of, out_of_time)
    lengths = {k: _lengths(trip, found, k, laws_of, out_of_time) for k in flexible}
    told = (
        Stretched(k, tuple(lengths[k]), found.trip.stays[k - 1].nights, found.more, found.cheapest) for k in flexible
    )
    return found.trip, found.plan, tuple(told)


def with_nights(trip: Trip, stay: int, nights: int) -> Trip:
    """The trip with that stay (counted from 1) settled at so many nights."""
    return with_stay_changed(trip, stay, replace(trip.stays[stay - 1], nights=nights, flexible=None))


def _settle(trip: Trip, flexible: Sequence[int], laws_of: LawMaker, out_of_time: Callable[[], bool]) -> _Settled:
    """The longest trip that holds; of the same length the cheapest, then that with the longer earlier stays."""
    holding, ruled_out = _longest(trip, flexible, laws_of, out_of_time)
    best = holding[0] if holding else _shortest(trip, flexible)
    plan, cheapest = solve(best, laws_of, out_of_time), True
    for one in holding[1:]:
        if out_of_time():
            cheapest = False
            break
        other = solve(one, laws_of, out_of_time)
        if other.cost < plan.cost - TOLERANCE:
            best, plan = one, other
    return _Settled(best, plan, max(0, ruled_out - 1 - best.nights), cheapest)


def _longest(
    trip: Trip, flexible: Sequence[int], laws_of: LawMaker, out_of_time: Callable[[], bool]
) -> tuple[list[Trip], int]:
    """The trips of the most nights that hold, and the fewest nights from which on none does."""
    holds = _Holding(laws_of)
    spans = [trip.stays[k - 1].flexible or (0, 0) for k in flexible]
    fixed = sum(stay.nights for stay in trip.stays if not stay.flexible)
    for free in range(sum(most for _, most in spans), sum(least for least, _ in spans) - 1, -1):
        found: list[Trip] = []
        for nights in _shares(spans, free):
            if out_of_time():
                return found, fixed + free + 1
            one = _settled(trip, flexible, nights)
            if one is not None and holds(one):
                found.append(one)
        if found:
            return found, fixed + free + 1
    return [], 0


def _shares(spans: Sequence[tuple[int, int]], total: int) -> Iterator[tuple[int, ...]]:
    """Every way to share `total` nights among stays of so few to so many, the longer earlier ones first."""
    if not spans:
        yield from [()] if total == 0 else []
        return
    (least, most), rest = spans[0], spans[1:]
    lowest, highest = sum(low for low, _ in rest), sum(high for _, high in rest)
    for first in range(min(most, total - lowest), max(least, total - highest) - 1, -1):
        yield from ((first, *others) for others in _shares(rest, total - first))


def _settled(trip: Trip, flexible: Sequence[int], nights: Sequence[int]) -> Trip | None:
    """The trip with its stays at those lengths; None where one of them would be over before today although it may last."""
    for k, count in zip(flexible, nights, strict=True):
        _, most = trip.stays[k - 1].flexible or (0, 0)
        if count < min(most, trip.today - trip.first_day(k)):
            return None
        trip = with_nights(trip, k, count)
    return trip


def _shortest(trip: Trip, flexible: Sequence[int]) -> Trip:
    for k in flexible:
        least, most = trip.stays[k - 1].flexible or (0, 0)
        trip = with_nights(trip, k, min(most, max(least, trip.today - trip.first_day(k))))
    return trip


class _Holding:
    """Whether any plan holds; the supply that failed last is tried first, for it likely fails again."""

    def __init__(self, laws_of: LawMaker) -> None:
        self._laws_of = laws_of
        self._first = ""

    def __call__(self, trip: Trip) -> bool:
        laws, chances = self._laws_of(trip), opportunities(trip)
        for supply in sorted(trip.supplies, key=lambda s: s.name != self._first):
            if not reaches_end(sure(supply, laws[supply.name], chances, trip.nights, NO_TIES)):
                self._first = supply.name
                return False
        return True


def _lengths(
    trip: Trip, found: _Settled, stay: int, laws_of: LawMaker, out_of_time: Callable[[], bool]
) -> Iterator[Length]:
    """The cost of each length of a stay that is still possible, the other stays as settled."""
    taken = found.trip.stays[stay - 1].nights
    least, most = trip.stays[stay - 1].flexible or (0, 0)
    least = min(most, max(least, trip.today - found.trip.first_day(stay)))
    for nights in range(least, most + 1):
        if nights == taken:
            plan = found.plan
        elif out_of_time():
            continue
        else:
            plan = solve(with_nights(found.trip, stay, nights), laws_of, out_of_time)
        yield Length(nights, None if plan.status == "infeasible" else plan.cost)
