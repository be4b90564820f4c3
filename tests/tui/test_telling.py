"""Set-up lines as people say them, and what they become."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.wording.example import NOW
from vanlife_supply import advising, keeping
from vanlife_supply.constants import LITRES_PER_GALLON
from vanlife_supply.entry.build import build
from vanlife_supply.logbook import Logbook
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.tui.screens.setup import QUESTIONS, told_of, understood
from vanlife_supply.tui.telling import first_entries, heard, read_days, read_held, read_people, to_toml, units_of


@pytest.mark.parametrize(
    ("supply", "text", "understood"),
    [
        ("fresh", "7 gal half, 5 gal full", "7 gal jug (half); 5 gal jug (full)"),
        ("fresh", "7 half, 5 full", "7 gal jug (half); 5 gal jug (full)"),
        ("fresh", "two 7 gal jugs full and a 20 L tank half", "jug 1 7 gal (full); jug 2 7 gal (full); tank 20 L (half)"),
        ("fresh", "30 gal tank, about 20 left", "tank 30 gal (20 gal)"),
        ("fresh", "2½ gal half", "jug 2.5 gal (half)"),
        ("fresh", "5 gal full, 5 gal half", "jug 1 5 gal (full); jug 2 5 gal (half)"),
        ("grey", "6 gal, 2 in it, stop at 5.4", "gray jug 6 gal (2 gal, stop at 90% of it)"),
        ("grey", "6 gal empty", "gray jug 6 gal (empty, stop at 90% of it)"),
        ("stove_fuel", "2 x 1 L full, can 1 gal half", "canister 1 1 L (full); canister 2 1 L (full); can 1 gal (half)"),
        ("propane", "20 lb TW 17.1 weighs 24.3", "cylinder 20 lb (24.3 lb gross, empty weight 17.1 lb)"),
        ("propane", "11 lb don't know", "cylinder 11 lb (how full: not known; a weight tells, with the TW on its collar)"),
        ("propane", "", "none"),
        ("fresh", "7 gal 3/4 full", "jug 7 gal (75%)"),
        ("fresh", "10L ¾", "jug 10 L (75%)"),
        ("fresh", "6 gal, 40%", "jug 6 gal (40%)"),
        ("fresh", "a 20 litre tank, 3/4 full", "tank 20 L (75%)"),
        ("fresh", "7 full 5 half", "7 gal jug (full); 5 gal jug (half)"),
        ("fresh", "six gallon jug, nearly empty", "jug 6 gal (nearly empty)"),
        ("fresh", "two jugs, 7 and 5 gallons, both full", "7 gal jug (full); 5 gal jug (full)"),
        ("fresh", "two jugs 7 gal", "jug 1 7 gal (how full: not known); jug 2 7 gal (how full: not known)"),
        (
            "stove_fuel",
            "two 1 L bottles full and a gallon can half",
            "bottle 1 1 L (full); bottle 2 1 L (full); can 1 gal (half)",
        ),
        ("propane", "20 lb, 3/4", "cylinder 20 lb (75%)"),
        (
            "propane",
            "20 lb, 24.3 on the scale",
            "cylinder 20 lb (how full: not known; a weight tells, with the TW on its collar)",
        ),
        (
            "propane",
            "20 pound cylinder don't know how full",
            "cylinder 20 lb (how full: not known; a weight tells, with the TW on its collar)",
        ),
        ("propane", "20 lb TW 17.1, 24.3 on the scale", "cylinder 20 lb (24.3 lb gross, empty weight 17.1 lb)"),
        ("propane", "20 lb TW 17.1, now 24.3", "cylinder 20 lb (24.3 lb gross, empty weight 17.1 lb)"),
        ("fresh", "don't know", "none"),
    ],
)
def test_containers(supply: str, text: str, understood: str) -> None:
    """Sizes, counts, nouns, levels, tare and stop mark in the order people say them."""
    assert heard(read_held(text, supply, "us")) == understood


@pytest.mark.parametrize(
    ("text", "people", "pets"),
    [
        ("", 1.0, ()),
        ("1", 1.0, ()),
        ("me and a dog 50 lb", 1.0, ("dog 50 lb",)),
        ("two people and a cat", 2.0, ("cat",)),
        ("2 and two dogs", 2.0, ("dog", "dog")),
        ("my wife and I", 2.0, ()),
        ("2 adults 1 kid", 3.0, ()),
    ],
)
def test_people(text: str, people: float, pets: tuple[str, ...]) -> None:
    """People and pets in words; nothing said is one person."""
    assert read_people(text) == (people, pets)


def test_days() -> None:
    """Days or weeks, or not known."""
    assert read_days("10") == 10.0
    assert read_days("about 2 weeks") == 14.0
    assert [read_days(t) for t in ("a week", "about ten days", "8 to 10", "10-12")] == [7.0, 10.0, 9.0, 11.0]
    assert read_days("") is None
    with pytest.raises(Refusal, match="1e9"):
        read_held("1e9 gal full", "fresh", "us")
    with pytest.raises(Refusal, match="not a number of days"):
        read_days("soon")


def test_units_follow_the_words() -> None:
    """Someone who says litres gets a metric rig."""
    assert units_of("20 L half") == "metric"
    assert units_of("7 gal half, canister 1.2 L") == "us"
    told = told_of(["1", "20 L half", "", "", "15 L"], "Europe/Berlin")
    assert read_rig(to_toml(told)).units == "metric"


def test_everything_told_becomes_a_rig_and_entries() -> None:
    """The toml is read by the same reader as rig load, and every entry is accepted."""
    answers = ["2 and a cat", "7 gal half, 5 gal full", "sunday", "10", "6 gal, 2 in it", "2 x 1.2 L full, can 1 gal half",
               "20 lb TW 17.1 weighs 24.3"]  # fmt: skip
    told = told_of(answers, "America/Denver")
    its = read_rig(to_toml(told))
    assert (its.people, its.pets, its.supply("fresh").lasts) == (2.0, ("cat",), 10.0)
    assert its.of("grey")[0].usable == 0.9
    entries = [build(typed, its, NOW) for typed in first_entries(told)]
    assert [e.questioned for e in entries] == [""] * 8
    assert its.canonical(entries[-1].said, "propane", "cylinder") == pytest.approx(7.2 * 0.45359237)  # type: ignore[arg-type]  # a reading


def test_what_stands_alone_is_not_dropped() -> None:
    """A third thing in a list of two jugs is asked about."""
    with pytest.raises(Refusal, match="'banana' is not understood"):
        read_held("7 gal half, 5 gal full, banana", "fresh", "us")


@pytest.mark.parametrize(
    ("text", "supply", "expected"),
    [
        ("two 11 lb cylinders one full the other about half", "propane", [("cylinder 1", "full"), ("cylinder 2", "half")]),
        ("2 6-gal jugs full", "fresh", [("jug 1", "full"), ("jug 2", "full")]),
        ("2 six gallon jugs", "fresh", [("jug 1", ""), ("jug 2", "")]),
        ("25 gal tank half", "grey", [("gray tank", "half")]),
    ],
)
def test_several_in_one_breath(text: str, supply: str, expected: list[tuple[str, str]]) -> None:
    """`the other`, a size with a hyphen or in words; what is under the sink is called so: each as told."""
    assert [(h.label, h.state) for h in read_held(text, supply, "us")] == expected


@pytest.mark.parametrize(
    ("supply", "text", "understood"),
    [
        ("fresh", "7 gal low, 5 gal a bit left", "7 gal jug (low); 5 gal jug (a bit)"),
        ("fresh", "7 gal less than half, 5 gal sealed", "7 gal jug (less than half); 5 gal jug (sealed)"),
        ("fresh", "7 gal and 5 gal, both about half", "7 gal jug (half); 5 gal jug (half)"),
        ("fresh", "blue 7 gal jug 1/3 left, 5 gal full", "blue jug 7 gal (33.33%); 5 gal jug (full)"),
        ("fresh", "big jug 7 gal half, small jug 5 gal dry", "big jug 7 gal (half); small jug 5 gal (dry)"),
        ("fresh", "three 5 gal jugs, 2 full and 1 half", "jug 1 5 gal (full); jug 2 5 gal (full); jug 3 5 gal (half)"),
        ("stove_fuel", "two 1 L canisters, one full one half", "canister 1 1 L (full); canister 2 1 L (half)"),
        ("stove_fuel", "2 canisters of 1 liter one is full one half; 1 gallon can full",
         "canister 1 1 L (full); canister 2 1 L (half); can 1 gal (full)"),
    ],
)  # fmt: skip
def test_levels_and_names_as_people_say_them(supply: str, text: str, understood: str) -> None:
    """No level and no name of a jug is dropped; of several alike some may stand differently."""
    assert heard(read_held(text, supply, "us")) == understood


@pytest.mark.parametrize("text", ["7 gal, 5 gal, one full one half", "two 5 gal jugs, two full one half"])
def test_one_full_one_half_is_asked(text: str) -> None:
    """Where it could be either, or there are not so many, each is asked for."""
    with pytest.raises(Refusal, match="Say each with its size"):
        read_held(text, "fresh", "us")


@given(st.lists(st.text(max_size=30), min_size=1, max_size=len(QUESTIONS)))
def test_anything_typed_is_taken_or_refused(answers: list[str]) -> None:
    """No answer ends in anything but a rig or a sentence."""
    try:
        told = told_of(answers, "UTC")
        if told.held:
            read_rig(to_toml(told))
    except Refusal as refused:
        assert str(refused)


@pytest.mark.parametrize("slip", ["ful", "hafl", "emty"])
def test_a_slip_in_a_level_is_asked(slip: str) -> None:
    """A level mistyped is no level unknown: it is refused, with the word it may be."""
    with pytest.raises(Refusal, match=f"'{slip}' is not understood .did you mean"):
        read_held(f"6 gal half, 5 gal {slip}, 2.5 gal full", "fresh", "us")


@pytest.mark.parametrize(
    ("line", "least", "most"),
    [
        ("6 gal a bit left, 5 gal full, 2.5 gal full", 7.5, 9.0),
        ("6 gal full, 5 gal full, 2.5 gal half", 11.0, 12.5),
        ("6 gal full, 5 gal half, 2.5 gal full", 10.0, 11.5),
        ("6 gal, 5 gal full, 2.5 gal full", 7.4, 7.6),
        ("6 gal, 5 gal, 2.5 gal", 3.0, 9.0),
        ("6 gal full, 5 gal full, 2.5 gal full", 13.0, 13.5),
    ],
)
def test_what_is_said_to_be_in_them_now_is_not_drawn_down(tmp_path: Path, line: str, least: float, most: float) -> None:
    """A fill some days ago says how fast it goes; what was said to be full now stays full. Where no level was said, what is
    left follows from the fill."""
    told = told_of(["1", line, "sunday", "a week"], NOW.zone)
    with Logbook.open(tmp_path / "log.db") as book:
        keeping.set_up(book, to_toml(told), first_entries(told), NOW)
        water = advising.outlook(book, None, NOW).supply("fresh")
    assert water is not None and water.level is not None
    assert least <= (water.level.p50 or 0.0) / LITRES_PER_GALLON <= most


@pytest.mark.parametrize("line", ["6 gal, 5 gal full", "6 gal full, 5 gal full"])
def test_a_fill_that_tells_nothing_is_said_so(line: str) -> None:
    """Where what is in the jugs now says more than the fill before it, the line of the fill says that it does not count."""
    assert "what you said is in them now counts instead" in understood(["1", line, "sunday"], NOW.zone, NOW)
    assert "counts instead" not in understood(["1", "6 gal half, 5 gal full", "sunday"], NOW.zone, NOW)


@pytest.mark.parametrize(
    ("line", "supply"),
    [
        ("two 5 lb, tw 6.4, one weighs 9.1 other full", "propane"),
        ("two 5 lb, tw 6.4, one weighs 9.1, the other is full", "propane"),
        ("half 7 gal, full 5 gal", "fresh"),
    ],
)
def test_two_levels_of_one_are_asked(line: str, supply: str) -> None:
    """The weight of one of two is not dropped for what is said of the other: which is which is asked."""
    with pytest.raises(Refusal, match=r"Which is .* and which full"):
        read_held(line, supply, "us")
