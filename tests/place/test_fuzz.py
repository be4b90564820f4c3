"""No bytes, however damaged, make a reader end in anything but places, problems or a refusal."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.place.samples import DATA, SAMPLES, steady
from vanlife_supply.place.answers import answers
from vanlife_supply.place.conditions import fees, fits, metres
from vanlife_supply.place.distance import lay, locate
from vanlife_supply.place.model import Place
from vanlife_supply.place.readers import read_places
from vanlife_supply.place.writers import to_geojson, to_gpx
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Vehicle

SEEDS = sorted(path for path in DATA.iterdir() if path.is_file()) + sorted(
    path
    for kind in ("gpx", "gpx_bad", "geojson_bad", "kml", "osm", "osm_bad")
    for path in SAMPLES.glob(f"{kind}/*")
    if path.stat().st_size < 20_000
)
# What readers look for, put where it does not belong.
TOKENS = [
    b"<", b">", b"&", b'"', b"<!DOCTYPE x>", b"<![CDATA[", b"&#0;", b"&#xD800;", b"\x00", b"\xff", b"\xed\xa0\x80", b"NaN",
    b"1e999", b"-", b"{", b"}", b"[", b"]", b",", b":", b"null", b"\\ud800", b"\\u0000", b"999999999999999999999", b"true",
    b"PK\x03\x04", b"<Placemark>", b"<wpt/>", b"<coordinates>", b"\xe2\x80\xae", b"\n{", b"0", b"95", b"  ", b"encoding='x'",
]  # fmt: skip


def _survives(data: bytes) -> None:
    try:
        read = read_places(data, "fuzzed")
    except Refusal as refused:
        assert str(refused).startswith("fuzzed: ") and "\n" not in str(refused)
        return
    assert read.places or read.tracks or read.problems
    for place in read.places:
        assert place.point and -90 <= place.point[0] <= 90 and -180 <= place.point[1] <= 180
        answers(place, [], 1.8e9)
        (place.name or "").encode()
    for line in read.tracks:
        locate(lay(line.points), line.points[-1])
    read_places(to_geojson(read.places).encode(), "again")
    read_places(to_gpx(read.places, read.places).encode(), "again")


@st.composite
def damaged(draw: st.DrawFn, seed: bytes) -> bytes:
    """A file with a few bytes changed, cut out, doubled or put in."""
    data = bytearray(seed)
    for _ in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, len(data)))
        end = min(len(data), start + draw(st.integers(0, 40)))
        change = draw(st.sampled_from(["token", "bytes", "cut", "double", "end"]))
        if change == "token":
            data[start:end] = draw(st.sampled_from(TOKENS))
        elif change == "bytes":
            data[start:end] = draw(st.binary(max_size=8))
        elif change == "cut":
            del data[start:end]
        elif change == "double":
            data[start:start] = data[start:end]
        else:
            del data[start:]
    return bytes(data)


@pytest.mark.parametrize("path", SEEDS, ids=lambda path: path.name)
@settings(steady, max_examples=25)
@given(data=st.data())
def test_damaged_files_are_read_or_refused(path: Path, data: st.DataObject) -> None:
    """A map file with bytes changed, cut or doubled gives places, problems or a refusal, and what it gives can be used."""
    _survives(data.draw(damaged(path.read_bytes())))


@settings(steady, max_examples=200)
@given(st.binary(max_size=200), st.sampled_from([b"", b"<gpx>", b"{", b"[", b"PK\x03\x04", b"\xff\xfe", b"<?xml "]))
def test_rubbish_is_refused(data: bytes, start: bytes) -> None:
    """Any bytes at all are survived."""
    _survives(start + data)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
KEYS = st.sampled_from(
    ["type", "features", "geometry", "coordinates", "properties", "geometries", "crs", "name", "elements", "id", "lat",
     "lon", "tags", "center", "bounds", "nodes", "remark", "osm3s", "minlat", "@id"]
)  # fmt: skip
WORDS = st.sampled_from(
    ["FeatureCollection", "Feature", "Point", "Polygon", "MultiPolygon", "MultiPoint", "LineString", "MultiLineString",
     "GeometryCollection", "node", "way", "relation"]
)  # fmt: skip
MAPLIKE = st.recursive(
    JSON | WORDS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=6),
    max_leaves=30,
)


@settings(steady, max_examples=150)
@given(kind=WORDS, body=st.dictionaries(KEYS, MAPLIKE, max_size=6))
def test_json_with_the_right_words_in_the_wrong_places(kind: str, body: dict[str, object]) -> None:
    """Well-formed JSON that looks like a map and is none is survived."""
    _survives(json.dumps({"type": kind, **body}).encode("utf-8", "surrogatepass"))


TAG_KEYS = st.sampled_from(
    ["amenity", "waterway", "drinking_water", "water_point", "shop", "access", "fee", "charge", "maxheight", "seasonal",
     "opening_hours", "check_date", "sanitary_dump_station", "sanitary_dump_station:grey_water", "description",
     "sanitary_dump_station:accepted", "tourism", "fuel:lpg"]
)  # fmt: skip


@settings(steady, max_examples=200)
@given(tags=st.dictionaries(TAG_KEYS, st.text(max_size=12) | st.sampled_from(["yes", "no", "customers", ";", "0001-01-01"])))
def test_any_tags_get_an_answer(tags: dict[str, str]) -> None:
    """Tags with any values give answers, fees and sizes, never an error."""
    place = Place("p", None, 1.0, 2.0, tags=tags)
    assert {one.word for one in answers(place, [], 1.8e9).values()} <= {"yes", "no", "ask"}
    fees(tags, "grey")
    assert fits(tags, Vehicle(3.0, 6.0))[0] in ("yes", "no", "ask")


@settings(steady, max_examples=200)
@given(st.text(max_size=20) | st.from_regex(r"[0-9./' A-Zm\"]{0,14}", fullmatch=True))
def test_any_text_is_a_measure_or_none(text: str) -> None:
    """Sizes are read strictly or not at all."""
    assert (metres(text) or 0) >= 0
