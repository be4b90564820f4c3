"""A planned trip for other programs: a calendar (RFC 5545), a table (CSV), a map file (GPX 1.1)."""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, timedelta

from vanlife_supply.moment import Moment, at
from vanlife_supply.place.model import Place as Spot
from vanlife_supply.place.model import Point, place_id
from vanlife_supply.place.writers import to_gpx
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.bands import Expected
from vanlife_supply.trip.model import Stay, Trip, Visit
from vanlife_supply.wording.amounts import counted
from vanlife_supply.wording.trips import Voice, place_name, served, stay_name, stop_cost, told

Stops = Sequence[Sequence[Expected]]
_LONGEST_OCTETS = 75
_RUN_BY_SPREADSHEETS = "=+-@'\t\r"


LookUp = Callable[[str], Spot | None]
"""A known place by its name."""


def finder(known: Iterable[Spot]) -> LookUp:
    """Small and capital letters alike."""
    by_name = {(place.name or "").casefold(): place for place in known}
    return lambda name: by_name.get(name.casefold())


def written(answer: Answer, stops: Stops, voice: Voice, now: Moment, look_up: LookUp) -> tuple[dict[str, str], list[str]]:
    """All files of a plan by the ending of their names, and what the map lacks for want of a point."""
    on_map, lacking = gpx(answer, stops, voice, look_up)
    texts = {
        "txt": "".join(f"{text}\n" for text in told(answer, stops, voice)),
        "ics": calendar(answer, stops, voice, now),
        "gpx": on_map,
        "csv": table(answer, stops, voice),
    }
    return texts, list(dict.fromkeys(lacking))


def calendar(answer: Answer, stops: Stops, voice: Voice, now: Moment) -> str:
    """An all-day event for each stop, with the town list in it, and one for each stay."""
    trip = answer.trip
    stamp = at(now.epoch, "UTC").local().strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//vanlife-supply//trip//EN", "CALSCALE:GREGORIAN"]
    for k, stay in enumerate(trip.stays, start=1):
        first = trip.date_of(trip.first_day(k))
        if stay.nights and first + timedelta(days=stay.nights) >= trip.date_of(trip.today):
            title = f"{counted(stay.nights, 'night')} {stay_name(trip, k)}"
            lines += _event(trip, f"stay {k}", first, stay.nights, title, "", stamp)
    for visit, services in zip(answer.plan.visits, stops, strict=True):
        name = place_name(trip, visit.place)
        done = [served(trip, one, voice) for one in services]
        low, high = stop_cost(visit, services)
        text = "\n".join([*done, f"about {voice.money_band(low, high)}"])
        lines += _event(trip, visit.place, trip.date_of(visit.day), 1, f"{name}: {', '.join(done)}", text, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in _folded(line))


def _event(trip: Trip, what: str, first: date, days: int, title: str, text: str, stamp: str) -> list[str]:
    """The same event of the same trip has the same UID, so that a second import brings the first up to date."""
    key = f"{trip.name}|{trip.start}|{what}|{first}"
    return [
        "BEGIN:VEVENT",
        f"UID:{hashlib.sha256(key.encode()).hexdigest()[:32]}@vanlife-supply",
        f"DTSTAMP:{stamp}",
        f"DTSTART;VALUE=DATE:{first:%Y%m%d}",
        f"DTEND;VALUE=DATE:{first + timedelta(days=days):%Y%m%d}",
        f"SUMMARY:{_escaped(title)}",
        *([f"DESCRIPTION:{_escaped(text)}"] if text else []),
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _escaped(text: str) -> str:
    """RFC 5545 3.3.11."""
    plain = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")
    return "".join(ch for ch in plain if ch.isprintable())


def _folded(line: str) -> Iterator[str]:
    """RFC 5545 3.1: at most 75 octets a line, never within a character, a blank before what goes on."""
    part, size = "", 0
    for ch in line:
        width = len(ch.encode())
        if size + width > _LONGEST_OCTETS:
            yield part
            part, size = " ", 1
        part, size = part + ch, size + width
    yield part


COLUMNS = ("date", "place", "supply", "do", "unit", "amount", "amount_low", "amount_high", "cost_low", "cost_high")


def table(answer: Answer, stops: Stops, voice: Voice) -> str:
    """A row for each thing to do, and one for going to each place; litres and kilograms, money without unit."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(COLUMNS)
    trip = answer.trip
    for visit, services in zip(answer.plan.visits, stops, strict=True):
        head = [trip.date_of(visit.day).isoformat(), _guarded(place_name(trip, visit.place))]
        write.writerow([*head, "", "go there", "", "", "", "", *(f"{visit.cost:.2f}",) * 2])
        for one in services:
            amounts = (f"{x:.2f}" for x in (one.likely, one.low, one.high))
            costs = (f"{x:.2f}" for x in (one.cost_low, one.cost_high))
            name = one.served.supply
            write.writerow([*head, _guarded(name), _deed(trip, one), voice.unit(name), *amounts, *costs])
    return out.getvalue()


def _deed(trip: Trip, one: Expected) -> str:
    if trip.supply(one.served.supply).fills:
        return "dump"
    return f"exchange {one.served.containers}" if one.served.containers else "fill"


def _guarded(text: str) -> str:
    """Text that a spreadsheet would run gets a ' in front."""
    return f"'{text}" if text.startswith(tuple(_RUN_BY_SPREADSHEETS)) else text


def gpx(answer: Answer, stops: Stops, voice: Voice, look_up: LookUp) -> tuple[str, list[str]]:
    """Stops as waypoints, stays and stops as one route in order of travel; and the names of those without a point.

    A point comes from the trip's file, else from a known place of that name (`look_up`).
    """
    trip = answer.trip
    marks, route, lacking = [], [], []
    for _, what, services in _in_order(answer, stops):
        if isinstance(what, Visit):
            place = next(p for p in trip.places if p.id == what.place)
            name, point = place_name(trip, place.id), place.point
            text = "; ".join([trip.date_of(what.day).isoformat(), *(served(trip, one, voice) for one in services)])
        else:
            k, stay = what
            name, point, text = stay.name or f"stay {k}", stay.point, counted(stay.nights, "night")
        spot = _spot(name, point, text, look_up)
        if spot.point is None:
            lacking.append(name)
            continue
        route.append(spot)
        if isinstance(what, Visit):
            marks.append(spot)
    return to_gpx(marks, route, trip.name or "trip"), lacking


def _spot(name: str, point: Point | None, text: str, look_up: LookUp) -> Spot:
    known = look_up(name) if point is None else None
    if known is not None and known.point is not None:
        return Spot(known.id, name, known.lat, known.lon, {}, text, known.source, known.source_ref, known.licence)
    lat, lon = point or (None, None)
    return Spot(place_id("", name, lat, lon), name, lat, lon, {}, text)


def _in_order(answer: Answer, stops: Stops) -> list[tuple[tuple[int, int], Visit | tuple[int, Stay], Sequence[Expected]]]:
    """Stays and stops still ahead: leg k comes before stay k."""
    trip = answer.trip
    places = {place.id: place for place in trip.places}
    found: list[tuple[tuple[int, int], Visit | tuple[int, Stay], Sequence[Expected]]] = []
    for k, stay in enumerate(trip.stays, start=1):
        if trip.first_day(k + 1) >= trip.today:
            found.append(((2 * k, -1), (k, stay), ()))
    for i, (visit, services) in enumerate(zip(answer.plan.visits, stops, strict=True)):
        place = places[visit.place]
        order = 2 * place.stay if place.stay is not None else 2 * (place.leg or 1) - 1
        found.append(((order, i), visit, services))
    return sorted(found, key=lambda one: one[0])
