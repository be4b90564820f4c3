"""Nothing that is refused ends the app, wherever it is refused."""

from __future__ import annotations

import asyncio
from pathlib import Path

from textual.pilot import Pilot

from tests.tui.lived import SteadyDesk, lived, opened_on, walk
from tests.tui.walk import press, screen
from vanlife_supply.refusal import Refusal

AWAY = "The log cannot be reached: put the card back."
WALKS = ("f w enter", "z", "escape", "v", "s d enter", "h h enter", "e x enter", "m r", "l", "o enter enter enter n n enter",
         "c s enter")  # fmt: skip


class AwayDesk(SteadyDesk):
    """A log whose medium can be pulled out."""

    away = False

    def __getattribute__(self, name: str) -> object:
        found = super().__getattribute__(name)
        if name == "close" or not callable(found) or not type(self).away:
            return found
        raise Refusal(AWAY)


def test_no_refusal_ends_the_app(tmp_path: Path) -> None:
    """With the log out of reach every walk ends in words, and the app works on once the log is back."""

    async def run() -> None:
        async with opened_on(lived(tmp_path / "log.db"), desk=AwayDesk) as pilot:
            for keys in WALKS:
                AwayDesk.away = True
                await press(pilot, keys)
                assert AWAY in " ".join(screen(pilot).split()), f"{keys}:\n{screen(pilot)}"
                AwayDesk.away = False
                await press(pilot, "escape " * 6)
                assert "q quit" in screen(pilot), f"no way back after {keys}"
            await press(pilot, "d enter")
            assert "z takes it back" in screen(pilot)

    try:
        asyncio.run(run())
    finally:
        AwayDesk.away = False


def test_a_jug_gone_in_the_moment_it_was_noted(tmp_path: Path) -> None:
    """What the rig screen has refused once Enter was pressed is told there: `m r`, down to a jug just noted, gone."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m a w b s enter m r down down down")
        assert "→    jug B" in screen(pilot)
        await press(pilot, "x enter")
        assert "which this rig lacks" in " ".join(screen(pilot).split())
        await press(pilot, "escape")
        assert "q quit" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))
