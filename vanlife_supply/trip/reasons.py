"""All that explains a plan, worked out in one go: how sure, how tight, what each stop is worth, what would mend it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from vanlife_supply.trip import explain
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.cures import Break, breaks
from vanlife_supply.trip.model import Interval
from vanlife_supply.trip.weight import LegWeight, leg_weights


@dataclass(frozen=True, slots=True)
class Reasons:
    """`broken` only where no plan is as sure as demanded, all between it and `weights` only where one is.

    `whole`: the chance of the whole trip; `longer`: that the tightest interval holds a night more.
    """

    weights: tuple[LegWeight, ...]
    broken: tuple[Break, ...] = ()
    whole: float = 0.0
    tightest: Interval | None = None
    longer: float | None = None
    slack: dict[str, int] | None = None
    without: tuple[explain.WithoutPlace, ...] = ()
    more_nights: tuple[explain.LongerStay, ...] = ()


def reasons(told: Answer, out_of_time: Callable[[], bool]) -> Reasons:
    """The reasons of an answer; the prices that need the trip solved anew end early when time is out."""
    trip, plan, laws_of = told.trip, told.plan, told.laws_of
    weights = tuple(leg_weights(trip, plan, told.laws))
    if plan.status == "infeasible":
        return Reasons(weights, tuple(breaks(trip, plan, laws_of)))
    tightest = explain.binding(plan)
    return Reasons(
        weights,
        (),
        explain.whole_trip_chance(trip, plan, laws_of),
        tightest,
        None if tightest is None else explain.one_night_more(trip, tightest, laws_of),
        explain.slack(plan),
        tuple(explain.without_places(trip, plan, laws_of, out_of_time)),
        tuple(explain.longer_stays(trip, plan, laws_of, out_of_time)),
    )
