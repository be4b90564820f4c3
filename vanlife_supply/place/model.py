"""What a place is: a point, its map tags kept as they are, and what the person found there."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Word = Literal["yes", "no", "ask"]
What = Literal["fresh", "grey", "toilet", "propane", "stove_fuel"]
WHATS: tuple[What, ...] = ("fresh", "grey", "toilet", "propane", "stove_fuel")
"""What may be had at a place, or left there."""

Point = tuple[float, float]
"""Latitude and longitude, degrees, WGS 84."""

OSM_LICENCE = "© OpenStreetMap contributors, ODbL 1.0"
OWN = "me"
"""The `source` of a place the person made, and the `by` of what the person found out."""

_OSM_REF = re.compile(r"(?:node|way|relation)/-?[0-9]{1,19}")


@dataclass(frozen=True, slots=True)
class Place:
    """A place. `lat`, `lon` in degrees or both None ("here", without coordinates).

    `note` is the person's own; `source` names the file, or is `OWN`; `source_ref` is an id in that source
    such as "node/123"; `licence` is the attribution that must go along when the place is handed on.
    """

    id: str
    name: str | None
    lat: float | None = None
    lon: float | None = None
    tags: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    source: str = OWN
    source_ref: str = ""
    licence: str = ""

    @property
    def point(self) -> Point | None:
        """Where it is, if that is known."""
        return None if self.lat is None or self.lon is None else (self.lat, self.lon)


@dataclass(frozen=True, slots=True)
class Confirmation:
    """What somebody found at a place: `what` is had or taken there, or not.

    `on` is the instant (seconds UTC); `by` is "import" for what came out of a file, any other word is a person.
    """

    what: What
    answer: Literal["yes", "no"]
    on: float
    by: str = OWN
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Track:
    """A line from a file: `kind` is "track" (dense, driven or planned) or "route" (a few turning points).

    `names` has one text for each point of a route, else it is empty.
    """

    name: str
    kind: Literal["track", "route"]
    points: tuple[Point, ...]
    names: tuple[str, ...] = ()


def place_id(source_ref: str, name: str | None, lat: float | None, lon: float | None) -> str:
    """The id of a place from what it is, so that reading a file twice gives the same ids."""
    what = source_ref if names_object(source_ref) else f"{name or ''}|{lat}|{lon}"
    return hashlib.sha256(what.encode("utf-8", "replace")).hexdigest()[:20]


def is_osm_ref(text: str) -> bool:
    """True for the form `node/123`, `way/5`, `relation/-7`."""
    return _OSM_REF.fullmatch(text) is not None


def names_object(ref: str) -> bool:
    """True if an OSM reference means the same object everywhere; negative ids are only good inside one file."""
    return is_osm_ref(ref) and "/-" not in ref
