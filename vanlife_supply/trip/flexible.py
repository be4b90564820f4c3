"""Stays "as long as we can": the trip is planned for every length, and the longest that holds is taken.

Cost does not grow evenly with the nights (week days and seasons shift), so every length is solved.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from vanlife_supply.trip.chance import LawMaker, assumed
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.planner import plan as solve


@dataclass(frozen=True, slots=True)
class Length:
    """What the trip costs with so many nights at the stay; None: no plan holds then."""

    nights: int
    cost: float | None


@dataclass(frozen=True, slots=True)
class Stretched:
    """A flexible stay (counted from 1), what each length costs, and the length taken: the longest that holds.

    `alone`: no other stay is flexible, so that no longer one was overlooked.
    """

    stay: int
    lengths: tuple[Length, ...]
    taken: int
    alone: bool


def stretch(
    trip: Trip, laws_of: LawMaker = assumed, out_of_time: Callable[[], bool] = lambda: False
) -> tuple[Trip, Plan, tuple[Stretched, ...]]:
    """The trip with every stay settled, its plan, and what each length would have cost.

    Several flexible stays are stretched one after the other, those to come at their shortest.
    """
    found: list[Stretched] = []
    flexible = [k for k, stay in enumerate(trip.stays, start=1) if stay.flexible]
    plan: Plan | None = None
    for k in flexible:
        plans = dict(_planned(trip, k, laws_of, out_of_time))
        holding = [n for n, one in plans.items() if one.status != "infeasible"]
        taken = max(holding, default=min(plans))
        lengths = tuple(Length(n, None if p.status == "infeasible" else p.cost) for n, p in plans.items())
        found.append(Stretched(k, lengths, taken, len(flexible) == 1))
        trip, plan = with_nights(trip, k, taken), plans[taken]
    return trip, plan or solve(trip, laws_of, out_of_time), tuple(found)


def with_nights(trip: Trip, stay: int, nights: int) -> Trip:
    """The trip with that stay (counted from 1) settled at so many nights."""
    settled = replace(trip.stays[stay - 1], nights=nights, flexible=None)
    return replace(trip, stays=(*trip.stays[: stay - 1], settled, *trip.stays[stay:]))


def _planned(
    trip: Trip, stay: int, laws_of: LawMaker, out_of_time: Callable[[], bool]
) -> Iterator[tuple[int, Plan]]:
    """A plan for each length that is still possible; the shortest is always planned."""
    least, most = trip.stays[stay - 1].flexible or (0, 0)
    least = min(most, max(least, trip.today - trip.first_day(stay)))
    for nights in range(least, most + 1):
        if nights > least and out_of_time():
            return
        yield nights, solve(with_nights(trip, stay, nights), laws_of, out_of_time)
