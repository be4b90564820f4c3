"""Why a plan is as it is: what binds, what each stop is worth, what one more night costs, how sure the whole trip is.

Prices come from solving the changed trip anew: the numbers are steps, so marginal prices of a relaxation would mislead.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from vanlife_supply.trip.chance import Law, LawMaker, Span, assumed, span_of
from vanlife_supply.trip.edit import with_stay_changed, without_place
from vanlife_supply.trip.model import Interval, Plan, Supply, Trip
from vanlife_supply.trip.planner import never
from vanlife_supply.trip.planner import plan as solve


@dataclass(frozen=True, slots=True)
class WithoutPlace:
    """What the trip costs more without a place and where it stops instead; `extra` None: it cannot be done without."""

    place: str
    extra: float | None
    instead: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class LongerStay:
    """What one more night at a stay (counted from 1) costs; later dates move, so it may be less than nothing.

    `extra` None: the trip cannot be done then.
    """

    stay: int
    extra: float | None


def binding(plan: Plan) -> Interval | None:
    """The tightest interval: fewest nights to spare, then least chance to spare; the trip's end is no deadline."""
    between = [i for i in plan.intervals if i.end != "end"] or list(plan.intervals)
    return min(between, key=lambda i: (i.slack, i.p - i.demanded), default=None)


def slack(plan: Plan) -> dict[str, int]:
    """Nights to spare by supply, over its intervals between two services."""
    found: dict[str, int] = {}
    for i in plan.intervals:
        if i.end != "end":
            found[i.supply] = min(found.get(i.supply, i.slack), i.slack)
    return found


def one_night_more(trip: Trip, interval: Interval, laws_of: LawMaker = assumed) -> float | None:
    """The chance that the interval still holds a night longer; None when the trip is over by then."""
    if interval.last_day >= trip.nights:
        return None
    supply = trip.supply(interval.supply)
    span = _span(supply, interval)._replace(last=interval.last_day + 1)
    return laws_of(trip)[supply.name].chance(span)


def without_places(
    trip: Trip, plan: Plan, laws_of: LawMaker = assumed, out_of_time: Callable[[], bool] = never
) -> Iterator[WithoutPlace]:
    """For each place of a plan, in order, the plan without it; ends early when time is out."""
    known = {(visit.day, visit.place) for visit in plan.visits}
    for place in dict.fromkeys(visit.place for visit in plan.visits):
        other = solve(without_place(trip, place), laws_of, out_of_time)
        if out_of_time():
            return
        if other.status == "infeasible":
            yield WithoutPlace(place, None, ())
        else:
            new = tuple((v.day, v.place) for v in other.visits if (v.day, v.place) not in known)
            yield WithoutPlace(place, other.cost - plan.cost, new)


def longer_stays(
    trip: Trip, plan: Plan, laws_of: LawMaker = assumed, out_of_time: Callable[[], bool] = never
) -> Iterator[LongerStay]:
    """For each stay, in order, what one more night there costs; ends early when time is out."""
    for k, stay in enumerate(trip.stays, start=1):
        other = solve(with_stay_changed(trip, k, replace(stay, nights=stay.nights + 1)), laws_of, out_of_time)
        if out_of_time():
            return
        yield LongerStay(k, None if other.status == "infeasible" else other.cost - plan.cost)


def whole_trip_chance(trip: Trip, plan: Plan, laws_of: LawMaker = assumed) -> float:
    """P(every interval of every supply holds): one rate a supply throughout the trip, supplies apart from each other."""
    return math.prod(_supply_chance(supply, laws_of(trip), plan) for supply in trip.supplies)


def _supply_chance(supply: Supply, laws: Mapping[str, Law], plan: Plan) -> float:
    own = [i for i in plan.intervals if i.supply == supply.name]
    if any(i.p <= 0.0 for i in own):
        return 0.0
    return laws[supply.name].joint([_span(supply, i) for i in own if i.use > 0.0])


def _span(supply: Supply, i: Interval) -> Span:
    closing = i.end == "end"
    return span_of(supply, i.first_day, i.last_day, i.stock, opening=i.start == "start", closing=closing)
