"""How the tests walk through the app: open it on a desk, press keys, read the screen."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

from textual._context import visible_screen_stack
from textual.pilot import Pilot
from textual.widgets import Input
from textual.worker import WorkerCancelled

from tests.tui.fake import FakeDesk, clock
from vanlife_supply.tui.shell import SupplyApp

SIZES = {"80x24": (80, 24), "50x20": (50, 20), "120x40": (120, 40)}
GOLDEN = Path(__file__).parent / "golden"
UPDATE = "UPDATE_GOLDEN"
"""Set this environment variable to write the dumps anew instead of comparing; then read the difference like code."""


@asynccontextmanager
async def opened(desk: FakeDesk, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Pilot[int]]:
    """The app on a desk, with its first forecast on the screen."""
    app = SupplyApp(desk, clock)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield pilot


async def settled(pilot: Pilot[int]) -> None:
    """Waits until what was begun in the background is on the screen."""
    for _ in range(9):
        with suppress(WorkerCancelled):  # by the next one of its kind, which is waited for instead
            await pilot.app.workers.wait_for_complete()
            break
    await pilot.pause()


async def press(pilot: Pilot[int], keys: str) -> None:
    """Presses `f w b enter`: letters and names of keys with blanks between."""
    await pilot.press(*keys.split())
    await settled(pilot)


async def type_in(pilot: Pilot[int], text: str) -> None:
    """Puts a whole line into the field that has the focus (each key would cost a tenth of a second)."""
    pilot.app.screen.query_one(Input).insert_text_at_cursor(text)
    await pilot.pause()


def screen(pilot: Pilot[int]) -> str:
    """The text on the screen, with what stays visible of the screens behind."""
    visible_screen_stack.set(pilot.app._background_screens)
    strips = pilot.app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips).rstrip() + "\n"


def golden(name: str, text: str) -> None:
    """Compares with the dump kept under that name."""
    path = GOLDEN / f"{name}.txt"
    if os.environ.get(UPDATE):
        path.write_text(text, encoding="utf-8")
    assert path.is_file(), f"no dump {path.name}: run with {UPDATE}=1 and read what it writes"
    assert text == path.read_text(encoding="utf-8")
