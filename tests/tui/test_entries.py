"""The list of entries on a real log: what a change does to the forecast is told before it is done."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import walk
from tests.tui.walk import press, screen, settled, type_in
from tests.wording.example import NOW, RIG_TOML
from vanlife_supply import keeping
from vanlife_supply.advising import outlook, outlook_if
from vanlife_supply.entry.build import Typed
from vanlife_supply.logbook import Logbook
from vanlife_supply.tui.shell import SupplyApp

SAID = (
    Typed("fill", "water", at="2026-04-27T08:00"), Typed("dump", "gray", at="2026-04-27T08:00"),
    Typed("fill", "water", "8 gal full", at="2026-05-03T08:00"), Typed("dump", "gray", at="2026-05-03T08:00"),
    Typed("fill", "water", "13 gal", at="2026-05-05T08:00"), Typed("reading", "water", "half", container="jug B"),
)  # fmt: skip


def noted(path: Path) -> Path:
    """A log of two weeks, one fill in it odd."""
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
        for typed in SAID:
            keeping.record(book, [keeping.noted(book, typed, NOW)], NOW)
    return path



def words(pilot: Pilot[int]) -> str:
    """What is on the screen, in one line."""
    return " ".join(screen(pilot).split())


@pytest.mark.parametrize("size", [(80, 24), (50, 20)])
@pytest.mark.parametrize(
    ("keys", "line", "asked", "done"),
    [
        ("e x", "", "Take out: looked at water jug B: half", "Taken out: looked at"),
        ("e down r", "", "It is right as it stands?", "Settled"),
        ("e down k", "", "A mistake, it counts no more: added 13 gal", "Settled, a mistake"),
        ("e down a", "4", "In truth: added 4 gal of water?", "Settled: added 4 gal of water"),
        ("e down m", "added water 2 gal", "Mend to: added water 2 gal?", "Mended."),
    ],
)
def test_the_effect_is_told_first(
    tmp_path: Path, keys: str, line: str, asked: str, done: str, size: tuple[int, int]
) -> None:
    """Nothing is changed and the effect told is the one that comes; Esc leaves it, Enter does it."""
    path = noted(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        app = pilot.app
        assert isinstance(app, SupplyApp) and app.forecast
        before = app.known.entries
        for last in ("escape", "enter"):
            await press(pilot, "escape")
            await press(pilot, keys)
            if line:
                await press(pilot, "end" + " backspace" * 40)
                await type_in(pilot, line)
                await press(pilot, "enter")
            assert asked in words(pilot)
            told = words(pilot).partition("Water: count on ")[2].partition(".")[0]
            assert told and app.desk.known().entries == before
            await press(pilot, last)
            if last == "escape":
                assert "It stays as it was." in words(pilot) and app.desk.known().entries == before
        assert done in words(pilot) and app.desk.known().entries != before
        await press(pilot, "escape z y")
        assert f"Water: count on {told}" in words(pilot) or " as before" in told

    walk(steps, path, size, steady=False)


def test_supposing_is_what_comes(tmp_path: Path) -> None:
    """The outlook without an entry, and with another in its place, is the outlook once that is done."""
    with Logbook.open(noted(tmp_path / "log.db")) as book:
        odd = next(e for e in book.entries() if e.questioned)
        mend = {"amount": "2 gal"}
        supposed = outlook_if(book, [keeping.mended(book, odd.id, mend, NOW)], NOW, [odd])
        new = keeping.mend(book, odd.id, mend, NOW)
        assert outlook(book, NOW, NOW).supplies == supposed.supplies
        supposed = outlook_if(book, [], NOW, [new])
        keeping.void(book, new.id, NOW)
        assert outlook(book, NOW, NOW).supplies == supposed.supplies


@pytest.mark.parametrize("size", [(80, 24), (50, 20)])
def test_only_some_are_shown(tmp_path: Path, size: tuple[int, int]) -> None:
    """A letter or a word narrows the list, what is chosen stays chosen after a change; Esc shows all again."""
    path = noted(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e f w")
        assert "4 of 6." in words(pilot)
        await press(pilot, "enter")
        assert "w: 4 of 6. Esc shows all." in words(pilot) and "ump" not in words(pilot)
        await press(pilot, "f o d d enter x enter")
        assert "Taken out: added 13 gal of water" in words(pilot) and "odd: 0 of 5" in words(pilot)
        await press(pilot, "escape")
        assert "Noted so far: 5" in words(pilot) and "Dumped gray" in words(pilot)
        await press(pilot, "f z z")
        assert "Nothing noted fits 'zz'" in words(pilot)

    walk(steps, path, size, steady=False)


def test_how_an_odd_entry_is_answered_stands_beside_it(tmp_path: Path) -> None:
    """Beside an odd entry stand its three answers; an amount no jug holds is refused in the line; others are not asked."""
    path = noted(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e")
        assert "k a mistake" not in words(pilot)
        await press(pilot, "down")
        assert "r it is right k a mistake a it was so much" in words(pilot)
        await press(pilot, "a")
        await type_in(pilot, "40 gal")
        assert "is more than" in words(pilot)
        await press(pilot, "escape escape up k")
        assert "Nothing looks odd" in words(pilot)
        await press(pilot, "a")
        assert "Nothing looks odd" in words(pilot)

    walk(steps, path)


def test_an_entry_takes_the_lines_it_needs(tmp_path: Path) -> None:
    """On a narrow screen a long entry goes on below its first line, with its place, and the cursor marks all of it."""
    path = noted(tmp_path / "log.db")
    with Logbook.open(path) as book:
        typed = Typed("pour", "alcohol", container="can", into="canister 1", place="the mill by the old bridge")
        keeping.record(book, [keeping.noted(book, typed, NOW)], NOW)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e")
        for key in ("", "down"):
            await press(pilot, key)
            assert "Poured alcohol from can into canister 1, at the mill by the old bridge" in words(pilot)
            assert "…" not in words(pilot)

    walk(steps, path, (50, 20))


def test_an_empty_list_says_what_will_stand_there(tmp_path: Path) -> None:
    """Before anything is noted the page offers nothing to mend."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e")
        assert "Nothing yet." in words(pilot) and "m mend" not in words(pilot)

    walk(steps, path)


def test_a_tap_goes_to_an_entry_and_a_second_mends_it(tmp_path: Path) -> None:
    """All that the arrows and Enter do is done by tapping too."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "e")
        lines = screen(pilot).splitlines()
        for _ in range(2):
            await pilot.click(offset=(6, 3))
            await settled(pilot)
            assert f"→{lines[3][1:]}" in screen(pilot)
        assert "What should it be?" in words(pilot)

    walk(steps, noted(tmp_path / "log.db"))


@pytest.mark.parametrize(("keys", "meant"), [("2", "2 gal"), ("2 space g a l", "2 gal"), ("8 space L", "8 L")])
def test_the_number_is_typed_over(tmp_path: Path, keys: str, meant: str) -> None:
    """`m` on an entry with an amount: what is typed stands in place of the number, with its unit unless one is typed too."""
    path = noted(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, f"e down m {keys}")
        assert "Tue 5 May" in words(pilot).rpartition("What should it be?")[2], "what is mended keeps its time"
        await press(pilot, "enter")
        assert f"Mend to: filled water {meant}?" in words(pilot)

    walk(steps, path, steady=False)
