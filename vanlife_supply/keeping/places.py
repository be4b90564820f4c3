"""What a person did about places: added, brought in, confirmed, was there. Each is one act that undo takes back.

The only part of `keeping` that knows places; logging commands do not import it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from vanlife_supply.entry.build import place_called
from vanlife_supply.keeping.acts import begun
from vanlife_supply.logbook import Logbook, places
from vanlife_supply.logbook.places import Changes, Finding, Whereabouts
from vanlife_supply.moment import Moment
from vanlife_supply.place.merge import merge
from vanlife_supply.place.model import OWN, Confirmation, Place, What, place_id
from vanlife_supply.place.readers import Read
from vanlife_supply.place.readers.found import clean, clean_line, spot
from vanlife_supply.place.stay import read_rules
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import SPOKEN

LONGEST_NAME = 120
LONGEST_NOTE = 2000

_TOILET = ("toilet", "toilets", "toilet waste", "black", "black water", "cassette")
_WHATS: dict[str, What] = {
    "fresh": "fresh", "grey": "grey", "propane": "propane", "stove_fuel": "stove_fuel", "toilet": "toilet",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """What an import did, in numbers."""

    added: int
    updated: int
    unchanged: int
    tracks: int


def is_what(words: str) -> bool:
    """Whether the words name something a place gives or takes."""
    return _what(words) is not None


def what_named(word: str) -> What:
    """What a typed word means: water, gray, toilet, propane, alcohol and their other names. Refusal with the nearest."""
    plain, found = " ".join(word.lower().split()), _what(word)
    if found is None:
        near = nearest(plain, [*SPOKEN, *_TOILET])
        raise Refusal(f"'{word}' is nothing a place gives or takes{near}: say water, gray, toilet, propane or alcohol.")
    return found


def _what(words: str) -> What | None:
    plain = " ".join(words.lower().split())
    return _WHATS.get("toilet" if plain in _TOILET else SPOKEN.get(plain, ""))


def own_place(name: str, lat: str, lon: str, note: str) -> Place:
    """A place as the person typed it; `lat` and `lon` are decimal degrees, or both empty."""
    plain = place_called(clean_line(name)[: LONGEST_NAME + 1])
    if not plain:
        raise Refusal("A place needs a name, like Spring at the pass.")
    if len(plain) > LONGEST_NAME or len(note) > LONGEST_NOTE:
        raise Refusal(f"That is too long: a name has at most {LONGEST_NAME} characters, a note {LONGEST_NOTE}.")
    if bool(lat) != bool(lon):
        raise Refusal("One coordinate is missing: say both --lat and --lon, or neither.")
    if not lat:
        return Place(place_id("", plain, None, None), plain, note=clean(note))
    point = spot(lat, lon)
    if isinstance(point, str):
        raise Refusal(f"{plain} cannot be kept: {point}; write them like --lat 38.57 --lon -109.55.")
    return Place(place_id("", plain, *point), plain, *point, note=clean(note))


def spot_named(text: str) -> Place | None:
    """`47.16, 9.51` as a place called so, None for any other words."""
    north, comma, east = (part.strip() for part in text.partition(","))
    point = spot(north, east) if comma else ""
    return None if isinstance(point, str) else own_place(f"{north},{east}", north, east, "")


def add(book: Logbook, place: Place, gives: Iterable[What], now: Moment) -> tuple[Place, bool]:
    """Keep a place and what it gives → the place as kept, and whether it is new.

    An own place of that name without coordinates, or on the same spot, is brought up to date. Refusal where it is
    there already and nothing new is said.
    """
    old = next((known for known in places.places(book) if _same(known, place)), None)
    kept = place if old is None else _brought_up(old, place)
    said = [Finding(kept.id, Confirmation(what, "yes", now.epoch)) for what in dict.fromkeys(gives)]
    if kept == old and not said:
        raise Refusal(f"{place.name} is there already: 'place show' tells about it, 'place confirm' notes what it gives.")
    _record(book, Changes([kept] if kept != old else [], said), now)
    return kept, old is None


def take_in(book: Logbook, read: Read, now: Moment) -> BroughtIn:
    """Keep what a map file held: places met again are brought up to date, and so are lines."""
    known = places.places(book)
    merged = merge(known, read.places)
    by_id = {place.id: place for place in merged.places}
    lines = {places.track_id(line): line for line in places.tracks(book)}
    fresh = [line for line in read.tracks if lines.get(places.track_id(line)) != line]
    changed = [by_id[id_] for id_ in (*merged.added, *merged.updated)]
    if changed or fresh:
        _record(book, Changes(changed, tracks=fresh), now)
    return BroughtIn(len(merged.added), len(merged.updated), len(merged.unchanged), len(read.tracks))


def confirm(book: Logbook, place: Place, said: Sequence[Confirmation], now: Moment, paid: int | None = None) -> None:
    """Keep what the person found at a place; one known from entries alone becomes a place of its own."""
    tidy = [replace(one, remark=clean_line(one.remark)) for one in said]
    if any(len(one.remark) > LONGEST_NOTE for one in tidy):
        raise Refusal(f"That note is too long: it may have {LONGEST_NOTE} characters.")
    _record(book, Changes(_unkept(book, place), [Finding(place.id, one, paid) for one in tidy]), now)


def be_at(book: Logbook, place: Place, when: Moment, odometer_km: float | None, now: Moment) -> None:
    """Keep where the person is, and the odometer if they read it."""
    _record(book, Changes(_unkept(book, place), whereabouts=Whereabouts(place.id, when.epoch, odometer_km)), now)


def leave(book: Logbook, when: Moment, now: Moment) -> None:
    """Keep that the person is on the road again: the clock of the place they stayed at stops."""
    _record(book, Changes(whereabouts=Whereabouts("", when.epoch)), now)


def limit_stay(book: Logbook, place: Place, said: str, now: Moment) -> None:
    """Keep how long one may stay at a place, as typed; "" takes the limit away. Refusal when it is not understood."""
    if said:
        read_rules(said)
    elif place.id not in places.stay_rules(book):
        raise Refusal(f"{place.name or 'That place'} has no stay limit to drop.")
    _record(book, Changes(_unkept(book, place), stay_rules={place.id: clean_line(said)}), now)


def _unkept(book: Logbook, place: Place) -> list[Place]:
    return [] if places.is_kept(book, place.id) else [place]


def _same(known: Place, new: Place) -> bool:
    if known.source != OWN or (known.name or "").casefold() != (new.name or "").casefold():
        return False
    return known.point is None or new.point is None or not merge([known], [new]).added


def _brought_up(old: Place, new: Place) -> Place:
    lat, lon = new.point or (old.lat, old.lon)
    return replace(old, lat=lat, lon=lon, note=new.note or old.note)


def _record(book: Logbook, changes: Changes, now: Moment) -> None:
    places.record_places(book, begun(book, now)[0], changes)
