"""What is said of a trip that changed, was stretched, weighs too much or is not worth changing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trip.instances import trip
from vanlife_supply.rig.load import read_rig
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.chance import assumed
from vanlife_supply.trip.change import Followed
from vanlife_supply.trip.cures import Break
from vanlife_supply.trip.explain import LongerStay, WithoutPlace
from vanlife_supply.trip.flexible import Length, Stretched
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.weight import LegWeight
from vanlife_supply.wording import trips as words

WHOLE: Trip = trip(1, 9, 12)
PLAIN = words.Voice()
DOLLARS = words.Voice(read_rig('[rig]\nunits = "us"\n[[container]]\nsupply = "fresh"\nlabel = "jug"\ncapacity = "7 gal"\n'))


def change(followed: Followed) -> str:
    """The sentence, or nothing."""
    return "".join(words.told_change(WHOLE, followed, DOLLARS))


def test_a_saving_is_the_reason_when_the_old_plan_would_hold() -> None:
    """It saves so much: this instead of that; nothing is said of a plan that stayed."""
    followed = Followed(False, 0.0, (("2026-05-06", "p001"),), (("2026-05-07", "p002"),), saves=3.2)
    assert change(followed) == "It saves $3.20: p002 on Thu 7 May instead of p001 on Wed 6 May."
    assert change(replace(followed, added=())) == "It saves $3.20: p001 on Wed 6 May is not needed."
    assert change(Followed(True, 0.4)) == "" == change(Followed(False))


def test_many_changes_stay_one_short_sentence() -> None:
    """Two are named, the rest is counted."""
    many = tuple((f"2026-05-0{i}", "p001") for i in range(5, 10))
    said = change(Followed(False, added=many, saves=1.5))
    assert said.endswith(": p001 on Tue 5 May, p001 on Wed 6 May and 3 more as well.")


def test_a_kept_plan_says_what_the_cheapest_would_save() -> None:
    """No word of a search cut short where the plan was kept on purpose."""
    plan = Plan("feasible", 10.0, 9.5, (), ())
    kept = Answer(WHOLE, plan, assumed, (), Followed(True, 0.5))
    assert "The cheapest there is would save $0.50, not worth a change." in words.told(kept, (), DOLLARS)[-1]
    cut = words.told(Answer(WHOLE, plan, assumed), (), DOLLARS)[-1]
    assert cut == "0 stops, $10.00 in all. There may be one cheaper by $0.50 at most: the search was cut short."


def test_a_curve_names_what_does_not_hold() -> None:
    """Several flexible stays are not said to be the best there is."""
    one = Stretched(1, (Length(1, 2.0), Length(2, 1.5), Length(3, None)), 2, 3)
    (line,) = words.told_flexible(WHOLE, [one], DOLLARS)
    assert line.startswith("As long as we can, at stay 1: 2 nights. Nights and the cost then: 1 for $2.00, 2 for $1.50; ")
    assert "no plan holds for 3. Up to 3 nights more in all were not ruled out" in line


def test_a_leg_over_the_rating_is_pointed_out() -> None:
    """In the units of the rig: 441 lb for 200 kg."""
    heavy = replace(WHOLE, payload=150.0)
    lines = words.told_weights(heavy, [LegWeight(1, 100.0, 200.0), LegWeight(2, 90.0, 90.0)], DOLLARS)
    assert lines[1:] == ["Too heavy: leg 1 with 441 lb is more than the 331 lb it may carry."]
    assert words.told_weights(heavy, [LegWeight(1, 100.0, 200.0)], PLAIN)[0] == "Supplies weigh at most: leg 1: 200 kg."


def test_prices_of_a_night_and_of_doing_without() -> None:
    """A night may save money, a stop may be dropped at no cost."""
    nights = words.told_longer(WHOLE, [LongerStay(1, -2.0), LongerStay(2, None)], DOLLARS)
    assert nights == ["One more night: at stay 1 -$2.00 (dates move).", "With one more night at stay 2 no plan holds."]
    stops = [WithoutPlace("p001", 0.0, ()), WithoutPlace("p002", None, ()), WithoutPlace("p003", 1.5, ((2, "p004"),))]
    assert words.told_stops(WHOLE, stops, DOLLARS) == [
        "Without p001: no dearer.",
        "p002 cannot be done without.",
        "Without p003: $1.50 more (p004 on Wed 6 May instead).",
    ]


@given(st.floats(0.0, 500.0), st.floats(0.0, 500.0))
def test_a_band_names_both_ends_once(a: float, b: float) -> None:
    """The unit once, and one amount where both ends read the same."""
    low, high = sorted((a, b))
    for voice in (PLAIN, DOLLARS):
        said = voice.band("fresh", low, high)
        assert said.count(" to ") <= 1 and said.endswith((" L", " gal"))
        assert (" to " in said) == (voice.band("fresh", low, low) != voice.band("fresh", high, high))


@pytest.mark.parametrize(
    ("attainable", "best", "last"),
    [
        (0.44, "At best: an even chance; asked for: 9 chances in 10.", "  be content with an even chance"),
        (0.88, "At best: a little under 9 chances in 10;", "  be content with a little under 9 chances in 10"),
        (0.004, "At best: hardly any chance;", "  use 9% less"),
    ],
)
def test_chances_are_said_as_everywhere(attainable: float, best: str, last: str) -> None:
    """In whole chances; what falls short of the chance asked for never reads the same; nobody is content with none."""
    (head, *cures) = words.told_break(WHOLE, Break("grey", attainable, 3, (), 9, None, 0.0, (), False), DOLLARS)
    assert best in head and "%" not in head and cures[-1] == last


def test_where_no_length_and_no_stop_helps_a_sentence_says_so() -> None:
    """Nothing after a colon is left empty."""
    (line,) = words.told_flexible(WHOLE, [Stretched(1, (Length(1, None), Length(2, None)), 1)], DOLLARS)
    assert line == "As long as we can, at stay 1: no plan holds, not even for 1 night."
    none = Answer(WHOLE, Plan("infeasible", 0.0, 0.0, (), ()), assumed)
    last = words.told(none, (), DOLLARS)[-1]
    assert last == "No plan is as sure as demanded, and no stop on the way would make it surer."
