"""What may be had at a place: yes, no or ask, and why (rules: OpenStreetMap wiki, as collected in places.md section 1)."""

from __future__ import annotations

import pytest

from tests.place.samples import read_sample
from vanlife_supply.place.answers import answer, answers
from vanlife_supply.place.model import Confirmation, Place, What

NOW = 1_790_000_000.0
DAY = 86_400.0
STATION = "sanitary_dump_station"


def _word(tags: dict[str, str], what: What) -> str:
    return answer(Place("p", None, tags=tags), what, [], NOW).word


@pytest.mark.parametrize(
    ("tags", "fresh"),
    [
        ({"amenity": "water_point"}, "yes"),
        ({"amenity": "water_point", "drinking_water": "no"}, "no"),
        ({"amenity": "water_point", "drinking_water": "untreated"}, "ask"),
        ({"waterway": "water_point"}, "yes"),
        ({"tourism": "camp_site", "water_point": "yes"}, "yes"),
        ({"tourism": "camp_site", "water_point": "customers"}, "yes"),
        ({"tourism": "camp_site", "water_point": "no"}, "no"),
        ({"tourism": "camp_site", "drinking_water": "yes"}, "ask"),
        ({"tourism": "camp_site"}, "ask"),
        ({"amenity": "drinking_water"}, "ask"),
        ({"amenity": "drinking_water", "drinking_water": "no"}, "no"),
        ({"amenity": "drinking_water", "drinking_water": "no", "water_point": "yes"}, "no"),
        ({"amenity": "drinking_water", "drinking_water": "treated"}, "ask"),
        ({"amenity": "drinking_water", "access": "private"}, "no"),
        ({"amenity": "drinking_water", "access": "permit"}, "ask"),
        ({"amenity": "drinking_water", "drinking_water:legal": "no"}, "ask"),
        ({"man_made": "water_tap", "drinking_water": "yes"}, "ask"),
        ({"natural": "spring", "drinking_water": "yes"}, "ask"),
        ({"amenity": "cafe", "drinking_water:refill": "yes"}, "ask"),
        ({"amenity": "water_point", "opening_hours": '"by appointment"'}, "ask"),
        ({"amenity": "water_point", "opening_hours": "off"}, "no"),
        ({"shop": "hardware"}, "ask"),
    ],
)
def test_fresh(tags: dict[str, str], fresh: str) -> None:
    """A filling point is yes, any other water is ask, water not for drinking is no whatever else is said."""
    assert _word(tags, "fresh") == fresh


@pytest.mark.parametrize(
    ("tags", "grey", "toilet"),
    [
        ({"amenity": STATION}, "ask", "yes"),
        ({"waterway": STATION}, "ask", "yes"),
        ({"amenity": STATION, f"{STATION}:grey_water": "yes"}, "yes", "yes"),
        ({"amenity": STATION, f"{STATION}:grey_water": "no"}, "no", "yes"),
        ({"amenity": STATION, "waste_disposal:grey_water": "yes"}, "yes", "yes"),
        ({"amenity": STATION, f"{STATION}:grey_water": "yes", "waste_disposal:grey_water": "no"}, "ask", "yes"),
        ({"amenity": STATION, f"{STATION}:grey_water": "maybe"}, "ask", "yes"),
        ({"amenity": STATION, f"{STATION}:accepted": "black_water; grey_water"}, "yes", "yes"),
        ({"amenity": STATION, f"{STATION}:accepted": "black_water"}, "no", "yes"),
        ({"amenity": STATION, f"{STATION}:accepted": "grey_water"}, "yes", "ask"),
        ({"amenity": STATION, f"{STATION}:accepted": " ; "}, "ask", "yes"),
        ({"amenity": STATION, f"{STATION}:chemical_toilet": "no"}, "ask", "ask"),
        ({"amenity": STATION, f"{STATION}:grey_water": "yes", "access": "private"}, "no", "no"),
        ({"amenity": STATION, f"{STATION}:grey_water": "yes", "access": "customers"}, "yes", "yes"),
        ({"tourism": "camp_site", STATION: "yes"}, "ask", "yes"),
        ({"tourism": "camp_site", STATION: "customers"}, "ask", "yes"),
        ({"tourism": "camp_site", STATION: "no"}, "no", "no"),
        ({"tourism": "caravan_site"}, "ask", "ask"),
        ({"amenity": "water_point"}, "ask", "ask"),
    ],
)
def test_dumping(tags: dict[str, str], grey: str, toilet: str) -> None:
    """A dump station takes toilet waste; gray water only where that is said."""
    assert (_word(tags, "grey"), _word(tags, "toilet")) == (grey, toilet)


@pytest.mark.parametrize(
    ("tags", "propane", "stove_fuel"),
    [
        ({"shop": "gas"}, "yes", "ask"),
        ({"shop": "gas", "access": "no"}, "no", "ask"),
        ({"amenity": "fuel", "fuel:lpg": "yes"}, "ask", "ask"),
        ({"amenity": "fuel", "fuel:propane": "yes"}, "ask", "ask"),
        ({"amenity": "fuel", "fuel:lpg": "no"}, "ask", "ask"),
        ({"amenity": "fuel", "fuel:e85": "yes"}, "ask", "ask"),
        ({"shop": "fuel"}, "ask", "ask"),
        ({"amenity": "vending_machine", "vending": "fuel"}, "ask", "ask"),
        ({"shop": "hardware"}, "ask", "ask"),
    ],
)
def test_fuels(tags: dict[str, str], propane: str, stove_fuel: str) -> None:
    """Only a bottled gas shop surely has propane; no tag ever says stove alcohol is sold."""
    assert (_word(tags, "propane"), _word(tags, "stove_fuel")) == (propane, stove_fuel)


def test_motor_fuel_is_no_hint_of_stove_alcohol() -> None:
    """E85 at a fuel station does not speak of stove alcohol, a hardware shop does."""
    pump = answer(Place("p", None, tags={"amenity": "fuel", "fuel:e85": "yes"}), "stove_fuel", [], NOW)
    shop = answer(Place("p", None, tags={"shop": "hardware"}), "stove_fuel", [], NOW)
    assert (pump.hinted, shop.hinted) == (False, True)


def test_the_only_dump_station_of_liechtenstein() -> None:
    """node/8850402432 is ask for gray water, and its own words (no gray water) are kept and shown."""
    for name in ("osm/liechtenstein-2022.osm", "osm/liechtenstein-2022.overpass.json", "geojson/liechtenstein-2022.geojson"):
        place = next(one for one in read_sample(name).places if one.source_ref == "node/8850402432")
        said = answers(place, [], NOW)["grey"]
        assert said.word == "ask"
        assert "kein Grauwasser" in place.tags["description"] and "kein Grauwasser" in said.reason


def test_all_formats_give_the_same_answers() -> None:
    """The invented road gives the same answers from five formats and a zip."""
    names = ("osm/{}.osm", "osm/{}.overpass.json", "geojson/{}.geojson", "gpx/{}.gpx", "kml/{}.kml", "kml/{}.kmz")
    tables = []
    for name in names:
        places = read_sample(name.format("synthetic-road")).places
        tables.append({p.name: {what: (one.word, one.limited) for what, one in answers(p, [], NOW).items()} for p in places})
    assert len(tables[0]) == 20
    assert all(table == tables[0] for table in tables)


# Read off the tags by the rules above: grey of F..M, fresh of A..E, L, M, T.
ROAD = {
    "SYN A village tap": ("fresh", "ask"),
    "SYN B tap, not for drinking": ("fresh", "no"),
    "SYN C bubbler": ("fresh", "ask"),
    "SYN D water point, pays by volume": ("fresh", "yes"),
    "SYN E spring, untreated": ("fresh", "ask"),
    "SYN F dump, says nothing of grey": ("grey", "ask"),
    "SYN G dump, grey yes, cassette yes": ("grey", "yes"),
    "SYN H dump, cassette only": ("grey", "no"),
    "SYN I dump by list": ("grey", "yes"),
    "SYN J dump, guests only": ("grey", "yes"),
    "SYN K dump, private": ("grey", "no"),
    "SYN L site with all": ("grey", "yes"),
    "SYN M site, guests' dump": ("grey", "ask"),
    "SYN N fuel, gas pump": ("propane", "ask"),
    "SYN O fuel, propane": ("propane", "ask"),
    "SYN P bottled gas shop": ("propane", "yes"),
    "SYN Q hardware shop": ("stove_fuel", "ask"),
    "SYN R outdoor shop": ("stove_fuel", "ask"),
    "SYN S hours unreadable": ("stove_fuel", "ask"),
    "SYN T by appointment": ("fresh", "ask"),
}


def test_the_invented_road() -> None:
    """Each place of the invented road answers as its name says."""
    places = read_sample("osm/synthetic-road.osm").places
    got = {p.name: (ROAD[p.name or ""][0], answers(p, [], NOW)[ROAD[p.name or ""][0]].word) for p in places}  # type: ignore[index]  # the table's words are those of What
    assert got == ROAD


def test_brazilian_contradictions() -> None:
    """Real drinking water that is not for drinking, private or untreated is never a yes; a named filling point is."""
    words: dict[str, list[str]] = {}
    for place in read_sample("geojson/brazil-drinking-water-edge-cases.geojson").places:
        tags = place.tags
        kind = "not for drinking" if tags.get("drinking_water") == "no" else tags.get("access", "")
        kind = kind if kind in ("not for drinking", "private", "no") else "water point" if "water_point" in tags else "other"
        words.setdefault(kind, []).append(answers(place, [], NOW)["fresh"].word)
    assert words == {
        "not for drinking": ["no"] * 2,
        "private": ["no"] * 4,
        "no": ["no"],
        "water point": ["yes"] * 3,
        "other": ["ask"] * 14,
    }


DUMP = Place("p", "Dump", tags={"amenity": STATION, f"{STATION}:grey_water": "no"})


def _said(answer_word: str, days_ago: float, by: str = "me") -> Confirmation:
    return Confirmation("grey", "yes" if answer_word == "yes" else "no", NOW - days_ago * DAY, by)


def test_own_finding_wins_over_the_map() -> None:
    """What the person found out beats the tags, newest first, and says how old it is."""
    got = answer(DUMP, "grey", [_said("no", 500), _said("yes", 3), _said("no", 40)], NOW)
    assert (got.word, got.own) == ("yes", True)
    assert got.since == NOW - 3 * DAY
    assert got.reason == "You said yes to gray water 3 days ago."


def test_own_finding_beats_not_for_drinking() -> None:
    """Even drinking_water=no gives way to the person's own finding."""
    place = Place("p", None, tags={"amenity": "water_point", "drinking_water": "no"})
    assert answer(place, "fresh", [Confirmation("fresh", "yes", NOW - DAY)], NOW).word == "yes"


@pytest.mark.parametrize(("days", "word"), [(729, "yes"), (732, "ask"), (4000, "ask")])
def test_own_finding_fades(days: float, word: str) -> None:
    """A finding older than two years is ask again (common practice, no source), and says why."""
    got = answer(DUMP, "grey", [_said("yes", days)], NOW)
    assert got.word == word
    assert ("too long ago" in got.reason) == (word == "ask")


def test_imported_finding_ranks_below_own() -> None:
    """An older own finding beats a newer imported one; an imported one beats the tags."""
    assert answer(DUMP, "grey", [_said("no", 300), _said("yes", 2, "import")], NOW).word == "no"
    assert answer(DUMP, "grey", [_said("yes", 2, "import")], NOW).word == "yes"


def test_findings_of_other_things_and_of_later_do_not_count() -> None:
    """A finding about water says nothing of gray; one from the future is not seen yet."""
    assert answer(DUMP, "grey", [Confirmation("fresh", "yes", NOW - DAY), _said("yes", -1)], NOW).word == "no"


def test_age_of_the_map_is_said() -> None:
    """The date the map was last checked becomes the age of its answer."""
    place = Place("p", None, tags={"amenity": "water_point", "check_date": "2024-09-21"})
    got = answer(place, "fresh", [], NOW)
    assert got.since == 1_726_876_800  # midnight UTC of that day
    assert "map checked 2 years ago" in got.reason


def test_reasons_are_one_line() -> None:
    """Every reason is one line that ends with a full stop or where a text was cut, whatever the description holds."""
    place = Place("p", None, tags={"amenity": STATION, "description": "one\ntwo" * 100})
    for one in answers(place, [], NOW).values():
        assert "\n" not in one.reason and one.reason.rstrip('"')[-1] in ".…" and len(one.reason) < 300


def test_a_text_that_ends_itself_gets_no_second_full_stop() -> None:
    """A place's own words that are a sentence end the reason; words that are none get their stop behind them."""
    for words, end in (("Ask at the office.", 'office."'), ("Ask first!", 'first!"'), ("Ask at the office", 'office".')):
        place = Place("p", None, tags={"amenity": STATION, "description": words})
        assert answers(place, [], NOW)["toilet"].reason.endswith(end)
