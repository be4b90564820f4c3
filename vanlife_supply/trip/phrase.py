"""A stay, a place and the head of a trip as a person types them, parts set off by commas, in any order after the name.

    the rim, 4 nights, 50 mi, 2 people, heater      the river, until fri      the lake, as long as we can 3 to 14
    Old Mill, on the way, 4 mi extra, water, gray $5, open mon-fri
    from mon 11 may, 30c a mile, $3 a stop, carry 400 lb

`said_stay`, `said_place`, `said_head` say one so that it reads back as it was; what such a line does not tell (seasons,
points, factors) stays as it stood.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from vanlife_supply.constants import KM_PER_MILE
from vanlife_supply.moment import WEEKDAYS, read_iso, read_when
from vanlife_supply.quantity import MASS, SIGNS, minor_digits, number, parse_money, parse_price, shown, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE, Rig, supply_named
from vanlife_supply.trip.load import MOST_NIGHTS, MOST_PEOPLE
from vanlife_supply.trip.model import Costs, Place, Service, Stay, Trip

USUAL_LIMIT = 14
"""Nights a stay "as long as we can" may last where nobody says: the common stay limit (common practice, no source)."""
AS_LONG = "as long as we can"
_NO_LIMITS: Mapping[str, int] = {}
_WHENS = {"on arrival": "arrive", "on leaving": "depart", "any day": "any"}
_NIGHTS = re.compile(r"(\d+) ?(?:nights?|n)")
_FLEXIBLE = re.compile(r"(?:as long as (?:we|i|possible)(?: can)?|flexible)(?: (\d+) ?(?:to|-|–) ?(\d+)(?: nights?)?)?")
_BETWEEN = re.compile(r"(\d+) ?(?:to|-|–) ?(\d+) nights?")
_UNTIL = re.compile(r"(?:until|till|to) (.+)")
_ROAD = re.compile(r"(?:after )?([\d.,/ ]+?) ?(km|mi|miles?)( extra| in)?")
_PEOPLE = re.compile(r"(\d+(?:[.,]\d+)?) (?:people|persons?|adults?)")
_OPEN = re.compile(r"open ((?:[a-z]{3,}(?:-[a-z]{3,})? ?)+)")
_PRICED = {"mile": "per_km", "mi": "per_km", "km": "per_km", "stop": "stop", "hour": "per_hour", "h": "per_hour"}
_PER = re.compile(r"(.+?) (?:a|per) (mile|mi|km|stop|hour|h)")


def read_stay(
    text: str, rig: Rig, first: date, words: Sequence[str], old: Stay | None = None, limits: Mapping[str, int] = _NO_LIMITS
) -> Stay:
    """A stay from its line. `first`: its first day; `words`: the conditions there are; `limits`: by name of a place in small
    letters, the nights one may stay there, for stays as long as we can. Refusal names what is not clear."""
    base = replace(old, km=None, people=None, conditions=None) if old else Stay(-1)
    name, conditions, nights = "", list[str](), None
    for part in _parts(text):
        plain = part.lower()
        if (found := _nights(plain, first)) is not None:
            nights = found
        elif road := _ROAD.fullmatch(plain):
            base = replace(base, km=_km(road[1], road[2], old.km if old else None, rig))
        elif people := _PEOPLE.fullmatch(plain):
            base = replace(base, people=_at_most(number(people[1]), MOST_PEOPLE, "people"))
        elif plain == "alone":
            base = replace(base, people=1.0)
        elif plain in words:
            conditions.append(plain)
        elif not name:
            name = part
        elif (found := _until_day(plain, first)) is not None:
            nights = found
        else:
            known = f"a distance, people or a condition ({', '.join(words)})"
            raise Refusal(f"'{part}' is not clear: say nights, until when, {known}.")
    if nights is None:
        name, nights = _apart(name, first)
    if nights is None:
        raise Refusal(f"How many nights? Say 4 nights, until fri, or {AS_LONG}.")
    least, most = nights
    if most is None:
        most = max(least, limits.get(name.casefold(), USUAL_LIMIT))
    flexible = (least, most) if most > least or (old and old.flexible == (least, most)) else None
    return replace(
        base, name=_named(name, old), nights=least, flexible=flexible, conditions=tuple(conditions) or None
    )


def said_stay(stay: Stay, rig: Rig) -> str:
    """Its line."""
    nights = f"{AS_LONG} {stay.flexible[0]} to {stay.flexible[1]}" if stay.flexible else _count(stay.nights, "night")
    parts = [_plain(stay.name), nights]
    if stay.km is not None:
        parts.append(said_km(stay.km, rig))
    if stay.people is not None:
        parts.append("alone" if stay.people == 1 else f"{stay.people:g} people")
    return ", ".join(part for part in (*parts, *(stay.conditions or ())) if part)


def read_place(text: str, rig: Rig, stay: int, old: Place | None = None, known: Place | None = None) -> Place:
    """A place at, or on the leg to, a stay (from 1) from its line; without services those of `known` are taken.

    Its id is not set here.
    """
    base = old or known or Place("", stay=stay)
    base = replace(base, detour_km=None, open=None, leg=None, stay=stay, when="any", km=0.0)
    name, services = "", list[Service]()
    before = {_said_service(s, rig): s for s in base.services}
    for part in _parts(text):
        plain = part.lower()
        service = None if not name else before.get(part) or _service(plain, rig, base)
        if not name:
            name = part
        elif service is not None:
            services.append(service)
        elif plain in ("on the way", "on the way home"):
            base = replace(base, leg=stay + (plain != "on the way"), stay=None)
        elif plain in _WHENS:
            base = replace(base, when=_WHENS[plain])
        elif road := _ROAD.fullmatch(plain):
            base = _with_road(base, road, old, rig)
        elif days := _OPEN.fullmatch(plain):
            base = replace(base, open=_days(days[1]))
        else:
            raise Refusal(f"'{part}' is not clear: say on the way, 4 mi extra, open mon-fri, water, or gray $5.")
    if not name:
        raise Refusal("What is the place called?")
    given = tuple(services) or (known.services if known else ())
    if not given:
        raise Refusal("What is to be had there? Say water, gray $5, propane exchange $22.")
    twice = next((s.supply for s in given if [x.supply for x in given].count(s.supply) > 1), None)
    if twice:
        raise Refusal(f"{rig.say(twice).capitalize()} stands there twice; keep one.")
    return replace(base, name=known.name if known else _named(name, base), services=given)


def said_place(place: Place, rig: Rig, stay: int) -> str:
    """Its line, seen from that stay."""
    parts = [_plain(place.name or place.id)]
    if place.leg is not None:
        parts.append("on the way" if place.leg == stay else "on the way home")
    parts += [said for said, when in _WHENS.items() if place.leg is None and place.when == when != "any"]
    if place.leg is not None and place.km:
        parts.append(f"{said_km(place.km, rig)} in")
    if place.detour_km is not None:
        parts.append(f"{said_km(place.detour_km, rig)} extra")
    if place.open is not None:
        parts.append(f"open {' '.join(WEEKDAYS[day] for day in sorted(place.open))}")
    return ", ".join([*parts, *(_said_service(service, rig) for service in place.services)])


def read_head(text: str, rig: Rig, today: date, old: Trip) -> Trip:
    """The trip with its start, what roads, stops and hours cost, and what may be carried, as a line says."""
    trip, before = replace(old, costs=Costs(), payload=None), said_head(old, rig).split(", ")
    started = ""
    for part in _parts(text):
        plain = part.lower()
        if priced := _PER.fullmatch(plain):
            what = _PRICED[priced[2]]
            value = getattr(old.costs, what) if part in before else _price(priced[1], priced[2], rig)
            trip = replace(trip, costs=replace(trip.costs, **{what: value}))
        elif plain.startswith("carry "):
            trip = replace(trip, payload=old.payload if part in before else _kg(plain.removeprefix("carry ")))
        else:
            started = plain.removeprefix("from ")
            trip = replace(trip, start=_date(started, today))
    if not started:
        raise Refusal("When does it start? Say from mon, or from 2026-05-11.")
    return trip


def said_head(trip: Trip, rig: Rig) -> str:
    """Its line."""
    costs, mile = trip.costs, KM_PER_MILE if rig.units == "us" else 1.0
    road = "mile" if rig.units == "us" else "km"
    priced = ((costs.per_km * mile, road), (costs.stop, "stop"), (costs.per_hour, "hour"))
    parts = [f"from {trip.start.isoformat()}", *(f"{_money(value, rig)} a {what}" for value, what in priced if value)]
    if trip.payload is not None:
        parts.append(f"carry {trip.payload / MASS[rig.scale]:.4g} {rig.scale}")
    return ", ".join(parts)


def said_km(km: float, rig: Rig) -> str:
    """`50 mi` or `80 km`."""
    return f"{km / KM_PER_MILE:.3g} mi" if rig.units == "us" else f"{km:.3g} km"


@dataclass(frozen=True, slots=True)
class NewTrip:
    """What the first line of a new trip says."""

    name: str
    start: date


def read_new(text: str, today: date) -> NewTrip:
    """`north loop, from mon`: a name and a start (today where none is said)."""
    name, *rest = _parts(text) or [""]
    if not name or len(rest) > 1:
        raise Refusal("What is the trip called, and when does it start? Say north loop, from mon.")
    if rest:
        return NewTrip(name, _date(rest[0].lower().removeprefix("from "), today))
    called, _, begins = name.rpartition(" from ")
    try:
        return NewTrip(called, _date(begins.lower(), today)) if called else NewTrip(name, today)
    except Refusal:  # no date, but part of a name: home from the hills
        return NewTrip(name, today)


def _plain(name: str) -> str:
    """A name without commas, for they part what is typed."""
    return " ".join(name.replace(",", " ").split())


def _named(typed: str, old: Stay | Place | None) -> str:
    return old.name if old is not None and typed == _plain(old.name) else typed


def _parts(text: str) -> list[str]:
    """Split at commas, but not within a number such as 3,50."""
    return [part for each in re.split(r",(?!\d)", text) if (part := " ".join(each.split()))]


def _until_day(text: str, first: date) -> tuple[int, int | None] | None:
    """`sun` after the name of a place is until when; None for what is no day."""
    try:
        return _nights(f"until {text}", first)
    except Refusal:
        return None


def _nights(plain: str, first: date) -> tuple[int, int | None] | None:
    """(fewest, most) nights a part tells of, most None where it leaves that open; None when it tells of none."""
    if (told := _NIGHTS.fullmatch(plain)) or plain.isdecimal():
        count = int(told[1] if told else plain)
        return _span(count, count)
    if told := _FLEXIBLE.fullmatch(plain) or _BETWEEN.fullmatch(plain):
        return _span(int(told[1]), int(told[2])) if told[1] else (1, None)
    if told := _UNTIL.fullmatch(plain):
        count = (_date(told[1], first) - first).days
        if count < 0:
            raise Refusal(f"'{plain}' lies before {first.isoformat()}, when that stay begins.")
        return _span(count, count)
    return None


def _apart(name: str, first: date) -> tuple[str, tuple[int, int | None] | None]:
    """`the rim 4 nights` without its comma: the name, and the nights told behind it. A bare number belongs to the name."""
    words = name.split()
    for i in range(1, len(words)):
        tail = " ".join(words[i:]).lower()
        if not tail.isdecimal() and (nights := _nights(tail, first)) is not None:
            return " ".join(words[:i]), nights
    return name, None


def _span(least: int, most: int) -> tuple[int, int]:
    if not 0 <= least <= most <= MOST_NIGHTS:
        raise Refusal(f"{least} to {most} nights cannot be: at most {MOST_NIGHTS}, the smaller number first.")
    return least, most


def _date(text: str, today: date) -> date:
    noon = read_iso(f"{today.isoformat()}T12:00", "UTC").moment
    return read_when(text, noon, "UTC", ahead=True).moment.local().date()


def _km(text: str, unit: str, old: float | None, rig: Rig) -> float:
    """As typed; the exact old value where the line still says the same."""
    if old is not None and f"{text} {unit}" == said_km(old, rig):
        return old
    return number(text.strip()) * (1.0 if unit == "km" else KM_PER_MILE)


def _with_road(base: Place, road: re.Match[str], old: Place | None, rig: Rig) -> Place:
    if road[3] == " in":
        return replace(base, km=_km(road[1], road[2], old.km if old else None, rig))
    return replace(base, detour_km=_km(road[1], road[2], old.detour_km if old else None, rig))


def _days(text: str) -> frozenset[int]:
    found: set[int] = set()
    for word in text.split():
        ends = [day[:3] for day in word.split("-")]
        if any(day not in WEEKDAYS for day in ends):
            raise Refusal(f"'{word}' is no day of the week: say mon, or mon-fri.")
        first, last = WEEKDAYS.index(ends[0]), WEEKDAYS.index(ends[-1])
        found.update((first + i) % 7 for i in range((last - first) % 7 + 1))
    return frozenset(found)


def _service(plain: str, rig: Rig, base: Place) -> Service | None:
    """`water`, `gray $5`, `water 35c/gal`, `propane exchange $22`; levels stay as they stood. None: no supply is named."""
    head, _, rest = plain.partition(" ")
    try:
        name = supply_named(head, tuple(s.name for s in rig.supplies))
    except Refusal:
        return None
    its = rig.supply(name)
    before = base.service(name)
    exchange = rest.startswith("exchange")
    rest = rest.removeprefix("exchange").strip()
    found = Service(name, exchange, levels=before.levels if before else (1.0,))
    size = 10 ** minor_digits(rig.currency)
    if not rest or rest == "free":
        return found
    if "/" in rest or " per " in rest:
        return replace(found, price=parse_price(rest, rig.currency, its.measure, its.density) / size)
    money = parse_money(rest, rig.currency) / size
    return replace(found, price=money) if exchange else replace(found, fee=money)


def _said_service(service: Service, rig: Rig) -> str:
    its = rig.supply(service.supply) if any(s.name == service.supply for s in rig.supplies) else None
    word = rig.say(service.supply)
    if service.exchange:
        return f"{word} exchange {_money(service.price, rig)}"
    if service.price and its is not None:
        unit = rig.scale if its.name == PROPANE else its.unit
        whole = 1.0 / shown(1.0, unit, its.measure, its.density)
        return f"{word} {_money(service.price * whole, rig)}/{unit}"
    return f"{word} {_money(service.fee, rig)}" if service.fee else word


def _price(text: str, per: str, rig: Rig) -> float:
    value: float = parse_money(text, rig.currency) / 10 ** minor_digits(rig.currency)
    return value / KM_PER_MILE if per in ("mile", "mi") else value


def _kg(text: str) -> float:
    value, _, unit = text.rpartition(" ")
    named = unit_named(unit)
    if named not in MASS:
        raise Refusal(f"'{text}' is not a weight: say carry 400 lb or carry 180 kg.")
    return number(value) * MASS[named]


def _at_most(value: float, most: float, what: str) -> float:
    if value > most:
        raise Refusal(f"{value:g} {what} are too many: at most {most:g}.")
    return value


def _money(value: float, rig: Rig) -> str:
    digits = minor_digits(rig.currency)
    return f"{SIGNS.get(rig.currency, '')}{value:.{digits}f}"


def _count(number_: int, noun: str) -> str:
    return f"{number_} {noun}{'' if number_ == 1 else 's'}"
