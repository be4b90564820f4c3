"""A second import updates what is there and never doubles it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from vanlife_supply.place.distance import great_circle_km
from vanlife_supply.place.model import OWN, Place, names_object

SAME_NAME_KM = 0.030
"""Two places of one name this near each other are one place."""
SAME_SPOT_KM = 0.001
"""Nameless places without an id are one place only on the same spot: two nameless taps may stand side by side."""


_NOWHERE = 1_000_000


@dataclass(frozen=True, slots=True)
class Merged:
    """All places after an import, in order, and the ids of those added, changed and met again unchanged."""

    places: tuple[Place, ...]
    added: tuple[str, ...]
    updated: tuple[str, ...]
    unchanged: tuple[str, ...]


def merge(known: Iterable[Place], incoming: Iterable[Place]) -> Merged:
    """`known` with `incoming` taken up.

    Same place: the same OSM id, else the same name within 30 m (nameless: the same spot). A known place keeps its id,
    the person's note and everything else the person made; an import's own data is brought up to date.
    """
    shelf = _Shelf()
    for place in known:
        shelf.put(place)
    added: dict[str, None] = {}
    updated: dict[str, None] = {}
    met: dict[str, None] = {}
    for new in incoming:
        old = shelf.match(new)
        if old is None:
            kept = shelf.put(replace(new, id=shelf.free_id(new.id)))
            added[kept.id] = None
            shelf.taken.add(kept.id)
            continue
        current = _brought_up(old, new)
        shelf.put(current)
        shelf.taken.add(old.id)
        if old.id not in added:
            (met if current == old else updated)[old.id] = None
    unchanged = tuple(key for key in met if key not in updated)
    return Merged(tuple(shelf.by_id.values()), tuple(added), tuple(updated), unchanged)


def _brought_up(old: Place, new: Place) -> Place:
    """The known place with what the import knows now."""
    ref = new.source_ref if names_object(new.source_ref) else old.source_ref or new.source_ref
    if old.source == OWN:
        tags = {**new.tags, **old.tags}
        return replace(old, tags=tags, source_ref=ref, licence=old.licence or new.licence)
    if names_object(old.source_ref) and not names_object(new.source_ref):
        # A plain copy (a GPX of it, say) knows less than the map data it met.
        return replace(old, tags={**new.tags, **old.tags}, note=old.note or new.note)
    return replace(new, id=old.id, note=old.note or new.note, source_ref=ref, name=new.name or old.name)


class _Shelf:
    """Places by id, by OSM id and by name, each in the order they came; `taken` have met one of this import already."""

    def __init__(self) -> None:
        self.by_id: dict[str, Place] = {}
        self.taken: set[str] = set()
        self._by_ref: dict[str, str] = {}
        self._by_name: defaultdict[tuple[str, int], dict[str, None]] = defaultdict(dict)

    def put(self, place: Place) -> Place:
        self.by_id[place.id] = place
        if names_object(place.source_ref):
            self._by_ref.setdefault(place.source_ref, place.id)
        self._by_name[_name(place), _band(place)][place.id] = None
        return place

    def free_id(self, wanted: str) -> str:
        """`wanted`, or with a number behind it if another place has that id."""
        number, free = 1, wanted
        while free in self.by_id:
            number, free = number + 1, f"{wanted}-{number + 1}"
        return free

    def match(self, new: Place) -> Place | None:
        """The known place that `new` is, if any."""
        if names_object(new.source_ref) and new.source_ref in self._by_ref:
            return self.by_id[self._by_ref[new.source_ref]]
        return min(self._near(new), key=lambda found: found[0], default=(0.0, None))[1]

    def _near(self, new: Place) -> Iterator[tuple[float, Place]]:
        name, band = _name(new), _band(new)
        for key in [key for near in (band - 1, band, band + 1) for key in self._by_name.get((name, near), ())]:
            old = self.by_id[key]
            if names_object(old.source_ref) and names_object(new.source_ref):
                continue  # two ids in one map are two places, whatever they are called
            if old.point is None or new.point is None:
                if old.point is None and new.point is None and new.name:
                    yield 0.0, old
                continue
            apart = great_circle_km(old.point, new.point)
            # Two of one name in one file are two places, unless they lie on the same spot.
            if apart <= (SAME_NAME_KM if new.name and key not in self.taken else SAME_SPOT_KM):
                yield apart, old


def _name(place: Place) -> str:
    return " ".join((place.name or "").casefold().split())


def _band(place: Place) -> int:
    """The band of latitude, 110 m high, a place lies in: same names are only looked for in the next ones."""
    return _NOWHERE if place.lat is None else round(place.lat * 1000)
