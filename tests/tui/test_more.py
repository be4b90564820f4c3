"""What has no letter on the first screen: set aside and back, planned, till when; and what z says of each, on a real log."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import lived, walk
from tests.tui.walk import press, screen, settled, type_in
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook


def last(path: Path) -> Entry:
    """The entry noted last."""
    with Logbook.open(path) as book:
        return max(book.entries(), key=lambda e: e.id)


def words(pilot: Pilot[int]) -> str:
    """The screen in one line."""
    return " ".join(screen(pilot).split())


@pytest.mark.parametrize(
    ("keys", "kind", "container", "word", "to"),
    [
        ("m a w b enter", "aside", "jug B", "", ""),
        ("m a w b f enter", "aside", "jug B", "frozen", ""),
        ("x w b s enter", "aside", "jug B", "", ""),
        ("d p m o n space 1 0 colon 0 0 enter", "planned", "", "dump", ""),
        ("d p f r i space e v e r y space f r i enter", "planned", "", "dump", "every fri"),
        ("f w p s a t enter", "planned", "", "fill", ""),
        ("m p d space m o n enter", "planned", "", "dump", ""),
        ("m p f space w space s a t enter", "planned", "", "fill", ""),
        ("m l f space t h u enter", "limit", "", "food", ""),
        ("m l f o o d space t i l l space t h u enter", "limit", "", "food", ""),
    ],
)  # fmt: skip
def test_keys_for_what_lies_ahead_and_aside(
    tmp_path: Path, keys: str, kind: str, container: str, word: str, to: str
) -> None:
    """A few letters note it, it is said, and z takes exactly that back in words."""
    path = lived(tmp_path / "log.db", with_places=False, with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, keys)
        assert "Noted: " in words(pilot), words(pilot)
        noted = last(path)
        assert (noted.kind, noted.container, noted.word, noted.to) == (kind, container, word, to)
        await press(pilot, "z")
        assert "Taken back: " in words(pilot) and "the last change" not in words(pilot)
        assert last(path) != noted

    walk(steps, path, steady=False)


def test_set_aside_comes_back_by_the_same_keys(tmp_path: Path) -> None:
    """What is set aside says so on the first screen, and its letter under `m a` brings it back."""
    path = lived(tmp_path / "log.db", with_places=False, with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m a w b s enter")
        assert "set aside (split)" in words(pilot)
        await press(pilot, "escape m a w")
        assert "b jug B back" in words(pilot)
        await press(pilot, "b")
        assert "jug B back in use" in words(pilot)
        await press(pilot, "enter escape")
        assert "set aside" not in words(pilot)
        assert last(path).word == "back"

    walk(steps, path, steady=False)


def test_a_plan_and_a_date_are_shown_and_dropped(tmp_path: Path) -> None:
    """The questions say what stands so far; `drop` ends it."""
    path = lived(tmp_path / "log.db", with_places=False, with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        for key, said, shown in (("p", "d mon 10:00 every 7 days", "Dump of gray planned Mon"),
                                 ("l", "m sat", "Move till Sat")):  # fmt: skip
            await press(pilot, f"m {key}")
            await type_in(pilot, said)
            await press(pilot, f"enter m {key}")
            assert shown in words(pilot)
            await type_in(pilot, f"{said[0]} drop")
            await press(pilot, f"enter m {key}")
            assert shown not in words(pilot)
            await press(pilot, "escape")

    walk(steps, path, steady=False)


def test_which_one_is_asked_before_setting_aside(tmp_path: Path) -> None:
    """Of two jugs the letter is asked for; Enter alone sets nothing aside."""
    path = lived(tmp_path / "log.db", with_places=False, with_trip="")
    before = last(path)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m a w enter")
        assert "Which one? a jug A b jug B" in words(pilot)

    walk(steps, path, steady=False)
    assert last(path) == before


def test_more_is_tapped_too(tmp_path: Path) -> None:
    """A line of the list is a button: it leads where its key leads."""
    path = lived(tmp_path / "log.db", with_places=False, with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        for text, shown in (("Dumped gray water", "dumped · gray"), ("Food till Thursday", "f food")):
            await press(pilot, "m")
            lines = screen(pilot).splitlines()
            while not any(text in each for each in lines):
                await press(pilot, "down")
                lines = screen(pilot).splitlines()
            y = next(i for i, each in enumerate(lines) if text in each)
            await pilot.click(offset=(lines[y].index(text) + 1, y))
            await settled(pilot)
            assert shown in words(pilot)
            await press(pilot, "escape")

    walk(steps, path, steady=False)


def test_undo_of_a_void_says_what_is_back(tmp_path: Path) -> None:
    """An entry taken out and brought back by z is said to be back, and y takes it out again."""
    path = lived(tmp_path / "log.db", with_places=False, with_trip="")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e x enter escape z")
        assert "Back again: " in words(pilot) and "y takes it out again." in words(pilot)
        await press(pilot, "y")
        assert "Taken out: " in words(pilot) and "z brings it back." in words(pilot)

    walk(steps, path, steady=False)
