"""Set-up: every line is checked when it is entered, and rig and first entries are kept together or not at all."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui.fake import FakeDesk
from tests.tui.walk import opened, press, screen, settled, type_in
from tests.wording.example import NOW, RIG_TOML
from vanlife_supply import keeping
from vanlife_supply.advising import outlook
from vanlife_supply.entry.build import Typed
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import at
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Rig
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.screens.setup import BEGUN, told_of, understood
from vanlife_supply.tui.shell import SupplyApp
from vanlife_supply.tui.telling import first_entries, to_toml

ZONE = "America/Denver"


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        (["1", "7 gal half", "next friday"], "ahead of this computer's clock"),
        (["1", "7 gal 9 in it"], "more than"),
        (["1", "7 gal 8 in it"], "more than"),
        (["1", "", "", "", "", "", "20 lb TW 17.1 weighs 14"], "less than cylinder weighs empty"),
        (["1", "200000 gal full"], "not a size a vehicle carries"),
        (["1", "", "", "", "", "", ""], "Nothing was named that could run out"),
    ],
)
def test_a_slip_is_refused_on_its_own_line(answers: list[str], says: str) -> None:
    """What could not be kept is refused while its line is there to be changed, in one sentence."""
    with pytest.raises(Refusal, match=says):
        understood(answers, ZONE, NOW)


def test_the_day_understood_is_said() -> None:
    """The date behind a day's name stands under the line (NOW is Thursday 7 May)."""
    assert understood(["1", "7 gal half", "sunday"], ZONE, NOW) == "Sunday 3 May"
    assert understood(["1", "7 gal half", "last filled tue"], ZONE, NOW) == "Tuesday 5 May"
    assert understood(["dunno"], ZONE, NOW) == "1 aboard, say so if not"


class FullDisk(FakeDesk):
    """Keeps nothing."""

    def set_up(self, text: str, said: object) -> Rig:
        """There is no room."""
        raise Refusal("The disk is full: make room and try again.")


def test_what_cannot_be_kept_is_said_and_asked_again() -> None:
    """After the last line nothing but a sentence, and every answer is still there."""

    async def steps() -> None:
        async with opened(FullDisk(None)) as pilot:
            for answer in ("1", "7 gal half", "sunday", "10", "6 gal", "", "20 lb"):
                await type_in(pilot, answer)
                await press(pilot, "enter")
            assert "disk is full" in screen(pilot)
            assert pilot.app.screen.query_one(Input).value == "20 lb"

    asyncio.run(steps())


def test_rig_and_first_entries_are_one_act(tmp_path: Path) -> None:
    """When an entry does not fit, the rig is not kept either."""
    with Logbook.open(tmp_path / "log.db") as book:
        with pytest.raises(Refusal):
            keeping.set_up(book, RIG_TOML, [Typed("fill", "water"), Typed("reading", "water", "99 gal")], NOW)
        assert not book.arrangements() and not book.entries()
        keeping.set_up(book, RIG_TOML, [Typed("fill", "water")], NOW)
        assert len(list(book.acts(keeping.acts.device_of(book)))) == 1
        assert [e.kind for e in book.entries()] == ["fill"]


def test_escape_clears_a_line_before_it_goes_back() -> None:
    """A line refused is gone with one key; only an empty line goes back."""

    async def steps() -> None:
        async with opened(FakeDesk(None)) as pilot:
            await press(pilot, "enter")
            await type_in(pilot, "two jugs")
            await press(pilot, "escape")
            assert pilot.app.screen.query_one(Input).value == ""
            assert "Water: each jug" in screen(pilot)

    asyncio.run(steps())


@pytest.mark.parametrize(
    ("water", "alcohol", "expected"),
    [
        ("3 x 20 L, one full, one half, one empty", "5 L can 2 L in it, 1.2 L canister full", [20, 10, 0, 2, 1.2]),
        ("2 x 20 L, one empty, one full", "1.2 L canister full, 5 L can half", [0, 20, 1.2, 2.5]),
    ],
)
def test_the_levels_told_are_the_levels_shown(tmp_path: Path, water: str, alcohol: str, expected: list[float]) -> None:
    """In whatever order the containers are named, each holds what was said of it, within a twelfth of its size."""
    told = told_of(["1", water, "monday", "8", "", alcohol, ""], ZONE)
    with Logbook.open(tmp_path / "log.db") as book:
        keeping.set_up(book, to_toml(told), first_entries(told), NOW)
        shown = [c for s in outlook(book, NOW, NOW).supplies for c in s.containers]
    for c, level in zip(shown, expected, strict=True):
        assert c.level is not None and c.level.p50 == pytest.approx(level, abs=c.capacity / 12), c.label


def test_an_answer_gone_back_from_is_not_lost() -> None:
    """Two lines back and forward again: what had been answered stands in its line, to be taken by Enter."""

    async def steps() -> None:
        async with opened(FakeDesk(None)) as pilot:
            for answer in ("1", "7 gal half", "sunday"):
                await type_in(pilot, answer)
                await press(pilot, "enter")
            await press(pilot, "escape escape escape")
            assert pilot.app.screen.query_one(Input).value == "7 gal half"
            await type_in(pilot, ", 5 gal full")
            await press(pilot, "enter")
            assert pilot.app.screen.query_one(Input).value == "sunday"
            await press(pilot, "enter")
            assert "4 of 7" in screen(pilot) and "7 gal half, 5 gal full" in screen(pilot)

    asyncio.run(steps())


@pytest.mark.parametrize(
    ("days_ago", "key", "number", "line"),
    [(0, "enter", 3, ""), (1, "enter", 1, "2"), (0, "escape", 1, "")],
)
def test_what_was_begun_is_offered(days_ago: float, key: str, number: int, line: str) -> None:
    """Enter goes on where it ended; on another day each line comes again, to be looked at; Esc begins anew."""

    async def steps() -> None:
        desk = FakeDesk(None)
        desk.settings[BEGUN] = json.dumps({"at": NOW.plus(-days_ago).iso(), "answers": ["2", "7 gal half"]})
        async with opened(desk) as pilot:
            assert "You had begun" in screen(pilot) and "7 gal half" in screen(pilot)
            await press(pilot, key)
            assert f"{number} of 7" in screen(pilot) and pilot.app.screen.query_one(Input).value == line
            assert desk.settings[BEGUN] if key == "enter" else not desk.settings[BEGUN]

    asyncio.run(steps())


def test_what_was_begun_is_forgotten_at_the_end() -> None:
    """Each answer is remembered as it is given; once set-up has ended nothing of them is."""

    async def steps() -> None:
        desk = FakeDesk(None)
        async with opened(desk) as pilot:
            for count, answer in enumerate(("1", "7 gal half", "sunday", "10", "6 gal", "", ""), 1):
                if count > 1:
                    assert len(json.loads(desk.settings[BEGUN])["answers"]) == count - 1
                await type_in(pilot, answer)
                await press(pilot, "enter")
            assert desk.rig is not None and not desk.settings[BEGUN]

    asyncio.run(steps())


def test_a_rig_with_nothing_noted_says_what_to_do(tmp_path: Path) -> None:
    """The first screen names the keys that help, and they work."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), lambda: NOW), lambda: NOW)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            shown = " ".join(screen(pilot).split())
            assert "Nothing is noted yet: f what was filled, r how much is left, s in your own words." in shown
            await press(pilot, "s")
            await type_in(pilot, "filled water")
            await press(pilot, "enter")
            assert "Nothing is noted yet" not in screen(pilot)
            assert len(app.known.entries) == 1

    asyncio.run(steps())


def test_the_clock_goes_by_the_zone_of_the_rig(tmp_path: Path) -> None:
    """A clock told in another zone, as before the first rig, is told in the rig's from the moment there is one."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)

    async def steps() -> None:
        abroad = at(NOW.epoch, "Asia/Tokyo")
        app = SupplyApp(LogDesk(str(path), lambda: abroad), lambda: abroad)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert app.now() == NOW and "7:10 pm" in screen(pilot)
            await press(pilot, "f w enter")
            assert app.known.entries[0].at.zone == NOW.zone

    asyncio.run(steps())
