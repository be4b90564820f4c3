"""Changing a trip while it is built: stays put in and taken out, their places moving with them."""

from __future__ import annotations

import re
from dataclasses import replace

from vanlife_supply.refusal import Refusal
from vanlife_supply.trip.model import Place, Stay, Trip


def with_stay(trip: Trip, after: int, stay: Stay) -> Trip:
    """The trip with one more stay after that one (counted from 1; 0: as the first)."""
    places = tuple(_moved(place, after, 1) for place in trip.places)
    return replace(trip, stays=(*trip.stays[:after], stay, *trip.stays[after:]), places=places)


def with_stay_changed(trip: Trip, k: int, stay: Stay) -> Trip:
    """The trip with another stay in the place of the k-th."""
    return replace(trip, stays=(*trip.stays[: k - 1], stay, *trip.stays[k:]))


def without_stay(trip: Trip, k: int) -> Trip:
    """The trip without its k-th stay, the places there and on the leg to it. Refusal where it is the only one."""
    if len(trip.stays) == 1:
        raise Refusal("A trip needs at least one stay: change this one, or put another in first.")
    left = (place for place in trip.places if k not in (place.stay, place.leg))
    places = tuple(_moved(place, k, -1) for place in left)
    return replace(trip, stays=(*trip.stays[: k - 1], *trip.stays[k:]), places=places)


def with_place(trip: Trip, place: Place) -> Trip:
    """The trip with a place put in, or in place of the one of its id; without an id it gets one of its own."""
    if not place.id:
        return replace(trip, places=(*trip.places, replace(place, id=_free_id(trip, place.name))))
    return replace(trip, places=tuple(place if old.id == place.id else old for old in trip.places))


def without_place(trip: Trip, place: str) -> Trip:
    """The trip without the place of that id."""
    return replace(trip, places=tuple(one for one in trip.places if one.id != place))


def _moved(place: Place, after: int, by: int) -> Place:
    stay = place.stay + by if place.stay is not None and place.stay > after else place.stay
    leg = place.leg + by if place.leg is not None and place.leg > after else place.leg
    return replace(place, stay=stay, leg=leg)


def plain(name: str, otherwise: str = "trip") -> str:
    """A name in small letters, digits and hyphens only, fit for an id or a file."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or otherwise


def _free_id(trip: Trip, name: str) -> str:
    taken, first = {place.id for place in trip.places}, plain(name, "place")
    tries = (first if n == 1 else f"{first}-{n}" for n in range(1, len(taken) + 2))
    return next(one for one in tries if one not in taken)
