"""Everything the log knows of places as of a moment: what is had there, what it cost, where the person is.

A place's answers come from the person first (confirmed, or done there), then from the map.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook, places
from vanlife_supply.logbook.places import Finding
from vanlife_supply.moment import Moment
from vanlife_supply.place.answers import Answer, answer, glance
from vanlife_supply.place.conditions import fees, fits
from vanlife_supply.place.distance import (
    ON_THE_WAY_KM,
    Detour,
    Distance,
    Line,
    OdometerLeg,
    between,
    great_circle_km,
    lay,
    learn_detour,
    locate,
)
from vanlife_supply.place.model import OWN, WHATS, Confirmation, Place, Point, What, Word, place_id
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import Vehicle

_HERE_KM = 0.05
MOUNTAINS = "mountains"
"""The setting that makes roads longer against the straight line until the odometer has told."""


@dataclass(frozen=True, slots=True)
class Position:
    """Where the person was last, as they said it or noted something there, at an instant (seconds UTC)."""

    place: Place
    at: float


@dataclass(frozen=True, slots=True)
class Cost:
    """What it cost the person last time (minor units, when), and what the map says of fees."""

    paid: int | None = None
    on: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Atlas:
    """Everything known of places as of a moment."""

    places: tuple[Place, ...]
    found: dict[str, list[Confirmation]]
    visits: dict[str, list[Entry]]
    paid: dict[str, list[Finding]]
    position: Position | None
    lines: tuple[Line, ...]
    legs: tuple[OdometerLeg, ...]
    as_of: Moment
    vehicle: Vehicle
    detour: Detour

    def answer(self, place: Place, what: What) -> Answer:
        """Whether `what` may be had there."""
        return answer(place, what, self.found.get(place.id, ()), self.as_of.epoch)

    def glance(self, place: Place, what: What) -> Answer:
        """The same in a fraction of the time, without the map's own words: for looking through thousands."""
        return glance(place, what, self.found.get(place.id, ()), self.as_of.epoch)

    def answers(self, place: Place) -> dict[What, Answer]:
        """All of them."""
        return {what: self.answer(place, what) for what in WHATS}

    def find(self, name: str) -> Place:
        """The place a person means: its name, an id such as node/123, `lat,lon`, or part of a name only one has."""
        found = named(self.places, name)
        if len(found) > 1:
            listed = ", ".join(place.source_ref or _degrees(place) or place.id for place in found[:5])
            raise Refusal(f"'{name}' is the name of {len(found)} places: say which, by {listed}.")
        if not found:
            near = nearest(name, [place.name for place in self.places if place.name])
            raise Refusal(f"There is no place '{name}'{near}: 'place list' shows them, 'place add' makes one.")
        return found[0]

    def distance(self, start: Point, end: Point) -> Distance:
        """By road: along the person's own line, by the odometer, else the straight line with a range."""
        return between(start, end, line=_way(self.lines, start, end), legs=self.legs, detour=self.detour)

    def from_here(self, place: Place) -> Distance | None:
        """By road from where the person was last, None if one of the two is not known."""
        here = self.position.place if self.position else None
        if here is not None and here.id == place.id:
            return Distance(0, 0, 0, "you are there")
        if here is None or here.point is None or place.point is None:
            return None
        return self.distance(here.point, place.point)

    def fits(self, place: Place) -> tuple[Word, str]:
        """Whether the vehicle gets in, and why."""
        return fits(place.tags, self.vehicle)

    def cost(self, place: Place, what: What) -> Cost:
        """What it cost there last, and what the map says."""
        text = fees(place.tags, what)
        visits = [(e.at.epoch, e.paid) for e in self.visits.get(place.id, ()) if what_of(e) == what and e.paid is not None]
        told = [(f.said.on, f.paid) for f in self.paid.get(place.id, ()) if f.said.what == what and f.paid is not None]
        on, paid = max([*visits, *told], default=(None, None))
        return Cost(paid, on, text)


def atlas(book: Logbook, as_of: Moment) -> Atlas:
    """What the log knows of places as of a moment: a fill or dump noted at a place confirms it."""
    known = places.places(book)
    visited = [e for e in book.entries(until=as_of.epoch) if e.place and e.kind not in (m.PLANNED, m.LIMIT)]
    known, visits = _with_visits(known, visited)
    by_id = {place.id: place for place in known}
    found: dict[str, list[Confirmation]] = {}
    paid: dict[str, list[Finding]] = {}
    for finding in places.findings(book, as_of.epoch):
        found.setdefault(finding.place, []).append(finding.said)
        paid.setdefault(finding.place, []).append(finding)
    for id_, entries in visits.items():
        found.setdefault(id_, []).extend(_shown_by(e) for e in entries if what_of(e))
    being = [w for w in places.whereabouts(book, as_of.epoch) if w.place in by_id]
    stood = [(w.at, w.place) for w in being] + [(e.at.epoch, id_) for id_, entries in visits.items() for e in entries]
    at, where = max(stood, default=(0.0, ""))
    legs = tuple(_legs(being, by_id))
    return Atlas(
        tuple(known), found, visits, paid, Position(by_id[where], at) if where else None,
        tuple(lay(line.points) for line in places.tracks(book)), legs, as_of,
        next((a.rig.vehicle for a in reversed(book.arrangements())), Vehicle()),
        learn_detour(legs, mountains=book.setting(MOUNTAINS) == "on"),
    )  # fmt: skip


def what_of(entry: Entry) -> What | None:
    """What an entry shows may be had, or left, where it was noted."""
    what = what_of_supply(entry.supply)
    dumped = what in ("grey", "toilet")
    return what if entry.kind in ((m.DUMP,) if dumped else (m.FILL, m.EXCHANGE)) else None


def what_of_supply(supply: str) -> What | None:
    """What a place would give or take of a supply; an own supply that names a toilet is toilet waste."""
    if any(word in supply.lower() for word in ("toilet", "cassette", "black")):
        return "toilet"
    return next((what for what in WHATS if what == supply), None)


def _shown_by(entry: Entry) -> Confirmation:
    what = what_of(entry)
    assert what is not None
    deed = {m.DUMP: "dumped there", m.FILL: "filled there", m.EXCHANGE: "traded there"}[entry.kind]
    return Confirmation(what, "yes", entry.at.epoch, remark=deed)


def _with_visits(known: list[Place], entries: Iterable[Entry]) -> tuple[list[Place], dict[str, list[Entry]]]:
    """Entries by the place they name; a name that is no place's yet makes a place without coordinates."""
    visits: dict[str, list[Entry]] = {}
    met: dict[str, str] = {}
    ids = {place.id for place in known}
    for entry in entries:
        if entry.place not in met:
            same = named(known, entry.place, part=False)
            place = same[0] if len(same) == 1 else Place(place_id("", entry.place, None, None), entry.place)
            if place.id not in ids:
                ids.add(place.id)
                known = [*known, place]
            met[entry.place] = place.id
        visits.setdefault(met[entry.place], []).append(entry)
    return known, visits


def named(known: Iterable[Place], text: str, *, part: bool = True) -> list[Place]:
    """The places a text may mean: by name (the person's own first), by id, by position, with `part` by part of a name."""
    wanted = " ".join(text.casefold().split())
    everything = list(known)
    same = [p for p in everything if p.name and " ".join(p.name.casefold().split()) == wanted]
    own = [p for p in same if p.source == OWN]
    found = own or same or [p for p in everything if wanted in (p.source_ref, p.id)]
    if not found and "," in wanted:
        found = _at(everything, wanted)
    if found or not part or len(wanted) < 3:
        return found
    return [p for p in everything if p.name and wanted in p.name.casefold()]


def _at(known: Iterable[Place], text: str) -> list[Place]:
    from vanlife_supply.place.readers.found import spot  # readers of maps come with it

    north, _, east = text.partition(",")
    point = spot(north, east)
    if isinstance(point, str):
        return []
    within = [(km, p) for p in known if p.point and (km := great_circle_km(p.point, point)) <= _HERE_KM]
    return [min(within, key=lambda pair: pair[0])[1]] if within else []


def _degrees(place: Place) -> str:
    return f"{place.lat:.5f},{place.lon:.5f}" if place.point else ""


def _way(lines: Iterable[Line], start: Point, end: Point) -> Line | None:
    """The line both lie on, the one they lie nearest to."""
    off = [(locate(line, start).off_km, locate(line, end).off_km, i, line) for i, line in enumerate(lines)]
    on_it = [(a + b, i, line) for a, b, i, line in off if max(a, b) <= ON_THE_WAY_KM]
    return min(on_it, key=lambda found: found[:2])[2] if on_it else None


def _legs(being: Sequence[places.Whereabouts], by_id: dict[str, Place]) -> Iterable[OdometerLeg]:
    """What was driven between two readings of the odometer at places whose points are known."""
    for before, after in pairwise(one for one in being if one.odometer_km is not None):
        start, end = by_id[before.place].point, by_id[after.place].point
        km = (after.odometer_km or 0.0) - (before.odometer_km or 0.0)
        if start and end and km > 0:
            yield OdometerLeg(start, end, km)
