"""How a figure is known, as facts: the balance, the readings and their weight, the usual, the condition.

Nothing is worked out anew here that the forecast has not used; the words are `wording.why`.
"""

from __future__ import annotations

from math import exp, hypot, isnan

import numpy as np

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry.evidence import ADDED, COUNT, EXACT, LOOKED, RESET, SCALE, SOME, STICK, Evidence
from vanlife_supply.forecast.ahead import rate_band
from vanlife_supply.forecast.belief import Belief
from vanlife_supply.forecast.calendar import AWAY
from vanlife_supply.forecast.factor import Factor
from vanlife_supply.forecast.facts import Balance, Condition, Fact, Learned, Readings, Returning, Usual
from vanlife_supply.forecast.future import awaited
from vanlife_supply.forecast.model import Band
from vanlife_supply.forecast.prior import TEMPERATURE
from vanlife_supply.forecast.thread import NO_LEVEL, SUMMED, Thread
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FILLS, FRESH, GREY

TRUSTED = (EXACT, SCALE, STICK, COUNT)
"""Levels worth judging by: exact events, and what was weighed, measured or counted."""
LEAST_BALANCE_DAYS = 0.25
SURE = 0.02
"""Of the brim: what was set with more doubt, as by a first look at one of several, is an estimate."""
ONE_LOOK_S = 900.0
"""What is found in another jug within so long belongs to the same look."""
WORTH_SHOWING = 3
"""A share learned from fewer levels than this is only the first guess."""


def why(belief: Belief, supply: str, as_of: Moment, per_day: Band | None) -> tuple[Fact, ...]:
    """The facts behind a supply's outlook, at most one of each kind but conditions; () while nothing is known."""
    thread = belief.threads[supply]
    found: list[Fact] = [*balances(thread)[-1:]]
    found += _readings(thread)
    if per_day is not None:
        found.append(Usual(per_day))
    source = FRESH if belief.drains(supply) else supply
    words = [word for word in belief.calendar.conditions(as_of.epoch) if word != AWAY]
    found += [fact for word in words if (fact := _condition(belief, source, word)) is not None]
    factors = belief.factors(source)
    back = awaited(belief.calendar, as_of.epoch, factors, thread.began)
    if back is not None and back[0] not in words:
        found.append(Returning(*back, factors[back[0]]))
    return tuple(found)


def balances(thread: Thread, *, all_levels: bool = False) -> list[Balance]:
    """Every stretch between two levels worth judging by, oldest first, doubted notes left out.

    With `all_levels` it may begin and end at any look.
    """
    ends = (*TRUSTED, *LOOKED) if all_levels else TRUSTED
    sign = 1.0 if thread.supply.direction == FILLS else -1.0
    found: list[Balance] = []
    start: tuple[float, float, float] | None = None
    came = 0.0
    for row in thread.rows:
        told = row.told
        if told.doubted:
            continue
        if told.what == ADDED:
            came += told.after
            continue
        if told.what == SOME:  # how much came nobody knows, so nothing follows from the levels around it
            start = None
            continue
        if start is not None and told.what in ends and not isnan(told.before):
            used = sign * (told.before - start[1] - came)
            if told.at - start[0] >= LEAST_BALANCE_DAYS * SECONDS_PER_DAY and used > 0:
                sd = (start[2] ** 2 + _sd(thread, told) ** 2) ** 0.5
                found.append(Balance(start[0], told.at, start[1], came, told.before, used, sd))
        after = _after(thread, told, ends)
        if after is not None:
            start, came = after, 0.0
    return found


def _after(thread: Thread, told: Evidence, ends: tuple[str, ...]) -> tuple[float, float, float] | None:
    """(time, level, sd) that a note leaves behind; None where it is no better than a guess."""
    if not isnan(told.after) and told.what not in SUMMED:
        return told.at, told.after, told.after_sd
    if told.what in ends and not isnan(told.before):
        return told.at, told.before, _sd(thread, told)
    return None


def _sd(thread: Thread, told: Evidence) -> float:
    reading = thread.habit.reading_error(told.what) * told.size if told.what in LOOKED else 0.0
    return float((told.before_sd**2 + reading**2) ** 0.5)


def _readings(thread: Thread) -> list[Fact]:
    told = [row.told for row in thread.rows if not row.told.is_hint]
    levels = [i for i, each in enumerate(told) if each.what not in NO_LEVEL]
    if not levels:
        return []
    last = told[levels[-1]]
    found = [each for each in told[levels[-1]:] if each.what == ADDED and each.at - last.at < ONE_LOOK_S]
    known = not isnan(last.after)
    level, sd = (last.after, last.after_sd) if known else (last.before, _sd(thread, last))
    if isnan(level):
        return []
    level, sd = level + sum(each.after for each in found), hypot(sd, *(each.after_sd for each in found))
    sure = sd <= SURE * thread.brim if last.what == RESET else known or last.what in TRUSTED
    return [Readings(len(levels), last.what, last.at, level, sd, sure)]


def _condition(belief: Belief, supply: str, word: str) -> Condition | None:
    learned = belief.threads[supply].habit.factors.get(word)
    if learned is not None and len(learned.logs) > 1:
        return Condition(word, _factor_band(learned), True)
    factor = belief.factors(supply).get(word, 1.0)
    return None if abs(factor - 1.0) < 0.02 else Condition(word, Band(factor, factor, factor), False)


def _factor_band(factor: Factor) -> Band:
    chance = factor.weight.cumsum() - 0.5 * factor.weight
    return Band(*(exp(end) for end in np.interp((0.1, 0.5, 0.9), chance, factor.logs)))


def learned(belief: Belief) -> tuple[Learned, ...]:
    """What the log has taught of the rig: the share of fresh water that reaches the drain, what conditions do.

    Shown with its band; nothing is ever taken over into rig.toml by itself.
    """
    known = belief.copy()
    known.settle_all()
    found: list[Learned] = []
    gray = known.threads.get(GREY)
    if gray is not None and known.drains(GREY) and gray.habit.looks >= WORTH_SHOWING:
        share = rate_band(gray.habit.rates, gray.habit.weight.sum(axis=(1, 2)), gray.habit.reaching)
        found.append(Learned("drain share", GREY, share, gray.habit.looks))
    for name, thread in known.threads.items():
        for word, factor in sorted(thread.habit.factors.items()):
            if len(factor.logs) > 1 and word not in (AWAY, TEMPERATURE):
                found.append(Learned(word, name, _factor_band(factor), thread.habit.looks))
    return tuple(found)
