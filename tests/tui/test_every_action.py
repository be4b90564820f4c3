"""Every action of the registry, walked to by its own key on a real log: each does something that is seen."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import lived, opened_on
from tests.tui.walk import press, screen
from vanlife_supply.actions import (
    ASKED,
    BUILD,
    CLOSER,
    ENTRIES,
    FIRST,
    MORE,
    NOTED_AS,
    PAGE,
    PICK,
    PLACE,
    PLACES,
    QUESTION,
    RIG,
    STOP,
    TITLES,
    TRIP,
    Action,
    on_screen,
)

WAYS = {
    FIRST: "", MORE: "m", PAGE: "m", ENTRIES: "e", PLACES: "l", PLACE: "l enter", STOP: "i", TRIP: "j", BUILD: "j b",
    PICK: "j b p", RIG: "m r",
}  # fmt: skip
"""Screen → the keys that lead there from the first one."""
BEFORE = {"redo": "d enter z", "undo": "d enter", "up": "down", "page_up": "right", "top": "right", "yes": "w", "no": "w"}
"""What must have been pressed for an action to have something to do."""
ELSEWHERE = {ASKED: "test_asked.py", CLOSER: "test_closer.py", QUESTION: "test_asking.py",
             **dict.fromkeys(NOTED_AS, "test_noting.py")}  # fmt: skip
"""Screens that come up only on a log that raises their question, letters of noting, and where they are walked."""


def test_every_screen_has_a_way() -> None:
    """No screen of the registry is left out of the walks."""
    assert WAYS.keys() | ELSEWHERE.keys() == TITLES.keys()
    here = Path(__file__).parent
    for screen_name, file in ELSEWHERE.items():
        text = (here / file).read_text(encoding="utf-8")
        missing = [a.id for a in on_screen(screen_name) if not any(f'"{k}' in text or f" {k}" in text for k in a.keys)]
        assert not missing, f"{file} presses no key of {missing}"


async def home(pilot: Pilot[int]) -> None:
    """Back to the first screen, whatever stands open."""
    for _ in range(8):
        if "q quit" in screen(pilot) and len(pilot.app.screen_stack) == 2:  # the palette leaves it in sight
            return
        await press(pilot, "escape")
    raise AssertionError(f"no way back from\n{screen(pilot)}")


async def does_something(pilot: Pilot[int], action: Action) -> bool:
    """Goes to its screen and presses its key → whether what is seen is another than before."""
    await home(pilot)
    for keys in (WAYS[action.screen], BEFORE.get(action.id, "")):
        if keys:
            await press(pilot, keys)
    before = screen(pilot), len(pilot.app.screen_stack)
    await pilot.press(action.key)
    if pilot.app._exit:
        return True
    await press(pilot, "")
    return (screen(pilot), len(pilot.app.screen_stack)) != before


@pytest.mark.parametrize("where", list(WAYS))
def test_every_action_does_something(tmp_path: Path, where: str) -> None:
    """One after the other, each by the key the hints show."""
    path = lived(tmp_path / "log.db")

    async def run() -> None:
        async with opened_on(path) as pilot:
            for action in sorted(on_screen(where), key=lambda a: a.id == "quit"):
                assert await does_something(pilot, action), f"{action.key} ({action.id}) does nothing on {where}"

    asyncio.run(run())
