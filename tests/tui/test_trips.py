"""The trip on the screen: walked on a real log, three sizes compared."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import TRIP, lived, walk
from tests.tui.walk import SIZES, golden, press, screen, type_in
from tests.wording.example import NOW
from vanlife_supply.actions import TRIP as TRIP_SCREEN
from vanlife_supply.actions import on_screen
from vanlife_supply.keeping.trips import load_trip
from vanlife_supply.logbook import Logbook, trips
from vanlife_supply.travelling import plan_loaded
from vanlife_supply.trip.chance import span_of
from vanlife_supply.trip.load import load
from vanlife_supply.trip.nights import held


def test_every_action_is_walked() -> None:
    """No action of this screen is without a walk, here or in test_build_trip."""
    assert [a.key for a in on_screen(TRIP_SCREEN)] == ["x", "f", "n", "b", "j"]


def test_strip_plan_and_why(tmp_path: Path) -> None:
    """The strip names stays and supplies, the plan its stops, the reasons come below."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j")
        shown = screen(pilot)
        assert "│the lake" in shown and "1 Sat 9 May, Camp tap" in shown and "cheapest there is" in shown
        await press(pilot, " ".join(["down"] * 20))
        assert "cannot be done without" in screen(pilot) and "canyon rim: 5 nights" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))


def test_a_stop_that_did_not_work_is_planned_around(tmp_path: Path) -> None:
    """One key, before the plan is there even, leaves the only place out and plans anew; z on the first screen takes that
    back."""
    path = lived(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j x")
        assert "Camp tap did not work" in screen(pilot)
        with Logbook.open(path) as book:
            assert trips.closed_places(book, "two valleys") == {"camp"}
        await press(pilot, "escape z")
        with Logbook.open(path) as book:
            assert not trips.closed_places(book, "two valleys")

    walk(steps, path)


TWO_PLACES = TRIP.replace('id = "camp"', 'id = "camp"\nwhen = "arrive"').replace("mean = 2.5", "mean = 4.0")
"""Each valley needs a stop of its own."""


@pytest.mark.parametrize("said", ["2", "spring"])
def test_any_stop_that_did_not_work_is_planned_around(said: str, tmp_path: Path) -> None:
    """With several places in the plan the page asks which, by its sign or name, and what is unclear is not taken."""
    path = lived(tmp_path / "log.db", with_trip=TWO_PLACES)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j")
        await press(pilot, "x")
        assert "Which stop did not work? 1 Camp tap, 2 Spring at the pass" in screen(pilot)
        await type_in(pilot, "9")
        assert "none of the stops" in screen(pilot)
        await press(pilot, "enter backspace")
        await type_in(pilot, said)
        assert "Spring at the pass did not work: the plan does without." in screen(pilot)
        await press(pilot, "enter")
        assert "Noted: Spring at the pass did not work." in screen(pilot)
        await press(pilot, " ".join(["down"] * 8))
        assert "Left out, for it did not work: Spring at the pass." in screen(pilot)
        await press(pilot, "b")
        (spring,) = (each for each in screen(pilot).splitlines() if "Spring at the pass" in each)
        assert spring.endswith("; did not work")

    walk(steps, path)
    with Logbook.open(path) as book:
        assert trips.closed_places(book, "two valleys") == {"spring"}


def test_a_plan_goes_to_files_beside_the_log(tmp_path: Path) -> None:
    """One key writes town list, calendar, map and table, names them, and touches no file that is there."""
    path = lived(tmp_path / "log.db")
    taken = tmp_path / "two-valleys.csv"
    taken.write_text("mine", encoding="utf-8")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j f")
        shown = "".join(screen(pilot).split())  # a long path is broken anywhere
        assert "two-valleys-2.txt(townlist),.ics(calendar),.gpx(map),.csv(table)." in shown
        assert "Notonthemap,forwantofcoordinates:thelake," in shown

    walk(steps, path)
    written = {each.suffix: each.read_bytes() for each in tmp_path.glob("two-valleys-2.*")}
    assert taken.read_text(encoding="utf-8") == "mine"
    assert written[".txt"].startswith(b"two valleys: 9 nights") and b"Camp tap" in written[".txt"]
    assert written[".ics"].startswith(b"BEGIN:VCALENDAR\r\n") and written[".gpx"].startswith(b"<?xml")
    assert written[".csv"].startswith(b"date,place,") and len(written) == 4


def test_several_trips_come_round(tmp_path: Path) -> None:
    """j again shows another trip; where there is one only it says so."""
    path = lived(tmp_path / "log.db")

    async def one(pilot: Pilot[int]) -> None:
        await press(pilot, "j j")
        assert "No other trip is loaded" in screen(pilot)

    walk(one, path)
    with Logbook.open(path) as book:
        load_trip(book, "short way", TRIP.replace("nights = 5", "nights = 2"), NOW)

    async def two(pilot: Pilot[int]) -> None:
        await press(pilot, "j")
        assert "Trip: short way" in screen(pilot)
        await press(pilot, "j")
        assert "Trip: two valleys" in screen(pilot)

    walk(two, path)


def test_a_started_trip_shows_today(tmp_path: Path) -> None:
    """A trip begun two days ago says where it is, and the nights gone by are blank."""
    path = lived(tmp_path / "log.db", with_trip=TRIP.replace("start = 2026-05-07", "start = 2026-05-05"))

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j")
        shown = screen(pilot)
        assert "Today at the lake, night 3 of 4; 7 nights to go." in shown
        water = next(each for each in shown.splitlines() if each.startswith(" Water"))
        assert water[9:17].isspace() and water[17] in "█▒·1"

    walk(steps, path)


def test_no_trip(tmp_path: Path) -> None:
    """Without a trip the page says how to load one, and its keys do no harm."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j")
        assert "No trip yet" in screen(pilot) and "n new trip" in screen(pilot)
        assert "did not work" not in screen(pilot) and "build on" not in screen(pilot)
        await press(pilot, "x j escape")
        assert "Count on" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db", with_trip=""))


def test_nights_of_an_interval_end_in_its_own_chance(tmp_path: Path) -> None:
    """The last night before a service has the chance the plan gives the interval; after a service sureness only falls."""
    with Logbook.open(lived(tmp_path / "log.db")) as book:
        done = plan_loaded(book, "two valleys", load(TRIP), (), NOW, lambda: False)
    its = done.answer
    nights = held(its.trip, its.plan, its.laws)
    seen = 0
    for i in its.plan.intervals:
        own = nights[i.supply][i.first_day : i.last_day]
        if own:
            known = [p for p in own if p is not None]
            assert len(known) == len(own)
            assert all(later <= earlier + 1e-3 for earlier, later in pairwise(known))
            span = span_of(its.trip.supply(i.supply), i.first_day, i.last_day, i.stock, opening=i.start == "start",
                           closing=i.end == "end")  # fmt: skip
            assert known[-1] == its.laws[i.supply].chance(span) == pytest.approx(i.p, abs=1e-9)
            seen += 1
    assert seen > 4


@pytest.mark.parametrize("size", list(SIZES))
def test_screens_as_text(size: str, tmp_path: Path) -> None:
    """The trip at three sizes is what the reviewed dump shows, no line wider than the terminal."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j")
        text = screen(pilot)
        assert max(len(each) for each in text.splitlines()) <= SIZES[size][0]
        golden(f"trip-{size}", text)

    walk(steps, lived(tmp_path / "log.db"), SIZES[size])
