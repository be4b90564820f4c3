"""What a reader gathers from one file: places, lines, and a sentence for each thing left out."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from vanlife_supply.place.model import OSM_LICENCE, OWN, Place, Point, Track, names_object, place_id

PROBLEMS_TOLD = 20
"""So many problems are told one by one; the rest is counted."""

_HARMFUL = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ud800-\udfff]"
)
_NUMBER = re.compile(r"\s*[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?\s*")


@dataclass(frozen=True, slots=True)
class Read:
    """What a file held. `problems` are sentences about what was left out or doubtful; `form` names the format."""

    form: str
    places: tuple[Place, ...]
    tracks: tuple[Track, ...]
    problems: tuple[str, ...]
    licence: str = ""


@dataclass(slots=True)
class Finds:
    """Collects the finds of one file under its `source` name; `read()` gives the result."""

    form: str
    source: str
    licence: str = ""
    places: list[Place] = field(default_factory=list)
    tracks: list[Track] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    untold: int = 0

    def problem(self, sentence: str) -> None:
        """Note a sentence; beyond `PROBLEMS_TOLD` only their number is kept."""
        if len(self.problems) < PROBLEMS_TOLD:
            self.problems.append(clean_line(sentence))
        else:
            self.untold += 1

    def place(
        self,
        what: str,
        spot: Point | str,
        tags: Mapping[str, str],
        ref: str = "",
        *,
        note: str = "",
        origin: str = "",
        licence: str = "",
    ) -> None:
        """Keep a place, or note why not: `spot` is its point or the part of a sentence that says what is wrong.

        `what` names it in problems; `note`, `origin` (its source) and `licence` come from an export of ours.
        """
        tidy = {clean_line(key): clean(value) for key, value in tags.items() if clean_line(key)}
        name = clean_line(tidy.get("name", "")) or None
        if isinstance(spot, str):
            self.problem(f"{what}{f' ({name})' if name else ''} is left out: {spot}.")
            return
        licence = licence or ("" if origin == OWN else self.licence)
        if not licence and names_object(ref):
            licence = OSM_LICENCE
        self.places.append(
            Place(
                place_id(ref, name, *spot),
                name,
                *spot,
                tags=tidy,
                note=clean(note),
                source=clean_line(origin) or self.source,
                source_ref=ref,
                licence=clean_line(licence),
            )
        )

    def line(
        self,
        what: str,
        name: str,
        kind: Literal["track", "route"],
        spots: Sequence[Point | str],
        names: Sequence[str] = (),
    ) -> None:
        """Keep a line of the good points among `spots`, and count the bad ones with the first reason."""
        good = [index for index, spot in enumerate(spots) if not isinstance(spot, str)]
        reasons = [spot for spot in spots if isinstance(spot, str)]
        if reasons:
            self.problem(f"{what}: {len(reasons)} of {len(spots)} points left out, the first because {reasons[0]}.")
        if len(good) < 2:
            self.problem(f"{what} is left out: it has fewer than two good points.")
            return
        points = tuple(spot for spot in spots if not isinstance(spot, str))
        kept = tuple(clean_line(names[index]) for index in good) if any(names) else ()
        self.tracks.append(Track(clean_line(name), kind, points, kept))

    def read(self) -> Read:
        """The result; a file with nothing in it has that as its problem."""
        if not self.places and not self.tracks:
            self.problem("The file holds no places and no lines that can be used.")
        more = (f"{self.untold} more like these are not listed.",) if self.untold else ()
        return Read(self.form, tuple(self.places), tuple(self.tracks), (*self.problems, *more), self.licence)


def clean(text: str) -> str:
    """`text` without control characters, direction marks and broken halves; line ends become \\n."""
    unified = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\u2029", "\n")
    return _HARMFUL.sub("", unified).strip()


def clean_line(text: str) -> str:
    """`clean` on one line, blanks squeezed."""
    return " ".join(clean(text).split())


def spot(lat: object, lon: object) -> Point | str:
    """The point of two raw values, or the reason (part of a sentence) why they are none.

    Texts must be plain decimal numbers; 0,0 is what some exports write for "unknown".
    """
    if lat is None or lon is None:
        return "its latitude or longitude is missing"
    north, east = _degrees(lat), _degrees(lon)
    if north is None or east is None:
        return f"its position {_brief(lat)}, {_brief(lon)} is not a pair of decimal numbers"
    if abs(north) > 90 and abs(east) <= 90:
        return f"latitude {north:g} is beyond 90; latitude and longitude look exchanged"
    if abs(north) > 90 or abs(east) > 180:
        return f"{north:g}, {east:g} is not on the globe"
    if north == 0 and east == 0:
        return "0,0 is what some exports write for an unknown position"
    return north, east


def _degrees(value: object) -> float | None:
    if isinstance(value, str) and not _NUMBER.fullmatch(value):
        return None
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        return None
    try:
        number = float(value)
    except (ValueError, OverflowError):
        return None
    return number if math.isfinite(number) else None


def _brief(value: object) -> str:
    try:
        text = clean_line(str(value))
    except ValueError:  # an integer of thousands of digits
        return "a huge number"
    return f"'{text[:20]}'"


def middle(points: Sequence[Point]) -> Point | str:
    """The middle of the box around `points` (as map services give an area's centre), also across 180°."""
    if not points:
        return "none of its points is known"
    first = points[0][1]
    easts = [first + (east - first + 180) % 360 - 180 for _, east in points]
    norths = [north for north, _ in points]
    east = (min(easts) + max(easts)) / 2
    if not -180 <= east <= 180:
        east = (east + 180) % 360 - 180
    return (min(norths) + max(norths)) / 2, east
