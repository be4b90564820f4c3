"""Forecasts judged by what came: nothing leaks from later, the sums are right, steady lives are judged fairly."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from tests.deciding.pinned import GAL
from tests.deciding.test_scenarios import SINK
from vanlife_supply.deciding import judging
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import learn, to_bytes
from vanlife_supply.forecast.facts import CHANCES, Outcome, pinball
from vanlife_supply.forecast.hindsight import LEADS, Past, look_back, scores
from vanlife_supply.keeping import now_of
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, at, read_iso
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement
from vanlife_supply.wording.hindsight import told_line

START = read_iso("2026-01-05T08:00", "America/Denver").moment
RIG = [Arrangement(float("-inf"), read_rig(SINK))]


def filled(day: float, amount: float | None, number: int) -> Entry:
    """A fill to the top, noted at once."""
    when = START.plus(day)
    unit = "gal" if amount is not None else ""
    return Entry(f"f{number}", m.FILL, when, "fresh", amount, unit, to=m.FULL, recorded=when.epoch)


def life(seed: int, days: int, rates: Sequence[float]) -> list[Entry]:
    """A tank filled to the top every few days, `rates` gal a day one after the other, uneven by a third a day."""
    draw = random.Random(seed)
    entries, day = [filled(0.0, None, 0)], 0
    while day < days:
        step = draw.randint(3, 6)
        mean = rates[min(len(rates) - 1, day * len(rates) // days)]
        used = sum(draw.gammavariate(9.0, mean / 9.0) for _ in range(step))
        day += step
        entries.append(filled(day, round(min(used, 19.5), 2), len(entries)))
    return entries


def test_pinball_of_a_quantile() -> None:
    """Two worked values (facts T15): said 5 at 0.9, came 3: 0.2; came 7: 1.8."""
    assert pinball(5, 3, 0.9) == pytest.approx(0.2) and pinball(5, 7, 0.9) == pytest.approx(1.8)
    assert CHANCES == (0.1, 0.5, 0.9)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_steady_life_is_inside_as_often_as_promised(seed: int) -> None:
    """Of the last 20 outcomes of a steady life 12 to 20 are inside: the binomial 95 % range of 8 in 10 (T28's rule)."""
    entries = life(seed, 150, [1.2])
    found = [o for o in look_back(RIG, entries, entries[-1].at.epoch) if o.lead == 7]
    assert len(found) == 20 and sum(o.inside for o in found) >= 12
    assert 0.25 < sum(o.pit for o in found) / len(found) < 0.75


def test_a_life_that_changed_is_foreseen_better_than_by_its_mean() -> None:
    """Where the pace trebles, forecasts miss by less than the mean rate of the whole log does."""
    entries = life(5, 160, [0.6, 1.8])
    whole = scores(look_back(RIG, entries, entries[-1].at.epoch))[0]
    assert whole.supply == "" and whole.lead == 0 and whole.ratio is not None and whole.ratio < 0.9


def test_nothing_written_later_is_used() -> None:
    """What was written down after a forecast was made does not change it."""
    entries = life(7, 60, [1.2])
    end = entries[-1].at.epoch
    late = replace(entries[5], id="late", kind=m.READING, amount=2.0, unit="gal", to="", recorded=end)
    with_late = [*entries, late]
    past = Past(RIG, with_late)
    assert late not in past.visible(end - 1) and late in past.visible(end)
    plain = {(o.made, o.lead): o.said for o in look_back(RIG, entries, end)}
    for o in look_back(RIG, with_late, end):
        if (o.made, o.lead) in plain and o.end < entries[5].at.epoch:
            assert o.said == plain[o.made, o.lead]


def test_a_correction_counts_from_when_it_was_made() -> None:
    """Before it was mended an entry stands as first noted, then as mended, never both."""
    wrong = filled(4.0, 15.0, 1)
    right = replace(filled(4.0, 5.0, 2), replaces="f1", recorded=START.plus(9).epoch)
    past = Past(RIG, [filled(0.0, None, 0), wrong, right])
    assert [e.id for e in past.visible(START.plus(8).epoch)] == ["f0", "f1"]
    assert [e.id for e in past.visible(START.plus(9).epoch)] == ["f0", "f2"]


def test_beliefs_of_the_past_are_those_of_a_log_cut_there() -> None:
    """Asked in order, with late entries among them, each belief is the one learned afresh from what was visible."""
    entries = life(9, 40, [1.0])
    late = replace(filled(11.0, None, 77), kind=m.READING, amount=9.0, unit="gal", to="", recorded=START.plus(21).epoch)
    past = Past(RIG, [*entries, late])
    for day in (5.0, 12.0, 20.0, 22.0, 35.0):
        when = START.plus(day).epoch
        assert to_bytes(past.belief(when)) == to_bytes(learn(None, RIG, past.visible(when)))


def test_every_forecast_is_old_enough() -> None:
    """Each is made at least its lead before the end of its stretch, or at the stretch's start when that is longer ago."""
    entries = life(11, 80, [1.2])
    for o in look_back(RIG, entries, entries[-1].at.epoch):
        assert o.lead in LEADS and o.made <= o.start and o.used > 0
        assert (o.end - o.made) / 86_400 >= min(o.lead, o.days) - 1e-9


def test_a_hit_is_told_when_it_happens(ten_weeks: Path) -> None:
    """The entry that ends a stretch says what was said, what was, and whether that was inside; a use says nothing."""
    with Logbook.open(ten_weeks) as book:
        now = now_of(book)
        entries = book.entries()
        opened = [e for e in entries if e.kind == m.NEXT and e.supply == "fresh"][-1]
        shower = [e for e in entries if e.kind == m.USE][-1]
        told = judging.told(book, opened, now)
        assert told is not None and told.end == opened.at.epoch and judging.told(book, shower, now) is None
        line = told_line(told, book.rig(), now)
    assert line.startswith("Water: ") and " said to last till " in line and line.endswith(("as said.", "than said."))


def test_words_of_an_outcome() -> None:
    """Said Wednesday, was Tuesday evening: the weekday alone within a week, the verdict by the band."""
    from vanlife_supply.forecast.model import Band

    now = at(read_iso("2026-05-06T08:00", "America/Denver").moment.epoch, "America/Denver")
    start, end = now.plus(-4.0), Moment(now.plus(-0.54).epoch)
    o = Outcome("fresh", 1, start.epoch, start.epoch, end.epoch, 4 * GAL, Band(2.0, 4.0, 6.0), 0.6, None)
    rig = RIG[0].rig
    assert told_line(o, rig, now) == "Water: 4 gal said to last till Wed, lasted till Tue evening: as said."
    assert told_line(replace(o, said=Band(3.8, 4.0, 6.0)), rig, now).endswith("sooner than said.")
    assert told_line(replace(o, said=Band(1.0, 2.0, 3.0)), rig, now).endswith("later than said.")


def test_levels_written_down_together_judge_no_forecast() -> None:
    """A fill of four days ago and what is left now, both noted in set-up, are no outcome; noted in their time they are."""
    at_once = [filled(0.0, None, 0), filled(4.0, 5.0, 1)]
    end = at_once[-1].at.epoch
    assert look_back(RIG, at_once, end)
    assert look_back(RIG, [replace(e, recorded=end + 30 * i) for i, e in enumerate(at_once)], end + 60) == ()
