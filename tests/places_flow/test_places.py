"""Places through the command line: added, brought in, confirmed, shown, handed on, taken back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Runner

VALLEY = str(Path(__file__).parent / "data" / "valley.geojson")
WHATS = {"fresh", "grey", "toilet", "propane", "stove_fuel"}


def listed(cli: Runner, *words: str) -> list[dict[str, Any]]:
    """`place list --json`."""
    said = cli("place", "list", "--json", *words)
    assert said.status == 0, said.err
    found: list[dict[str, Any]] = json.loads(said.out)
    return found


def answers(cli: Runner, name: str) -> dict[str, str]:
    """The answers of the place of that name or reference."""
    found: dict[str, str] = next(p["answers"] for p in listed(cli) if name in (p["name"], p["ref"]))
    return found


def test_places_need_no_rig(cli: Runner) -> None:
    """On an empty log a place is added, listed and taken back, and an empty list says how to begin."""
    assert cli("place", "list").err.startswith("No place is known yet: place add")
    assert cli("place", "add", "Old", "Mill", "--gives", "water,gray").status == 0
    assert [p["name"] for p in listed(cli)] == ["Old Mill"]
    assert cli("undo").out == "Taken back: 1 place, 2 answers (Old Mill).\n"
    assert listed(cli) == []
    assert cli("undo", "--again").out == "Noted again: 1 place, 2 answers (Old Mill).\n"
    assert answers(cli, "Old Mill")["grey"] == "yes"


def test_the_list_is_what_the_contract_says(cli: Runner) -> None:
    """name (null without one), lat, lon, tags, answers of five things in three words, source."""
    cli("place", "import", VALLEY)
    cli("place", "add", "Here", "--note", "behind the barn")
    found = listed(cli)
    for one in found:
        assert {"name", "lat", "lon", "tags", "answers", "source"} <= set(one)
        assert set(one["answers"]) == WHATS and set(one["answers"].values()) <= {"yes", "no", "ask"}
    tap = next(p for p in found if p["ref"] == "node/104")
    assert (tap["name"], tap["lat"], tap["lon"], tap["source"]) == (None, 38.57, -109.52, "valley.geojson")
    assert tap["tags"] == {"amenity": "drinking_water"} and tap["answers"]["fresh"] == "ask"
    here = next(p for p in found if p["name"] == "Here")
    assert (here["lat"], here["lon"], here["source"]) == (None, None, "me")


def test_a_partial_file_is_read_and_the_rest_said(cli: Runner) -> None:
    """What can be read is kept with status 0; what is left out is a sentence on stderr."""
    said = cli("place", "import", VALLEY)
    assert said.status == 0 and said.out.startswith("6 places read: 6 new")
    assert "Off the globe" in said.err and "OpenStreetMap" in said.err


def test_a_second_import_updates(cli: Runner, tmp_path: Path) -> None:
    """The same file changes nothing, not even for undo; a newer one updates its places; undo brings the old ones back."""
    cli("place", "import", VALLEY)
    assert "0 new, 0 brought up to date, 6 as before" in cli("place", "import", VALLEY).out
    newer = tmp_path / "newer.geojson"
    text = Path(VALLEY).read_text(encoding="utf-8")
    newer.write_text(text.replace('"sanitary_dump_station:grey_water": "yes", "fee"', '"fee"'), encoding="utf-8")
    assert cli("place", "import", str(newer)).status == 0
    assert answers(cli, "North dump")["grey"] == "ask" and len(listed(cli)) == 6
    assert cli("undo").status == 0
    assert answers(cli, "North dump")["grey"] == "yes" and len(listed(cli)) == 6
    assert cli("undo").status == 0
    assert listed(cli) == []


def test_confirmations_outlive_an_import(cli: Runner) -> None:
    """The person's own word beats the tags, stays through a second import, and comes back with a place taken in again."""
    cli("place", "import", VALLEY)
    assert cli("place", "confirm", "Silent", "dump", "gray", "water", "yes", "--note", "asked the warden").status == 0
    assert answers(cli, "Silent dump")["grey"] == "yes"
    cli("place", "import", VALLEY)
    assert answers(cli, "Silent dump")["grey"] == "yes"
    assert "asked the warden" in cli("place", "show", "silent").out
    cli("undo")
    assert answers(cli, "Silent dump")["grey"] == "ask"


def test_a_closed_place_is_noted_in_one_go(cli: Runner) -> None:
    """`all no` says so of everything that might be had there, and of nothing else; where nothing is, it is refused."""
    cli("place", "import", VALLEY)
    assert cli("place", "confirm", "Silent dump", "all", "no", "--note", "gate locked").status == 0
    assert answers(cli, "Silent dump") == {**dict.fromkeys(WHATS, "ask"), "grey": "no", "toilet": "no"}
    assert cli("place", "confirm", "node/105", "all", "no").status == 1


def test_the_newest_word_counts_and_fades(cli: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    """A later no beats an earlier yes, whichever was typed first; after two years it is "ask" again (common practice)."""
    cli("place", "add", "Mill")
    cli("place", "confirm", "Mill", "gray", "no", "--note", "closed")
    cli("place", "confirm", "Mill", "gray", "yes", "--at", "5 days ago")
    assert answers(cli, "Mill")["grey"] == "no"
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", "2028-06-01T08:00:00-06:00")
    assert answers(cli, "Mill")["grey"] == "ask"


def test_a_dump_and_a_fill_confirm_their_place(ready: Runner) -> None:
    """Noted at a place, they make it yes without another word, remember the price, and go with the entry."""
    ready("place", "import", VALLEY)
    ready("dump", "gray", "--place", "Silent dump", "--paid", "4")
    ready("fill", "water", "--place", "Unmapped spring")
    ready("exchange", "propane", "--place", "Corner shop", "--paid", "24")
    assert answers(ready, "Silent dump")["grey"] == "yes"
    assert answers(ready, "Unmapped spring")["fresh"] == "yes"
    assert answers(ready, "Corner shop")["propane"] == "yes"
    page = ready("place", "show", "Silent dump").out
    assert "Paid $4.00 today" in page and "Dumped gray empty" in page and "ring the bell" in page
    ready("undo")
    assert all(p["name"] != "Corner shop" for p in listed(ready))


def test_a_place_known_from_an_entry_becomes_one_of_its_own(ready: Runner) -> None:
    """It can be confirmed, and gets coordinates by adding it, without doubling."""
    ready("fill", "water", "--place", "Spring")
    assert ready("place", "confirm", "spring", "gray", "no").status == 0
    assert ready("place", "add", "Spring", "--lat", "38.5", "--lon", "-109.5").out.startswith("Brought up to date")
    assert [(p["name"], p["lat"], p["answers"]["fresh"]) for p in listed(ready)] == [("Spring", 38.5, "yes")]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["add", "A", "--lat", "95", "--lon", "3"], "exchanged"),
        (["add", "A", "--lat", "0", "--lon", "0"], "0,0"),
        (["add", "A", "--lat", "38,5", "--lon", "3"], "decimal numbers"),
        (["add", "A", "--lat", "38"], "both --lat and --lon"),
        (["add", "A", "--gives", "beer"], "'beer' is nothing a place gives"),
        (["add", "\u202e"], "needs a name"),
        (["add", "x" * 300], "too long"),
        (["confirm", "Nowhere", "gray", "yes"], "no place 'Nowhere'"),
        (["confirm", "Twin", "gray", "yes"], "node/105"),
        (["confirm", "North dump", "beer", "yes"], "'beer'"),
        (["confirm", "North dump", "gray", "yes", "--at", "2027-01-01"], "clock"),
        (["show", "no such"], "no place"),
        (["here", "Twin"], "2 places"),
        (["here", "North dump", "--odometer", "a lot"], "odometer"),
        (["import", "missing.gpx"], "no file"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(cli: Runner, words: list[str], says: str) -> None:
    """Status 1, one sentence, and the places are as they were."""
    cli("place", "import", VALLEY)
    before = listed(cli)
    said = cli("place", *words)
    assert (said.status, said.out) == (1, "") and says in said.err and said.err.count("\n") == 1
    assert listed(cli) == before


@pytest.mark.parametrize(
    "words", [[], ["fly"], ["add"], ["confirm", "North dump", "gray"], ["confirm", "A", "gray", "maybe"], ["list", "x"],
              ["import"], ["export"], ["show"], ["here"], ["add", "A", "--colour", "red"]],
)  # fmt: skip
def test_wrong_use_is_status_two(cli: Runner, words: list[str], db: Path) -> None:
    """A command typed wrongly names its help and makes no log."""
    said = cli("place", *words)
    assert said.status == 2 and "--help" in said.err and not db.exists()


@pytest.mark.parametrize(
    "data",
    [b"", b"hello", b'{"type": "FeatureCollection", "features": []}', b"<gpx><wpt lat='95'/></gpx>", b"PK\x03\x04junk",
     b'<!DOCTYPE x [<!ENTITY a "b">]><gpx>&a;</gpx>'],
)  # fmt: skip
def test_nothing_readable_is_status_one(cli: Runner, data: bytes) -> None:
    """Files that hold no place are refused with a reason, and nothing is kept."""
    said = cli("place", "import", "-", stdin=data)
    assert said.status == 1 and said.err.strip() and "went wrong" not in said.err
    assert listed(cli) == []


def test_an_export_comes_back_whole(cli: Runner, tmp_path: Path) -> None:
    """GeoJSON out and in again elsewhere: the same places, tags and licences; GPX carries those with a point."""
    cli("place", "import", VALLEY)
    cli("place", "add", "Barn", "--lat", "38.1", "--lon", "-109.1", "--note", "ask for Jo")
    out = tmp_path / "mine.geojson"
    assert cli("place", "export", str(out)).status == 0
    assert cli("place", "export", str(out)).status == 0, "an earlier export may be written over"
    other = tmp_path / "other.db"
    assert cli("place", "import", str(out), log=other).status == 0
    again = json.loads(cli("place", "list", "--json", log=other).out)
    keys = ("name", "lat", "lon", "answers", "licence", "note", "ref", "source")
    assert [[p[k] for k in keys] for p in again] == [[p[k] for k in keys] for p in listed(cli)]
    assert all(a["tags"] == b["tags"] | {"name": a["name"]} or a["tags"] == b["tags"]
               for a, b in zip(again, listed(cli), strict=True))  # fmt: skip
    gpx = cli("place", "export", "-", "--gpx").out
    assert gpx.count("<wpt ") == 7 and "OpenStreetMap contributors" in gpx


def test_an_export_spares_other_files(cli: Runner, tmp_path: Path) -> None:
    """A file that is no map is not written over."""
    mine = tmp_path / "letter.txt"
    mine.write_text("dear", encoding="utf-8")
    assert cli("place", "export", str(mine)).status == 1
    assert mine.read_text(encoding="utf-8") == "dear"


def test_names_from_files_do_nothing_to_a_terminal(cli: Runner) -> None:
    """Escape sequences and direction marks in names and notes never reach the screen."""
    bad = ('{"type": "Feature", "geometry": {"type": "Point", "coordinates": [1, 2]}, '
           '"properties": {"name": "a\\u001b[2Jb\\u202ec"}}')  # fmt: skip
    assert cli("place", "import", "-", stdin=bad).status == 0
    said = cli("place", "list").out + cli("place", "show", "2,1").out
    assert "\x1b" not in said and "\u202e" not in said and "a[2Jbc" in said


@pytest.mark.parametrize("name", ["osm/liechtenstein-2022.osm", "osm/liechtenstein-2022.overpass.json",
                                  "geojson/liechtenstein-2022.geojson"])  # fmt: skip
def test_a_whole_country(cli: Runner, shared: Path, name: str) -> None:
    """79 places from each of three formats (places.md section 4); its only dump station does not say gray: "ask"."""
    path = shared / "samples" / name
    if not path.exists():
        pytest.skip(f"the sample {name} is not beside the project")
    assert cli("place", "import", str(path)).status == 0
    assert len(listed(cli)) == 79
    station = next(p for p in listed(cli) if p["ref"] == "node/8850402432")
    assert station["answers"]["grey"] == "ask" and station["answers"]["toilet"] == "yes"
    assert "kein Grauwasser" in cli("place", "show", "node/8850402432").out
    assert "79 as before" in cli("place", "import", str(path)).out


def test_every_malformed_sample_ends_in_a_sentence(cli: Runner, shared: Path) -> None:
    """Each odd file of the samples is read (0) or refused (1) with words; no other end."""
    files = [p for folder in ("gpx_bad", "geojson_bad", "osm_bad") for p in sorted((shared / "samples" / folder).glob("*"))]
    if not files:
        pytest.skip("the samples are not beside the project")
    for path in files:
        said = cli("place", "import", str(path))
        assert said.status in (0, 1) and "went wrong" not in said.err, path.name
        assert said.out.count("\n") == 1 if said.status == 0 else said.err.strip(), path.name


def test_merged_logs_bring_their_places(ready: Runner, tmp_path: Path, rig_file: Path) -> None:
    """What another log knows of places comes along with `merge`."""
    other = tmp_path / "other.db"
    ready("rig", "load", str(rig_file), log=other)
    ready("place", "add", "Old Mill", "--gives", "gray", log=other)
    assert ready("merge", str(other)).status == 0
    assert answers(ready, "Old Mill")["grey"] == "yes"


def test_what_was_paid_is_offered_at_the_next_fill_there(ready: Runner) -> None:
    """A fill noted at a place without a price is told what it cost the last time, by amount; elsewhere nothing is said."""
    ready("fill", "water", "8", "gal", "--place", "Old Mill", "--paid", "3.00", "--at", "3 days ago")
    said = ready("fill", "water", "4", "gal", "--place", "old mill")
    assert "$3.00 for 8 gal ($0.38/gal)" in said.err and said.status == 0
    assert "Last time" not in ready("fill", "water", "3", "gal", "--place", "Red Rock").err
    assert "Last time" not in ready("fill", "water", "4", "gal", "--place", "Old Mill", "--paid", "1.50").err


def test_a_name_has_a_letter_or_a_digit(ready: Runner) -> None:
    """Signs alone are no name, for a place and for an entry at one; nothing is kept of it."""
    for words in ("place add ???", "fill water --place ???"):
        said = ready(*words.split())
        assert said.status == 1 and "letters or digits" in said.err, words
    assert listed(ready) == []
    assert ready("place", "add", "\u6e29\u6cc9", "7").status == 0


def test_a_symbol_for_water_is_a_hint(cli: Runner) -> None:
    """A waypoint that is only marked with a symbol is ask, and is found when looking for water."""
    point = '<wpt lat="38.6" lon="-109.5"><name>W12</name><sym>Drinking Water</sym></wpt>'
    fall = '<wpt lat="38.7" lon="-109.5"><name>Falls</name><sym>Waterfall</sym></wpt>'
    assert cli("place", "import", "-", stdin=f'<gpx version="1.1" creator="me">{point}{fall}</gpx>').status == 0
    assert answers(cli, "W12")["fresh"] == answers(cli, "Falls")["fresh"] == "ask"
    assert "Marked 'Drinking Water' in the file" in cli("place", "show", "W12").out
    assert [one["name"] for one in listed(cli, "--gives", "water")] == ["W12"]


def test_the_fee_is_said_once(cli: Runner) -> None:
    """A page tells the map's fee among its tags, not under every supply; what was paid stands with the supply."""
    cli("place", "import", VALLEY)
    cli("place", "confirm", "North dump", "gray", "yes", "--paid", "6")
    said = cli("place", "show", "North dump").out
    assert said.count("5.00 USD") == 1 and "fee = yes" in said and "Paid $6.00 today." in said
