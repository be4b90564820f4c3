"""What is measured of the containers: bands hold as often as they say, and doubtful notes measure nothing."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

import pytest
from scipy.stats import binom

from tests.forecast.logs import entry, rig
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.facts import CAPACITY, DEAD, IDLE_LOSS, STOP_MARK, TARE, Learned
from vanlife_supply.forecast.measured import IDLE_SPREAD, IDLE_USUAL, WRITTEN_ERROR, estimate, measured
from vanlife_supply.rig.model import Arrangement

RIG = """
[[container]]
supply = "fresh"
label = "jug"
capacity = "20 L"
[[container]]
supply = "fresh"
label = "tank"
capacity = "80 L"
dead = "4 L"
portable = false
[[container]]
supply = "grey"
label = "sink"
capacity = "20 L"
usable = 0.8
[[container]]
supply = "stove_fuel"
label = "canister"
capacity = "1 L"
[[container]]
supply = "propane"
label = "cylinder"
capacity = "9 kg"
tare = "8 kg"
"""
LIVES = 250


def told(entries: Sequence[Entry]) -> dict[str, Learned]:
    """What those entries show, by what it is."""
    its = rig(RIG)
    return {f.what: f for f in measured(entries, [Arrangement(float("-inf"), its)], its)}


def jug_fills(draw: random.Random) -> tuple[float, list[Entry]]:
    """A jug that ran out is filled to the top by a meter that errs by 3 %, the brim met within 1 %."""
    true, entries = draw.gauss(20.0, WRITTEN_ERROR[CAPACITY] * 20.0), []
    for day in range(3):
        amount = true * draw.gauss(1.0, 0.03) + draw.gauss(0.0, 0.2)
        entries += [entry(3 * day, "ran-out", "fresh", container="jug"),
                    entry(3 * day + 0.5, "fill", "fresh", amount, to="full", container="jug")]  # fmt: skip
    return true, entries


def at_least_nothing(draw: random.Random, mean: float, sd: float) -> float:
    """A normal draw, again and again until it is not below 0."""
    return next(value for value in iter(lambda: draw.gauss(mean, sd), None) if value is not None and value >= 0.0)


def tank_fills(draw: random.Random) -> tuple[float, list[Entry]]:
    """The pump of a tank draws air with so much still in it."""
    true = at_least_nothing(draw, 4.0, WRITTEN_ERROR[DEAD] * 80.0)
    entries = []
    for day in range(3):
        amount = (80.0 - true) * draw.gauss(1.0, 0.03) + draw.gauss(0.0, 0.8)
        entries += [entry(9 * day, "ran-out", "fresh", container="tank"),
                    entry(9 * day + 0.5, "fill", "fresh", amount, to="full", container="tank")]  # fmt: skip
    return true, entries


def gray_dumps(draw: random.Random) -> tuple[float, list[Entry]]:
    """Dumped by a measuring bucket when the person says it is at the mark."""
    true, entries = draw.gauss(0.8, WRITTEN_ERROR[STOP_MARK]), []
    for day in range(4):
        amount = 20.0 * true * draw.gauss(1.0, 0.03) + draw.gauss(0.0, 0.2)
        entries += [entry(5 * day, "next", "grey"), entry(5 * day + 0.5, "dump", "grey", amount, to="empty")]
    return true, entries


def weighings(draw: random.Random) -> tuple[float, list[Entry]]:
    """An empty cylinder on a luggage scale, twice."""
    true, entries = draw.gauss(8.0, WRITTEN_ERROR[TARE] * 8.0), []
    for day in range(2):
        entries += [entry(30 * day, "ran-out", "propane"),
                    entry(30 * day + 1, "reading", "propane", true + draw.gauss(0.0, 0.15), "kg gross", method="scale"),
                    entry(30 * day + 2, "fill", "propane", to="full")]  # fmt: skip
    return true, entries


def absences(draw: random.Random) -> tuple[float, list[Entry]]:
    """Away for three weeks, twice, the canister full and open; a look tells what is left."""
    true, entries = at_least_nothing(draw, IDLE_USUAL, IDLE_SPREAD), []
    for day in (0.0, 40.0):
        left = (1.0 - true) ** 3 * draw.gauss(1.0, 0.01) + draw.gauss(0.0, 0.06)
        entries += [entry(day, "fill", "stove_fuel", to="full"), entry(day + 0.01, "condition", word="away"),
                    entry(day + 21.0, "condition", word="away", to="off"),
                    entry(day + 21.01, "reading", "stove_fuel", max(left, 0.0), method="sight")]  # fmt: skip
    return true, entries


@pytest.mark.parametrize(("what", "live"), [
    (CAPACITY, jug_fills), (DEAD, tank_fills), (STOP_MARK, gray_dumps), (TARE, weighings), (IDLE_LOSS, absences),
])  # fmt: skip
def test_bands_hold_as_often_as_they_say(
    what: str, live: Callable[[random.Random], tuple[float, list[Entry]]]
) -> None:
    """Of 250 invented vehicles the truth lies in the band of 8 in 10 within the binomial 95 % range (the rule of T28)."""
    draw = random.Random(what)
    inside = found = 0
    for _ in range(LIVES):
        true, entries = live(draw)
        one = told(entries).get(what)
        if one is not None and one.band.p10 is not None and one.band.p90 is not None:
            found += 1
            inside += one.band.p10 <= true <= one.band.p90
    assert found > 0.9 * LIVES
    assert binom.ppf(0.025, found, 0.8) <= inside <= binom.ppf(0.975, found, 0.8)


def test_the_estimate_is_the_conjugate_one() -> None:
    """By hand: a guess 7 ± 0.5 and one measurement 6 ± 0.5 meet at 6.5 ± 0.354; measurements at odds count for less."""
    mean, sd = estimate(7.0, 0.5, [(6.0, 0.5)])
    assert mean == pytest.approx(6.5) and sd == pytest.approx(0.5 / 2**0.5)
    agreed, at_odds = estimate(7.0, 1.0, [(6.0, 0.1), (6.0, 0.1)]), estimate(7.0, 1.0, [(5.5, 0.1), (6.5, 0.1)])
    assert agreed[0] == pytest.approx(at_odds[0], abs=0.1) and at_odds[1] > 2 * agreed[1]


def test_a_forgotten_note_measures_nothing() -> None:
    """A jug that took little after it ran out was topped up before, and what was poured in between is known of nobody."""
    dry = entry(0, "ran-out", "fresh", container="jug")
    assert CAPACITY not in told([dry, entry(1, "fill", "fresh", 9.0, to="full", container="jug")])
    between = entry(0.5, "fill", "fresh", 4.0, container="jug")
    assert CAPACITY not in told([dry, between, entry(1, "fill", "fresh", 17.0, to="full", container="jug")])
    doubted = entry(1, "fill", "fresh", 18.0, to="full", container="jug", questioned="odd")
    assert CAPACITY not in told([dry, doubted])
    assert CAPACITY in told([dry, entry(1, "fill", "fresh", 18.0, to="full", container="jug")])


def test_only_what_ran_dry_is_weighed_empty() -> None:
    """A flame that died in the cold teaches no tare, nor does a cylinder traded in since; one that ran out does."""
    weighed = entry(2, "reading", "propane", 7.6, "kg gross", method="scale")
    assert TARE not in told([entry(1, "ran-out", "propane", word="cold"), weighed])
    out = entry(1, "ran-out", "propane")
    assert told([out, weighed])[TARE].band.p50 == pytest.approx(7.75, abs=0.1)
    assert TARE not in told([out, weighed, entry(3, "exchange", "propane")])


def test_what_is_cooked_with_does_not_evaporate() -> None:
    """Only days declared away, or with nobody aboard, tell of idle loss."""
    spell = [entry(0, "fill", "stove_fuel", to="full"), entry(21, "reading", "stove_fuel", 0.7)]
    assert IDLE_LOSS not in told(spell)
    away = [spell[0], entry(0.1, "people", amount=0.0), spell[1]]
    assert told(away)[IDLE_LOSS].band.p50 == pytest.approx(1 - 0.7 ** (1 / 3), abs=0.03)


def test_a_single_fill_is_shown_and_not_offered() -> None:
    """One filling may hide a forgotten one; three that agree are offered; what fits what was written is not."""

    def after(amounts: Sequence[float]) -> Learned:
        notes = [[entry(3 * i, "ran-out", "fresh", container="jug"),
                  entry(3 * i + 1, "fill", "fresh", a, to="full", container="jug")]
                 for i, a in enumerate(amounts)]  # fmt: skip
        return told([e for pair in notes for e in pair])[CAPACITY]

    assert not after([18.0]).offered
    offered = after([18.0, 18.2, 17.9])
    assert offered.offered and offered.count == 3 and offered.written == 20.0
    assert not after([19.8, 20.1, 20.0]).offered
