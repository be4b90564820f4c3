"""Conditions nobody noted: asked about where the levels show them, and not where they do not."""

from __future__ import annotations

import random

import pytest

from tests.forecast.logs import believed, entry, moment
from vanlife_supply.entry.build import build
from vanlife_supply.entry.model import Entry, order
from vanlife_supply.forecast import from_bytes, look_ahead, to_bytes
from vanlife_supply.forecast.model import Question
from vanlife_supply.forecast.switch import question
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement
from vanlife_supply.wording.asking import SURE, answer_typed, question_text

CYLINDERS = """
[rig]
people = 1
[[container]]
supply = "propane"
label = "cylinder"
capacity = "9 kg"
tare = "7.7 kg"
"""
USUAL = [(7.0 * week, 0.1) for week in range(1, 7)]
"""Weighed once a week: 0.1 kg a day."""


def weighed(paces: list[tuple[float, float]], error: float = 0.0, draw: random.Random | None = None) -> list[Entry]:
    """A cylinder weighed on those days, so much used a day until then; filled to the top before it runs out."""
    found, left, last = [entry(0, "fill", "propane", to="full")], 9.0, 0.0
    for day, pace in paces:
        left -= pace * (day - last)
        if left < 0.5:
            found.append(entry(day - 0.1, "fill", "propane", to="full"))
            left = 9.0 - pace * 0.1
        seen = left + (draw.gauss(0.0, error) if draw else 0.0)
        found.append(entry(day, "reading", "propane", max(seen, 0.0), "kg", method="scale"))
        last = day
    return found


def asked(log: list[Entry], day: float) -> Question | None:
    """What is asked on that day."""
    return question(believed(CYLINDERS, log), moment(day))


def test_two_weighings_at_four_times_the_pace_look_like_the_heater() -> None:
    """It is asked about, since the last level at the usual pace, with the pace the weighings show."""
    found = asked(weighed([*USUAL, (45, 0.4), (49, 0.4)]), 49.2)
    assert found is not None and (found.supply, found.word, found.on) == ("propane", "heater", True)
    assert found.since == moment(42).epoch
    assert found.chance >= SURE
    assert found.pace == pytest.approx(4.0, rel=0.15)


def test_one_weighing_alone_is_not_enough() -> None:
    """A single level that is off may be a slip of the pen."""
    assert asked(weighed([*USUAL, (45, 0.4)]), 45.2) is None


@pytest.mark.parametrize(("word", "to"), [("heater", ""), ("heater", "off"), ("all", "off")])
def test_either_answer_ends_the_question(word: str, to: str) -> None:
    """Yes notes the heater from when it shows, no that it is off: neither is asked again."""
    log = weighed([*USUAL, (45, 0.4), (49, 0.4)])
    said = entry(49.1 if to else 42.0, "condition", word=word, to=to)
    assert asked([*log, said], 49.2) is None
    later = [entry(d, "reading", "propane", 9.0 - 4.2 - 0.4 * (d - 42), "kg", method="scale") for d in (51, 53)]
    assert asked([*log, said, *later[:1]], 51.1) is None


def test_what_was_declared_is_not_asked_about() -> None:
    """With the heater noted at the time, four times the pace is what is to be expected."""
    log = [*weighed([*USUAL, (45, 0.4), (49, 0.4)]), entry(42, "condition", word="heater")]
    assert asked(log, 49.2) is None


def test_a_heater_left_on_in_the_log_is_asked_about() -> None:
    """The heater was noted and never switched off; back at the old pace for three weeks, it looks as if it were off."""
    paces = [*((day, 0.05) for day, _ in USUAL), (45, 0.3), (49, 0.3), (53, 0.3), (60, 0.05), (67, 0.05), (74, 0.05)]
    log = [*weighed(paces), entry(42, "condition", word="heater")]
    found = asked(log, 74.2)
    assert found is not None and (found.word, found.on, found.since) == ("heater", False, moment(53).epoch)
    assert found.pace < 0.6
    assert asked([*log, entry(74.1, "condition", word="heater")], 74.2) is None


def test_a_log_without_a_switch_is_rarely_accused() -> None:
    """Of 60 steady lives weighed twice a week, a day's use varying as much as its mean, at most 3 are ever asked."""
    accused = 0
    for seed in range(60):
        draw = random.Random(seed)
        paces = [(3.5 * i, draw.gammavariate(3.5, 0.1 / 3.5)) for i in range(1, 15)]
        log = weighed(paces, 0.05, draw)
        accused += any(asked([e for e in log if e.at.epoch <= moment(day).epoch], day) is not None for day in (35.1, 49.1))
    assert accused <= 3


def test_the_question_is_the_same_from_a_kept_belief() -> None:
    """Kept as bytes and read again, the same is asked to the last digit."""
    belief = believed(CYLINDERS, weighed([*USUAL, (45, 0.4), (49, 0.4)]))
    kept = from_bytes(to_bytes(belief), (Arrangement(float("-inf"), read_rig(CYLINDERS)),))
    assert question(kept, moment(49.2)) == question(belief, moment(49.2)) is not None


def days_left(log: list[Entry], day: float) -> tuple[float, float]:
    """p10 and p90 of the days propane lasts."""
    told = look_ahead(believed(CYLINDERS, log), moment(day)).supply("propane")
    assert told is not None and told.days_left is not None and told.days_left.p10 is not None
    return told.days_left.p10, told.days_left.p90 or 365.0


def test_a_first_heater_makes_the_days_less_sure() -> None:
    """What a heater takes is not known the day it is first noted: the band is as wide as that, and narrows once it was
    weighed twice."""
    calm = weighed([*USUAL, (43, 0.1)])
    low, high = days_left(calm, 43.1)
    first_low, first_high = days_left([*calm, entry(43.05, "condition", word="heater")], 43.1)
    assert first_high / first_low > 2.0 * high / low
    warm = [*weighed([*USUAL, (43, 0.1), (45, 0.4), (47, 0.4), (49, 0.4)]), entry(43.05, "condition", word="heater")]
    known_low, known_high = days_left(warm, 49.1)
    assert known_high / known_low < 0.6 * first_high / first_low


WATER = '[rig]\npeople = 1\n[[container]]\nsupply = "fresh"\nlabel = "tank"\ncapacity = "100 L"\n'


def dipped(paces: list[tuple[float, float]]) -> list[Entry]:
    """A water tank read by stick on those days, so many litres a day used until then; filled before it runs out."""
    found, left, last = [entry(0, "fill", "fresh", to="full")], 100.0, 0.0
    for day, pace in paces:
        left -= pace * (day - last)
        found.append(entry(day, "reading", "fresh", left, "L", method="stick"))
        if left < 30.0:
            found.append(entry(day + 0.01, "fill", "fresh", 100.0 - left, to="full"))
            left = 100.0
        last = day
    return found


def test_water_that_hardly_went_over_some_days_looks_like_an_absence() -> None:
    """It is asked about with its two ends, said in words, and answered by a condition that is over."""
    log = dipped([*((2.0 * i, 8.0) for i in range(1, 15)), (33.0, 0.1)])
    rig, now = read_rig(WATER), moment(34.1)
    found = question(believed(WATER, log), moment(33.1))
    assert found is not None and (found.supply, found.word, found.on) == ("fresh", "away", True)
    assert (found.since, found.until) == (moment(28).epoch, moment(33).epoch) and found.chance >= SURE
    told = look_ahead(believed(WATER, log), moment(33.1))
    assert question_text(found, told, rig) == (
        "Water hardly went from Monday to Saturday: looks like nobody was aboard, unless a fill is not noted."
    )
    yes = build(answer_typed(found, yes=True, now=now), rig, now)
    assert yes.until is not None and (yes.at.epoch, yes.until.epoch) == (found.since, found.until)
    assert question(believed(WATER, sorted([*log, yes], key=order)), now) is None


def test_a_steady_life_and_a_thrifty_day_are_no_absence() -> None:
    """Nobody is asked whether they were away who uses as usual, or little for a day."""
    usual = [(2.0 * i, 8.0) for i in range(1, 15)]
    for last in ([(30.0, 8.0)], [(29.0, 1.0)], [(30.0, 5.0)]):
        assert question(believed(WATER, dipped([*usual, *last])), moment(31)) is None
