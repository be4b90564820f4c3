"""A second import updates what is there and never doubles it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.place.samples import read_sample, steady
from vanlife_supply.place.merge import merge
from vanlife_supply.place.model import Place, place_id

ALL = [
    "osm/liechtenstein-2022.osm",
    "osm/synthetic-road.osm",
    "gpx/synthetic-road.gpx",
    "gpx/unicode.gpx",
    "gpx/gpx1.0_with_all_fields.gpx",
    "geojson/brazil-drinking-water-edge-cases.geojson",
    "geojson/helsinki-centre.geojson",
]


@pytest.mark.parametrize("name", ALL)
def test_importing_twice_changes_nothing(name: str) -> None:
    """The second import of a file adds nothing and changes nothing."""
    places = read_sample(name).places
    first = merge([], places)
    second = merge(first.places, places)
    assert len(first.places) == len(places) == len(first.added)
    assert second.places == first.places
    assert not second.added and not second.updated and len(second.unchanged) == len(places)


@pytest.mark.parametrize("second", ["osm/{}.overpass.json", "geojson/{}.geojson"])
def test_other_format_of_the_same_places(second: str) -> None:
    """The same extract in another format adds no place."""
    known = merge([], read_sample("osm/liechtenstein-2022.osm").places)
    again = merge(known.places, read_sample(second.format("liechtenstein-2022")).places)
    assert not again.added and len(again.places) == 79


def test_same_names_within_thirty_metres() -> None:
    """Files without ids meet by name: the invented road from five formats stays twenty places."""
    known: tuple[Place, ...] = ()
    for name in ("osm/{}.osm", "gpx/{}.gpx", "kml/{}.kml", "kml/{}.kmz", "geojson/{}.geojson"):
        known = merge(known, read_sample(name.format("synthetic-road")).places).places
    assert len(known) == 20


def _place(name: str | None, lat: float, ref: str = "", **more: object) -> Place:
    base = Place(place_id(ref, name, lat, 9.0), name, lat, 9.0, source="file", source_ref=ref)
    return replace(base, **more)  # type: ignore[arg-type]  # any field, by name


M = 1 / 111_195  # a metre north, in degrees


@pytest.mark.parametrize(
    ("old", "new", "same"),
    [
        (_place("Tap", 47.0), _place("tap ", 47.0 + 29 * M), True),
        (_place("Tap", 47.0004), _place("Tap", 47.0006), True),
        (_place("Tap", 47.0), _place("Tap", 47.0 + 31 * M), False),
        (_place("Tap", 47.0), _place("Well", 47.0), False),
        (_place(None, 47.0), _place(None, 47.0 + 0.5 * M), True),
        (_place(None, 47.0), _place(None, 47.0 + 5 * M), False),
        (_place("Tap", 47.0, "node/1"), _place("Tap", 47.0, "node/2"), False),
        (_place("Tap", 47.0, "node/1"), _place("Fount", 48.0, "node/1"), True),
        (_place("Tap", 47.0, "node/-1"), _place("Fount", 48.0, "node/-1"), False),
        (_place("Tap", 47.0), _place("Tap", 47.0, "node/1"), True),
        (Place("a", "Camp"), Place("b", "Camp"), True),
        (Place("a", "Camp"), _place("Camp", 47.0), False),
    ],
)
def test_what_counts_as_the_same(old: Place, new: Place, same: bool) -> None:
    """The OSM id decides, else the name within 30 m; nameless places meet on the same spot only."""
    assert len(merge([old], [new]).places) == (1 if same else 2)


def test_update_keeps_what_is_ours() -> None:
    """An update brings tags, name and position; id and own note stay."""
    old = _place("Tap", 47.0, "node/1", note="good flow", tags={"amenity": "drinking_water"})
    new = _place("Village tap", 47.001, "node/1", tags={"amenity": "water_point"}, source="newer")
    merged = merge([old], [new])
    assert merged.updated == (old.id,)
    assert merged.places == (replace(new, id=old.id, note="good flow"),)


def test_own_place_keeps_its_own_words() -> None:
    """A place the person made takes tags it lacks from the map and keeps its name, position and own tags."""
    own = Place("mine", "Tap", 47.0, 9.0, tags={"fee": "no"}, note="n")
    new = _place("TAP", 47.0001, "node/1", tags={"fee": "yes", "amenity": "water_point"}, licence="ODbL")
    (place,) = merge([own], [new]).places
    assert place == replace(own, tags={"amenity": "water_point", "fee": "no"}, source_ref="node/1", licence="ODbL")


def test_plain_copy_does_not_spoil_map_data() -> None:
    """A waypoint of the same name adds what it knows and takes nothing away from the map's place."""
    known = _place("Tap", 47.0, "node/1", tags={"amenity": "water_point"}, licence="ODbL")
    (place,) = merge([known], [_place("Tap", 47.0, tags={"sym": "Water"})]).places
    assert place == replace(known, tags={"sym": "Water", "amenity": "water_point"})


@steady
@given(st.lists(st.tuples(st.sampled_from([None, "A", "B"]), st.integers(0, 6), st.booleans()), max_size=12))
def test_merging_is_settled_after_once(rows: list[tuple[str | None, int, bool]]) -> None:
    """Whatever one file holds: ids stay unique, only true repeats fall together, a second import adds nothing."""
    norths = [47.0 + 20 * M * step for _, step, _ in rows]
    refs = [f"node/{step + 1}" if mapped else "" for _, step, mapped in rows]
    places = [_place("A" if ref else row[0], north, ref) for row, north, ref in zip(rows, norths, refs, strict=True)]
    once = merge([], places)
    assert len({place.id for place in once.places}) == len(once.places)
    assert len(once.places) >= len({(place.name, place.lat) for place in places if not place.source_ref})
    assert not merge(once.places, places).added
