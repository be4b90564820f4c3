"""`plan TRIP`: the cheapest plan of a trip that is as sure as demanded, or the surest there is, said or written to files."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from vanlife_supply.commands.args import Args, parse, usage_if
from vanlife_supply.commands.whole import give_out, read_text
from vanlife_supply.entry import model as m
from vanlife_supply.refusal import NO_PLAN, Refusal, nearest
from vanlife_supply.trip.answer import Answer, answer
from vanlife_supply.trip.cures import breaks
from vanlife_supply.trip.load import load
from vanlife_supply.trip.model import Trip
from vanlife_supply.trip.report import as_object

if TYPE_CHECKING:
    from vanlife_supply.place.model import Place
    from vanlife_supply.rig.model import Rig
    from vanlife_supply.wording.trip_files import LookUp

_SEARCH_S = 20.0
_REASONS_S = 1.0
_OUT: dict[str, tuple[bytes, str]] = {
    # option: what such a file begins with, what it is called
    "--ics": (b"BEGIN:VCALENDAR", "calendar"),
    "--gpx": (b"<?xml", "map file"),
    "--csv": (b"date,place,", "table of a plan"),
}


@dataclass(frozen=True, slots=True)
class _Found:
    """An answer and what is said beside it; `rig` None: the trip has numbers of its own."""

    answer: Answer
    rig: Rig | None = None
    notes: tuple[str, ...] = ()


def run(argv: list[str], db: str | None) -> int:
    """Plan and say it; `plan dump sun` notes what is planned. Exit status 5 when no plan reaches the demanded confidence."""
    if argv[1:] and argv[0] in (m.DUMP, m.FILL):
        from vanlife_supply.commands.noting import say  # a plan from a file pays for no database

        return say(["plan", *argv], db)
    args = parse("plan", argv, (*_OUT, "--without"), ("--json",))
    usage_if(len(args.words) != 1, "plan", "name one trip")
    usage_if(sum(args.value(option) == "-" for option in _OUT) + args.flag("--json") > 1, "plan", "one thing at a time")
    found = _found(args, db)
    for note in found.notes:
        print(note, file=sys.stderr)
    wanted = [option for option in _OUT if args.flag(option)]
    for option in wanted:
        _write(option, args.value(option), found, db)
    if args.flag("--json"):
        told = found.answer
        print(json.dumps(as_object(told, breaks(told.trip, told.plan, told.laws_of)), ensure_ascii=False))
    elif not wanted:
        print("\n".join(_text(found)))
    return NO_PLAN if found.answer.plan.status == "infeasible" else 0


def _found(args: Args, db: str | None) -> _Found:
    """The plan of the file of that name, else of the loaded trip."""
    name, without = args.words[0], args.values("--without")
    if not _is_file(name):
        return _loaded(name, without, db)
    trip = _spared(load(read_text(name)), without)
    if trip.use == "assume":
        return _Found(answer(trip, out_of_time=_after(_SEARCH_S)))
    from vanlife_supply import keeping
    from vanlife_supply.commands.desk import open_log
    from vanlife_supply.travelling import plan_file

    with open_log(db) as book:
        done = plan_file(book, trip, keeping.now_of(book), _after(_SEARCH_S))
    return _Found(done.answer, done.rig, _notes(done.left_out, (), done.rig))


def _loaded(name: str, without: list[str], db: str | None) -> _Found:
    from vanlife_supply import keeping
    from vanlife_supply.commands.desk import open_log, place_of
    from vanlife_supply.keeping.trips import trip_named
    from vanlife_supply.logbook.gate import identify
    from vanlife_supply.travelling import plan_loaded

    if not identify(place_of(db)):
        raise Refusal(f"There is no file {name}, and no log with trips in it: check the name.")
    with open_log(db) as book:
        known, toml = trip_named(book, name)
        trip = load(toml)
        done = plan_loaded(book, known, trip, tuple(_spared_ids(trip, without)), keeping.now_of(book), _after(_SEARCH_S))
    return _Found(done.answer, done.rig, _notes(done.left_out, done.closed, done.rig))


def _notes(left_out: tuple[str, ...], closed: tuple[str, ...], rig: Rig | None) -> tuple[str, ...]:
    from vanlife_supply.wording.trip_reasons import unknown_line

    notes = []
    if left_out and rig is not None:
        notes.append(unknown_line(left_out, rig))
    if closed:
        notes.append(f"Left out, for it did not work: {', '.join(closed)} ('trip closed TRIP PLACE --open' brings it back).")
    return tuple(notes)


def _spared(trip: Trip, without: list[str]) -> Trip:
    spared = set(_spared_ids(trip, without))
    return replace(trip, places=tuple(place for place in trip.places if place.id not in spared))


def _spared_ids(trip: Trip, without: list[str]) -> list[str]:
    return [place_of_trip(trip, name) for name in without]


def place_of_trip(trip: Trip, name: str) -> str:
    """The id of the place of a trip a person means, by id or name. Refusal with the nearest."""
    plain = name.strip().casefold()
    for place in trip.places:
        if plain in (place.id.casefold(), place.name.casefold()):
            return place.id
    known = [word for place in trip.places for word in (place.id, place.name) if word]
    raise Refusal(f"The trip has no place '{name}'{nearest(name, known)}: say it as the trip's file has it.")


def _is_file(name: str) -> bool:
    try:
        return Path(name).is_file()
    except (OSError, ValueError):
        return False


def _after(seconds: float) -> Callable[[], bool]:
    deadline = monotonic() + seconds
    return lambda: monotonic() > deadline


def _text(found: _Found) -> list[str]:
    from vanlife_supply.trip.bands import expected
    from vanlife_supply.trip.reasons import reasons
    from vanlife_supply.wording.trip_reasons import why_lines
    from vanlife_supply.wording.trips import Voice, told

    its, voice = found.answer, Voice(found.rig)
    lines = told(its, expected(its.trip, its.plan, its.laws), voice)
    return [*lines, "", *why_lines(its, reasons(its, _after(_REASONS_S)), voice)]


def _write(option: str, name: str, found: _Found, db: str | None) -> None:
    from vanlife_supply.keeping import ids
    from vanlife_supply.trip.bands import expected
    from vanlife_supply.wording import trip_files
    from vanlife_supply.wording.trips import Voice

    told, voice = found.answer, Voice(found.rig)
    stops = expected(told.trip, told.plan, told.laws)
    if option == "--csv":
        text = trip_files.table(told, stops, voice)
    elif option == "--ics":
        text = trip_files.calendar(told, stops, voice, ids.now())
    else:
        text, lacking = trip_files.gpx(told, stops, voice, _points(db))
        if lacking:
            print(f"Not on the map, for want of coordinates: {', '.join(dict.fromkeys(lacking))}.", file=sys.stderr)
    first, what = _OUT[option]
    if give_out(name, text.encode("utf-8"), lambda head: head.startswith(first), what):
        print(f"Written to {name}.", file=sys.stderr)


def _points(db: str | None) -> LookUp:
    """Known places by name, where there is a log."""
    from vanlife_supply.commands.desk import open_log, place_of
    from vanlife_supply.logbook.gate import identify
    from vanlife_supply.logbook.places import places
    from vanlife_supply.wording.trip_files import finder

    known: list[Place] = []
    if identify(place_of(db)):
        with open_log(db) as book:
            known = places(book)
    return finder(known)
