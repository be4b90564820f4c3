"""Trips kept in the log: load, list, show, and a place that did not work."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.commands.plan import place_of_trip
from vanlife_supply.commands.plan import run as plan
from vanlife_supply.commands.whole import read_text
from vanlife_supply.keeping.trips import load_trip, say_place, trip_named
from vanlife_supply.logbook.trips import closed_places, trips
from vanlife_supply.trip.load import load
from vanlife_supply.wording.trips import listed, nights_told, place_name


def trip(argv: list[str], db: str | None) -> int:
    """`trip load | list | show | closed`."""
    usage_if(not argv or argv[0] not in _DEEDS, "trip", "say load, list, show or closed")
    return _DEEDS[argv[0]](argv[1:], db)


def _load(argv: list[str], db: str | None) -> int:
    args = parse("trip", argv, ("--name",))
    usage_if(len(args.words) != 1, "trip", "name one file")
    text = read_text(args.words[0])
    described = load(text)
    name = " ".join((args.value("--name") or described.name or Path(args.words[0]).stem).split())
    with open_log(db, create=True) as book:
        before = trips(book).get(name)
        load_trip(book, name, text, keeping.now_of(book))
    print(f"Loaded: {listed(name, described)}.")
    if before is not None:
        print(f"It replaces the trip of that name ({nights_told(load(before))}); 'undo' brings that one back.")
    return 0


def _list(argv: list[str], db: str | None) -> int:
    args = parse("trip", argv)
    usage_if(bool(args.words), "trip", f"'{' '.join(args.words)}' does not belong after list")
    with open_log(db) as book:
        known = trips(book)
    for name, toml in known.items():
        print(listed(name, load(toml)))
    if not known:
        narrate("No trip is loaded yet: trip load FILE")
    return 0


def _show(argv: list[str], db: str | None) -> int:
    args = parse("trip", argv)
    usage_if(not args.words, "trip", "say which trip")
    with open_log(db) as book:
        name, toml = trip_named(book, " ".join(args.words))
        closed = closed_places(book, name)
    print(toml, end="" if toml.endswith("\n") else "\n")
    if closed:
        narrate(f"Did not work, and are left out: {', '.join(sorted(closed))}.")
    return 0


def _closed(argv: list[str], db: str | None) -> int:
    """A place did not work: it is left out, and the trip is planned anew at once."""
    args = parse("trip", argv, (), ("--open",))
    usage_if(len(args.words) != 2, "trip", "say the trip and its place, each in quotes if it has blanks")
    works = args.flag("--open")
    with open_log(db) as book:
        name, toml = trip_named(book, args.words[0])
        described = load(toml)
        place = place_of_trip(described, args.words[1])
        say_place(book, name, place, keeping.now_of(book), works=works)
    print(f"Noted: {place_name(described, place)} {'counts again' if works else 'did not work'}.\n")
    return plan([name], db)


_DEEDS: dict[str, Callable[[list[str], str | None], int]] = {"load": _load, "list": _list, "show": _show, "closed": _closed}
