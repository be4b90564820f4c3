"""Places, what was found there, where the person was, and driven lines: rows that belong to acts, like entries.

A place may have several rows: the newest of an act that stands counts, so that taking an import back brings back what
it changed.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from vanlife_supply.logbook import gate
from vanlife_supply.logbook.book import Act, Logbook
from vanlife_supply.logbook.rows import STANDS, Row
from vanlife_supply.place.model import Confirmation, Place, Track

_PLACE = "id, name, lat, lon, tags, note, source, source_ref, licence"


@dataclass(frozen=True, slots=True)
class Finding:
    """What was said of a place (its id); `paid` minor units of the rig's currency, None where nothing was said."""

    place: str
    said: Confirmation
    paid: int | None = None


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """The person was at a place (its id; "" on the road) at an instant (seconds UTC); the odometer then, km, if read."""

    place: str
    at: float
    odometer_km: float | None = None


@dataclass(frozen=True, slots=True)
class Changes:
    """What one act adds to the log's knowledge of places."""

    places: Sequence[Place] = ()
    findings: Sequence[Finding] = ()
    whereabouts: Whereabouts | None = None
    tracks: Sequence[Track] = ()
    stay_rules: Mapping[str, str] = field(default_factory=dict)
    """Place (its id) → how long one may stay there, as typed; "" takes the limit away."""


def record_places(book: Logbook, act: Act, changes: Changes) -> None:
    """Write one act with all it brings. On the disk when this returns."""
    with book._writing():
        book._insert_act(act)
        rows = [
            (act.id, p.id, p.name, p.lat, p.lon, json.dumps(dict(p.tags), ensure_ascii=False), p.note, p.source,
             p.source_ref, p.licence) for p in changes.places
        ]  # fmt: skip
        book._con.executemany(f"INSERT INTO place (act, {_PLACE}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)
        found = [
            (act.id, f.place, f.said.what, f.said.answer, f.said.on, f.said.by, f.said.remark, f.paid)
            for f in changes.findings
        ]
        book._con.executemany("INSERT INTO finding VALUES (?, ?, ?, ?, ?, ?, ?, ?)", found)
        if changes.whereabouts:
            here = changes.whereabouts
            row = (act.id, here.place, here.at, here.odometer_km)
            book._con.execute("INSERT INTO whereabouts VALUES (?, ?, ?, ?)", row)
        lines = [
            (act.id, track_id(t), t.name, t.kind, json.dumps(t.points), json.dumps(t.names, ensure_ascii=False))
            for t in changes.tracks
        ]
        book._con.executemany("INSERT OR REPLACE INTO track VALUES (?, ?, ?, ?, ?, ?)", lines)
        rules = [(act.id, place, said) for place, said in changes.stay_rules.items()]
        book._con.executemany("INSERT INTO stay_rule VALUES (?, ?, ?)", rules)


def track_id(track: Track) -> str:
    """What makes two lines the same: kind, name and where they start; importing one again brings it up to date."""
    north, east = track.points[0]
    return f"{track.kind}|{track.name}|{north:.4f}|{east:.4f}"


def places(book: Logbook, only: Collection[str] | None = None) -> list[Place]:
    """Every place that stands, or those of the ids, in the order they came."""
    named = "" if only is None else f"id IN ({', '.join('?' for _ in only)}) AND "
    rows = _rows(book, f"SELECT {_PLACE} FROM place WHERE {named}{STANDS}, rowid", *(only or ()))
    newest = {row[0]: row for row in rows}
    # One text for all of them is read far sooner than a thousand small ones.
    tags = _decoded(book, f"[{','.join(row[4] for row in newest.values())}]")
    if len(tags) != len(newest):
        raise gate.damaged(book.path)
    return [
        Place(id_, name, lat, lon, its, *rest)
        for (id_, name, lat, lon, _, *rest), its in zip(newest.values(), tags, strict=True)
    ]


def is_kept(book: Logbook, place: str) -> bool:
    """Whether a place of that id stands."""
    return bool(_rows(book, f"SELECT 1 FROM place WHERE id = ? AND {STANDS} LIMIT 1", place))


def findings(book: Logbook, until: float) -> list[Finding]:
    """What was found out up to then (seconds UTC), as it was written down."""
    columns = "place, what, answer, epoch, by_whom, remark, paid"
    rows = _rows(book, f"SELECT {columns} FROM finding WHERE epoch <= ? AND {STANDS}, rowid", until)
    return [Finding(place, Confirmation(*said), paid) for place, *said, paid in rows]


def whereabouts(book: Logbook, until: float) -> list[Whereabouts]:
    """Where the person said to be, up to then, the newest last."""
    rows = _rows(book, f"SELECT place, epoch, odometer_km FROM whereabouts WHERE epoch <= ? AND {STANDS}", until)
    return sorted((Whereabouts(*row) for row in rows), key=lambda one: one.at)


def stay_rules(book: Logbook) -> dict[str, str]:
    """Place → how long one may stay there, as typed."""
    found = dict(book._read(f"SELECT place, said FROM stay_rule WHERE {STANDS}") if book.has("stay_rule") else [])
    return {place: said for place, said in found.items() if said}


def tracks(book: Logbook) -> list[Track]:
    """Every line that stands."""
    found: dict[str, Track] = {}
    for id_, name, kind, points, names in _rows(book, f"SELECT id, name, kind, points, names FROM track WHERE {STANDS}"):
        line = tuple((north, east) for north, east in _decoded(book, points))
        found[id_] = Track(name, kind, line, tuple(_decoded(book, names)))
    return list(found.values())


def _rows(book: Logbook, sql: str, *values: Any) -> list[Row]:
    """What the tables of places hold; nothing where an older log has none of them."""
    return book._read(sql, *values) if book.has("place") else []


def _decoded(book: Logbook, text: str) -> Any:
    try:
        return json.loads(text)
    except (TypeError, ValueError):
        raise gate.damaged(book.path) from None


def changes_of_undone(book: Logbook) -> tuple[dict[str, int], list[str]]:
    """The act the last one took or brought back: its rows by kind, and the places and trips they are about by name."""
    tables = ("place", "finding", "whereabouts", "track", "trip", "trip_place", "stay_rule", "temperature")
    last = "(SELECT target FROM act WHERE id = ?1)"
    named = f"""SELECT name FROM place WHERE id IN (SELECT id FROM place WHERE act = {last}
        UNION SELECT place FROM finding WHERE act = {last} UNION SELECT place FROM whereabouts WHERE act = {last}
        UNION SELECT place FROM stay_rule WHERE act = {last})
        UNION SELECT name FROM trip WHERE act = {last} UNION SELECT trip FROM trip_place WHERE act = {last}"""
    act = book.last_act_id()
    counts = {table: book._read(f"SELECT count(*) FROM {table} WHERE act = {last}", act)[0][0] for table in tables}
    return counts, [row[0] for row in book._read(named, act)]
