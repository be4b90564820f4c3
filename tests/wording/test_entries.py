"""What an entry was, what it did, what was taken back, what to mind."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.wording.example import NOW, forecast, rig
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import LOG_KINDS, PLANNED, Entry
from vanlife_supply.forecast.model import Band, First
from vanlife_supply.wording.cautions import caution, caution_after
from vanlife_supply.wording.entries import effect, entry_full, entry_line, noted, redone, undone

SAID = {
    "fill": (Typed("fill", "water", container="B"), "Filled water to the top, jug B"),
    "use": (Typed("use", "water", "1 gal", word="shower"), "Used 1 gal of water for shower"),
    "reading": (Typed("reading", "propane", "24.3 lb gross"), "Weighed propane: 24.3 lb with its container"),
    "dump": (Typed("dump", "gray", "4 gal"), "Dumped 4 gal of gray"),
    "next": (Typed("next", "water", container="A", into="B"), "Water: jug A empty, jug B opened"),
    "ran-out": (Typed("ran-out", "propane", word="cold"), "Propane stopped in the cold, some is left"),
    "exchange": (Typed("exchange", "propane", "15 lb"), "Traded in cylinder, 15 lb got"),
    "pour": (Typed("pour", "alcohol", container="can", into="canister 1"), "Poured alcohol from can into canister 1"),
    "spill": (Typed("spill", "water", "0.5 gal"), "Spilled or leaked 0.5 gal of water"),
    "aside": (Typed("aside", "water", container="B", word="frozen"), "Set water jug B aside (frozen)"),
    "people": (Typed("people", amount="2", until="2026-05-10T12:00"), "2 people aboard until Sun 10 May"),
    "condition": (Typed("condition", word="heater"), "Heater on"),
    "limit": (Typed("limit", word="food", at="2026-05-14T12:00"), "Food till Thu 14 May"),
    "note": (Typed("note", word="road is soft"), "Road is soft"),
    "planned": (Typed("planned", word="dump", at="2026-05-11T12:00"), "Dump of gray planned Mon 11 May"),
}


@pytest.mark.parametrize("kind", list(SAID))
def test_every_kind_in_one_line(kind: str) -> None:
    """Each kind of entry is said in plain words, never with the names used inside."""
    typed, said = SAID[kind]
    line = entry_line(build(typed, rig(), NOW), rig())
    assert line == said
    assert not any(word in line for word in ("fresh", "grey", "stove_fuel", "ran-out"))


def test_no_kind_is_left_out() -> None:
    """A new kind of entry needs its words."""
    assert set(SAID) == {*LOG_KINDS, PLANNED}


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (Typed("fill", "water", "5 gal full"), "Filled water to the top, 5 gal went in"),
        (Typed("fill", "water", "some"), "Added some water"),
        (Typed("fill", "water", "almost"), "Filled water almost to the top"),
        (Typed("fill", "water", "45 L"), "Added 45 L of water"),
        (Typed("dump", "gray"), "Dumped gray empty"),
        (Typed("dump", "gray", down_to="1 gal"), "Dumped gray down to 1 gal"),
        (Typed("reading", "gray", "half"), "Looked at gray: half in it"),
        (Typed("reading", "water", "40%"), "Looked at water: 40%"),
        (Typed("aside", "water", container="B", down_to="back"), "Water jug B back in use"),
        (Typed("condition", word="heater", down_to="off"), "Heater off"),
    ],
)
def test_ways_of_saying_it(typed: Typed, said: str) -> None:
    """To the top, some, almost, an amount, down to, half, back, off."""
    assert entry_line(build(typed, rig(), NOW), rig()) == said


def _fill() -> Entry:
    return build(Typed("fill", "water", "12", paid="3", place="Spring", at="last night"), rig(), NOW)


def test_money_place_and_time_are_said() -> None:
    """What it cost, where and when."""
    assert entry_full(_fill(), rig(), NOW) == "Added 12 gal of water, paid $3.00, at Spring, yesterday, evening"
    assert noted(_fill(), rig(), NOW).startswith("Noted: added 12 gal of water")


def test_an_odd_entry_is_said_to_be_odd() -> None:
    """An implausible amount is kept, and said to be asked about."""
    odd = build(Typed("fill", "water", "13 gal"), rig(), NOW)
    assert odd.questioned
    assert "looks odd" in noted(odd, rig(), NOW)


def test_undo_says_what() -> None:
    """Taken back and noted again name the entry, and how many more there were."""
    assert undone((_fill(),), rig(), NOW).startswith("Taken back: added 12 gal of water")
    assert redone((_fill(), _fill()), rig(), NOW).endswith("and 1 more.")
    assert undone((), rig(), NOW) == "Taken back: the last change."


def test_effect_names_before_and_after() -> None:
    """The supply with what it was before, then what comes first now."""
    before = forecast()
    grey = replace(before.supplies[1], days_left=Band(8.0, 9.0, 10.0))
    supplies = (before.supplies[0], grey, *before.supplies[2:])
    after = replace(before, supplies=supplies, first=First("fresh", Band(4.7, 5.9, 7.4), {}))
    assert effect(before, after, "grey", rig()) == (
        "Gray: count on 8 days, it was 2½ days. First is now water: count on 4½ days, likely 6."
    )
    assert effect(before, before, "grey", rig()) == "Gray: count on 2½ days as before. It comes first."
    assert effect(None, before, "", rig()) == "First is now gray: count on 2½ days, likely 3½."


def test_what_a_condition_did_is_said() -> None:
    """The heater is no supply: what it makes last much shorter is named; what changes little is not."""
    before = forecast()
    for factor, told in ((0.25, "Propane: count on 4½ days, it was 2½ weeks. "), (0.9, "")):
        supplies = tuple(
            replace(s, days_left=Band(*(factor * (q or 0.0) for q in (s.days_left.p10, s.days_left.p50, s.days_left.p90))))
            if s.supply == "propane" and s.days_left else s
            for s in before.supplies
        )  # fmt: skip
        said = effect(before, replace(before, supplies=supplies), "", rig())
        assert said == f"{told}First is still gray: count on 2½ days, likely 3½."


def test_water_for_washing_kept_apart_is_asked_about() -> None:
    """Where not every jug is for drinking, a fill that may reach a drinking jug asks what water it was."""
    its = rig()
    apart = replace(its, containers=(replace(its.containers[0], drinking=False), *its.containers[1:]))
    assert "fit to drink" in caution(build(Typed("fill", "water"), apart, NOW), apart)
    assert caution(build(Typed("fill", "water", container=apart.containers[0].label), apart, NOW), apart) == ""


def test_caution_at_its_act() -> None:
    """A canister: burner out; the cold: no flame; the dump: local rules; a look at water: nothing."""
    its = rig()
    assert "Burner out" in caution(build(SAID["pour"][0], its, NOW), its)
    assert "Never warm" in caution(build(SAID["ran-out"][0], its, NOW), its)
    assert "local rules" in caution(build(SAID["dump"][0], its, NOW), its)
    assert "80% mark" in caution(build(Typed("fill", "propane"), its, NOW), its)
    assert "what was left in yours is gone" in caution(build(Typed("exchange", "propane"), its, NOW), its)
    assert "CO alarm" in caution(build(Typed("condition", word="heater"), its, NOW), its)
    assert "drink less" in caution(build(Typed("condition", word="hot"), its, NOW), its)
    assert caution(build(Typed("condition", word="heater", down_to="off"), its, NOW), its) == ""
    assert caution(build(Typed("fill", "water"), its, NOW), its) == ""
    assert caution(build(Typed("reading", "water", "half"), its, NOW), its) == ""
    assert caution(build(SAID["people"][0], its, NOW), its) == ""


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (Typed("fill", "alcohol", container="canister 1"), "flame can be invisible"),  # X10
        (Typed("fill", "alcohol", container="can"), "away from flame"),  # A15
        (Typed("spill", "propane", "1 lb"), "shut the valve, get out"),  # X01-X04
        (Typed("fill", "propane", "21 lb"), "call the supplier"),  # P22-P36
        (Typed("fill", "propane", "10 lb"), "a licensed tester first"),  # P48-P54
        (Typed("condition", word="cold"), "Never heat the room with a cooker"),  # X06-X09
        (Typed("condition", word="cold"), "9% more room"),  # W16
        (Typed("aside", container="jug B", word="frozen"), "look for cracks"),  # W16
        (Typed("condition", word="saving"), "never on drinking"),  # N08
        (Typed("spill", "gray", "1 gal"), "local rules decide"),  # D01-D05
        (Typed("note", word="sanitised both jugs"), "4 mg/L"),  # H11
        (Typed("use", "water", "5 gal", word="bleach rinse"), "by its own label"),  # H01, H06
    ],
)
def test_every_caution_has_its_act(said: Typed, words: str) -> None:
    """What the facts (section B, ids beside) say must be shown is said where it is done, in three lines of 80 at most."""
    its = rig()
    told = caution(build(said, its, NOW), its)
    assert words in told and len(told) <= 3 * 79


@pytest.mark.parametrize(
    "said",
    [
        Typed("aside", container="jug B", word="lent out"), Typed("note", word="a nice service station"),
        Typed("spill", "water", "1 gal"), Typed("use", "propane", "1 lb"), Typed("reading", "propane", "9 lb net"),
        Typed("condition", word="away"), Typed("planned", "gray", word="dump", at="sun"),
    ],
)  # fmt: skip
def test_nothing_to_mind_nothing_said(said: Typed) -> None:
    """What is no danger carries no caution."""
    assert caution(build(said, rig(), NOW), rig()) == ""


def test_a_tap_never_drawn_from_is_asked_about_once() -> None:
    """The first fill at a place says that nobody here knows the water; the next there, or one without a place, does not."""
    its = rig()
    first = build(Typed("fill", "water", place="Spring"), its, NOW)
    again = replace(first, place="SPRING")
    assert "fit to drink?" in caution_after(first, its, [replace(first, place="Tap")], ())
    assert "fit to drink?" in caution_after(first, its, [replace(first, kind="dump", supply="grey")], ())
    assert caution_after(again, its, [first], ()) == ""
    assert caution_after(replace(first, place=""), its, [], ()) == ""
