"""Any key at any size on the screens behind the first one, on a real log (fixed seed)."""

from __future__ import annotations

import asyncio
import random
from pathlib import Path

import pytest

from tests.tui.lived import lived, opened_on
from tests.tui.test_every_action import home
from tests.tui.walk import press, screen, settled
from vanlife_supply.actions import ACTIONS

WAYS = ("m", "m r", "m r m", "m p", "w", "p", "j b", "j b p", "e", "e x", "l enter", "i")
"""Keys that lead to what else there is, in the order mashed."""
KEYS = sorted({k for a in ACTIONS for k in a.keys} | {*"59.", "backspace", "left", "right", "tab"})
MASHED = 5
"""Keys pressed on each."""


@pytest.mark.parametrize("part", [0, 1])
def test_any_keys_any_size_anywhere(tmp_path: Path, part: int) -> None:
    """Nothing brings the app down, and Esc leads back to the first screen from wherever that ended."""
    draw = random.Random(11 + part)
    keys = [k for k in KEYS if k != "q"]
    path = lived(tmp_path / "log.db")

    async def run() -> None:
        async with opened_on(path) as pilot:
            for way in WAYS[part::2]:
                await press(pilot, way)
                size = (1, 1) if way == "e" else (draw.randrange(1, 200), draw.randrange(1, 60))
                await pilot.resize_terminal(*size)
                for _ in range(MASHED):
                    key = draw.choice(keys)
                    await pilot.press("full_stop" if key == "." else key)
                    assert not pilot.app._exit
                await pilot.resize_terminal(80, 24)
                await settled(pilot)
                await home(pilot)
            assert "Count on" in screen(pilot)

    asyncio.run(run())
