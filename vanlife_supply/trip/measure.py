"""Roads nobody typed: along the person's own line, by their odometer, else from the straight line with its range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from vanlife_supply.place.distance import Distance
from vanlife_supply.place.model import Point
from vanlife_supply.trip.model import Place, Stay, Trip

Road = Callable[[Point, Point], Distance]
"""By road between two points."""
Spot = Callable[[str], Point | None]
"""Where a place of that name is, if it is known."""


def measured(trip: Trip, ways: Ways) -> Trip:
    """The trip with the legs and detours measured that nobody typed."""
    stays = tuple(replace(stay, road=ways.leg(k)) if stay.km is None else stay for k, stay in enumerate(trip.stays, start=1))
    return replace(trip, stays=stays, places=tuple(_located(place, ways) for place in trip.places))


def _located(place: Place, ways: Ways) -> Place:
    at = ways.where(place)
    km = ways.along(place.leg, at) if place.leg is not None and at and not place.km else place.km
    return replace(place, km=km, road=ways.extra(place.leg, place.stay, at) if place.detour_km is None else None)


class Ways:
    """The roads of a trip whose points are known. `here`: where the first leg begins, if that is known."""

    def __init__(self, trip: Trip, road: Road, spot: Spot, here: Point | None) -> None:
        self._road, self._spot = road, spot
        self._marks = [here, *(self.where(stay) for stay in trip.stays), None]

    def where(self, one: Stay | Place) -> Point | None:
        """Its own point, else that of the known place of its name."""
        return one.point or (self._spot(one.name) if one.name else None)

    def leg(self, leg: int) -> Distance | None:
        """The leg to a stay (both count from 1)."""
        start, end = self._ends(leg)
        return self._road(start, end) if start and end else None

    def along(self, leg: int, at: Point) -> float:
        """How far into a leg a point is, likely."""
        start, _ = self._ends(leg)
        return self._road(start, at).likely if start else 0.0

    def extra(self, leg: int | None, stay: int | None, at: Point | None) -> Distance | None:
        """The extra road to a point: beyond the leg's own, or there and back from a stay."""
        if at is None:
            return None
        if stay is not None:
            base = self._marks[stay]
            return _times(self._road(base, at), 2.0) if base else None
        start, end = self._ends(leg or 1)
        if start is None or end is None:
            return None
        there, on, straight = self._road(start, at), self._road(at, end), self._road(start, end)
        by_way = there.likely + on.likely
        more = max(0.0, by_way - straight.likely) / by_way if by_way > 0.0 else 0.0
        return Distance(more * (there.low + on.low), more * by_way, more * (there.high + on.high), there.how)

    def _ends(self, leg: int) -> tuple[Point | None, Point | None]:
        return self._marks[leg - 1], self._marks[leg]


def _times(road: Distance, factor: float) -> Distance:
    return Distance(factor * road.low, factor * road.likely, factor * road.high, f"{road.how}, there and back")
