"""What is carried, changed in mid-life in the app: said before, kept from now on, taken back in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import lived, walk
from tests.tui.test_more import last, words
from tests.tui.walk import SIZES, golden, press, screen, type_in
from tests.wording.example import GALLON, NOW
from vanlife_supply import keeping
from vanlife_supply.advising import outlook
from vanlife_supply.logbook import Logbook
from vanlife_supply.wording.undo import told_of_undo


def log(tmp_path: Path) -> Path:
    """A log with a life in it."""
    return lived(tmp_path / "log.db", with_places=False, with_trip="")


def test_a_bigger_jug_from_now_on(tmp_path: Path) -> None:
    """The change is said before Enter; the past keeps its rig; z takes it back and says what it was, y makes it again."""
    path = log(tmp_path)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m r down down down enter")
        await type_in(pilot, "6 gal")
        assert "Jug B holds 6 gal, not 5 gal. From now on" in words(pilot)
        await press(pilot, "enter")
        with Logbook.open(path) as book:
            assert book.rig().container("fresh", "B").capacity == pytest.approx(6 * GALLON)
            assert book.rig(NOW.epoch - 86_400).container("fresh", "B").capacity == pytest.approx(5 * GALLON)
        await press(pilot, "escape z")
        assert "Taken back: Jug B holds 6 gal, not 5 gal." in words(pilot)
        await press(pilot, "y")
        assert "Changed again: Jug B holds 6 gal" in words(pilot)

    walk(steps, path, steady=False)


def test_gone_added_and_who_lives_aboard(tmp_path: Path) -> None:
    """x asks before a jug goes, a adds one, p notes who lives aboard."""
    path = log(tmp_path)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m r x")
        assert "Put the cursor on the jug" in words(pilot)
        await press(pilot, "down down down x")
        assert "Jug B is gone" in words(pilot)
        await press(pilot, "enter a")
        await type_in(pilot, "toilet fills 5 gal cassette")
        await press(pilot, "enter p")
        await type_in(pilot, "2 and a cat")
        await press(pilot, "enter")
        assert "2 aboard, cat" in words(pilot)
        assert "A cassette, 5 gal" in words(pilot)
        assert "jug B" not in words(pilot)
        assert (last(path).kind, last(path).amount, last(path).pets) == ("people", 2.0, "cat")

    walk(steps, path, steady=False)


def test_a_new_jug_comes_full(tmp_path: Path) -> None:
    """a and `6 gal jug full`: aboard under a letter no other had, full as said; one undo takes both back."""
    path = log(tmp_path)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m r down down x")
        await press(pilot, "enter a")
        await type_in(pilot, "water jug 6 gal full")
        assert "Jug (C) is new, water, 6 gal, full." in words(pilot)
        await press(pilot, "enter")
        assert "C jug, 6 gal" in words(pilot)
        assert "jug B, 5 gal" in words(pilot)

    walk(steps, path, steady=False)
    assert (last(path).kind, str(last(path).said), last(path).container) == ("reading", "100 %", "jug")
    with Logbook.open(path) as book:
        before, taken = book.rig(), keeping.undo(book, NOW.plus(1e-4))
        told = told_of_undo(book, before, taken, NOW, again=False)
        assert told == "Taken back: Jug (C) is new, water, 6 gal, as full as was said."
        assert [c.label for c in book.rig().of("fresh")] == ["jug B"]


def test_a_new_name_loses_nothing(tmp_path: Path) -> None:
    """Renamed, also twice and with another change right after, a jug holds what it held and lasts as long."""
    path = log(tmp_path)
    with Logbook.open(path) as book:
        before = outlook(book, NOW, NOW).supply("fresh")
        for i, (label, said) in enumerate((("jug A", "called blue jug"), ("blue jug", "called sky jug"))):
            keeping.change_rig(book, "fresh", label, said, NOW.plus(i * 1e-4))
        now = outlook(book, NOW.plus(0.001), NOW.plus(0.001)).supply("fresh")
    assert before is not None and now is not None and before.days_left is not None and now.days_left is not None
    assert [c.label for c in now.containers] == ["sky jug", "jug B"]
    assert [c.state for c in now.containers] == [c.state for c in before.containers]
    assert now.days_left.p50 == pytest.approx(before.days_left.p50, rel=0.03)


def test_questions_may_be_asked_again(tmp_path: Path) -> None:
    """What was answered with never again stands in the list, and Enter lets it be asked again."""
    path = log(tmp_path)
    with Logbook.open(path) as book:
        book.set("declined capacity fresh jug B", "no")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m r")
        assert "Never asked: capacity of jug B" in words(pilot)
        await press(pilot, *[" ".join(["down"] * 20)])
        await press(pilot, "enter")
        assert "Never asked" not in words(pilot)

    walk(steps, path, steady=False)
    with Logbook.open(path) as book:
        assert book.setting("declined capacity fresh jug B") is None


def test_another_zone_is_taken_back(tmp_path: Path) -> None:
    """`rig zone` is an act like others: undo brings the old zone back."""
    with Logbook.open(log(tmp_path)) as book:
        was = book.rig().zone
        keeping.set_zone(book, "America/Chicago", NOW)
        assert book.rig().zone == "America/Chicago"
        keeping.undo(book, NOW)
        assert book.rig().zone == was


@pytest.mark.parametrize("size", list(SIZES))
def test_screen_as_text(tmp_path: Path, size: str) -> None:
    """The rig at three sizes is what the reviewed dump shows."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "m r down down")
        golden(f"rig-{size}", screen(pilot))

    walk(steps, log(tmp_path), SIZES[size], steady=False)


def test_what_the_supplies_weigh(tmp_path: Path) -> None:
    """Given a payload, the rig and a closer look say what is aboard; a fill past it says so before Enter."""
    path = log(tmp_path)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "f w")
        assert "Heavy" not in words(pilot)
        await press(pilot, "escape w")
        assert "supplies aboard" not in words(pilot)
        await press(pilot, "escape m r enter")
        await type_in(pilot, "payload 60 lb")
        assert "60 lb together at most" in words(pilot)
        await press(pilot, "enter")
        assert "of supplies aboard, you said 60 lb at most" in words(pilot)
        await press(pilot, "escape w")
        assert "of supplies aboard, you said 60 lb at most" in words(pilot)
        await press(pilot, "escape f w")
        assert "Heavy: about" in words(pilot)
        await press(pilot, "escape s")
        await type_in(pilot, "filled water")
        assert "Heavy: about" in words(pilot)

    walk(steps, path)
