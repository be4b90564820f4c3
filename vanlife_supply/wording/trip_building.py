"""A trip while it is built: its stays and places as lines, how far it is and how that is known."""

from __future__ import annotations

from vanlife_supply.place.distance import Distance
from vanlife_supply.rig.model import Rig
from vanlife_supply.trip.model import Place, Stay, Trip
from vanlife_supply.trip.phrase import AS_LONG, said_place
from vanlife_supply.wording.amounts import counted
from vanlife_supply.wording.places import far
from vanlife_supply.wording.trips import Voice, day_name


def stay_words(trip: Trip, k: int, rig: Rig) -> str:
    """`Mon 11 May, 4 nights; 40 to 75 mi from the straight line; 2 people, heater`."""
    stay = trip.stays[k - 1]
    later = " or later" if any(before.flexible for before in trip.stays[: k - 1]) else ""
    parts = [f"from {day_name(trip, trip.first_day(k))}{later}, {_nights(stay)}"]
    if (drive := drive_words(stay, Voice(rig))).strip():
        parts.append(drive.removeprefix(", after "))
    if stay.people is not None:
        parts.append("alone" if stay.people == 1 else f"{stay.people:g} people")
    parts += [*(stay.conditions or ())]
    return "; ".join(parts)


def drive_words(stay: Stay, voice: Voice) -> str:
    """`, after 50 mi`; where it was measured its range and how; nothing where nothing is known."""
    units = voice.rig.units if voice.rig else "metric"
    if stay.km is not None:
        typed = Distance(stay.km, stay.km, stay.km, "")
        return f", after {far(typed, units)}" if stay.km > 0 else ""
    return f", after {far(stay.road, units)} {stay.road.how}" if stay.road else ""


def place_words(place: Place, rig: Rig) -> str:
    """What a place of a trip gives and how much farther it is, in a line."""
    said = said_place(place, rig, place.stay or place.leg or 1)
    road = f"; {far(place.road, rig.units)} extra {place.road.how}" if place.road and place.detour_km is None else ""
    return f"{said}{road}"


def _nights(stay: Stay) -> str:
    if stay.flexible:
        return f"{AS_LONG}, {stay.flexible[0]} to {stay.flexible[1]} nights"
    return counted(stay.nights, "night")
