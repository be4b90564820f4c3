"""Rounds of questions, at a stop and after days of silence: what a tired person types is understood, dated and priced."""

from __future__ import annotations

import asyncio
from dataclasses import replace

import pytest

from tests.tui.fake import FakeDesk
from tests.tui.walk import opened, press, screen, type_in
from tests.wording.example import NOW, forecast, rig
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.forecast.model import Band, First, Forecast
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.asking import worth_a_look
from vanlife_supply.tui.desk import Known
from vanlife_supply.tui.screens.rounds import Asked, asking, catch_up_round, said_in, stop_round

SINCE = "2026-05-01T08:00-06:00"
FILLED, DUMPED, LEFT = catch_up_round(rig(), SINCE)


def said(asked: Asked, answer: str) -> list[tuple[str, str, str, str, str]]:
    """What an answer would note: kind, supply, container, amount, paid."""
    return [(t.kind, t.supply, t.container, t.amount, t.paid) for t in said_in((asked,), [answer], rig(), NOW)]


def stop(supply: str) -> Asked:
    """The question of a stop about that supply."""
    return next(asked for asked in stop_round(rig()) if asked.supply == supply)


@pytest.mark.parametrize(
    ("answer", "amount", "paid"),
    [
        ("traded", "", ""), ("t", "", ""), ("traded in $22", "", "$22"), ("exchange 22", "", "22"), ("t 18.50", "", "18.50"),
        ("swapped $22", "", "$22"), ("traded 15 lb $22", "15 lb", "$22"), ("exchanged 15", "15", ""),
    ],
)  # fmt: skip
def test_a_cylinder_is_traded_in_at_a_stop(answer: str, amount: str, paid: str) -> None:
    """With what was paid: a number no 20 lb cylinder holds, or one with cents, is a price."""
    ((kind, supply, _, got, price),) = said(stop("propane"), answer)
    assert (kind, supply, got, price) == ("exchange", "propane", amount, paid)


@pytest.mark.parametrize("answer", ["half", "dumped half", "an hour ago, full", "20"])
def test_how_much_is_no_place(answer: str) -> None:
    """What says how much, typed where the place is asked, is refused: else a place of that name would be advised later."""
    with pytest.raises(Refusal, match="is no place"):
        said_in(stop_round(rig())[:1], [answer], rig(), NOW)
    assert said_in(stop_round(rig())[:2], ["an hour ago, Half Moon Spring", ""], rig(), NOW)[0].place == "Half Moon Spring"


@pytest.mark.parametrize(
    ("supply", "answer", "expected"),
    [
        ("propane", "full 3.50", ("fill", "", "full", "3.50")), ("propane", "y 12.50", ("fill", "", "full", "12.50")),
        ("propane", "$22", ("fill", "", "", "$22")), ("propane", "weighs 36", ("reading", "", "36 lb gross", "")),
        ("stove_fuel", "y $18", ("fill", "can", "full", "$18")), ("stove_fuel", "1 gal $18", ("fill", "", "1 gal", "$18")),
        ("stove_fuel", "a", ("fill", "a", "", "")), ("fresh", "both full", ("fill", "", "full", "")),
        ("grey", "y 5.00", ("dump", "", "empty", "5.00")), ("grey", "", ("dump", "", "empty", "")),
    ],
)  # fmt: skip
def test_an_answer_at_a_stop(supply: str, answer: str, expected: tuple[str, ...]) -> None:
    """Yes, a price, a letter of a container, another verb: each is what it says; alcohol bought is in the can."""
    ((kind, its, container, amount, paid),) = said(stop(supply), answer)
    assert its == supply and (kind, container, amount, paid) == expected


@pytest.mark.parametrize("asked", stop_round(rig())[1:], ids=lambda asked: asked.supply)
def test_the_example_of_a_stop_can_be_typed(asked: Asked) -> None:
    """Whatever stands there as an example is understood, at a price, and is not asked about as odd."""
    for example in asked.question.example.split(", or "):
        (typed,) = said_in((asked,), [example], rig(), NOW)
        entry = build(typed, rig(), NOW)
        assert entry.paid and not entry.questioned


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ("w", [("fill", "fresh", "")]), ("a", [("fill", "stove_fuel", "can")]), ("p", [("fill", "propane", "")]),
        ("y, p traded $22", [("fill", "fresh", ""), ("exchange", "propane", "")]),
        ("sat, alcohol 1 gal tue", [("fill", "fresh", ""), ("fill", "stove_fuel", "")]), ("n", []), ("", []),
    ],
)
def test_what_was_filled_in_the_silence(answer: str, expected: list[tuple[str, str, str]]) -> None:
    """The letter of a supply says it was filled some time, several after commas, with a day or without."""
    assert [(kind, supply, container) for kind, supply, container, _, _ in said(FILLED, answer)] == expected


def test_what_was_noted_late_says_its_day() -> None:
    """The preview of catching up names the day understood, or how far it may be off."""
    round_ = (FILLED, DUMPED, LEFT)
    lines = asking("", round_, rig(), lambda: NOW, Known(rig(), ()), "leaves")
    assert lines._understood(["sat"]) == "Filled water to the top, Sat 2 May"
    assert lines._understood(["p"]) == "Filled propane to the top, about Mon 4 May, 3 days more or less"


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ("a empty, b half", [("jug A", "empty"), ("jug B", "half")]),
        ("a e and b h", [("jug A", "empty"), ("jug B", "half")]),
        ("both full", [("jug A", "full"), ("jug B", "full")]), ("p 24.3", [("", "24.3 lb gross")]),
        ("b 2 gal, alcohol c half", [("jug B", "2 gal"), ("can", "half")]), ("gray half", [("", "half")]),
    ],
)  # fmt: skip
def test_what_is_left_now(answer: str, expected: list[tuple[str, str]]) -> None:
    """Jugs by letter, levels by their beginning, other supplies by name, propane off the scale."""
    assert [(container, amount) for _, _, container, amount, _ in said(LEFT, answer)] == expected


@pytest.mark.parametrize("answer", ["one full, one half", "half", "alcohol full"])
def test_which_one_is_asked_by_letter(answer: str) -> None:
    """Where several stand there a level without a letter is not guessed at."""
    with pytest.raises(Refusal, match=r"Which one\? By its letter: a (jug A, b jug B|canister 1, b canister 2, c can)"):
        said(LEFT, answer)


def stopping(**chances: float) -> Forecast:
    """The invented forecast with other chances to come first."""
    return replace(forecast(), first=First(max(chances, key=lambda name: chances[name]), Band(1, 2, 3), chances))


def test_the_look_that_helps_most_is_asked_for() -> None:
    """What is likely out first; a rare case of something very wide goes before a sure one; gray is no thing left."""
    assert worth_a_look(stopping(grey=0.7, fresh=0.25, propane=0.01)) == "fresh"
    assert worth_a_look(stopping(fresh=0.5, propane=0.3)) == "propane"
    assert worth_a_look(None) == ""
    *_, left = catch_up_round(rig(), SINCE, "propane")
    assert "what does it weigh now" in left.question.asked
    assert said(left, "24.3") == [("reading", "propane", "", "24.3 lb gross", "")]


def test_caught_up_is_quiet_and_a_stop_left_is_not() -> None:
    """Three times no: nothing is noted and nothing more asked that day; Esc at a stop does not put off a question."""

    async def run() -> None:
        desk = FakeDesk(rig())
        desk.kept.append(replace(build(Typed("dump"), rig(), NOW.plus(-9)), id="before"))
        async with opened(desk) as pilot:
            await press(pilot, "o escape")
            assert "asked" not in desk.settings
            await press(pilot, "k")
            for keys in ("enter", "enter"):
                await press(pilot, keys)
            assert "one line back" in screen(pilot)
            await press(pilot, "enter")
            assert desk.settings["asked"] == "2026-05-07" and len(desk.kept) == 1
            await press(pilot, "k")
            assert "not today" in screen(pilot)
            await type_in(pilot, "w")
            assert "Esc clears" in screen(pilot)
            await press(pilot, "escape escape")
            assert len(desk.kept) == 1

    asyncio.run(run())
