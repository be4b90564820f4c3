"""Trip → trip.toml: what `load` reads back as the same trip. Comments of a file a person wrote are not kept."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator

from vanlife_supply.moment import WEEKDAYS
from vanlife_supply.place.model import Point
from vanlife_supply.trip.load import FLEXIBLE
from vanlife_supply.trip.model import Place, Service, Stay, Supply, Trip

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def to_toml(trip: Trip) -> str:
    """The file of a trip. What was measured or worked out of it (roads, supplies under `use = "log"`) is left out."""
    lines = ["schema = 1", *_table("[trip]", _head(trip)), *_table("[costs]", _costs(trip))]
    if trip.use == "assume":
        for supply in trip.supplies:
            lines += _table(f"[assume.{_key(supply.name)}]", _supply(supply))
    else:
        for name, numbers in trip.overrides.items():
            lines += [f"[assume.{_key(name)}]", *(f"{key} = {value!r}" for key, value in numbers.items())]
    for stay in trip.stays:
        lines += ["[[stay]]", *_stay(stay)]
    for place in trip.places:
        lines += ["[[place]]", *_place(place)]
        for service in place.services:
            lines += ["[[place.service]]", *_service(service)]
    return "\n".join(lines) + "\n"


def _table(head: str, lines: Iterable[str]) -> list[str]:
    inside = list(lines)
    return [head, *inside] if inside else []


def _head(trip: Trip) -> Iterator[str]:
    yield from _text("name", trip.name)
    yield f"start = {trip.start.isoformat()}"
    yield from _number("confidence", trip.confidence)
    if trip.use == "assume":
        yield 'use = "assume"'
    yield from _number("payload", trip.payload)


def _costs(trip: Trip) -> Iterator[str]:
    yield from _number("per_km", trip.costs.per_km or None)
    yield from _number("stop", trip.costs.stop or None)
    yield from _number("per_hour", trip.costs.per_hour or None)


def _supply(supply: Supply) -> Iterator[str]:
    for key in ("usable", "start", "mean", "reserve", "start_sd", "cv", "cv_rate", "confidence", "end_reserve", "end_value",
                "unit"):  # fmt: skip
        yield from _number(key, getattr(supply, key))


def _stay(stay: Stay) -> Iterator[str]:
    yield from _text("name", stay.name)
    if stay.flexible:
        least, most = stay.flexible
        yield from (f'nights = "{FLEXIBLE}"', f"min = {least}", f"max = {most}")
    else:
        yield f"nights = {stay.nights}"
    yield from _number("km", stay.km)
    if stay.factor:
        yield f"factor = {{ {', '.join(f'{_key(name)} = {value!r}' for name, value in stay.factor.items())} }}"
    yield from _number("people", stay.people)
    if stay.conditions is not None:
        yield f"conditions = [{', '.join(_quoted(word) for word in stay.conditions)}]"
    yield from _point(stay.point)


def _place(place: Place) -> Iterator[str]:
    yield f"id = {_quoted(place.id)}"
    yield from _text("name", place.name)
    if place.stay is None:
        yield f"leg = {place.leg}"
    else:
        yield from (f"stay = {place.stay}", f'when = "{place.when}"')
    yield from _number("km", place.km or None)
    yield from _number("detour_km", place.detour_km)
    yield from _number("stop", place.stop)
    yield from _number("hours", place.hours or None)
    yield from _number("entry", place.entry or None)
    if place.open is not None:
        yield f"open = [{', '.join(_quoted(WEEKDAYS[day]) for day in sorted(place.open))}]"
    if place.season is not None:
        yield f"season = [{', '.join(_quoted(f'{month:02}-{day:02}') for month, day in place.season)}]"
    if place.closed:
        yield f"closed = [{', '.join(day.isoformat() for day in sorted(place.closed))}]"
    yield from _point(place.point)


def _service(service: Service) -> Iterator[str]:
    yield f"supply = {_quoted(service.supply)}"
    if service.exchange:
        yield 'mode = "exchange"'
    yield from _number("fee", service.fee or None)
    yield from _number("price", service.price or None)
    if service.levels != (1.0,):
        yield f"levels = [{', '.join(repr(level) for level in service.levels)}]"


def _point(point: Point | None) -> Iterator[str]:
    if point is not None:
        yield from (f"lat = {point[0]!r}", f"lon = {point[1]!r}")


def _text(key: str, value: str) -> Iterator[str]:
    if value:
        yield f"{key} = {_quoted(value)}"


def _number(key: str, value: float | None) -> Iterator[str]:
    if value is not None:
        yield f"{key} = {value!r}"


def _quoted(text: str) -> str:
    """A TOML basic string escapes as JSON does."""
    return json.dumps(text, ensure_ascii=False)


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _quoted(name)
