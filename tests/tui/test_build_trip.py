"""A trip built in the app: walked on a real log, three sizes compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import MAP, lived, walk
from tests.tui.walk import SIZES, golden, press, screen, settled, type_in
from tests.wording.example import NOW
from vanlife_supply import keeping
from vanlife_supply.actions import BUILD, PICK, on_screen
from vanlife_supply.keeping.places import limit_stay
from vanlife_supply.logbook import Logbook, trips
from vanlife_supply.trip.load import load
from vanlife_supply.trip.model import Costs, Trip


def kept(path: Path, name: str) -> Trip:
    """The trip as the log has it."""
    with Logbook.open(path) as book:
        return load(trips.trips(book)[name])


async def line(pilot: Pilot[int], text: str) -> None:
    """A line typed and entered."""
    await type_in(pilot, text)
    await press(pilot, "enter")
    await settled(pilot)


async def begun(pilot: Pilot[int]) -> None:
    """The trip "loop" of one stay, opened for building."""
    await press(pilot, "j n")
    await line(pilot, "loop, from fri")
    await line(pilot, "the rim, 4 nights, 50 mi")


def test_every_action_is_walked() -> None:
    """No action of these screens is without a walk below."""
    assert [a.key for a in on_screen(BUILD)] == ["s", "p", "enter", "x", "c", "z"]
    assert [a.key for a in on_screen(PICK)] == ["enter", "t"]


def test_a_new_trip_may_carry_what_the_rig_may(tmp_path: Path) -> None:
    """The owner's payload is in a new trip from the start, and its first line says so."""
    path = lived(tmp_path / "log.db", with_trip="")
    with Logbook.open(path) as book:
        keeping.change_rig(book, "", "", "payload 300 lb", NOW)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j n")
        await type_in(pilot, "loop, from fri")
        assert "300 lb of supplies at most" in screen(pilot)
        await press(pilot, "enter")
        await line(pilot, "the rim, 4 nights, 50 mi")

    walk(steps, path)
    assert kept(path, "loop").payload == pytest.approx(300 * 0.45359237)


def test_a_trip_is_built_in_a_few_keys_and_planned(tmp_path: Path) -> None:
    """Two lines make it, a line each adds a stay, p Enter a known place; Esc plans what was built."""
    path = lived(tmp_path / "log.db", with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        await begun(pilot)
        assert "→ 1 the rim: from Fri 8 May, 4 nights; 50 mi" in screen(pilot)
        await press(pilot, "s")
        await type_in(pilot, "the river, until sat 16, 2 people, heater")
        assert "from Tue 12 May, 4 nights; 2 people; heater." in " ".join(screen(pilot).split())
        await press(pilot, "enter")
        assert "→ 2 the river" in screen(pilot)
        await press(pilot, "p")
        assert "A place for the river" in screen(pilot) and "Old Mill" in screen(pilot)
        await press(pilot, "enter escape")
        assert "Trip: loop" in screen(pilot) and "8 nights from Fri 8 May 2026" in screen(pilot)

    walk(steps, path)
    built = kept(path, "loop")
    assert [(s.name, s.nights, s.people, s.conditions) for s in built.stays] == [
        ("the rim", 4, None, None), ("the river", 4, 2.0, ("heater",)),
    ]  # fmt: skip
    (place,) = built.places
    assert place.stay == 2 and place.services


def test_prices_are_remembered(tmp_path: Path) -> None:
    """Old Mill, where 8 gal of water cost $3.00, comes with that price and what else it gives."""
    path = lived(tmp_path / "log.db", with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        await begun(pilot)
        await press(pilot, "p t")
        await type_in(pilot, "old mill, on the way")
        assert "Old Mill, on the way, 11.8 mi in, water $0.37/gal, gray." in " ".join(screen(pilot).split())
        await press(pilot, "enter")

    walk(steps, path)
    (place,) = kept(path, "loop").places
    assert {s.supply: s.price for s in place.services} == {"fresh": pytest.approx(3.0 / (8 * 3.785411784)), "grey": 0.0}
    assert place.point == (38.60, -109.50)


def test_changed_taken_out_and_undone(tmp_path: Path) -> None:
    """Enter opens the line of a row, x takes it out, z takes back what was done here and nothing else."""
    path = lived(tmp_path / "log.db", with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        await begun(pilot)
        await press(pilot, "z")
        assert "no change made here" in screen(pilot)
        await press(pilot, "enter")
        await line(pilot, ", 3 people")
        assert kept(path, "loop").stays[0].people == 3.0
        await press(pilot, "z")
        assert kept(path, "loop").stays[0].people is None and "Taken back" in screen(pilot)
        await press(pilot, "x")
        assert "at least one stay" in screen(pilot)
        await press(pilot, "p t")
        await line(pilot, "Tap, 2 mi extra, water")
        await press(pilot, "x")
        assert kept(path, "loop").places == () and "Tap is out" in screen(pilot)
        await press(pilot, "c")
        await line(pilot, ", 30c a mile, $3 a stop")
        assert kept(path, "loop").costs.stop == 3.0 and "$3.00 a stop" in screen(pilot)

    walk(steps, path)


def test_a_loaded_trip_is_built_on(tmp_path: Path) -> None:
    """b opens what trip load took in; numbers its file sets stay as they were."""
    path = lived(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j b s")
        await line(pilot, "the beach, 2 nights")

    before = kept(path, "two valleys")
    walk(steps, path)
    after = kept(path, "two valleys")
    assert [s.name for s in after.stays] == ["the lake", "the beach", "canyon rim"]
    assert after.overrides == before.overrides and [p.leg for p in after.places] == [3, None, None]


def test_a_name_taken_is_refused(tmp_path: Path) -> None:
    """A new trip never takes the place of another: its first line already is refused."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j n")
        await line(pilot, "two valleys")
        assert "give this one another name" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))


@pytest.mark.parametrize("size", list(SIZES))
def test_screens_as_text(size: str, tmp_path: Path) -> None:
    """Building and choosing at three sizes are what the reviewed dumps show, no line wider than the terminal."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "j b")
        for name, keys in (("trip-building", ""), ("trip-picking", "p")):
            if keys:
                await press(pilot, keys)
            text = screen(pilot)
            assert max(len(each) for each in text.splitlines()) <= SIZES[size][0]
            golden(f"{name}-{size}", text)

    walk(steps, lived(tmp_path / "log.db"), SIZES[size])


def test_a_stay_limit_typed_for_a_place_bounds_a_stay_there(tmp_path: Path) -> None:
    """As long as we can at Old Mill, where 5 days are allowed."""
    path = lived(tmp_path / "log.db", with_trip="")
    with Logbook.open(path) as book:
        limit_stay(book, MAP[0], "5 days", NOW)

    async def steps(pilot: Pilot[int]) -> None:
        await begun(pilot)
        await press(pilot, "s")
        await line(pilot, "old mill, as long as we can")

    walk(steps, path)
    assert kept(path, "loop").stays[1].flexible == (1, 5)

    async def first(pilot: Pilot[int]) -> None:
        await press(pilot, "j n")
        await line(pilot, "short, from fri")
        await line(pilot, "Old Mill, as long as we can")

    walk(first, path)
    assert kept(path, "short").stays[0].flexible == (1, 5)


def test_what_comes_after_a_stay_of_open_length_may_be_later(tmp_path: Path) -> None:
    """Its first day is said as the earliest."""

    async def steps(pilot: Pilot[int]) -> None:
        await begun(pilot)
        await press(pilot, "enter")
        await line(pilot, ", as long as we can 2 to 5")
        await press(pilot, "s")
        await line(pilot, "the river, 3 nights")
        assert "1 the rim: from Fri 8 May, as long as we can" in screen(pilot)
        assert "2 the river: from Sun 10 May or later, 3 nights" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db", with_trip=""))


def test_a_new_trip_takes_over_what_a_mile_and_a_stop_were_worth(tmp_path: Path) -> None:
    """The costs of the trip loaded last, to be changed with c."""
    path = lived(tmp_path / "log.db")
    walk(begun, path)
    assert kept(path, "loop").costs == kept(path, "two valleys").costs != Costs()
