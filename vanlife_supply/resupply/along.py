"""Known places as places of a trip: what they give and what was paid there, and the least road they cost from a stay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.prices import much_for
from vanlife_supply.place.distance import Distance, great_circle_km
from vanlife_supply.place.model import Place, Point
from vanlife_supply.quantity import minor_digits
from vanlife_supply.resupply.atlas import Atlas, what_of_supply
from vanlife_supply.resupply.stop import may_be
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.trip.measure import Ways
from vanlife_supply.trip.model import Place as Stop
from vanlife_supply.trip.model import Service, Trip

MOST_SHOWN = 60
"""Roads are worked out for the nearest so many."""


@dataclass(frozen=True, slots=True)
class Nearby:
    """A known place as a stop of a trip, on the leg to a stay or at it, whichever is the shorter way; `road` if known."""

    stop: Stop
    road: Distance | None


def nearby(known: Atlas, trip: Trip, stay: int, rig: Rig) -> list[Nearby]:
    """The places that give or take something, for a stay (from 1): least extra road first, unknown roads last."""
    ways = ways_of(known, trip)
    there = ways.where(trip.stays[stay - 1])
    given = [(place, services) for place in known.places if (services := _services(known, place, rig))]
    given.sort(key=lambda one: _straight(one[0].point, there))
    found = [_nearest_way(place, services, ways, stay) for place, services in given[:MOST_SHOWN]]
    return sorted(found, key=lambda one: (one.road is None, one.road.likely if one.road else 0.0, one.stop.name))


def as_stop(known: Atlas, place: Place, stay: int, rig: Rig) -> Stop:
    """A known place as a stop at a stay: what it gives as far as is known, at the prices remembered."""
    return Stop("", stay=stay, services=_services(known, place, rig), name=place.name or place.source_ref, point=place.point)


def ways_of(known: Atlas, trip: Trip) -> Ways:
    """The roads of a trip; its first leg begins where the person is while it has not started."""
    points = {place.name.casefold(): place.point for place in known.places if place.name}
    here = known.position.place.point if known.position and not trip.today else None
    return Ways(trip, known.distance, lambda name: points.get(name.casefold()), here)


def _straight(point: Point | None, there: Point | None) -> float:
    return great_circle_km(point, there) if point and there else float("inf")


def _nearest_way(place: Place, services: tuple[Service, ...], ways: Ways, stay: int) -> Nearby:
    at = Stop("", stay=stay, services=services, name=place.name or place.source_ref, point=place.point)
    beside, passing = ways.extra(None, stay, place.point), ways.extra(stay, None, place.point)
    if passing and (beside is None or passing.likely < beside.likely):
        return Nearby(replace(at, stay=None, leg=stay), passing)
    return Nearby(at, beside)


def _services(known: Atlas, place: Place, rig: Rig) -> tuple[Service, ...]:
    """What of the rig's supplies it may give or take."""
    found = []
    for its in rig.supplies:
        what = what_of_supply(its.name)
        if what is not None and may_be(known.answer(place, what)):
            found.append(_priced(Service(its.name), known.visits.get(place.id, ()), rig))
    return tuple(found)


def _priced(service: Service, visits: Sequence[Entry], rig: Rig) -> Service:
    """At the price of one unit where amounts were noted, else at what a visit came to; the median of what was paid."""
    own = [e for e in visits if e.supply == service.supply and e.paid is not None]
    exchanged = any(e.kind == m.EXCHANGE for e in own)
    units = [price for e in own if (price := paid_per_unit(e, rig)) > 0.0]
    sums = [(e.paid or 0) / 10 ** minor_digits(rig.currency) for e in own]
    if exchanged and sums:
        return replace(service, exchange=True, price=median(sums))
    if units and rig.supply(service.supply).direction != FILLS:
        return replace(service, price=median(units))
    return replace(service, fee=median(sums)) if sums else service


def paid_per_unit(entry: Entry, rig: Rig) -> float:
    """Money (not its minor units) for one canonical unit; 0 where it cannot be known."""
    much = much_for(entry, rig, (m.FILL, m.EXCHANGE, m.DUMP))
    return (entry.paid or 0) / 10.0 ** minor_digits(rig.currency) / much if much else 0.0
