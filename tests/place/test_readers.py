"""Map files give their places whatever the format, and every odd file is read, listed or refused by name."""

from __future__ import annotations

import io
import json
import zipfile
from collections import Counter
from pathlib import Path

import gpxpy
import pytest

from tests.place.samples import SAMPLES, gpx, read_data, read_sample, sample
from vanlife_supply.place.distance import great_circle_km
from vanlife_supply.place.merge import SAME_NAME_KM
from vanlife_supply.place.model import OSM_LICENCE
from vanlife_supply.place.readers import Read, read_places
from vanlife_supply.place.readers.found import PROBLEMS_TOLD
from vanlife_supply.place.readers.text import SIZE_LIMIT
from vanlife_supply.refusal import Refusal

# What each malformed sample must end in: a count of places and lines read, words of a listed problem or of a refusal.
ODD_FILES: list[tuple[str, int, int, str]] = [
    ("gpx_bad/cerknicko-jezero-no-creator.gpx", 7, 7, "Track 1 is left out"),
    ("gpx_bad/gpx-with-node-with-comments.gpx", 0, 0, "fewer than two good points"),
    ("gpx_bad/syn-antimeridian-track.gpx", 0, 1, ""),
    ("gpx_bad/syn-lat-95.gpx", 0, 0, "Waypoint 1 (lat out of range) is left out: latitude 95"),
    ("gpx_bad/syn-lat-comma.gpx", 0, 0, "'47,1', '9,5' is not a pair of decimal numbers"),
    ("gpx_bad/syn-lat-missing.gpx", 0, 0, "latitude or longitude is missing"),
    ("gpx_bad/syn-latin1.gpx", 1, 0, ""),
    ("gpx_bad/syn-markup-name.gpx", 1, 0, ""),
    ("gpx_bad/syn-no-content.gpx", 0, 0, "holds no places"),
    ("gpx_bad/syn-not-gpx.gpx", 0, 0, "holds no places"),
    ("gpx_bad/syn-swapped.gpx", 0, 0, "look exchanged"),
    ("gpx_bad/syn-time-no-zone.gpx", 1, 0, ""),
    ("gpx_bad/track-with-small-floats.gpx", 0, 1, ""),
    ("gpx_bad/unicode_with_bom_noencoding.gpx", 1, 0, ""),
    ("geojson_bad/antimeridian.geojson", 1, 0, ""),
    ("geojson_bad/bom.geojson", 1, 0, ""),
    ("geojson_bad/curve.geojson", 0, 0, "'CircularString'"),
    ("geojson_bad/empty-coords.geojson", 0, 0, "latitude or longitude is missing"),
    ("geojson_bad/lines.geojsonl", 2, 0, ""),
    ("geojson_bad/null-geometry.geojson", 0, 0, "it has no position"),
    ("geojson_bad/properties-list.geojson", 1, 0, "its properties are not an object"),
    ("osm_bad/deleted-node.osm", 0, 0, "holds no places"),
    ("osm_bad/lat-string.osm", 0, 0, "'abc', '9' is not a pair"),
    ("osm_bad/no-center.overpass.json", 0, 0, "way/7 is left out"),
    ("osm_bad/tags-null.overpass.json", 0, 0, "holds no places"),
    ("osm_bad/timeout.overpass.json", 0, 0, "server stopped before it was done"),
    ("osm_bad/way-without-nodes.osm", 0, 0, "way/5 is left out"),
]
REFUSED_FILES: list[tuple[str, str]] = [
    ("gpx_bad/syn-empty.gpx", "empty"),
    ("gpx_bad/syn-xxe.gpx", "document type"),
    ("geojson_bad/array-root.geojson", "neither GeoJSON"),
    ("geojson_bad/old-crs.geojson", "EPSG::3857"),
    ("geojson_bad/trailing-comma.geojson", "line 1, column 43"),
    ("osm_bad/html-error.overpass.json", "web page"),
]


def _zip(name: str, content: bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)  # a fixed date: the same bytes every time
    return packed.getvalue()


@pytest.mark.parametrize(("name", "places", "lines", "words"), ODD_FILES)
def test_odd_sample_is_read_or_listed(name: str, places: int, lines: int, words: str) -> None:
    """An odd file gives what is good in it and a sentence for what is not."""
    read = read_sample(name)
    assert (len(read.places), len(read.tracks)) == (places, lines)
    assert words in " ".join(read.problems)
    assert bool(words) == bool(read.problems)


@pytest.mark.parametrize(("name", "words"), REFUSED_FILES)
def test_unreadable_sample_is_refused_by_name(name: str, words: str) -> None:
    """A file with nothing readable is refused in a sentence with its name."""
    with pytest.raises(Refusal) as refused:
        read_sample(name)
    sentence = str(refused.value)
    assert sentence.startswith(Path(name).name) and words in sentence and sentence.endswith(".")


def test_no_malformed_sample_is_forgotten() -> None:
    """Every malformed place file beside the project has its row above."""
    if not SAMPLES.exists():
        pytest.skip("the samples are not beside this project")
    odd = [path for kind in ("gpx", "geojson", "osm") for path in SAMPLES.glob(f"{kind}_bad/*")]
    named = {row[0] for row in ODD_FILES} | {row[0] for row in REFUSED_FILES}
    assert {f"{path.parent.name}/{path.name}" for path in odd} == named


def _by_ref(read: Read) -> dict[str, tuple[dict[str, str], float, float]]:
    return {p.source_ref: (dict(p.tags), round(p.lat or 0, 5), round(p.lon or 0, 5)) for p in read.places}


@pytest.mark.parametrize(("name", "count"), [("liechtenstein-2022", 79), ("synthetic-road", 20)])
def test_three_formats_hold_the_same_places(name: str, count: int) -> None:
    """OSM XML, Overpass JSON and GeoJSON of one extract give the same ids, tags and positions."""
    xml = read_sample(f"osm/{name}.osm")
    overpass = read_sample(f"osm/{name}.overpass.json")
    geojson = read_sample(f"geojson/{name}.geojson")
    assert len(xml.places) == count
    assert not xml.problems and not overpass.problems and not geojson.problems
    assert _by_ref(xml).keys() == _by_ref(overpass).keys() == _by_ref(geojson).keys()
    for ref, (tags, lat, lon) in _by_ref(xml).items():
        assert _by_ref(geojson)[ref] == (tags, lat, lon)
        from_server = _by_ref(overpass)[ref]  # its middle of an area is worked out by the server, in its own way
        assert from_server[0] == tags
        assert great_circle_km((lat, lon), from_server[1:]) < (0.001 if ref.startswith("node") else SAME_NAME_KM)


def test_liechtenstein_counts() -> None:
    """The extract holds what was counted in the whole country (places.md section 4; of fountains only part was cut out)."""
    tags = [place.tags for place in read_sample("osm/liechtenstein-2022.osm").places]
    amenities = Counter(one.get("amenity") for one in tags)
    assert (amenities["drinking_water"], amenities["fuel"]) == (39, 12)
    assert amenities["sanitary_dump_station"] == 1
    assert Counter(one.get("tourism") for one in tags)["camp_site"] == 3
    assert sum(one.get("drinking_water") == "no" for one in tags) == 3


def test_osmium_sees_the_same_objects() -> None:
    """A second reader of OSM files finds the same tagged objects at the same spots."""
    osmium = pytest.importorskip("osmium")
    sample("osm/liechtenstein-2022.osm")
    seen = {}
    for found in osmium.FileProcessor(str(SAMPLES / "osm" / "liechtenstein-2022.osm")).with_locations():
        if found.tags:
            kind = {"n": "node", "w": "way"}[found.type_str()]
            where = found.location if kind == "node" else found.nodes[0].location
            seen[f"{kind}/{found.id}"] = (dict(found.tags), (where.lat, where.lon))
    ours = {place.source_ref: place for place in read_sample("osm/liechtenstein-2022.osm").places}
    assert ours.keys() == seen.keys()
    for ref, (tags, point) in seen.items():
        assert dict(ours[ref].tags) == tags
        assert great_circle_km(ours[ref].point or (0, 0), point) < 0.3  # a way's first corner lies at its edge


@pytest.mark.parametrize(
    "name",
    [
        "gpx/gpx1.0_with_all_fields.gpx",
        "gpx/gpx1.1_with_extensions.gpx",
        "gpx/gpx_with_vendor_extension.gpx",
        "gpx/route.gpx",
        "gpx/synthetic-road.gpx",
        "gpx/track-with-empty-segment.gpx",
        "gpx/track-with-less-sec-time.gpx",
        "gpx/unicode.gpx",
    ],
)
def test_gpxpy_reads_the_same(name: str) -> None:
    """A second GPX reader finds the same names, positions, lines and lengths."""
    theirs = gpxpy.parse(sample(name).decode())
    ours = read_sample(name)
    assert [(p.lat, p.lon, p.name) for p in ours.places] == [
        (p.latitude, p.longitude, p.name or None) for p in theirs.waypoints
    ]
    lines = [[(p.latitude, p.longitude) for p in route.points] for route in theirs.routes]
    lines += [[(p.latitude, p.longitude) for part in track.segments for p in part.points] for track in theirs.tracks]
    assert [list(track.points) for track in ours.tracks] == [line for line in lines if len(line) > 1]


def test_zip_holds_the_same_as_its_kml() -> None:
    """A KMZ gives the places and the line of the KML inside it."""
    zipped, bare = read_sample("kml/synthetic-road.kmz"), read_sample("kml/synthetic-road.kml")
    assert [(p.name, p.point, p.tags) for p in zipped.places] == [(p.name, p.point, p.tags) for p in bare.places]
    assert zipped.tracks == bare.tracks and len(bare.places) == 20 and len(bare.tracks[0].points) == 300


def test_attribution_is_kept() -> None:
    """Places keep the attribution of their file; map data without one gets that of its map."""
    assert all("ODbL" in place.licence for place in read_sample("geojson/liechtenstein-2022.geojson").places)
    assert all("ODbL" in place.licence for place in read_sample("osm/liechtenstein-2022.overpass.json").places)
    assert all("odbl" in place.licence for place in read_sample("osm/liechtenstein-2022.osm").places)
    assert read_data("relation.osm").places[0].licence == OSM_LICENCE


def test_relation_made_of_ways() -> None:
    """A camp site drawn as a relation lies in the middle of its ways; things without supplies are counted."""
    read = read_data("relation.osm")
    assert {place.source_ref: place.point for place in read.places} == {
        "relation/31": (pytest.approx(10.001), pytest.approx(20.002)),
        "way/23": (11.5, 21.5),
    }
    assert read.problems == ("1 objects that have nothing to do with supplies are left out.",)


def test_deleted_objects_are_no_places() -> None:
    """An object the map marks as deleted is passed over, whatever it still carries."""
    node = '<node id="%d" lat="1" lon="2" visible="%s"><tag k="amenity" v="water_point"/></node>'
    read = read_places(f"<osm>{node % (1, 'false')}{node % (2, 'true')}</osm>".encode(), "x.osm")
    assert [place.source_ref for place in read.places] == ["node/2"]


def test_geojson_shapes() -> None:
    """Several points are several places, areas have a middle, lines are tracks, other values become text."""
    read = read_data("shapes.geojson")
    assert [(p.name, p.point) for p in read.places] == [
        ("Two taps", (47.1, 9.5)),
        ("Two taps", (47.2, 9.6)),
        ("Site", (2.0, 4.0)),
        ("Both", (5, 4)),
    ]
    assert read.places[0].tags == {"name": "Two taps", "drinking_water": "yes", "height": "1.5", "parts": '["a", "b"]'}
    assert [track.points for track in read.tracks] == [((1, 1), (2, 1)), ((2, 2), (3, 2)), ((5, 4), (6, 4))]


def test_kml_shapes() -> None:
    """Nested folders, schema data, HTML descriptions, vendor tracks and areas are read; an address alone is listed."""
    read = read_data("track.kml")
    assert [(p.name, p.point) for p in read.places] == [("Deep & <b>bold</b>", (47.1, 9.5)), ("Meadow", (2.0, 2.0))]
    assert read.places[0].tags["amenity"] == "water_point"
    assert read.places[0].tags["description"] == "one\ntwo & three"
    assert read.tracks[0].points == ((47.1, 9.5), (47.2, 9.6))
    assert "Address only" in read.problems[0] and "on the net" in read.problems[1]


def test_doubled_key_is_named() -> None:
    """A key that stands twice in a JSON object is listed, and the last value taken."""
    read = read_data("doubled-key.geojson")
    assert read.places[0].tags == {"amenity": "fuel"}
    assert "'amenity'" in read.problems[0]


def test_area_across_the_date_line() -> None:
    """The middle of an area from 179.9 to -179.9 lies at 180, not on the other side of the world."""
    place = read_sample("geojson_bad/antimeridian.geojson").places[0]
    assert place.lat == pytest.approx(-16.75) and abs(place.lon or 0) == pytest.approx(180)


@pytest.mark.parametrize("codec", ["utf-16", "utf-8-sig", "utf-16-le", "utf-16-be", "iso-8859-1", "cp1252"])
def test_encodings(codec: str) -> None:
    """A name survives the encodings map programs write; a guess is said."""
    declared = "iso-8859-1" if codec == "iso-8859-1" else "UTF-16" if "16" in codec else "UTF-8"
    body = gpx('<wpt lat="1" lon="2"><name>Brunnen übergrün</name></wpt>').decode()
    read = read_places(f'<?xml version="1.0" encoding="{declared}"?>{body}'.encode(codec), "x.gpx")
    assert read.places[0].name == "Brunnen übergrün"
    assert ("not UTF-8" in " ".join(read.problems)) == (codec == "cp1252")


@pytest.mark.parametrize("codec", ["rot13", "unicode_escape", "zip", "idna", "utf-32"])
def test_strange_encodings_are_refused(codec: str) -> None:
    """A file cannot choose a codec that is not a text encoding of map programs."""
    with pytest.raises(Refusal, match="encoding"):
        read_places(f'<?xml version="1.0" encoding="{codec}"?><gpx/>'.encode(), "x.gpx")


def test_names_are_harmless() -> None:
    """Terminal escapes, direction marks, broken halves and line ends are taken out of names; markup stays plain text."""
    text = json.dumps(
        {
            "type": "Feature",
            "properties": {"name": "\x1b[31m[red]tap[/]\u202e\u2066 \ud800x\r\n\x9by\ufeff", "note": "one\r\ntwo\u0007"},
            "geometry": {"type": "Point", "coordinates": [9.5, 47.1]},
        }
    )
    place = read_places(text.encode(), "a\x1b[2Jb.geojson").places[0]
    assert place.name == "[31m[red]tap[/] x y"
    assert place.tags["note"] == "one\ntwo"
    assert place.source == "a[2Jb.geojson"


@pytest.mark.parametrize(
    ("coordinates", "words"),
    [
        ("[0, 0]", "unknown position"),
        ("[NaN, 1]", "not a pair"),
        ("[1, Infinity]", "not a pair"),
        ("[1, 1e999]", "not a pair"),
        (f"[1, {10**400}]", "not a pair"),
        ("[true, 1]", "not a pair"),
        ('["9.5", "47.1"]', "as text"),
        ("[9.5, 95]", "look exchanged"),
        ("[200, 10]", "not on the globe"),
        ("[9.5]", "missing"),
        ("{}", "missing"),
        ("[[9.5, 47.1]]", "missing"),
        ("null", "missing"),
    ],
)
def test_impossible_positions_are_listed(coordinates: str, words: str) -> None:
    """A position that cannot be is left out with its reason, and the place is named."""
    text = '{"type": "Feature", "properties": {"name": "Tap"}, "geometry": {"type": "Point", "coordinates": %s}}'
    read = read_places((text % coordinates).encode(), "x.geojson")
    assert not read.places
    assert "(Tap)" in read.problems[0] and words in read.problems[0]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"\x00\x00\n", "empty"),
        (b"<html><body>sign in</body></html>", "web page"),
        (b"<!doctype html><p>", "web page"),
        (b"<?xml version='1.0'?><!-- x --><!DOCTYPE lolz [<!ENTITY a 'ha'><!ENTITY b '&a;&a;'>]><gpx/>", "document type"),
        (b"<gpx><wpt lat='1' lon='2'>", "line 1"),
        (b"<svg/>", "'svg'"),
        (b"{" * 200_000, "damaged"),
        (b'{"a":' * 200_000, "nested"),
        (b'{"type":"Feature","id":' + b"9" * 5000 + b"}", "thousands of digits"),
        (b'{"elements": 3}', "not a list"),
        (b"PK\x03\x04 broken", "zip"),
        (b"\x1f\x8b\x08\x00", "unpack"),
        (b"\x00\x00\x00\x0d\x0a\x09OSMHeader\x18", "osmium"),
        (b"Title,Note,URL\nTap,good,http://example.invalid\n", "table without coordinates"),
        (b"name,lat,lon\nTap,1,2\n", "a table, not"),
        (b"hello", "not a map file"),
        (b"<?xml version='1.0' encoding='utf-8'?><gpx>\xff</gpx>", ""),
        (b"\xff\xfe<", "utf-16"),
    ],
)
def test_what_is_no_map_file_is_refused(data: bytes, words: str) -> None:
    """Bombs, web pages, tables and rubbish end in one sentence, or are read with the guess said."""
    try:
        read = read_places(data, "x.gpx")
    except Refusal as refused:
        assert str(refused).startswith("x.gpx: ") and words in str(refused)
    else:
        assert not words and "not UTF-8" in read.problems[0]


def test_zip_bomb_is_refused() -> None:
    """A KMZ that unpacks beyond the limit is refused before it is read."""
    with pytest.raises(Refusal, match="larger than 64 MiB"):
        read_places(_zip("doc.kml", b" " * (SIZE_LIMIT + 1)), "x.kmz")


def test_zip_without_a_map_is_refused() -> None:
    """A zip with something else in it is refused."""
    with pytest.raises(Refusal, match="no KML"):
        read_places(_zip("readme.txt", b"hi"), "x.kmz")


def test_what_a_zip_leaves_out_is_told() -> None:
    """Of several KML files in one zip the first is read, and the others are named."""
    packed = io.BytesIO()
    mark = b"<kml><Placemark><name>%s</name><Point><coordinates>2.5, 1.5, 0</coordinates></Point></Placemark></kml>"
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("a.kml", mark % b"A")
        archive.writestr("b.kml", mark % b"B")
    read = read_places(packed.getvalue(), "x.kmz")
    assert [(p.name, p.point) for p in read.places] == [("A", (1.5, 2.5))]
    assert "Only a.kml" in read.problems[0] and "b.kml" in read.problems[0]


def test_features_without_a_collection() -> None:
    """A bare list of features is read; what in it is none is listed by the same rules."""
    one = '{"type": "Feature", "properties": {"name": "Tap"}, "geometry": {"type": "Point", "coordinates": [9.5, 47.1]}}'
    assert [p.name for p in read_places(f"[{one}, {one}]".encode(), "x.json").places] == ["Tap", "Tap"]


@pytest.mark.parametrize(
    "data",
    [
        '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x [<!ENTITY a "b">]><gpx/>'.encode("utf-16"),
        b"<!--" + b"x" * 100_000 + b'--><!DOCTYPE gpx [<!ENTITY a "aa">]><gpx/>',
        b"<?a b?>" * 20_000 + b"<!DOCTYPE gpx><gpx/>",
        b"<!-- " * 200_000,
        _zip("doc.kml", b'<!DOCTYPE kml [<!ENTITY a SYSTEM "file:///etc/passwd">]><kml>&a;</kml>'),
        _zip("doc.kml", _zip("doc.kml", b"<kml/>")),
        _zip("doc.kml", b"<kml><Placemark/></kml>")[:-30],
        b"<gpx><wpt lat='1' lon='2'><name>a\x1b[31m</name></wpt></gpx>",
        b"<gpx><wpt lat='1' lon='2'><name>&#x202e;&#0;</name></wpt></gpx>",
        b"[" * 1_000_000,
        b"\xff\xd8\xff\xe0" + bytes(range(256)) * 8,
    ],
    ids=[
        "utf-16", "after-a-comment", "after-instructions", "open-comments", "kmz-entity", "kmz-in-kmz", "kmz-cut-off",
        "escape", "turned-text", "deep-list", "picture",
    ],
)  # fmt: skip
def test_disguises_are_refused(data: bytes) -> None:
    """Document types behind comments, in other encodings or in zips, nested zips, raw terminal codes: one sentence each."""
    with pytest.raises(Refusal, match=r"^x\.gpx: "):
        read_places(data, "x.gpx")


def test_deeply_nested_xml_is_refused() -> None:
    """Elements a hundred thousand deep are refused, a vendor's few levels are passed over."""
    with pytest.raises(Refusal, match="nested"):
        read_places(b"<gpx>" + b"<a>" * 100_000 + b"</a>" * 100_000 + b"</gpx>", "x")
    few = b"<a>" * 50 + b"</a>" * 50
    assert read_places(b"<gpx><wpt lat='1' lon='2'><extensions>" + few + b"</extensions></wpt></gpx>", "x").places


def test_many_problems_are_counted() -> None:
    """After the first problems only their number is told."""
    read = read_places(gpx('<wpt lat="95" lon="1"/>' * 500), "x.gpx")
    assert len(read.problems) == PROBLEMS_TOLD + 1
    assert read.problems[-1] == f"{501 - PROBLEMS_TOLD} more like these are not listed."


def test_bad_points_of_a_line_are_counted() -> None:
    """A track keeps its good points and says how many were bad."""
    points = '<trkpt lat="1" lon="1"/><trkpt lat="0" lon="0"/><trkpt lat="x" lon="1"/><trkpt lat="1" lon="2"/>'
    read = read_places(gpx(f"<trk><trkseg>{points}</trkseg></trk>"), "x.gpx")
    assert read.tracks[0].points == ((1, 1), (1, 2))
    assert "2 of 4 points left out" in read.problems[0]


def test_spoilt_line_of_a_line_file_is_named() -> None:
    """In a file with one object a line, a damaged line is named by its number and the rest is read."""
    one = '{"type": "Feature", "properties": {}, "geometry": {"type": "Point", "coordinates": [9.5, 47.1]}}'
    read = read_places(f"{one}\n\x1e{one}\nrubbish\n{one[:40]}\n".encode(), "x.geojsonl")
    assert len(read.places) == 2 and "3, 4" in read.problems[0]
