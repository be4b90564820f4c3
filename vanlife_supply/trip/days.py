"""When a place can be used, and what going there costs: the calendar of a trip."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from vanlife_supply.trip.model import Place, Trip


@dataclass(frozen=True, slots=True)
class Opportunity:
    """A place on one day it can be used; `visit` is the money a visit costs before any service."""

    day: int
    place: Place
    visit: float


def is_open(place: Place, day: date) -> bool:
    """Whether its weekdays, its season and its closed dates let it be used on that date."""
    if place.open is not None and day.weekday() not in place.open:
        return False
    if place.season is not None:
        first, last = place.season
        today = (day.month, day.day)
        inside = first <= today <= last if first <= last else today >= first or today <= last
        if not inside:
            return False
    return day not in place.closed


def days_of(trip: Trip, place: Place) -> list[int]:
    """The days still ahead on which a place can be used: on its leg one day, near a stay any day of it, if open then."""
    if place.stay is None:
        reached = [trip.first_day(place.leg or 1)]
    else:
        first, last = trip.first_day(place.stay), trip.first_day(place.stay + 1)
        reached = {"arrive": [first], "depart": [last]}.get(place.when, list(range(first, last + 1)))
    return [day for day in reached if day >= trip.today and is_open(place, trip.date_of(day))]


def visit_cost(trip: Trip, place: Place) -> float:
    """stop + detour + time + entry: paid once a visit, however many services."""
    stop = trip.costs.stop if place.stop is None else place.stop
    return stop + place.extra_km * trip.costs.per_km + place.hours * trip.costs.per_hour + place.entry


def opportunities(trip: Trip) -> list[Opportunity]:
    """Every place on every day it can be used, in travelling order, without those another one makes pointless."""
    planned = {supply.name for supply in trip.supplies}
    by_day: dict[int, list[Opportunity]] = {}
    for place in sorted(trip.places, key=along_the_way):
        if any(service.supply in planned for service in place.services):
            for day in days_of(trip, place):
                by_day.setdefault(day, []).append(Opportunity(day, place, visit_cost(trip, place)))
    return [kept for day in sorted(by_day) for kept in _undominated(by_day[day], planned)]


def along_the_way(place: Place) -> tuple[int, float]:
    """Its rank: leg k (2k − 1) comes before stay k (2k), and on a leg the kilometres decide."""
    return (2 * place.stay, 0.0) if place.stay is not None else (2 * (place.leg or 1) - 1, place.km)


def _undominated(same_day: list[Opportunity], planned: set[str]) -> list[Opportunity]:
    kept: list[Opportunity] = []
    for i, one in enumerate(same_day):
        rivals = kept + same_day[i + 1 :]
        if not any(_no_worse(rival, one, planned) for rival in rivals):
            kept.append(one)
    return kept


def _no_worse(rival: Opportunity, one: Opportunity, planned: set[str]) -> bool:
    """Whether the rival offers all that `one` offers and nothing of it dearer."""
    if rival.visit > one.visit:
        return False
    for wanted in one.place.services:
        if wanted.supply not in planned:
            continue
        found = rival.place.service(wanted.supply)
        if found is None or found.exchange != wanted.exchange or found.levels != wanted.levels:
            return False
        if found.fee > wanted.fee or found.price > wanted.price:
            return False
    return True
