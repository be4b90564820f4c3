"""Lines to type in leave in sight what one needs to answer them."""

from __future__ import annotations

import asyncio
from dataclasses import replace

import pytest

from tests.tui.fake import fake
from tests.tui.walk import SIZES, opened, press, screen, type_in
from tests.wording.example import NOW, forecast, rig
from vanlife_supply.tui.board import View, board
from vanlife_supply.tui.lines import plain

PROMPTS = ("h", "s", "m p", "m l", "o", "k")
"""Keys from the first screen to a line to type in."""


@pytest.mark.parametrize("size", list(SIZES))
def test_the_figures_stay_in_sight_behind_a_line_to_type_in(size: str) -> None:
    """The answer, and how much is left of what stops first, stand above every prompt at every size."""

    async def run() -> None:
        async with opened(fake(), SIZES[size]) as pilot:
            for keys in PROMPTS:
                await press(pilot, keys)
                shown = screen(pilot)
                assert "Count on 2½ days" in shown and "→Gray" in shown and "room 2.5 gal" in shown, (keys, shown)
                assert "Enter n" in shown and "Esc " in shown, (keys, shown)
                await press(pilot, "escape")

    asyncio.run(run())


def test_what_enter_alone_meant_is_shown_above_the_next_question() -> None:
    """At a stop an empty line is an answer: what it was taken for stands in the list, not that it is empty."""

    async def run() -> None:
        async with opened(fake()) as pilot:
            await press(pilot, "o enter enter")
            assert "When      just now" in screen(pilot) and "Gray      Dumped gray empty" in screen(pilot)
            await type_in(pilot, "n")
            await press(pilot, "enter")
            assert "Water     n" in screen(pilot)

    asyncio.run(run())


def test_a_narrow_first_line_keeps_what_is_on_and_the_last_entry() -> None:
    """Where not all of it fits beside the date, who is aboard gives way first."""
    its = replace(forecast(), conditions=("heater",))
    for width, said in ((120, "1 person, dog · heater · last entry"), (50, "heater · last entry"), (40, "last entry")):
        first = plain(board(View(rig(), NOW, its), width, 20)[:1])
        assert said in first and len(first) <= width
