"""A choice of stops → the plan with its exact amounts, chances and cost, whatever search made the choice."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from vanlife_supply.trip.chance import Law, enough, interval_chance, span_of
from vanlife_supply.trip.days import Opportunity
from vanlife_supply.trip.model import Interval, Served, Supply, Trip, Visit
from vanlife_supply.trip.weights import containers


@dataclass(frozen=True, slots=True)
class Stop:
    """An opportunity taken: the level each served supply is brought to, by name."""

    at: Opportunity
    levels: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Priced:
    """What stops cost and how sure they are: `cost` counts all, `left` the part that refills after the trip."""

    visits: tuple[Visit, ...]
    intervals: tuple[Interval, ...]
    cost: float
    left: float


def price(trip: Trip, laws: Mapping[str, Law], stops: list[Stop]) -> Priced:
    """Follow every supply through the stops, which are in order of days."""
    served: dict[int, list[Served]] = {i: [] for i in range(len(stops))}
    intervals: list[Interval] = []
    left = 0.0
    for supply in trip.supplies:
        law = laws[supply.name]
        here = Mark("start", 0, supply.stock)
        for i, stop in enumerate(stops):
            level = stop.levels.get(supply.name)
            if level is None:
                continue
            mark = Mark(f"{stop.at.place.id}@{stop.at.day}", stop.at.day, level * supply.usable)
            intervals.append(_interval(trip, supply, law, here, mark))
            served[i].append(_serve(supply, law, here, stop, level))
            here = mark
        closing = Mark("end", trip.nights, 0.0)
        intervals.append(_interval(trip, supply, law, here, closing))
        left += supply.end_value * (supply.usable - here.stock + law.mean(here.day, trip.nights))
    visits = tuple(Visit(stop.at.day, stop.at.place.id, tuple(served[i]), stop.at.visit) for i, stop in enumerate(stops))
    paid = sum(visit.cost + sum(service.cost for service in visit.services) for visit in visits)
    return Priced(visits, tuple(intervals), paid + left, left)


@dataclass(frozen=True, slots=True)
class Mark:
    """A point in the life of one supply: what it is called, its day, the stock from then on."""

    label: str
    day: int
    stock: float


def _serve(supply: Supply, law: Law, before: Mark, stop: Stop, level: float) -> Served:
    service = stop.at.place.service(supply.name)
    assert service is not None
    missing = law.mean(before.day, stop.at.day) - before.stock
    amount = max(0.0, level * supply.usable + missing)
    if not service.exchange:
        return Served(supply.name, amount, level, 0, service.fee + service.price * amount)
    assert supply.unit is not None  # a trip that exchanges names the unit
    count = containers(supply.usable + missing, supply.unit)
    return Served(supply.name, amount, level, count, service.fee + service.price * count)


def _interval(trip: Trip, supply: Supply, law: Law, here: Mark, there: Mark) -> Interval:
    closing = there.label == "end"
    opening = here.label == "start"

    def chance(day: int) -> float:
        span = span_of(supply, here.day, day, here.stock, opening=opening, closing=closing and day == trip.nights)
        return interval_chance(law, span, closing=closing and day == trip.nights)

    p = chance(there.day)
    latest = _latest_day(chance, here.day, there.day, trip.nights, supply.confidence)
    use = law.mean(here.day, there.day)
    return Interval(supply.name, here.label, there.label, here.day, there.day, here.stock, use, p, supply.confidence, latest)


def _latest_day(chance: Callable[[int], float], first: int, planned: int, nights: int, demanded: float) -> int | None:
    """The last day that still holds: onwards from the planned one if it does, else backwards."""
    day = planned
    if enough(chance(day), demanded):
        while day < nights and enough(chance(day + 1), demanded):
            day += 1
        return day
    return next((d for d in range(planned - 1, first, -1) if enough(chance(d), demanded)), None)
