"""A trip and the laws of its supplies → all that is answered: stays settled, the plan, what became of the old one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from vanlife_supply.trip.chance import Law, LawMaker, assumed
from vanlife_supply.trip.change import Followed, Kept, follow
from vanlife_supply.trip.flexible import Stretched, stretch
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.planner import never
from vanlife_supply.trip.weight import refuse_overweight


@dataclass(frozen=True, slots=True)
class Answer:
    """`trip` has its stays settled; `followed` is None where no plan was known before."""

    trip: Trip
    plan: Plan
    laws_of: LawMaker
    stretched: tuple[Stretched, ...] = ()
    followed: Followed | None = None

    @property
    def laws(self) -> Mapping[str, Law]:
        """The law of each supply on this trip."""
        return self.laws_of(self.trip)


def answer(
    trip: Trip, laws_of: LawMaker = assumed, old: Kept | None = None, out_of_time: Callable[[], bool] = never
) -> Answer:
    """Plan a complete trip. Refusal when it starts heavier than the vehicle may be."""
    refuse_overweight(trip)
    settled, plan, stretched = stretch(trip, laws_of, out_of_time)
    if old is None:
        return Answer(settled, plan, laws_of, stretched)
    plan, followed = follow(settled, plan, old, laws_of(settled))
    return Answer(settled, plan, laws_of, stretched, followed)


@dataclass(frozen=True, slots=True)
class Where:
    """A trip today: day and days of all, the stay (from 1) and its night (from 1); night 0: the last day."""

    day: int
    days: int
    stay: int
    night: int
    nights: int


def where(trip: Trip) -> Where | None:
    """Where a started trip is; None before its start."""
    if trip.today <= 0:
        return None
    for k, stay in enumerate(trip.stays, start=1):
        first = trip.first_day(k)
        if trip.today < first + stay.nights:
            return Where(trip.today, trip.nights, k, trip.today - first + 1, stay.nights)
    return Where(trip.today, trip.nights, len(trip.stays), 0, trip.stays[-1].nights)
