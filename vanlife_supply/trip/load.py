"""trip.toml (schema 1) → Trip. Anything unknown, missing or impossible is refused in one sentence that names its place."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from vanlife_supply.moment import WEEKDAYS
from vanlife_supply.place.model import Point
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.trip.model import DEFAULT_CONFIDENCE, KNOWN_SUPPLIES, Costs, Place, Service, Stay, Supply, Trip
from vanlife_supply.trip.table import Table, as_date

MOST_NIGHTS = 730
"""Two years: a trip beyond that is a slip of the keyboard, or many trips."""
_OVERFULL = 1.25
FLEXIBLE = "flexible"
MOST_PEOPLE = 20.0
_PLAIN = ("start", "mean", "reserve", "start_sd", "cv", "cv_rate", "end_reserve", "end_value")
_SAFE_YEARS = (1900, 9000)
_LEAP_YEAR = 2024


def load(text: str) -> Trip:
    """The trip a file describes; Refusal if it cannot be one."""
    top = Table(_parsed(text), "trip.toml")
    if top.whole("schema", 0, 1_000_000) != 1:
        raise top.refuse("schema", "this version reads schema 1")
    head = top.table("trip", "[trip]")
    use = head.choice("use", ("assume", "log"), "log")
    named = head.share("confidence", DEFAULT_CONFIDENCE) if "confidence" in head else None
    stays = tuple(_stay(table) for table in top.tables("stay", "[[stay]]"))
    assumptions = _by_name(top, "assume")
    trip = Trip(
        start=head.day("start"),
        name=head.text("name"),
        use=use,
        confidence=named,
        costs=_costs(top.table("costs", "[costs]")),
        supplies=tuple(supply(t, name, named or DEFAULT_CONFIDENCE) for name, t in assumptions) if use == "assume" else (),
        overrides={} if use == "assume" else {name: _numbers(table) for name, table in assumptions},
        stays=stays,
        places=tuple(_place(table, len(stays)) for table in top.tables("place", "[[place]]")),
        payload=head.positive("payload") if "payload" in head else None,
    )
    head.know("confidence", "payload")
    head.close()
    top.close()
    _check_whole(trip, [name for name, _ in assumptions])
    return trip


def complete(trip: Trip, supplies: Iterable[Supply]) -> Trip:
    """A `use = "log"` trip with what rig and log say of its supplies; the numbers its file sets go before."""
    named = {} if trip.confidence is None else {"confidence": trip.confidence}
    own: Mapping[str, dict[str, Any]] = {name: dict(numbers) for name, numbers in trip.overrides.items()}
    whole = replace(trip, supplies=tuple(replace(s, **(named | own.get(s.name, {}))) for s in supplies))
    _check_units(whole)
    return whole


def supply(table: Table, name: str, confidence: float) -> Supply:
    """One [assume.X] table, complete; `confidence` holds where the table names none."""
    usable = table.positive("usable")
    found = Supply(
        name,
        usable,
        start=table.number("start", None, most=_OVERFULL * usable),
        mean=table.number("mean", None),
        reserve=table.number("reserve", most=usable),
        start_sd=table.number("start_sd"),
        cv=table.number("cv", most=10.0),
        cv_rate=table.number("cv_rate", most=10.0),
        confidence=table.share("confidence", confidence),
        end_reserve=table.number("end_reserve", most=usable) if "end_reserve" in table else None,
        end_value=table.number("end_value"),
        unit=table.positive("unit") if "unit" in table else None,
        fills=name == "grey",
    )
    table.know("end_reserve", "unit")
    table.close()
    return found


def _parsed(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise Refusal(f"trip.toml is not valid TOML: {str(error).rstrip('.')}.") from None


def _by_name(top: Table, key: str) -> list[tuple[str, Table]]:
    """The [assume.X] tables; a name that nearly is a known one is a slip."""
    group = top.table(key, f"[{key}]")
    found = []
    for name in group.names():
        _check_supply_name(name, f"[{key}.{name}]", KNOWN_SUPPLIES)
        found.append((name, group.table(name, f"[{key}.{name}]")))
    return found


def _check_supply_name(name: str, where: str, known: tuple[str, ...]) -> None:
    hint = nearest(name, list(known))
    if name not in known and (hint or not name.isprintable() or not name):
        raise Refusal(f"{where}: '{ascii(name)[1:-1]}' is no supply{hint}.")


def _numbers(table: Table) -> dict[str, float]:
    """The single numbers an [assume.X] table overrides when the rest comes from rig and log."""
    found = {key: table.number(key) for key in _PLAIN if key in table}
    found |= {key: table.positive(key) for key in ("usable", "unit") if key in table}
    if "confidence" in table:
        found["confidence"] = table.share("confidence", DEFAULT_CONFIDENCE)
    table.know(*_PLAIN, "usable", "unit", "confidence")
    table.close()
    return found


def _costs(table: Table) -> Costs:
    costs = Costs(table.number("per_km"), table.number("stop"), table.number("per_hour"))
    table.close()
    return costs


def _stay(table: Table) -> Stay:
    nights, flexible = _nights(table)
    factors = table.table("factor", f"{table.where}: factor")
    factor = {}
    for name in factors.names():
        _check_supply_name(name, factors.where, KNOWN_SUPPLIES)
        factor[name] = factors.number(name, most=1000.0)
    stay = Stay(
        nights,
        table.number("km") if "km" in table else None,
        factor,
        flexible,
        people=table.number("people", most=MOST_PEOPLE) if "people" in table else None,
        conditions=_words(table, "conditions"),
        name=table.text("name"),
        point=_point(table),
    )
    table.know("people", "km")
    table.close()
    return stay


def _nights(table: Table) -> tuple[int, tuple[int, int] | None]:
    """A number of nights, or "flexible" from min to max, or to the stay limit of the spot."""
    if not table.says("nights", FLEXIBLE):
        return table.whole("nights", 0, MOST_NIGHTS), None
    least = table.whole("min", 0, MOST_NIGHTS) if "min" in table else 1
    if "max" not in table and "limit" not in table:
        raise table.refuse("nights", "add max = ... or limit = ..., the most nights it may be")
    most = min(table.whole(key, least, MOST_NIGHTS) for key in ("max", "limit") if key in table)
    table.know("nights", "min", "max", "limit")
    return least, (least, most)


def _words(table: Table, key: str) -> tuple[str, ...] | None:
    words = table.sequence(key)
    if words is None:
        return None
    for word in words:
        if not isinstance(word, str) or not word.isprintable() or not word.strip():
            raise table.refuse(key, 'it must be a list of words like ["heater"]')
    return tuple(str(word).strip().lower() for word in words)


def _point(table: Table) -> Point | None:
    if "lat" not in table and "lon" not in table:
        table.know("lat", "lon")
        return None
    return table.number("lat", None, least=-90.0, most=90.0), table.number("lon", None, least=-180.0, most=180.0)


def _place(table: Table, stays: int) -> Place:
    name = table.text("id", None)
    table.where += f" ({name})"
    if ("leg" in table) == ("stay" in table):
        raise Refusal(f"{table.where} must say either leg = ... or stay = ..., one of the two.")
    leg = table.whole("leg", 1, stays + 1) if "leg" in table else None
    stay = table.whole("stay", 1, stays) if "stay" in table else None
    if leg is not None and "when" in table:
        raise Refusal(f"{table.where}: when belongs to a place at a stay; leave it out on a leg.")
    found = Place(
        name,
        leg,
        stay,
        when=table.choice("when", ("arrive", "depart", "any"), "any"),
        km=table.number("km"),
        detour_km=table.number("detour_km") if "detour_km" in table else None,
        stop=table.number("stop") if "stop" in table else None,
        hours=table.number("hours"),
        entry=table.number("entry"),
        open=_weekdays(table),
        season=_season(table),
        closed=_dates(table),
        services=tuple(_service(t) for t in table.tables("service", f"{table.where}: service")),
        name=table.text("name"),
        point=_point(table),
    )
    table.know("leg", "stay", "stop", "when", "detour_km")
    table.close()
    _check_once([service.supply for service in found.services], f"{table.where}: service of")
    return found


def _weekdays(table: Table) -> frozenset[int] | None:
    days = table.sequence("open")
    if days is None:
        return None
    for day in days:
        if day not in WEEKDAYS:
            hint = nearest(day[:3], list(WEEKDAYS)) if isinstance(day, str) else ""
            raise table.refuse("open", f"each day must be one of {', '.join(WEEKDAYS)}{hint}")
    return frozenset(WEEKDAYS.index(str(day)) for day in days)


def _season(table: Table) -> tuple[tuple[int, int], tuple[int, int]] | None:
    ends = table.sequence("season")
    if ends is None:
        return None
    found = [_month_day(end) for end in ends]
    if len(found) != 2 or found[0] is None or found[1] is None:
        raise table.refuse("season", 'it must be its first and last day, like ["05-15", "10-01"]')
    return found[0], found[1]


def _month_day(text: object) -> tuple[int, int] | None:
    if not isinstance(text, str) or len(text) != 5:
        return None
    day = as_date(f"{_LEAP_YEAR}-{text}")
    return None if day is None else (day.month, day.day)


def _dates(table: Table) -> frozenset[date]:
    found = [as_date(value) for value in table.sequence("closed") or []]
    if None in found:
        raise table.refuse("closed", 'each must be a date like "2026-07-04"')
    return frozenset(day for day in found if day is not None)


def _service(table: Table) -> Service:
    name = table.text("supply", None)
    table.where += f" ({name})"
    found = Service(
        name,
        exchange=table.choice("mode", ("refill", "exchange"), "refill") == "exchange",
        fee=table.number("fee"),
        price=table.number("price"),
        levels=_levels(table),
    )
    table.close()
    return found


def _levels(table: Table) -> tuple[float, ...]:
    if "to" in table and "levels" in table:
        raise Refusal(f"{table.where}: say to = ... or levels = [...], not both.")
    if (one := table.number("to", 1.0, most=1.0)) <= 0.0:
        raise table.refuse("to", "it must be above 0, up to 1")
    levels = table.sequence("levels")
    if levels is None:
        return (one,)
    shares = [x for x in levels if isinstance(x, int | float) and not isinstance(x, bool) and 0.0 < x <= 1.0]
    if not levels or len(set(shares)) != len(levels):
        raise table.refuse("levels", "it must be a list of different shares above 0, up to 1")
    return tuple(sorted(float(share) for share in shares))


def _check_whole(trip: Trip, assumed: list[str]) -> None:
    """What only the whole file can tell: ids, supplies named, exchange units, its length."""
    if not trip.stays:
        raise Refusal("trip.toml has no [[stay]]; add one with nights = ....")
    if trip.use == "assume" and not trip.supplies:
        raise Refusal('trip.toml says use = "assume" but has no [assume.X]; add one for each supply to plan.')
    nights = sum(stay.flexible[1] if stay.flexible else stay.nights for stay in trip.stays)
    if nights > MOST_NIGHTS:
        raise Refusal(f"trip.toml has {nights} nights in all; at most {MOST_NIGHTS} can be planned.")
    for k, stay in enumerate(trip.stays, start=1):
        if trip.use == "assume" and (stay.people is not None or stay.conditions is not None):
            raise Refusal(f"[[stay]] {k}: people and conditions need rig and log; write factor = {{ fresh = 1.5 }} instead.")
    if not _SAFE_YEARS[0] <= trip.start.year <= _SAFE_YEARS[1]:
        raise Refusal(f"[trip]: start is {trip.start}; it must be a date like 2026-05-04.")
    _check_once([place.id for place in trip.places], "[[place]] id")
    for place in trip.places:
        for service in place.services:
            where = f"[[place]] {place.id}: service"
            _check_supply_name(service.supply, where, (*KNOWN_SUPPLIES, *assumed))
    _check_units(trip)


def _check_units(trip: Trip) -> None:
    """Containers can only be counted where their contents are known."""
    unsized = {s.name for s in trip.supplies if s.unit is None}
    for place in trip.places:
        for service in place.services:
            if service.exchange and service.supply in unsized:
                raise Refusal(
                    f"[[place]] {place.id}: service exchanges {service.supply}, but [assume.{service.supply}] has no unit; "
                    "add unit = the contents of one container."
                )


def _check_once(names: list[str], what: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise Refusal(f"{what} '{name}' stands there twice; keep one.")
