"""`?` explains what stands here, and every action is found by its name, from any screen."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import lived, opened_on, walk
from tests.tui.test_every_action import WAYS
from tests.tui.walk import press, screen, type_in
from vanlife_supply.actions import ACTIONS, FIRST, MORE, NOTED_AS, OPENED_BY, TITLES, key_name
from vanlife_supply.entry.model import LOG_KINDS, PLANNED
from vanlife_supply.tui import explaining
from vanlife_supply.tui.explaining import explained
from vanlife_supply.tui.shell import SupplyApp

SCREENS = [name for name in TITLES if name not in NOTED_AS]
NAMED = [value for name, value in vars(explaining).items() if name.isupper() and isinstance(value, str)]


@pytest.mark.parametrize("about", sorted({*NAMED, *SCREENS, *LOG_KINDS, PLANNED}))
def test_two_sentences_on_every_screen_and_row(about: str) -> None:
    """Whatever may have the focus is explained, in two sentences."""
    assert len(re.findall(r"[.!?](?: |$)", explained(about))) == 2, explained(about)


def words(pilot: Pilot[int]) -> str:
    """The screen in one line."""
    return " ".join(screen(pilot).split())


@pytest.mark.parametrize("size", [(80, 24), (50, 20)])
def test_the_key_explains_on_every_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    """On each screen the whole explanation is seen after one key, and gone after the next."""

    async def run() -> None:
        async with opened_on(lived(tmp_path / "log.db"), size) as pilot:
            for where, way in WAYS.items():
                await press(pilot, way)
                before = words(pilot)
                await press(pilot, "question_mark")
                told = [text for text in map(explained, {*SCREENS, *NAMED, *LOG_KINDS}) if text in words(pilot)]
                assert len(told) == 1 and told[0] not in before, (where, words(pilot))
                for _ in range(6):
                    await press(pilot, "escape")

    asyncio.run(run())


def test_the_row_under_the_cursor_is_what_is_explained(tmp_path: Path) -> None:
    """Another kind of row, another explanation: entries by their kind, the rig by its rows."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e question_mark")
        assert explained("reading") in words(pilot)
        await press(pilot, "end question_mark")
        assert explained("fill") in words(pilot) or explained("dump") in words(pilot)
        await press(pilot, "escape m r question_mark")
        assert explained("rig") in words(pilot)
        await press(pilot, "down question_mark")
        assert explained("rig supply") in words(pilot)
        await press(pilot, "down question_mark")
        assert explained("rig container") in words(pilot)
        await press(pilot, "escape s f1")
        assert explained("ask") in words(pilot)
        await press(pilot, "escape o f1")
        assert explained("lines") in words(pilot)
        await press(pilot, "escape c f1")
        assert explained("deciding") in words(pilot)

    walk(steps, lived(tmp_path / "log.db"))


def offered(pilot: Pilot[int]) -> dict[str, str]:
    """What the palette would offer now: title → help."""
    app = pilot.app
    assert isinstance(app, SupplyApp)
    return {c.title: c.help for c in app.get_system_commands(app.screen)}


def test_every_action_that_can_be_reached_is_found(tmp_path: Path) -> None:
    """The palette has each of them, from the first screen and from others, with its words."""

    async def steps(pilot: Pilot[int]) -> None:
        for way, own in (("", FIRST), ("e", "entries"), ("l", "places")):
            await press(pilot, way)
            found = offered(pilot)
            wanted = [a for a in ACTIONS if a.screen in {FIRST, MORE, own, *OPENED_BY}]
            assert not [a.id for a in wanted if not any(f"{a.words}  {key_name(a.key)}" in title for title in found)]
            await press(pilot, "escape")

    walk(steps, lived(tmp_path / "log.db"))


def test_what_is_chosen_from_another_screen_is_done_from_the_first(tmp_path: Path) -> None:
    """From a line to type in and from a list: the way back is one Esc, an action of elsewhere only shows where it is."""

    async def steps(pilot: Pilot[int]) -> None:
        app = pilot.app
        assert isinstance(app, SupplyApp)
        before = len(app.known.entries)
        await press(pilot, "e m")
        app.go("places", "places: n new one here.")
        await press(pilot, "")
        assert "places: n new one here." in words(pilot)
        await press(pilot, "escape")
        assert app.screen is app.first and len(app.known.entries) == before

    walk(steps, lived(tmp_path / "log.db"))


def test_the_palette_runs_what_is_chosen_without_an_emoji(tmp_path: Path) -> None:
    """One key opens it on another screen, words find, Enter does it."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l f4")
        assert all(ord(c) < 0x1F000 for c in screen(pilot))
        await type_in(pilot, "heater")
        await pilot.pause(0.6)
        await press(pilot, "enter enter")
        await pilot.pause(0.3)
        assert "h heater" in screen(pilot) and "→Gray" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))
