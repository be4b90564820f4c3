"""All that explains a plan, worked out in one go: how sure, how tight, what each stop is worth, what would mend it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from vanlife_supply.trip import explain
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.cures import Break, breaks
from vanlife_supply.trip.model import Interval
from vanlife_supply.trip.weight import LegWeight, leg_weights


@dataclass(frozen=True, slots=True)
class Reasons:
    """`broken` only where no plan is as sure as demanded, all between it and `weights` only where one is.

    `whole`: the chance of the whole trip; `longer`: that the tightest interval holds a night more. `to_go`: of so many
    changed trips, solved anew for what a stop or a night is worth, the answer is still to come; `cut`: it will not come,
    time is out.
    """

    weights: tuple[LegWeight, ...]
    broken: tuple[Break, ...] = ()
    whole: float = 0.0
    tightest: Interval | None = None
    longer: float | None = None
    slack: dict[str, int] | None = None
    without: tuple[explain.WithoutPlace, ...] = ()
    more_nights: tuple[explain.LongerStay, ...] = ()
    to_go: int = 0
    cut: bool = False


def reasons(told: Answer, out_of_time: Callable[[], bool]) -> Reasons:
    """All the reasons of an answer; the prices that need the trip solved anew end early when time is out."""
    *_, whole = growing(told, out_of_time)
    return whole


def growing(told: Answer, out_of_time: Callable[[], bool]) -> Iterator[Reasons]:
    """The reasons as they come: at once what needs no search, then one price after the other."""
    trip, plan, laws_of = told.trip, told.plan, told.laws_of
    weights = tuple(leg_weights(trip, plan, told.laws))
    if plan.status == "infeasible":
        yield Reasons(weights, tuple(breaks(trip, plan, laws_of)))
        return
    tightest = explain.binding(plan)
    known = Reasons(
        weights,
        (),
        explain.whole_trip_chance(trip, plan, laws_of),
        tightest,
        None if tightest is None else explain.one_night_more(trip, tightest, laws_of),
        explain.slack(plan),
        to_go=len({visit.place for visit in plan.visits}) + len(trip.stays),
    )
    yield known
    for one in explain.without_places(trip, plan, laws_of, out_of_time):
        known = replace(known, without=(*known.without, one), to_go=known.to_go - 1)
        yield known
    for longer in explain.longer_stays(trip, plan, laws_of, out_of_time):
        known = replace(known, more_nights=(*known.more_nights, longer), to_go=known.to_go - 1)
        yield known
    if known.to_go:
        yield replace(known, to_go=0, cut=True)
