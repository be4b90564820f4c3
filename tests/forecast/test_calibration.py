"""What is said to go wrong before a plan goes wrong as often as said: in lives drawn from the model's own prior."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from math import exp
from pathlib import Path

import numpy as np
from numpy.random import Generator, default_rng
from scipy.stats import binom

from tests.forecast.logs import TANK, ahead, believed, entry, known, moment
from tests.forecast.test_cases import read_log
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import grid, learn, look_ahead
from vanlife_supply.forecast.habit import UNFORESEEN, Habit
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.forecast.special import Floats
from vanlife_supply.forecast.suppose import with_entries
from vanlife_supply.moment import Moment, read_iso
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement

LIVES = 260
BINS = 5
FULL, SINK = 100.0, 60.0
RIG = TANK.replace("80 L", f"{SINK:g} L")
Told = tuple[float, bool]
"""The chance said that it goes wrong before the plan, and whether it did."""


def unlearned(supply: str) -> Habit:
    """What is thought of a supply before anything is noted."""
    return believed(RIG, []).threads[supply].habit


def drawn(draw: Generator, habit: Habit, days: int) -> tuple[Floats, float, float]:
    """Rates of the days of one life, how even it is, and how much more comes up ahead than habit says."""
    start = draw.normal(habit.manner.rate.mean, habit.manner.rate.sd)
    drift = draw.choice(grid.DRIFT, p=grid.DRIFT_PRIOR) * habit.manner.restless
    even = draw.choice(habit.evenness, p=grid.EVENNESS_PRIOR)
    more = 1.0 + UNFORESEEN * (1.0 / even - 1.0 / habit.evenness[-1])
    return np.exp(start + np.cumsum(draw.normal(0.0, drift, days))), even, more


def life(seed: int) -> list[Told]:
    """A person fills and dumps when it gets low or high, now and then looks, and plans both for some day ahead.

    [] for a life in which the water ran out or the sink overflowed before.
    """
    draw = default_rng(seed)
    days, ahead_days = int(draw.integers(15, 40)), int(draw.integers(1, 10))
    rates, even, more = drawn(draw, unlearned("fresh"), days + ahead_days)
    share, steady = exp(draw.normal(*_share())), draw.choice(unlearned("grey").evenness, p=grid.EVENNESS_PRIOR)
    rates[days:] *= more
    used = draw.gamma(even, rates / even)
    drained = used * share * draw.gamma(steady, 1.0 / steady, len(used))
    log = [entry(0, "fill", "fresh", to="full"), entry(0.001, "dump", "grey", to="empty")]
    water, gray = FULL, 0.0
    for day in range(days):
        water, gray = water - used[day], gray + drained[day]
        if water <= 0.0 or gray >= SINK:
            return []
        if day + 1 < days:
            water, gray = _noted(draw, log, day + 1, water, gray)
    log += [_plan("fresh", m.FILL, days, ahead_days), _plan("grey", m.DUMP, days, ahead_days)]
    forecast = ahead(RIG, log, days)
    came = {"fresh": used[days:].sum() >= water, "grey": drained[days:].sum() >= SINK - gray}
    return [(_said(forecast, name), bool(wrong)) for name, wrong in came.items()]


def _share() -> tuple[float, float]:
    rate = unlearned("grey").manner.rate
    return rate.mean, rate.sd


def _noted(draw: Generator, log: list[Entry], day: int, water: float, gray: float) -> tuple[float, float]:
    if water < draw.normal(35.0, 15.0):
        log.append(entry(day, "fill", "fresh", round(FULL - water, 1), to="full"))
        water = FULL
    elif draw.random() < 0.15:
        log.append(entry(day, "reading", "fresh", min(max(water + draw.normal(0.0, 3.5), 0.0), FULL), method="stick"))
    if gray > draw.normal(40.0, 10.0):
        log.append(entry(day + 0.001, "dump", "grey", round(gray, 1), to="empty"))
        gray = 0.0
    elif draw.random() < 0.15:
        log.append(entry(day + 0.002, "reading", "grey", min(max(gray + draw.normal(0.0, 5.0), 0.0), SINK), method="sight"))
    return water, gray


def _plan(supply: str, kind: str, day: float, days: float) -> Entry:
    return entry(day, m.PLANNED, supply, word=kind, until=moment(day + days))


def _said(forecast: Forecast, name: str) -> float:
    planned = known(forecast, name).planned
    assert planned is not None and planned.chance_fails_before is not None
    return planned.chance_fails_before


def off(told: Sequence[Told]) -> list[str]:
    """The bins of said chance in which it came less or more often than the binomial 95 % range allows (T28's rule)."""
    found = []
    for i in range(BINS):
        mine = [(p, came) for p, came in told if i / BINS <= p < (i + 1) / BINS or (i == BINS - 1 and p == 1.0)]
        if mine:
            said, came = float(np.mean([p for p, _ in mine])), sum(c for _, c in mine)
            if not binom.ppf(0.025, len(mine), said) <= came <= binom.ppf(0.975, len(mine), said):
                found.append(f"said {said:.2f}, came {came} of {len(mine)}")
    return found


def test_what_is_said_to_go_wrong_does_so_as_often() -> None:
    """In every bin of said chance it goes wrong as often as said, within the binomial 95 % range."""
    told = [each for seed in range(LIVES) for each in life(seed)]
    assert len(told) > LIVES
    assert {int(p * BINS) for p, _ in told} >= set(range(BINS))
    assert off(told) == []


def told_of(case: Path) -> tuple[list[Told], list[Told]]:
    """Of every fourth forecast of a case: the chance said of each supply to be over some days ahead, and to be the first of
    all to be over, each with what came."""
    its = read_rig((case / "rig.toml").read_text(encoding="utf-8"))
    log, stands = read_log(case / "log.csv", its), [Arrangement(float("-inf"), its)]
    asked = json.loads((case / "truth.json").read_text(encoding="utf-8"))["origins"]
    draw = random.Random(case.name)
    belief, start, told, firsts = None, 0, list[Told](), list[Told]()
    for origin in sorted(asked, key=lambda o: read_iso(o["as_of"], its.zone).moment.epoch)[3::4]:
        now: Moment = read_iso(origin["as_of"], its.zone).moment
        end = sum(e.at.epoch <= now.epoch for e in log)
        belief = learn(belief, stands, log[start:end])
        start, days = end, draw.uniform(0.5, 10.0)
        plans = [Entry("", m.PLANNED, now, s.name, word=m.FILL, until=now.plus(days)) for s in its.supplies]
        forecast, came_by = look_ahead(with_entries(belief, plans), now), origin["days_left"]
        known = {name for name, day in came_by.items() if day is not None}
        if forecast.first is not None and set(forecast.first.chances) <= known:
            soonest = min(forecast.first.chances, key=lambda name: float(came_by[name]))
            firsts += [(chance, name == soonest) for name, chance in forecast.first.chances.items()]
        for outlook in forecast.supplies:
            came, planned = came_by.get(outlook.supply), outlook.planned
            if came is not None and planned is not None and planned.chance_fails_before is not None:
                told.append((planned.chance_fails_before, came <= days))
    return told, firsts


def test_the_open_cases_bear_it_out(shared: Path) -> None:
    """In every bin of said chance the invented lives with their truth went wrong, and first so, as often as said."""
    cases = [case for group in ("open/*/*", "jugs_open/*") for case in sorted((shared / "forecast").glob(group))]
    both = [told_of(case) for case in cases if (case / "truth.json").is_file()]
    told, firsts = ([each for pair in both for each in pair[i]] for i in (0, 1))
    assert len(told) > 700 and len(firsts) > 700
    assert off(told) == [] and off(firsts) == []
