"""The line for plain words: Enter takes what is shown, Esc takes back what was typed before it leaves."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.fake import FakeDesk, fake
from tests.tui.lived import lived, opened_on
from tests.tui.test_app import walk
from tests.tui.walk import opened, press, screen, settled, type_in
from tests.wording.example import NOW, rig
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.tui.screens.saying import following, span_phrase
from vanlife_supply.tui.shell import SupplyApp


@pytest.mark.parametrize(
    ("typed", "kind", "supply"),
    [("filled wa", "fill", "fresh"), ("dum", "dump", "grey"), ("looked water ha", "reading", "fresh")],
)
def test_enter_takes_a_finished_word(typed: str, kind: str, supply: str) -> None:
    """A word only begun is finished by Enter where what stands there means nothing; what it will note is said before."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "s")
        await type_in(pilot, typed)
        await press(pilot, "enter")
        assert [(e.kind, e.supply) for e in desk.kept] == [(kind, supply)]

    walk(steps)


def test_escape_clears_first_and_leaves_second() -> None:
    """One Esc takes back what was typed, the next leaves; nothing is noted."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "s")
        await type_in(pilot, "filled water")
        await press(pilot, "escape")
        assert "What happened?" in screen(pilot) and "filled water b" in screen(pilot)
        await press(pilot, "escape")
        assert "What happened?" not in screen(pilot)
        assert desk.kept == []

    walk(steps)


def test_escape_in_a_line_to_mend() -> None:
    """Where a line stood already, the first Esc brings it back as it stood, the second leaves it."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "d enter e m")
        await type_in(pilot, " 2 gal")
        assert "Enter shows the effect   Esc back as it was" in screen(pilot)
        await press(pilot, "escape")
        assert "dumped gray 2 gal" not in screen(pilot) and "dumped gray" in screen(pilot)
        assert "Esc leaves" in screen(pilot)
        await press(pilot, "escape")
        assert "What should it be" not in screen(pilot)

    walk(steps)


def test_the_line_is_tapped() -> None:
    """Enter and Esc under the line are buttons."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        for words, kept in (("Esc leaves", 0), ("Enter notes it", 1)):
            await press(pilot, "s")
            await type_in(pilot, "filled water" if kept else "")
            lines = screen(pilot).splitlines()
            y = next(i for i, each in enumerate(lines) if words in each)
            await pilot.click(offset=(lines[y].index(words) + 1, y))
            await settled(pilot)
            assert "What happened?" not in screen(pilot)
            assert len(desk.kept) == kept

    walk(steps)


def test_places_are_completed(tmp_path: Path) -> None:
    """After `at` or `@` the places known stand ready, word by word, and Enter takes the one meant."""
    path = lived(tmp_path / "log.db")

    async def run() -> None:
        async with opened_on(path) as pilot:
            app = pilot.app
            assert isinstance(app, SupplyApp)
            assert "@Old Mill" in following("filled water", app)
            assert following("filled water at", app) == list(app.where.places)
            assert following("filled water at red", app) == ["Rock dump station"]
            assert following("dumped @Red rock", app) == ["dump station"]
            await press(pilot, "s")
            await type_in(pilot, "filled water 3 gal at Ol")
            await press(pilot, "right enter")
            assert "at Old Mill" in " ".join(screen(pilot).split())

    asyncio.run(run())


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("g 3 days", "1 guests for 3 days"), ("g 2 3 days", "2 guests for 3 days"), ("g 2 sun", "2 guests until sun"),
        ("h 3 days", "heater for 3 days"), ("h a week", "heater for a week"), ("h sun", "heater until sun"),
    ],
)  # fmt: skip
def test_how_long_is_no_count_of_guests(typed: str, meant: str) -> None:
    """`g 3 days` is one guest for three days; a bare time stays until when."""
    assert span_phrase(typed, (), guests=False) == meant
    assert read_phrase(meant, rig(), NOW).until in meant
    assert read_phrase(meant, rig(), NOW).until != ""


def test_only_what_means_nothing_yet_is_finished() -> None:
    """25 L is not the beginning of last night; `wat` is that of water."""

    async def run() -> None:
        async with opened(fake()) as pilot:
            await press(pilot, "s")
            line = pilot.app.screen.query_one(Input)
            assert line.suggester is not None
            assert await line.suggester.get_suggestion("filled water 25 L") is None
            assert await line.suggester.get_suggestion("filled wat") == "filled water"

    asyncio.run(run())


def test_the_size_of_a_use_is_said_before_enter() -> None:
    """Where only what it was for is typed, the line says how much that is taken to be and why; Enter notes that."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        for size in ("0.7 gal", "0.8 gal", "0.9 gal"):
            await press(pilot, "s")
            await type_in(pilot, f"used {size} for laundry")
            await press(pilot, "enter")
        await press(pilot, "s")
        await type_in(pilot, "used laundry")
        told = " ".join(screen(pilot).split())
        assert "Used 0.8 gal of water for laundry" in told and "as you noted it 3 times" in told
        await press(pilot, "enter s")
        await type_in(pilot, "used shower")
        told = " ".join(screen(pilot).split())
        assert "Used 1 gal of water for shower" in told and "About 1 gal, as is usual" in told
        await press(pilot, "enter")
        assert [(e.word, e.amount) for e in desk.kept[-2:]] == [("laundry", 0.8), ("shower", 1.0)]

    walk(steps)
