"""Where to go, at the latest when, what to do there; and the town list."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import NOW, Runner

VALLEY = str(Path(__file__).parent / "data" / "valley.geojson")


@pytest.fixture
def thirsty(ready: Runner) -> Runner:
    """A log whose gray is at 80 % and whose water is half gone; no place is known."""
    for words in ("fill water --at|3 days ago", "dump --at|3 days ago", "reading gray 80%", "reading water half",
                  "fill alcohol", "reading propane 37 lb gross"):  # fmt: skip
        head, _, tail = words.partition("|")
        assert ready(*head.split(), *([tail] if tail else [])).status == 0
    return ready


def stop(cli: Runner) -> dict[str, Any]:
    """`next-stop --json`."""
    found: dict[str, Any] = json.loads(cli("next-stop", "--json").out)
    return found


def name(cli: Runner) -> str | None:
    """The place of the next stop."""
    found: str | None = stop(cli)["place"]["name"]
    return found


def deed(found: dict[str, Any], what: str) -> dict[str, Any]:
    """What is to be done there about one thing."""
    task: dict[str, Any] = next(t for t in found["do"] if t["what"] == what)
    return task


def test_without_places_it_says_how_to_add_one(thirsty: Runner) -> None:
    """Nothing to say is null for programs, and the way to begin for people; `days` says null."""
    assert stop_is_null(thirsty)
    assert "place add" in thirsty("next-stop").err
    assert json.loads(thirsty("days", "--json").out)["next_stop"] is None


def stop_is_null(cli: Runner) -> bool:
    """Whether there is nothing to say."""
    return cli("next-stop", "--json").out == "null\n"


def test_without_a_rig_it_is_refused(cli: Runner) -> None:
    """Places alone tell nothing of when: status 1 naming `rig load`."""
    cli("place", "add", "Old Mill", "--gives", "gray")
    for command in ("next-stop", "town"):
        said = cli(command)
        assert said.status == 1 and "rig load" in said.err


def test_without_levels_nothing_calls_for_a_stop(ready: Runner) -> None:
    """A rig and a place but no entry: null, and what to note."""
    ready("place", "add", "Old Mill", "--gives", "gray")
    assert stop_is_null(ready) and "note what is full" in ready("next-stop").err


def test_the_latest_time_is_what_may_be_counted_on(thirsty: Runner) -> None:
    """`by` is the p10 of what runs out first, the same as in `days`, which carries the same object."""
    thirsty("place", "add", "Old Mill", "--gives", "water,gray")
    found, days = stop(thirsty), json.loads(thirsty("days", "--json").out)
    grey = next(s for s in days["supplies"] if s["supply"] == "grey")
    ahead = (datetime.fromisoformat(found["by"]) - datetime.fromisoformat(NOW)).total_seconds() / 86_400
    assert found["because"] == "grey" and ahead == pytest.approx(grey["days_left"]["p10"], abs=1e-3)
    assert days["next_stop"] == found
    assert [t["what"] for t in found["do"]] == ["grey", "fresh"], "dump first, then water"
    assert deed(found, "grey")["amount"] == pytest.approx(grey["level"]["p50"], abs=1e-3)


def test_only_the_persons_own_yes_is_certain(thirsty: Runner) -> None:
    """The map's yes comes before its silence and is not certain; a confirmed dump comes before a nearer one on the map."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "node/104")
    found = stop(thirsty)
    assert found["place"]["name"] == "North dump" and found["certain"] is False
    assert deed(found, "grey")["answer"] == "yes" and deed(found, "grey")["confirmed"] is False
    thirsty("place", "confirm", "Far dump", "gray", "yes")
    assert name(thirsty) == "Far dump" and deed(stop(thirsty), "grey")["confirmed"] is True
    thirsty("place", "confirm", "Far dump", "water", "yes")
    assert stop(thirsty)["certain"] is True


def test_a_place_that_failed_gives_way_at_once(thirsty: Runner) -> None:
    """Noting that it did not work names the next place; the last resort is an "ask" and shown as such."""
    thirsty("place", "import", VALLEY)
    for spot in ("North dump", "Far dump"):
        thirsty("place", "confirm", spot, "gray", "yes")
    thirsty("place", "here", "node/104")
    first = stop(thirsty)
    assert first["place"]["name"] == "North dump" and first["runner_up"]["place"]["name"] == "Far dump"
    assert "Far dump" in first["if_closed"] and first["onward"]["likely_km"] > 11.1
    said = thirsty("place", "confirm", "North dump", "gray", "no", "--note", "closed")
    assert "Next stop: Far dump" in said.out
    said = thirsty("place", "confirm", "Far dump", "gray", "no", "--note", "broken")
    assert "Next stop: Silent dump" in said.out and "dump gray (ask)" in said.out
    assert "ring the bell" in thirsty("next-stop").out
    said = thirsty("place", "confirm", "Silent dump", "gray", "no")
    assert "Next stop: drinking water (node/104)" in said.out and "fill water (ask)" in said.out
    assert [(other["what"], other["place"]) for other in stop(thirsty)["not_here"]] == [("grey", None)]
    assert "Not there: dump gray, by" in thirsty("next-stop").out
    assert thirsty("rig", "change", "units", "metric").status == 0
    assert "Not there: dump grey, by" in thirsty("next-stop").out


def test_a_stop_saved_is_worth_a_detour(thirsty: Runner) -> None:
    """Of two dumps the one that has water too is chosen, though it is 11 km farther."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "node/104")
    assert name(thirsty) == "North dump"
    thirsty("place", "confirm", "Far dump", "water", "yes")
    assert name(thirsty) == "Far dump"


def test_distance_is_used_only_when_the_position_was_said(thirsty: Runner) -> None:
    """Unknown: null and how to say it. Said: a range that says how it is known, and the nearer place wins."""
    thirsty("place", "import", VALLEY)
    assert stop(thirsty)["distance"] is None and stop(thirsty)["position"] is None
    assert "place here" in thirsty("next-stop").out
    thirsty("place", "add", "Camp", "--lat", "38.72", "--lon", "-109.5")
    thirsty("place", "here", "Camp", "--at", "2h ago")
    found = stop(thirsty)
    assert found["place"]["name"] == "Far dump" and found["distance"]["how"] == "from the straight line"
    straight = 0.02 * 111.195  # km to a degree of latitude on the mean sphere
    assert found["distance"]["low_km"] == pytest.approx(1.14 * straight, rel=0.01)
    assert found["distance"]["high_km"] == pytest.approx(1.85 * straight, rel=0.01)
    thirsty("undo")
    assert stop(thirsty)["distance"] is None


def test_an_entry_at_a_place_says_where_one_was(thirsty: Runner) -> None:
    """The place of the newest entry is the position, until something newer is said."""
    thirsty("place", "import", VALLEY)
    thirsty("note", "hello", "--place", "Silent dump")
    assert stop(thirsty)["position"]["name"] == "Silent dump"


def test_the_odometer_is_better_than_the_straight_line(thirsty: Runner) -> None:
    """Two readings at two places make a leg; the way between them is then known by the odometer."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "North dump", "--odometer", "1000 km", "--at", "5h ago")
    thirsty("place", "here", "Far dump", "--odometer", "1019 km", "--at", "4h ago")
    thirsty("place", "confirm", "Far dump", "gray", "no")
    found = stop(thirsty)
    assert found["place"]["name"] == "North dump"
    assert found["distance"] == {"low_km": 19.0, "likely_km": 19.0, "high_km": 19.0, "how": "by your odometer, once"}


def test_a_driven_track_is_better_still(thirsty: Runner) -> None:
    """Along the person's own dense track the distance is its length (times 1.04 for points under 150 m apart)."""
    thirsty("place", "import", VALLEY)
    points = "".join(f'<trkpt lat="{38.6 + i / 1000:.3f}" lon="-109.5"/>' for i in range(101))
    track = f'<gpx version="1.1"><trk><name>road</name><trkseg>{points}</trkseg></trk></gpx>'
    assert "1 line to measure along" in thirsty("place", "import", "-", stdin=track).out
    thirsty("place", "here", "Far dump")
    thirsty("place", "confirm", "Far dump", "gray", "no")
    road = stop(thirsty)["distance"]
    assert road["how"] == "from your track" and road["likely_km"] == pytest.approx(11.1195 * 1.04, rel=0.001)


def test_what_it_cost_is_remembered(thirsty: Runner) -> None:
    """The person's last price comes with its day, the map's fee with its words."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "North dump")
    cost = deed(stop(thirsty), "grey")["cost"]
    assert cost["paid"] is None and cost["text"] == "fee yes; 5.00 USD"
    thirsty("dump", "gray", "1 gal", "--place", "North dump", "--paid", "6", "--at", "20 days ago")
    thirsty("place", "confirm", "North dump", "gray", "yes", "--paid", "7.50", "--at", "yesterday")
    cost = deed(stop(thirsty), "grey")["cost"]
    assert (cost["paid"], cost["currency"], cost["on"][:10]) == ("7.50", "USD", "2026-05-06")


def test_in_the_cold_taps_may_be_shut_off(thirsty: Runner) -> None:
    """While a cold spell is noted, water at a place without hours is asked about for frost; without it nothing is said."""
    thirsty("place", "add", "Old Mill", "--gives", "water,gray")
    assert "frost" not in thirsty("next-stop").out
    thirsty("condition", "cold", "--until", "in 20 days")
    assert "Open? Ask: taps may be shut off in frost" in thirsty("next-stop").out


def test_a_planned_dump_at_an_unsure_place_is_doubted(thirsty: Runner) -> None:
    """A plan that counts on a place nobody confirmed is said to be uncertain, until it is confirmed."""
    thirsty("place", "import", VALLEY)
    thirsty("planned", "dump", "gray", "--at", "mon", "--place", "Silent dump")
    assert [d["place"] for d in stop(thirsty)["doubts"]] == ["Silent dump"]
    assert "is not certain" in thirsty("next-stop").out
    thirsty("place", "confirm", "Silent dump", "gray", "yes")
    assert stop(thirsty)["doubts"] == []


def test_cautions_stand_beside_the_deed(thirsty: Runner) -> None:
    """Gray: local rules decide. Water nobody vouches for: never called safe."""
    thirsty("place", "import", VALLEY)
    assert "Local rules decide where gray water may go." in thirsty("next-stop").out
    for spot in ("North dump", "Far dump", "Silent dump"):
        thirsty("place", "confirm", spot, "gray", "no")
    said = thirsty("next-stop").out
    assert "fill water (ask)" in said and "not called safe" in said and " safe to drink" not in said


def test_as_of_an_earlier_time_later_findings_are_not_known(thirsty: Runner) -> None:
    """`days --as-of` sees only what had been found out by then."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "North dump", "--at", "3h ago")
    assert name(thirsty) == "North dump"
    thirsty("place", "confirm", "Far dump", "gray", "yes", "--at", "1h ago")
    told = [json.loads(line) for line in thirsty("days", "--json", "--as-of", "2h ago", "--as-of", "now").out.splitlines()]
    assert [one["next_stop"]["place"]["name"] for one in told] == ["North dump", "Far dump"]


def test_days_load_no_place_code_without_places(program: Runner, rig_file: Path, db: Path) -> None:
    """A log without places pays nothing for them; noting at a place never does."""
    program("rig", "load", str(rig_file))
    probe = ("import sys; from vanlife_supply.__main__ import main; main(sys.argv[1:]); "
             "print([n for n in sys.modules if '.place' in n or 'resupply' in n], file=sys.stderr)")  # fmt: skip
    for words in (["fill", "water"], ["days", "--json"], ["dump", "--place", "Old Mill"]):
        command = [sys.executable, "-c", probe, "--db", str(db), *words]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert done.stderr.splitlines()[-1] == "[]", words


def test_the_town_list_fits_a_photo(thirsty: Runner) -> None:
    """At most 40 columns; dump before water before fuel; only what needs it; then what one may count on."""
    thirsty("place", "add", "A place with a name that is quite long for a small screen", "--gives", "gray,water")
    text = thirsty("town").out
    assert max(map(len, text.splitlines())) <= 40
    assert text.index("1 DUMP") < text.index("2 WATER")
    assert "sink jug" in text and "After this count on" in text and "Enough:" in text and "local rules" in text.lower()


def test_the_town_list_says_where_to_ask_first(thirsty: Runner) -> None:
    """A place that is only "ask" is marked so on the list too."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "North dump")
    assert "Where: North dump\n" in thirsty("town").out
    for spot in ("North dump", "Far dump"):
        thirsty("place", "confirm", spot, "gray", "no")
    assert "Where: Silent dump (ask first)\n" in thirsty("town").out


def test_what_ends_on_a_date_stands_on_the_town_list(thirsty: Runner) -> None:
    """Food that ends first has its line, and what one may count on after ends with it though all the rest was done."""
    assert thirsty("limit", "food", "--at", "sat noon").status == 0
    said = " ".join(thirsty("town").out.split())
    assert "Food: you said till Sat 9 May." in said
    assert "After this count on 40 hours; food comes first, till Sat 9 May." in said
    told = json.loads(thirsty("town", "--json").out)
    assert told["after"]["first"] == "food" and [limit["word"] for limit in told["limits"]] == ["food"]
    assert told["after"]["days"] == pytest.approx(40.83 / 24, abs=0.02), "Thursday 19:10 to Saturday noon"


def test_what_is_not_to_be_had_there_stands_apart(thirsty: Runner) -> None:
    """With a place chosen the town list puts what that place does not give under a heading of its own."""
    thirsty("reading", "propane", "24 lb", "gross")
    thirsty("place", "add", "Old Mill", "--gives", "gray,water")
    said = thirsty("town").out
    there, _, elsewhere = said.partition("NOT THERE, ELSEWHERE")
    assert "sink jug" in there and "cylinder" not in there and "FUEL" not in there
    assert "[ ] Propane cylinder" in elsewhere and "After all of this count on" in " ".join(elsewhere.split())
    thirsty("place", "confirm", "Old Mill", "propane", "yes")
    said = thirsty("town").out
    assert "NOT THERE" not in said and "3 FUEL\n[ ] Propane cylinder" in said


def test_canisters_are_filled_from_the_can_not_bought(ready: Runner) -> None:
    """An empty canister beside a can: only what the can then lacks is bought. What stops you first then is not enough."""
    ready("fill", "water")
    ready("dump")
    for name, amount in (("C", "2 L"), ("B", "1 L"), ("A", "0.1 L")):
        ready("reading", "alcohol", amount, "--container", name, "--by", "count")
    text, told = " ".join(ready("town").out.split()), json.loads(ready("town", "--json").out)
    missing = 2 + 3.785 - sum(c["level"]["p50"] for s in json.loads(ready("days", "--json").out)["supplies"]
                              if s["supply"] == "stove_fuel" for c in s["containers"])  # fmt: skip
    alcohol = [(e["label"], e["amount"]) for e in told["fuel"] if e["supply"] == "stove_fuel"]
    assert alcohol == [("can", pytest.approx(missing, abs=0.01))]
    assert "can 3.8 L: fill the others from it, then get about" in text and "canister" not in text
    assert {"fresh": "Water", "grey": "Gray"}[told["after"]["first"]] not in text.partition("Enough")[2].partition(".")[0]


def test_the_town_list_for_programs(thirsty: Runner) -> None:
    """Gray is taken out by what is in it, water got by what is missing, full containers left out."""
    told = json.loads(thirsty("town", "--json").out)
    days = json.loads(thirsty("days", "--json").out)
    level = {s["supply"]: s["level"]["p50"] for s in days["supplies"]}
    assert [e["label"] for e in told["dump"]] == ["sink jug"]
    assert told["dump"][0]["amount"] == pytest.approx(level["grey"], abs=0.01)
    capacity = next(s["capacity"] for s in days["supplies"] if s["supply"] == "fresh")
    assert sum(e["amount"] for e in told["water"]) == pytest.approx(capacity - level["fresh"], abs=0.01)
    assert len(told["water"]) == 1 and "stove_fuel" in told["enough"]
    assert told["after"]["days"] > days["first"]["days_left"]["p10"]


def test_what_is_not_known_is_to_be_looked_at(ready: Runner) -> None:
    """Containers of unknown level are on the list without a figure."""
    said = ready("town").out
    assert said.count("[ ]") == said.count("not known") == 7 and "After this" not in said


def test_only_a_confirmed_dump_counts_as_certain(thirsty: Runner) -> None:
    """The chance that gray is full first grows with the doubt about the place of the planned dump, and the words say so."""

    def planned(*place: str) -> tuple[dict[str, Any], str]:
        thirsty("planned", "dump", "gray", "--at", "in 2 days", *place)
        days = json.loads(thirsty("days", "--json").out)
        plan: dict[str, Any] = next(s["planned"] for s in days["supplies"] if s["supply"] == "grey")
        return plan, " ".join(w["text"] + w["cure"] for w in days["warnings"] if w["code"] == "full-before-dump")

    certain, words = planned()
    assert certain["works"] == 1.0 and "not confirmed" not in words
    thirsty("place", "import", VALLEY)
    silent, words = planned("--place", "Silent dump")
    mapped, _ = planned("--place", "North dump")
    assert "Silent dump is not confirmed" in words and "a sure dump" in words
    assert certain["chance_fails_before"] < mapped["chance_fails_before"] < silent["chance_fails_before"]
    thirsty("place", "confirm", "Silent dump", "gray", "yes")
    sure, words = planned("--place", "Silent dump")
    assert sure["chance_fails_before"] == pytest.approx(certain["chance_fails_before"], abs=1e-6)
    assert "not confirmed" not in words
    thirsty("place", "confirm", "Silent dump", "gray", "no")
    assert planned("--place", "Silent dump")[0]["chance_fails_before"] > silent["chance_fails_before"]


def test_what_the_town_list_promises_is_what_comes(thirsty: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    """After the list is done the forecast says what the list said one may count on."""
    listed = json.loads(thirsty("town", "--json").out)
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", NOW.replace("19:10", "19:20"))
    for words in ("fill water", "dump gray", "fill alcohol", "exchange propane"):
        assert thirsty(*words.split()).status == 0
    first = json.loads(thirsty("days", "--json").out)["first"]
    assert listed["after"]["first"] == first["what"]
    assert listed["after"]["days"] == pytest.approx(first["days_left"]["p10"], rel=0.1)


def test_a_place_the_vehicle_does_not_fit_is_left_out(thirsty: Runner, tmp_path: Path) -> None:
    """Without its size a limit is something to ask; with it the place is left out, or taken without a word."""
    low = {"amenity": "sanitary_dump_station", "sanitary_dump_station:grey_water": "yes", "name": "Low gate",
           "maxheight": "2.5", "maxweight": "3.5"}  # fmt: skip
    point = {"type": "Point", "coordinates": [-109.5, 38.6]}
    (tmp_path / "low.geojson").write_text(json.dumps({"type": "Feature", "properties": low, "geometry": point}))
    thirsty("place", "import", str(tmp_path / "low.geojson"))
    assert "the height of the vehicle is not known" in thirsty("next-stop").out
    said = thirsty("rig", "vehicle", "--height", "7'11\"", "--weight", "3200kg", "--country", "us")
    assert said.out == "Vehicle: height 2.41 m, weight 3.2 t, US.\n"
    assert stop(thirsty)["size"] is None and name(thirsty) == "Low gate"
    assert thirsty("rig", "vehicle", "--height", "2.9 m").status == 0
    assert stop(thirsty)["place"] is None
    assert "fits: no. The height limit is 2.5, the vehicle has 2.9 m" in thirsty("place", "show", "Low gate").out
    assert "weight = \"3200kg\"" in thirsty("rig", "show").out
    assert thirsty("rig", "vehicle", "--height", "tall").status == 1


def test_being_at_coordinates(thirsty: Runner) -> None:
    """A position without a name is a place to count distances from."""
    thirsty("place", "import", VALLEY)
    assert thirsty("place", "here", "38.6,", "-109.5").out == "Noted: you are at 38.6,-109.5.\n"
    assert stop(thirsty)["position"]["name"] == "38.6,-109.5" and stop(thirsty)["distance"] is not None


def test_in_the_mountains_roads_are_longer(thirsty: Runner) -> None:
    """The switch lengthens what is only known from the straight line, and off takes it back."""
    thirsty("place", "import", VALLEY)
    thirsty("place", "here", "38.5,-109.3")
    flat = stop(thirsty)["distance"]["likely_km"]
    thirsty("place", "mountains", "on")
    assert stop(thirsty)["distance"]["likely_km"] > flat
    thirsty("place", "mountains", "off")
    assert stop(thirsty)["distance"]["likely_km"] == flat
    assert thirsty("place", "mountains", "steep").status == 2


def bring_depot(cli: Runner) -> None:
    """A dump that takes gray, open from Monday to Saturday."""
    pytest.importorskip("opening_hours", reason="the optional package is not installed")
    tags = {"amenity": "sanitary_dump_station", "sanitary_dump_station:grey_water": "yes", "name": "Depot",
            "opening_hours": "Mo-Sa 08:00-17:00"}  # fmt: skip
    told = {"type": "Feature", "properties": tags, "geometry": {"type": "Point", "coordinates": [-109.5, 38.6]}}
    assert cli("place", "import", "-", stdin=json.dumps(told)).status == 0


def test_closed_says_when_it_opens_next(thirsty: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a Sunday a place shut on Sundays says Monday morning, and that it is later than one can count on."""
    bring_depot(thirsty)
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", "2026-05-10T09:00:00-06:00")
    thirsty("reading", "gray", "70%")
    said = thirsty("next-stop").out
    assert "Closed now; opens Mon 11 May, 8:00 am" in said and "Mo-Sa 08:00-17:00." in said
    hours = stop(thirsty)["hours"]
    assert hours["open"] == "no" and hours["opens"] == "2026-05-11T08:00:00-06:00"
    assert ("later than you can count on" in said) is (hours["opens"] > stop(thirsty)["by"])
    thirsty("dump", "gray")
    assert "later than you can count on" not in thirsty("next-stop").out


def test_open_when_one_would_be_there(thirsty: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    """Open now but shut before one can be there is closed; the time meant is said."""
    bring_depot(thirsty)
    thirsty("place", "here", "38.0,-109.5")
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", "2026-05-08T16:30:00-06:00")
    said = thirsty("next-stop").out
    assert "when you would be there; opens Sat 9 May, 8:00 am" in said and "Closed about" in said
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", "2026-05-08T12:00:00-06:00")
    assert "Open about" in thirsty("next-stop").out


def test_a_trifle_is_no_task(thirsty: Runner) -> None:
    """A cylinder that is nearly full is not on the way; one that is half empty is."""
    thirsty("place", "add", "Old Mill", "--gives", "gray,propane")
    assert [task["what"] for task in stop(thirsty)["do"]] == ["grey"]
    thirsty("reading", "propane", "27 lb gross")
    assert [task["what"] for task in stop(thirsty)["do"]] == ["grey", "propane"]
