"""Texts too long for a screen: side by side where they fit, else with a sign that there is more; nothing is cut unsaid."""

from __future__ import annotations

import asyncio
import re

from hypothesis import given
from hypothesis import strategies as st
from textual.pilot import Pilot

from tests.tui.fake import FakeDesk, fake
from tests.tui.walk import opened, press, screen, settled
from vanlife_supply.tui.decide import Answered
from vanlife_supply.tui.lines import examples, plain, side_by_side, wrap
from vanlife_supply.tui.prompt import MOST_SAID, message_foot

WORDS = st.lists(st.sampled_from(["take out the gray jug", "fill jug B", "ask first", ""]), min_size=1, max_size=40)


@given(WORDS, st.integers(10, 120), st.integers(1, 40))
def test_nothing_is_lost_side_by_side(rows: list[str], width: int, room: int) -> None:
    """In one column or two, every line with words is there, and two columns stay within the width."""
    text = "\n".join(rows)
    told = side_by_side(text, width, room)
    assert sorted(told.split()) == sorted(text.split())
    if told != text:
        assert max(map(len, told.splitlines()), default=0) <= width and len(told.splitlines()) < len(rows)


def test_a_message_that_is_cut_says_so() -> None:
    """A message longer than its lines ends in an ellipsis, a shorter one is whole."""
    assert plain(message_foot(("word " * 200,), 50)).splitlines()[MOST_SAID - 1].endswith("…")
    assert " ".join(plain(message_foot(("word " * 30,), 50)).split()).count("word") == 30


class WordyDesk(FakeDesk):
    """Answers at length."""

    def decide(self, asked: str) -> Answered:
        """Thirty lines."""
        return Answered("\n".join(f"line {i} of an answer that is long" for i in range(30)))


def test_an_answer_longer_than_the_screen_says_how_much_is_left() -> None:
    """What is out of sight is counted above the keys, one less with every line down; a page and the end are one key away."""

    def counted(pilot: Pilot[int]) -> bool:
        last = max(int(n) for n in re.findall(r"line (\d+) of", screen(pilot)))
        return f" {29 - last} more below, → a page" in screen(pilot)

    async def run() -> None:
        desk = WordyDesk(fake().rig)
        async with opened(desk, (50, 20)) as pilot:
            await press(pilot, "t")
            await settled(pilot)
            assert "line 0" in screen(pilot) and counted(pilot)
            await press(pilot, "down down")
            assert "line 1 " not in screen(pilot) and "line 2 " in screen(pilot) and counted(pilot)
            await press(pilot, "end")
            assert "line 29" in screen(pilot) and "more below" not in screen(pilot)
            await press(pilot, "home")
            assert "line 0" in screen(pilot) and counted(pilot)
            await press(pilot, "pagedown pagedown")
            assert "line 29" in screen(pilot)
            await press(pilot, "pageup pageup right left")
            assert "line 0" in screen(pilot) and counted(pilot)
            await pilot.resize_terminal(50, 40)
            await settled(pilot)
            assert "line 29" in screen(pilot) and "more below" not in screen(pilot)

    asyncio.run(run())


def test_an_answer_is_copied_then_kept_in_a_file() -> None:
    """Enter sends it to the clipboard, Enter once more keeps it in a file named after what was asked, and says where."""

    async def run() -> None:
        desk = WordyDesk(fake().rig)
        async with opened(desk) as pilot:
            await press(pilot, "t enter")
            assert pilot.app.clipboard.startswith("line 0") and not desk.settings
            await press(pilot, "enter")
            assert desk.settings["town.txt"] == pilot.app.clipboard and "/van/town.txt" in screen(pilot)

    asyncio.run(run())


def test_a_number_is_not_parted_from_its_unit() -> None:
    """Whatever the width, no line ends between an amount and its unit, within a range or within chances."""
    text = "In it 2.6 to 3.2 gal; room 2 gal. 3 chances in 4, in 19 days, 8:00 am."
    for width in range(18, 60):
        for each in plain(wrap(text, width)).splitlines()[:-1]:
            assert not each.split()[-1][-1].isdigit() and not each.endswith((" in", " to")), each


@given(st.lists(st.sampled_from(["f thu", "m sat", "dump mon every 5 days"]), min_size=1, max_size=6), st.integers(5, 90))
def test_no_example_is_cut(hint: list[str], width: int) -> None:
    """Beside a line to type in stand whole examples only, as many as fit, never none."""
    told = examples(" · ".join(hint), width)
    shown = told.removeprefix("like: ").split(" · ")
    assert shown == hint[: len(shown)] and (len(told) <= width or len(shown) == 1)
    assert len(shown) == len(hint) or len(told) + 3 + len(hint[len(shown)]) > width
