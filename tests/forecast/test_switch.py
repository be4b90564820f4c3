"""Conditions nobody noted: asked about where the levels show them, and not where they do not."""

from __future__ import annotations

import random

import pytest

from tests.forecast.logs import believed, entry, moment
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import from_bytes, look_ahead, to_bytes
from vanlife_supply.forecast.model import Question
from vanlife_supply.forecast.switch import question
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement
from vanlife_supply.wording.asking import SURE

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
