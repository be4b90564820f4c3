"""Trips: the file of each as it was loaded, and which of its places turned out not to work.

Rows belong to acts: the newest of an act that stands counts, so that taking a load back brings back the one before.
"""

from __future__ import annotations

from contextlib import suppress

from vanlife_supply.logbook.book import Act, Logbook
from vanlife_supply.logbook.rows import STANDS
from vanlife_supply.refusal import Refusal

_KEPT = "plan of "


def record_trip(book: Logbook, act: Act, name: str, toml: str) -> None:
    """Write the act of loading a trip. On the disk when this returns."""
    with book._writing():
        book._insert_act(act)
        book._con.execute("INSERT INTO trip VALUES (?, ?, ?)", (act.id, name, toml))


def record_place(book: Logbook, act: Act, trip: str, place: str, *, works: bool) -> None:
    """Write that a place of a trip did not work, or does again."""
    with book._writing():
        book._insert_act(act)
        book._con.execute("INSERT INTO trip_place VALUES (?, ?, ?, ?)", (act.id, trip, place, works))


def trips(book: Logbook) -> dict[str, str]:
    """The file of every trip by name, the one loaded last at the end."""
    if not book.has("trip"):
        return {}
    found: dict[str, str] = {}
    for name, toml in book._read(f"SELECT name, toml FROM trip WHERE {STANDS}"):
        found.pop(name, None)
        found[name] = toml
    return found


def closed_places(book: Logbook, trip: str) -> frozenset[str]:
    """The places of a trip that do not work."""
    if not book.has("trip"):
        return frozenset()
    said = dict(book._read(f"SELECT place, works FROM trip_place WHERE trip = ? AND {STANDS}", trip))
    return frozenset(place for place, works in said.items() if not works)


def kept_plan(book: Logbook, trip: str) -> str | None:
    """What was written of the plan last shown for a trip."""
    return book.setting(_KEPT + trip)


def keep_plan(book: Logbook, trip: str, plan: str) -> None:
    """Keep the plan shown for a trip; where the log cannot be written now, it is simply not kept."""
    if book.writable and kept_plan(book, trip) != plan:
        with suppress(Refusal):
            book.set(_KEPT + trip, plan)
