"""Places written out come back as they were, with their attribution, and other programs can read them."""

from __future__ import annotations

import json

import gpxpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.place.samples import read_sample, steady
from vanlife_supply.place.model import Place, place_id
from vanlife_supply.place.readers import read_places
from vanlife_supply.place.readers.found import clean, clean_line
from vanlife_supply.place.writers import attributions, to_geojson, to_gpx

SAMPLES = [
    "geojson/brazil-drinking-water-edge-cases.geojson",
    "geojson/liechtenstein-2022.geojson",
    "osm/liechtenstein-2022.osm",
    "gpx/unicode.gpx",
    "kml/synthetic-road.kmz",
]


@pytest.mark.parametrize("name", SAMPLES)
def test_geojson_brings_everything_back(name: str) -> None:
    """Ids, names, tags, positions, sources and licences survive writing and reading."""
    places = read_sample(name).places
    assert read_places(to_geojson(places).encode(), "again").places == places


text = st.text(max_size=12).map(clean)
keys = st.from_regex(r"[a-z][a-z:_]{0,8}", fullmatch=True).filter(lambda key: key not in ("id", "name"))


@st.composite
def a_place(draw: st.DrawFn) -> Place:
    """Any place as the readers make them."""
    name = clean_line(draw(text)) or None
    lat, lon = draw(st.floats(-90, 90)), draw(st.floats(1e-6, 180))  # east of 0,0, which is an unknown position
    tags = draw(st.dictionaries(keys, text, max_size=4)) | ({"name": name} if name else {})
    ref = draw(st.sampled_from(["", "node/5", "way/-3"]))
    note, source, licence = draw(text), clean_line(draw(text)) or "file", clean_line(draw(text)) or "CC0"
    return Place(place_id(ref, name, lat, lon), name, lat, lon, tags, note, source, ref, licence)


@steady
@given(st.lists(a_place(), max_size=3))
def test_any_place_survives_geojson(places: list[Place]) -> None:
    """Any tags, notes and names come back exactly."""
    assert list(read_places(to_geojson(places).encode(), "again").places) == places


@steady
@given(st.lists(a_place(), max_size=3))
def test_any_place_survives_gpx(places: list[Place]) -> None:
    """Waypoints keep name and position to a tenth of a millimetre, and a second library can read them."""
    written = to_gpx(places, places)
    back = read_places(written.encode(), "again")
    assert [place.name for place in back.places] == [place.name for place in places]
    for ours, theirs in zip(places, back.places, strict=True):
        assert theirs.lat == pytest.approx(ours.lat, abs=1e-9) and theirs.lon == pytest.approx(ours.lon, abs=1e-9)
        assert theirs.source_ref == ours.source_ref
    parsed = gpxpy.parse(written)
    assert len(parsed.waypoints) == len(places)
    assert [len(route.points) for route in parsed.routes] == ([len(places)] if places else [])


def test_tags_survive_gpx() -> None:
    """Tags of the invented road come back from the description of its waypoints, so the answers stay."""
    places = read_sample("osm/synthetic-road.osm").places
    again = read_places(to_gpx(places).encode(), "again").places
    assert [dict(place.tags) for place in again] == [dict(place.tags) for place in places]


def test_value_that_looks_like_more_tags_survives_gpx() -> None:
    """A value with `; key=` in it does not become another tag."""
    place = Place("p", "Tap", 1.0, 2.0, {"name": "Tap", "fee:conditional": "no @ (stay > 1); fee=yes"})
    (again,) = read_places(to_gpx([place]).encode(), "x").places
    assert again.tags == {"name": "Tap", "fee:conditional": "no @ (stay > 1);fee=yes"}


def test_attribution_goes_along() -> None:
    """Both exports carry each licence of their places once."""
    places = read_sample("osm/liechtenstein-2022.osm").places
    assert attributions(places) == [places[0].licence]
    assert json.loads(to_geojson(places))["attribution"] == places[0].licence
    assert gpxpy.parse(to_gpx(places)).copyright_author == places[0].licence
    assert read_places(to_gpx(places).encode(), "x").licence == places[0].licence


def test_places_without_coordinates() -> None:
    """A place without coordinates has a null geometry in GeoJSON and is left out of GPX."""
    here = Place("p", "Here", tags={"fee": "no"})
    feature = json.loads(to_geojson([here]))["features"][0]
    assert feature["geometry"] is None and feature["properties"] == {"fee": "no", "name": "Here"}
    assert "wpt" not in to_gpx([here], [here]) and "rte" not in to_gpx([here], [here])


def test_route_is_in_order() -> None:
    """The stops stand in the route in the order given, with their names."""
    stops = [Place("a", "A & B <x>", 1.0, 2.0), Place("b", "C", -3.5, 4.0)]
    (route,) = read_places(to_gpx([], stops, "north & on").encode(), "x").tracks
    assert (route.name, route.kind, route.points, route.names) == (
        "north & on", "route", ((1.0, 2.0), (-3.5, 4.0)), ("A & B <x>", "C"),
    )  # fmt: skip
