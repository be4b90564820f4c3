"""A condition that nobody declared, or one that nobody switched off, where the levels of the log show it.

Two stories of the last levels are weighed by how well they foretell each next one: use as usual, drifting as it does,
and use under the condition since one of these levels. Both are folded by the habit itself, so that the odds know all
that the forecast knows: errors of looks, slips of the pen, uses noted, people, the other conditions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import exp, log

import numpy as np

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry.model import ALL
from vanlife_supply.forecast import prior
from vanlife_supply.forecast.belief import Belief
from vanlife_supply.forecast.calendar import AWAY, NOBODY_SHARE, Calendar, Span
from vanlife_supply.forecast.habit import Habit, Lapse
from vanlife_supply.forecast.model import Question
from vanlife_supply.forecast.thread import Row, Thread
from vanlife_supply.forecast.why import balances
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH, PROPANE

SUSPECTS = {PROPANE: ("heater",), FRESH: ("guests", AWAY)}
"""What is asked about where a supply goes faster, or hardly: what else could be would leave the same trace."""
WORTH_ASKING = 0.5
UNDECLARED_PER_DAY = 1 / 60
"""How often somebody switches over without saying so: common practice, no source."""
WITHIN_DAYS = 28.0
MOST_LEVELS, LEAST_BEFORE = 10, 3
BACK = (6, 3, 2, 1)
"""Levels before the last one that a switch is looked for at: the further back, the coarser."""
MOST_EVIDENCE = 50.0
RESTLESS_SD = 0.25
"""How far a rate is from what it was on the whole, on the log scale."""
FASTER, SLOWER = 1.35, 0.6
LEAST_AWAY_DAYS = 1.5
"""A day at which little is used is no absence: common practice, no source."""
"""Pace against the usual from which it is worth weighing the two stories at all."""


@dataclass(frozen=True, slots=True)
class _Story:
    """A condition switched `on` (or off) at some level of a supply."""

    supply: str
    word: str
    on: bool


@dataclass(frozen=True, slots=True)
class _Usual:
    """Mean and sd of the log rate before a switch."""

    mean: float
    sd: float


def question(known: Belief, as_of: Moment) -> Question | None:
    """The switch most likely overlooked, if that is worth asking about; at most one."""
    asked = [_weighed(known, story, as_of) for story in _stories(known, as_of)]
    found = [one for one in asked if one is not None and one.chance >= WORTH_ASKING]
    return max(found, key=lambda one: one.chance, default=None)


def _stories(known: Belief, as_of: Moment) -> Iterator[_Story]:
    """What may have been overlooked: nothing that holds can be switched on, only what holds openly can be off."""
    holds = known.calendar.conditions(as_of.epoch)
    if AWAY in holds:
        return
    for name, thread in known.threads.items():
        if known.drains(name):
            continue
        for word in SUSPECTS.get(name, ()):
            if word not in holds:
                yield _Story(name, word, True)
        for word in holds:
            if prior.condition(word, thread.supply)[0] and any(s.until is None for s in _spans(known, word)):
                yield _Story(name, word, False)


def _weighed(known: Belief, story: _Story, as_of: Moment) -> Question | None:
    """The chance that it happened, and since which level most likely; None where the levels show nothing of it."""
    thread = known.threads[story.supply]
    starts = _starts(known, thread, story, as_of)
    if story.word == AWAY:
        starts = [at for at in starts if _last(thread) - at >= LEAST_AWAY_DAYS * SECONDS_PER_DAY]
    if not starts:
        return None
    usually = _usual(known, thread, starts[0])
    if not _out_of_pace(known, thread, usually, starts[0], story):
        return None
    base = _from_usual(thread, usually, starts[0])
    if not story.on:
        # What was learned of it includes the days it may have been off.
        base.habit.factors.pop(story.word, None)
    twin, levels = known.copy(), [row.told.at for row in base.rows if row.is_level]
    twin.threads[story.supply] = base
    told = []
    for start in starts:
        base.fold(partial(_until, twin, base, start))
        told.append(_told(twin, base, _switched(twin.calendar, story, start, levels[-1])))
    base.fold(partial(twin.between, base))
    usual = base.habit
    odds = [
        UNDECLARED_PER_DAY * (end - start) / SECONDS_PER_DAY * exp(min(one.evidence - usual.evidence, MOST_EVIDENCE))
        for start, end, one in zip(starts, [*starts[1:], levels[-1]], told, strict=True)
    ]
    best = int(np.argmax(odds))
    total = sum(odds)
    pace = _pace(told[best] if story.on else usual, story)
    until = levels[-1] if story.word == AWAY else None
    return Question(story.supply, story.word, story.on, starts[best], total / (1.0 + total), pace, until)


def _spans(known: Belief, word: str) -> list[Span]:
    return [span for span in known.calendar.spans if span.word in (word, ALL)]


def _starts(known: Belief, thread: Thread, story: _Story, as_of: Moment) -> list[float]:
    """The levels since which it may hold: recent, after all that was said of the condition, and followed by one."""
    said = [s.start if s.until is None else s.until for s in _spans(known, story.word)]
    after = max([as_of.epoch - WITHIN_DAYS * SECONDS_PER_DAY, *said])
    levels = sorted({row.told.at for row in thread.rows if row.is_level})[-MOST_LEVELS:]
    starts = [at for at in levels[LEAST_BEFORE:-1] if at >= after]
    return [starts[-back] for back in BACK if back <= len(starts)]


def _out_of_pace(known: Belief, thread: Thread, usual: _Usual, first: float, story: _Story) -> bool:
    """A quick look at the balances: whether anything since `first` is unusual enough to be weighed."""
    offset, factors = thread.rows[-1].offset, known.factors(story.supply)
    faster = story.on == (prior.condition(story.word, thread.supply)[0] > 0)
    used = lived = days = 0.0
    for b in reversed([b for b in balances(thread, all_levels=True) if b.start >= first]):
        used, days = used + b.used, days + b.days
        lived += known.calendar.exposure(story.supply, b.start, b.end, offset, factors)[0]
        expected = exp(usual.mean) * lived
        unsure = (b.sd**2 + expected**2 * (thread.habit.uneven / days + usual.sd**2)) ** 0.5
        if used > max(FASTER * expected, expected + unsure) if faster else used < min(SLOWER * expected, expected - unsure):
            return True
    return False


def _usual(known: Belief, thread: Thread, first: float) -> _Usual:
    """The rate as it was until `first`: what was thought before, and what had been used by then."""
    knots = [(at, used) for at, used in thread.knots if at <= first]
    guess, name = thread.manner.rate, thread.supply.name
    start, end = knots[0], knots[-1]
    used = end[1] - start[1]
    lived, _, days = known.calendar.exposure(name, start[0], end[0], thread.rows[-1].offset, known.factors(name))
    if used <= 0 or days <= 0:
        return _Usual(guess.mean, guess.sd)
    told = thread.habit.uneven / days + RESTLESS_SD**2
    weight = guess.sd**2 / (guess.sd**2 + told)
    return _Usual(guess.mean + weight * (log(used / lived) - guess.mean), (told * weight) ** 0.5)


def _from_usual(thread: Thread, usual: _Usual, first: float) -> Thread:
    """The thread a few levels before `first`, as somebody would see it who knows what was usual but not what came since."""
    levels = [i for i, row in enumerate(thread.rows) if row.is_level and row.told.at <= first]
    habit = thread.habit.copy()
    fresh = Habit.unlearned(habit.sign, habit.manner, habit.brim)
    rates = np.exp(-0.5 * ((np.log(habit.rates) - usual.mean) / usual.sd) ** 2)
    rates /= rates.sum()
    habit.weight = rates[:, None, None] * habit.weight.sum(axis=(0, 2))[:, None] * fresh.weight.sum(axis=(0, 1))
    habit.lived, habit.level, habit.var = float(habit.lived.sum()) * rates, fresh.level, fresh.var
    habit.at, habit.mean, habit.logged = None, fresh.mean, 0.0
    # That heating comes and goes is the other story, not a restlessness of what is usual.
    habit.manner = replace(habit.manner, restless=1.0, returns=prior.RETURNS, switches=0.0)
    rows = thread.rows[levels[-min(LEAST_BEFORE, len(levels))] :]
    return replace(thread, habit=habit, rows=rows, done=0, knots=[], mark=0.0)


def _until(known: Belief, thread: Thread, start: float, row: Row) -> Lapse | None:
    return known.between(thread, row) if row.told.at <= start else None


def _last(thread: Thread) -> float:
    return max(row.told.at for row in thread.rows if row.is_level)


def _switched(calendar: Calendar, story: _Story, start: float, end: float) -> Calendar:
    """Nobody away looks at a level: who was away is back by the last one."""
    twin = calendar.copy()
    if story.on:
        twin.spans.append(Span(story.word, start, end if story.word == AWAY else None))
    else:
        ended = [s for s in twin.spans if s.word == story.word and s.covers(start)]
        twin.spans = [replace(s, until=start) if s in ended else s for s in twin.spans]
    return twin


def _told(known: Belief, base: Thread, calendar: Calendar) -> Habit:
    """The habit after the rest of the levels, had the calendar been so."""
    twin = known.copy()
    thread = base.copy()
    twin.calendar, twin.threads[thread.supply.name] = calendar, thread
    thread.fold(partial(twin.between, thread))
    return thread.habit


def _pace(habit: Habit, story: _Story) -> float:
    """Use after the switch times that before it."""
    if story.word == AWAY:
        return NOBODY_SHARE
    factor = habit.factors.get(story.word)
    middle = 0.0 if factor is None else float(factor.weight @ factor.logs)
    return exp(middle if story.on else -middle)
