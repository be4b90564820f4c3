"""What a stop may come to: the amount and the money between which 8 times in 10 it will be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from vanlife_supply.trip.chance import Law, Span
from vanlife_supply.trip.model import Interval, Plan, Served, Supply, Trip, Visit
from vanlife_supply.trip.weights import containers

LOW, HIGH = 0.1, 0.9
_HALVINGS = 24


@dataclass(frozen=True, slots=True)
class Expected:
    """One service at a stop: what it may come to (L or kg), low, likely and high, and the money for both ends.

    `served.amount` is the contract's, linear in the expected use, even where that is more than the container holds;
    `likely` never leaves the band.
    """

    served: Served
    low: float
    likely: float
    high: float
    cost_low: float
    cost_high: float


def expected(trip: Trip, plan: Plan, laws: Mapping[str, Law]) -> tuple[tuple[Expected, ...], ...]:
    """For each visit of a plan, in order, its services with their bands."""
    ending = {(i.supply, i.end): i for i in plan.intervals}
    return tuple(
        tuple(_expected(trip, visit, one, ending[one.supply, f"{visit.place}@{visit.day}"], laws[one.supply])
              for one in visit.services)
        for visit in plan.visits
    )  # fmt: skip


def _expected(trip: Trip, visit: Visit, one: Served, before: Interval, law: Law) -> Expected:
    supply = trip.supply(one.supply)
    missing = one.level * supply.usable - before.stock
    low, high = (min(max(0.0, missing + use), supply.usable) for use in _use_band(law, before))
    likely = min(max(low, one.amount), high)
    return Expected(one, low, likely, high, _cost(trip, visit, one, supply, low), _cost(trip, visit, one, supply, high))


def _cost(trip: Trip, visit: Visit, one: Served, supply: Supply, amount: float) -> float:
    """What the service costs if it comes to that amount."""
    service = next(p for p in trip.places if p.id == visit.place).service(one.supply)
    assert service is not None
    if not service.exchange or supply.unit is None:
        return service.fee + service.price * amount
    count = containers(amount + (1.0 - one.level) * supply.usable, supply.unit)
    return service.fee + service.price * count


def _use_band(law: Law, i: Interval) -> tuple[float, float]:
    """The use that is not exceeded with the low and the high chance, by halving."""
    if i.use <= 0.0:
        return 0.0, 0.0
    top = i.use
    while law.chance(Span(i.first_day, i.last_day, top, i.start == "start")) < HIGH:
        top *= 2.0
    return _quantile(law, i, LOW, top), _quantile(law, i, HIGH, top)


def _quantile(law: Law, i: Interval, wanted: float, top: float) -> float:
    low, high = 0.0, top
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if law.chance(Span(i.first_day, i.last_day, middle, i.start == "start")) < wanted:
            low = middle
        else:
            high = middle
    return high
