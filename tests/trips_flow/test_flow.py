"""Trips through the command line: loaded, planned with the person's own numbers, changed on the way, given out."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import gpxpy
import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.conftest import Runner
from tests.trip.files import GOOD
from tests.trips_flow.files import LOG, PINNED, TRIP, changed
from vanlife_supply.constants import LITRES_PER_GALLON
from vanlife_supply.keeping import now_of
from vanlife_supply.logbook import Logbook
from vanlife_supply.travelling import known
from vanlife_supply.trip.chance import Span
from vanlife_supply.trip.load import load
from vanlife_supply.wording.trip_files import _escaped, _folded

Clock = Callable[[str], None]


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """Sets the time."""
    return lambda when: monkeypatch.setenv("VANLIFE_SUPPLY_NOW", when)


@pytest.fixture
def lived(ready: Runner) -> Runner:
    """A log of two weeks in which water and gray are known, alcohol hardly, propane not at all."""
    assert ready("import", "-", stdin=LOG).status == 0
    return ready


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The trip in a file, with the numbers of water and gray said."""
    path = tmp_path / "trip.toml"
    path.write_text(PINNED, encoding="utf-8")
    return path


@pytest.fixture
def own(file: Path) -> Path:
    """The trip in a file, all its numbers from rig and log."""
    file.write_text(TRIP, encoding="utf-8")
    return file


def planned(cli: Runner, *words: str) -> dict[str, Any]:
    """The plan as JSON."""
    found: dict[str, Any] = json.loads(cli("plan", *words, "--json").out)
    return found


def supply(plan: dict[str, Any], name: str) -> dict[str, Any]:
    return next(s for s in plan["supplies"] if s["supply"] == name)


# --- kept in the log


def test_a_trip_is_loaded_listed_shown_and_planned_by_name(lived: Runner, file: Path) -> None:
    """Its file is kept as it was; its name in small letters will do."""
    said = lived("trip", "load", str(file))
    assert said.status == 0 and said.out == "Loaded: two valleys: 9 nights from Thu 7 May 2026, 2 stays.\n"
    assert lived("trip", "list").out == "two valleys: 9 nights from Thu 7 May 2026, 2 stays\n"
    assert lived("trip", "show", "two", "valleys").out == PINNED
    file.unlink()
    assert planned(lived, "Two Valleys")["status"] == "optimal"


def test_a_load_is_undone_and_done_again(lived: Runner, file: Path) -> None:
    """One act: undo brings back the trip as it was before, then takes it away; --again brings it back."""
    lived("trip", "load", str(file))
    file.write_text(changed("nights = 5", "nights = 8"), encoding="utf-8")
    said = lived("trip", "load", str(file)).out
    assert said.startswith("Loaded: two valleys: 12 nights")
    assert "It replaces the trip of that name (9 nights from Thu 7 May 2026); 'undo' brings that one back.\n" in said
    assert lived("undo").out == "Taken back: 1 trip (two valleys).\n"
    assert "9 nights" in lived("trip", "list").out
    lived("undo")
    assert lived("trip", "list").out == ""
    lived("undo", "--again")
    assert "9 nights" in lived("trip", "list").out


def test_a_trip_without_a_name_takes_that_of_its_file(lived: Runner, file: Path) -> None:
    """Or the one given."""
    file.write_text(changed('name = "two valleys"\n', ""), encoding="utf-8")
    assert lived("trip", "load", str(file)).out.startswith("Loaded: trip: ")
    assert lived("trip", "load", str(file), "--name", "west").out.startswith("Loaded: west: ")


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("trip",), 2, "say load, list, show or closed"),
        (("trip", "load", "nowhere.toml"), 1, "There is no file nowhere.toml"),
        (("trip", "show", "two valeys"), 1, "did you mean 'two valleys'"),
        (("plan", "two valeys"), 1, "did you mean 'two valleys'"),
        (("trip", "closed", "two valleys", "frm"), 1, "did you mean 'farm'"),
        (("trip", "closed", "two valleys", "farm", "--open"), 1, "counts as open"),
        (("plan", "two valleys", "--without", "frm"), 1, "did you mean 'farm'"),
        (("plan", "two valleys", "--json", "--csv", "-"), 2, "one thing at a time"),
    ],
)
def test_slips_are_named(lived: Runner, file: Path, words: tuple[str, ...], status: int, said: str) -> None:
    """One sentence, with the nearest that is known."""
    lived("trip", "load", str(file))
    told = lived(*words)
    assert (told.status, told.out) == (status, "") and said in told.err


def test_the_same_file_twice_is_no_second_act(lived: Runner, file: Path) -> None:
    """Loaded already, exactly so."""
    lived("trip", "load", str(file))
    assert lived("trip", "load", str(file)).status == 1


def test_a_bad_trip_is_not_kept(lived: Runner, file: Path) -> None:
    """What cannot be planned is refused when it is loaded."""
    file.write_text(changed("nights = 5", "nights = -1"), encoding="utf-8")
    assert lived("trip", "load", str(file)).status == 1
    assert lived("trip", "list").out == ""


def test_trips_travel_with_a_merge(lived: Runner, file: Path, tmp_path: Path, db: Path) -> None:
    """Another device that takes this log over has the trip too."""
    lived("trip", "load", str(file))
    other = tmp_path / "other.db"
    lived("merge", str(db), log=other)
    assert "two valleys" in lived("trip", "list", log=other).out


# --- the person's own numbers


def test_levels_and_use_are_those_of_the_forecast(lived: Runner, own: Path) -> None:
    """What `days` shows is what the plan starts from: usable level, room, use a night."""
    days = json.loads(lived("days", "--json").out)
    told = {s["supply"]: s for s in days["supplies"]}
    found = planned(lived, str(own))
    fresh = supply(found, "fresh")
    assert fresh["start"] == pytest.approx(told["fresh"]["level"]["p50"], rel=0.03)
    assert fresh["use_per_night"] == pytest.approx(told["fresh"]["use_per_day"]["p50"], rel=0.1)
    gray = supply(found, "grey")
    assert gray["start"] == pytest.approx(told["grey"]["level"]["p50"], rel=0.15)
    assert {s["supply"] for s in found["supplies"]} == {"fresh", "grey", "stove_fuel"}, "nothing is known of propane"
    assert "Nothing is known of propane yet" in lived("plan", str(own)).err


def test_the_chance_of_an_interval_is_near_that_of_the_forecast(lived: Runner, own: Path) -> None:
    """That gray holds from now to noon of the fourth day: the plan and `days` with a dump planned then agree."""
    lived("planned", "dump", "gray", "--at", "2026-05-11T12:00")
    days = json.loads(lived("days", "--json").out)
    gray = next(s for s in days["supplies"] if s["supply"] == "grey")
    holds = 1.0 - gray["planned"]["chance_fails_before"]
    own.write_text(changed('id = "camp"\nstay = 1', 'id = "camp"\nstay = 1\nwhen = "depart"', TRIP), encoding="utf-8")
    (first, *_) = supply(planned(lived, str(own)), "grey")["intervals"]
    assert first["to"].endswith("@4") and first["p"] == pytest.approx(holds, abs=0.03)


def test_single_numbers_of_the_file_go_before_the_log(lived: Runner, own: Path) -> None:
    """[assume.X] overrides one number and leaves the others; with start and mean it makes up for a silent log."""
    own.write_text(TRIP + "[assume.fresh]\nmean = 9.0\n[assume.propane]\nstart = 5.0\nmean = 0.3\n", encoding="utf-8")
    found = planned(lived, str(own))
    assert supply(found, "fresh")["use_per_night"] == 9.0
    assert 30.0 < supply(found, "fresh")["start"] < 2 * 7 * LITRES_PER_GALLON
    assert (supply(found, "propane")["start"], supply(found, "propane")["use_per_night"]) == (5.0, 0.3)


def test_people_and_conditions_of_a_stay_become_factors(lived: Runner, db: Path) -> None:
    """Two people use 2 to the power 0.9 as much water as one (the forecast's own exponent: common practice, no source)."""

    def factors(more: str) -> list[dict[str, float]]:
        with Logbook.open(db) as book:
            trip, _, _ = known(book, load(changed("nights = 5", "nights = 5\n" + more, TRIP)), now_of(book))
        return [dict(stay.factor) for stay in trip.stays]

    plain, double, saving = factors(""), factors("people = 2"), factors('people = 2\nconditions = ["saving"]')
    assert double[0] == pytest.approx(plain[0], rel=0.01), "the stay before is as it was"
    assert double[1]["fresh"] / plain[1]["fresh"] == pytest.approx(2**0.9, rel=0.02)
    assert double[1]["grey"] == double[1]["fresh"] and double[1]["stove_fuel"] == pytest.approx(plain[1]["stove_fuel"])
    assert saving[1]["fresh"] < 0.8 * double[1]["fresh"]
    own = factors("factor = { fresh = 3.0 }\npeople = 2")
    assert own[1]["fresh"] == 3.0 and own[1]["grey"] == double[1]["grey"], "what the file says goes before"


def test_what_is_left_at_the_end_is_worth_the_usual_price(lived: Runner, own: Path) -> None:
    """Money for refilling later at the median paid a litre: of 1.50 for 15 L and 3.20 for 16 L, 0.15."""
    found = planned(lived, str(own))
    last = supply(found, "fresh")["intervals"][-1]
    assert last["to"] == "end" and last["from"] != "start", "filled up on the way: what is missing is what was used since"
    assert found["cost_after_trip"] == pytest.approx(last["use"] * 0.15, rel=1e-5)


def test_a_log_that_knows_nothing_is_told_so(ready: Runner, own: Path) -> None:
    """No entry of anything: one sentence that says what to do."""
    said = ready("plan", str(own))
    assert said.status == 1 and "Nothing is known of any supply yet" in said.err


def test_a_supply_the_rig_lacks_is_refused(lived: Runner, file: Path) -> None:
    """An [assume.X] of something that is not aboard is a slip."""
    file.write_text(TRIP + "[assume.diesel]\nmean = 1.0\n", encoding="utf-8")
    said = lived("plan", str(file))
    assert said.status == 1 and "carries no diesel" in said.err


def test_a_vehicle_that_would_be_overweight_does_not_start(lived: Runner, file: Path) -> None:
    """The rating is the person's; water counts 1 kg a litre."""
    file.write_text(changed("start = 2026-05-07", "start = 2026-05-07\npayload = 40"), encoding="utf-8")
    said = lived("plan", str(file))
    assert said.status == 1 and "may carry 40 kg" in said.err


# --- on the way


def test_a_started_trip_goes_on_from_today(lived: Runner, file: Path, clock: Clock) -> None:
    """On its third day it knows where it is, and no stop lies in the past."""
    lived("trip", "load", str(file))
    clock("2026-05-09T19:10:00-06:00")
    said = lived("plan", "two valleys")
    assert "Today at the lake, night 3 of 4; 7 nights to go." in said.out
    found = planned(lived, "two valleys")
    assert found["today"] == 2 and all(visit["day"] >= 2 for visit in found["visits"])
    clock("2026-05-30T19:10:00-06:00")
    over = lived("plan", "two valleys")
    assert over.status == 1 and "ended on 2026-05-16" in over.err


def test_a_trip_ahead_starts_with_what_will_be_left(lived: Runner, own: Path) -> None:
    """Five days before the start the water of five days is taken off, and the level is less sure."""
    now = supply(planned(lived, str(own)), "fresh")
    own.write_text(changed("start = 2026-05-07", "start = 2026-05-12", TRIP), encoding="utf-8")
    later = supply(planned(lived, str(own)), "fresh")
    assert now["start"] - later["start"] == pytest.approx(4.7 * now["use_per_night"], rel=0.05)


def test_what_is_planned_before_the_start_is_counted(lived: Runner, own: Path) -> None:
    """A fill planned the day before the trip: it starts nearly full, and surer than without."""
    own.write_text(changed("start = 2026-05-07", "start = 2026-05-17", TRIP), encoding="utf-8")
    without = supply(planned(lived, str(own)), "fresh")
    lived("planned", "fill", "water", "--at", "2026-05-16T09:00")
    lived("planned", "dump", "gray", "--at", "2026-05-16T09:00")
    found = planned(lived, str(own))
    fresh, gray = supply(found, "fresh"), supply(found, "grey")
    whole = 2 * 7 * LITRES_PER_GALLON
    assert without["start"] < 0.5 * whole and fresh["start"] == pytest.approx(whole - 1.1 * fresh["use_per_night"], rel=0.05)
    assert gray["start"] < 1.3 * gray["use_per_night"]


def test_what_a_condition_does_is_not_quite_known(lived: Runner, db: Path) -> None:
    """A stay under a condition never lived with: its use is spread wider than that of a stay without."""
    with Logbook.open(db) as book:
        told, laws_of, _ = known(book, load(changed("nights = 5", 'nights = 5\nconditions = ["hot"]', TRIP)), now_of(book))
    assert told.stays[0].unsure["fresh"] == {} and told.stays[1].unsure["fresh"]["hot"] > 0.05
    plain = replace(told, stays=tuple(replace(stay, unsure={}) for stay in told.stays))
    law, other = laws_of(told)["fresh"], laws_of(plain)["fresh"]
    likely = Span(4, 9, 1.3 * law.mean(4, 9), False)
    assert law.mean(4, 9) == other.mean(4, 9) and law.chance(likely) < other.chance(likely) - 0.005


TRACK = """<?xml version="1.0"?><gpx version="1.1" creator="me" xmlns="http://www.topografix.com/GPX/1/1">
<trk><name>over the pass</name><trkseg>%s</trkseg></trk></gpx>"""


def test_legs_nobody_typed_are_measured(lived: Runner, own: Path, tmp_path: Path) -> None:
    """From point to point by the straight line with a range; along the person's own track once there is one."""
    ends = {"nights = 4\nkm = 80": "nights = 4", "nights = 5\nkm = 40": "nights = 5\nlat = 38.9\nlon = -109.5"}
    text = TRIP
    for old, new in ends.items():
        text = changed(old, new, text)
    own.write_text(text, encoding="utf-8")
    unknown, straight = planned(lived, str(own))["legs"]
    assert unknown == {"km": None, "km_band": None, "how": None}, "nobody said where the person is"
    low, high = straight["km_band"]
    assert 44.5 < low < straight["km"] < high and straight["how"] == "from the straight line"
    bends = ((38.5 + 0.01 * i, -109.5 + 0.004 * (i % 2)) for i in range(41))
    track = tmp_path / "track.gpx"
    track.write_text(TRACK % "".join(f'<trkpt lat="{a}" lon="{b}"/>' for a, b in bends), encoding="utf-8")
    assert lived("place", "import", str(track)).status == 0
    _, along = planned(lived, str(own))["legs"]
    assert along["how"] != straight["how"] and along["km_band"][1] - along["km_band"][0] < high - low
    own.write_text(TRIP, encoding="utf-8")
    assert planned(lived, str(own))["legs"][0] == {"km": 80.0, "km_band": None, "how": "as typed"}


def test_the_plan_stays_while_it_holds_and_changes_with_a_reason(lived: Runner, own: Path, clock: Clock) -> None:
    """The same evening: not a word. After a day that used far more: another stop, one sentence why."""
    lived("trip", "load", str(own))
    first = planned(lived, "two valleys")
    assert first["followed"] is None
    again = planned(lived, "two valleys")
    assert again["followed"] == {"kept": True, "dropped": [], "added": []} and again["visits"] == first["visits"]
    clock("2026-05-08T20:00:00-06:00")
    lived("reading", "gray", "4.9 gal", "--by", "stick")
    said = lived("plan", "two valleys").out.splitlines()
    assert said[2].startswith(("Room for gray is no longer sure to last under the plan before: ", "Gray now goes by "))
    assert "camp on Fri 8 May" in said[2] and said[2].endswith(".")


def test_a_place_that_did_not_work_is_left_out_at_once(lived: Runner, file: Path) -> None:
    """`trip closed` plans anew and says what takes its place; undo and --open bring it back."""
    lived("trip", "load", str(file))
    assert "camp" in lived("plan", "two valleys").out
    said = lived("trip", "closed", "two valleys", "camp")
    assert said.out.startswith("Noted: camp did not work.")
    assert "camp on Mon 11 May is not possible any more: Spring, at the pass on Mon 11 May instead of camp" in said.out
    assert [visit["place"] for visit in planned(lived, "two valleys")["visits"]] == ["spring"]
    assert lived("trip", "closed", "two valleys", "camp", "--open").status == 0
    assert "camp" not in lived("plan", "two valleys").err
    lived("undo")
    assert "camp" in lived("plan", "two valleys").err


def test_a_question_about_a_place_changes_nothing(lived: Runner, file: Path) -> None:
    """--without is asked once: the next plan has the place again, and no word of a change."""
    lived("trip", "load", str(file))
    first = planned(lived, "two valleys")
    assert planned(lived, "two valleys", "--without", "camp")["visits"] != first["visits"]
    assert planned(lived, "two valleys")["followed"]["kept"]


def test_a_stay_as_long_as_we_can(lived: Runner, file: Path) -> None:
    """The longest length that holds is taken and the curve printed; the stay limit caps it."""
    file.write_text(changed("nights = 5", 'nights = "flexible"\nmin = 2\nmax = 20\nlimit = 9'), encoding="utf-8")
    found = planned(lived, str(file))
    ((stay, lengths),) = [(one["stay"], one["lengths"]) for one in found["flexible"]]
    assert stay == 2 and [x["nights"] for x in lengths] == list(range(2, 10)) and found["nights"] == [4, 9]
    assert "As long as we can, at stay 2: 9 nights. Nights and the cost then: 2 for $" in lived("plan", str(file)).out


# --- explained, and given out


def test_the_text_is_in_the_rigs_units_and_plain_words(lived: Runner, file: Path) -> None:
    """Gallons and dollars; what binds, nights to spare, why the stop, a night more, the weight in pounds."""
    out = lived("plan", str(file)).out
    said = ("the cheapest there is", "gal", "$", "Tightest: gray", "Nights to spare: ", "Without camp: ", "the whole trip: ")
    for part in (*said, "One more night: at the lake $", "Supplies weigh at most: leg 1: ", " lb"):
        assert part in out
    assert "optimal" not in out and "infeasible" not in out and " L" not in out.replace(" Least", "")


def test_when_nothing_holds_the_cures_are_named_one_by_one(lived: Runner, file: Path) -> None:
    """No place at all: exit status 5, where it breaks, the best there is, what would mend it."""
    text = TRIP.split("[[place]]")[0].replace("nights = 5", "nights = 12")
    file.write_text(text, encoding="utf-8")
    said = lived("plan", str(file))
    assert said.status == 5 and "No plan is as sure as demanded" in said.out
    assert "Gray holds until " in said.out and "Any one of these mends it:" in said.out
    assert "% less, washing first, never the drinking" in said.out and "empty at the start" in said.out


def test_the_calendar_is_read_by_an_outside_reader(lived: Runner, file: Path, tmp_path: Path) -> None:
    """iCalendar (RFC 5545, second opinion: the icalendar package): all-day events for stays and stops, 75 octets a line."""
    out = tmp_path / "plan.ics"
    lived("plan", str(file), "--ics", str(out))
    data = out.read_bytes()
    assert data.endswith(b"END:VCALENDAR\r\n") and b"\n" not in data.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    events = {str(e["SUMMARY"]): e for e in icalendar.Calendar.from_ical(data).walk("VEVENT")}
    lake = events["4 nights at the lake"]
    assert (lake.decoded("DTSTART"), lake.decoded("DTEND")) == (date(2026, 5, 7), date(2026, 5, 11))
    (stop,) = [e for name, e in events.items() if name.startswith("camp: ")]
    assert stop.decoded("DTSTART") == date(2026, 5, 11) and "about $4.00" in str(stop["DESCRIPTION"])
    assert len({str(e["UID"]) for e in events.values()}) == len(events) == 3
    assert lived("plan", str(file), "--ics", "-").out == data.decode().replace("\r\n", "\n"), "the same again"


def test_the_map_file_is_read_by_an_outside_reader(lived: Runner, file: Path) -> None:
    """GPX (second opinion: gpxpy): stops as waypoints, stays and stops as one route; what has no point is named."""
    said = lived("plan", str(file), "--gpx", "-", "--without", "camp")
    read = gpxpy.parse(said.out)
    assert [(p.name, p.latitude, p.longitude) for p in read.waypoints] == [("Spring, at the pass", 38.6, -109.6)]
    (route,) = read.routes
    assert [p.name for p in route.points] == ["the lake", "Spring, at the pass"] and route.name == "two valleys"
    assert "Not on the map, for want of coordinates: stay 2." in said.err


def test_a_known_place_lends_its_point(lived: Runner, file: Path) -> None:
    """A stop without coordinates in the trip's file is found among the places of the log by its name."""
    lived("place", "add", "Camp", "--lat", "38.7", "--lon", "-109.7")
    read = gpxpy.parse(lived("plan", str(file), "--gpx", "-").out)
    assert [(p.name, p.latitude) for p in read.waypoints] == [("camp", 38.7)]


def test_the_table_adds_up_to_the_plan(lived: Runner, file: Path) -> None:
    """CSV: a row for each thing to do with its band; amounts are those of the plan."""
    rows = list(csv.DictReader(io.StringIO(lived("plan", str(file), "--csv", "-").out)))
    (visit,) = planned(lived, str(file))["visits"]
    assert [row["do"] for row in rows] == ["go there", "fill", "dump"]
    for row, service in zip(rows[1:], visit["services"], strict=True):
        assert float(row["amount"]) == pytest.approx(service["amount"], abs=0.005)
        assert float(row["amount_low"]) <= float(row["amount"]) <= float(row["amount_high"])
        assert (row["date"], row["place"], row["supply"]) == (visit["date"], "camp", service["supply"])


def test_an_amount_to_buy_lies_between_its_low_and_high(lived: Runner, file: Path) -> None:
    """Where no plan holds and more is used than there is, nobody can buy more than goes in: the table says so too."""
    thirsty = changed("mean = 4.0", "mean = 20.0")
    file.write_text(changed('id = "camp"\nstay = 1', 'id = "camp"\nstay = 1\nwhen = "depart"', thirsty), encoding="utf-8")
    made = lived("plan", str(file), "--csv", "-")
    rows = [row for row in csv.DictReader(io.StringIO(made.out)) if row["amount"]]
    assert made.status == 5 and any(row["supply"] == "fresh" for row in rows)
    for row in rows:
        assert float(row["amount_low"]) <= float(row["amount"]) <= float(row["amount_high"])


def test_files_are_written_whole_and_nothing_else_is_written_over(lived: Runner, file: Path, tmp_path: Path) -> None:
    """A calendar replaces a calendar; a file of another kind stays, and the plan is not printed."""
    out = tmp_path / "plan.ics"
    for _ in range(2):
        said = lived("plan", str(file), "--ics", str(out))
        assert (said.status, said.out) == (0, "") and out.read_bytes().startswith(b"BEGIN:VCALENDAR")
    assert lived("plan", str(file), "--csv", str(file)).status == 1
    assert file.read_text(encoding="utf-8") == PINNED


def test_a_trip_with_numbers_of_its_own_needs_no_log(cli: Runner, tmp_path: Path, db: Path) -> None:
    """[assume]: text in litres, no log is made, the files are written all the same."""
    path = tmp_path / "good.toml"
    path.write_text(GOOD, encoding="utf-8")
    said = cli("plan", str(path))
    assert said.status == 0 and " L" in said.out and "kg" in said.out
    assert cli("plan", str(path), "--ics", "-").out.startswith("BEGIN:VCALENDAR") and not db.exists()


def test_people_of_a_trip_with_its_own_numbers_are_refused(cli: Runner, tmp_path: Path) -> None:
    """Without a log nobody knows what two people use."""
    path = tmp_path / "good.toml"
    path.write_text(GOOD.replace("nights = 6", "nights = 6\npeople = 2"), encoding="utf-8")
    said = cli("plan", str(path))
    assert said.status == 1 and "people and conditions need rig and log" in said.err


@given(st.text(max_size=200))
def test_any_text_survives_escaping_and_folding(text: str) -> None:
    """What a person calls a place comes out of the calendar as it went in, control characters apart."""
    plain = "".join(ch for ch in text if ch.isprintable())
    lines = "".join(f"{line}\r\n" for line in _folded(f"SUMMARY:{_escaped(plain)}"))
    whole = f"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n{lines}END:VEVENT\r\nEND:VCALENDAR\r\n"
    (event,) = icalendar.Calendar.from_ical(whole.encode("utf-8", "replace")).walk("VEVENT")
    assert str(event["SUMMARY"]) == plain.encode("utf-8", "replace").decode()


def test_the_trip_in_the_readme_can_be_planned(lived: Runner, tmp_path: Path) -> None:
    """What the README shows is a trip as it stands."""
    text = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
    path = tmp_path / "trip.toml"
    path.write_text("schema = 1" + text.split("```toml\nschema = 1")[1].split("```")[0], encoding="utf-8")
    said = lived("plan", str(path))
    assert said.status in (0, 5) and said.out.startswith("canyons: ") and "As long as we can, at the river: " in said.out
