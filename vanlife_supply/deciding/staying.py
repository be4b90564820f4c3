"""Stay or go: the chance that everything holds until each of the next days, and the latest sensible departure."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.holding import chances
from vanlife_supply.deciding.lasting import days_until
from vanlife_supply.deciding.model import Day, Staying
from vanlife_supply.forecast.suppose import with_reserve_released
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH

LEAST_DAYS, MOST_DAYS = 3, 10
HALVINGS = 7
"""Of the day in which the chance falls below the confidence: to a quarter of an hour."""


def stay_or_go(known: Ground, until: Moment | None = None) -> Staying:
    """Chances a day ahead, each of the next days (as many as matter), and at `until` if asked.

    `leave_by` is the last moment until which everything holds at the confidence of the rig.
    """
    first = known.outlook.first
    last = first.days_left.p90 if first else None
    count = min(MOST_DAYS, max(LEAST_DAYS, ceil(last) if last is not None else MOST_DAYS))
    moments = [known.now.plus(k) for k in range(1, count + 1)]
    if until is not None:
        days_until(known.now, until)
        moments = sorted([*moments, until], key=lambda at: at.epoch)
    days = tuple(_day(known, at) for at in moments)
    return Staying(known.now, known.rig.confidence, days, _leave_by(known, days), first)


def _day(known: Ground, at: Moment) -> Day:
    day = chances(known, known.belief, at)
    water = known.outlook.supply(FRESH)
    kept_back = any(c.kept_back for c in known.rig.of(FRESH))
    if water is None or water.level is None or not (water.reserve or kept_back):
        return day
    released = chances(known, with_reserve_released(known.belief), at)
    return replace(day, last_drop=released.each.get(FRESH))


def _leave_by(known: Ground, days: tuple[Day, ...]) -> Moment | None:
    """Between the last day that holds and the first that does not, by halving."""
    fails = next((day.at for day in days if day.together < known.rig.confidence), None)
    if fails is None:
        return None
    low = max((day.at.epoch for day in days if day.at.epoch < fails.epoch), default=known.now.epoch)
    high = fails.epoch
    for _ in range(HALVINGS):
        middle = known.now.plus((0.5 * (low + high) - known.now.epoch) / SECONDS_PER_DAY)
        if chances(known, known.belief, middle).together >= known.rig.confidence:
            low = middle.epoch
        else:
            high = middle.epoch
    return known.now.plus((low - known.now.epoch) / SECONDS_PER_DAY)
