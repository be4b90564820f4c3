"""Outside temperatures: what days ask for beyond the usual, and what to expect of days not told.

Heating goes by heating degrees, a day's mean below 65 °F (18.3 °C), the base of the degree days that the weather
services of the United States publish (from memory); drinking by degrees above 25 °C (common practice, no source).
Both are counted in tens of kelvins.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.special import Floats
from vanlife_supply.rig.model import FRESH, PROPANE

HEATING_BASE, DRINKING_BASE = (65.0 - 32.0) / 1.8, 25.0
_TENS = 10.0
BEFORE_DAYS, AFTER_DAYS = 400, 430
NEAR_DAYS, LATELY_DAYS = 10, 14
"""What a day not told is like: days that near it in other years, else the last ones known."""
_YEAR = 365


@dataclass(frozen=True, slots=True)
class Weather:
    """Daily mean temperatures as told: (days since 1970 by local date, °C), in order.

    `first`: the day the sums begin; `sums`: tens of degrees of heating (drinking) by the beginning of each day after it.
    """

    told: tuple[tuple[int, float], ...]
    first: int
    sums: dict[str, Floats]

    @classmethod
    def of(cls, told: Sequence[tuple[int, float]]) -> Weather | None:
        """The weather of those days, with what is to be expected of others; None without any."""
        if not told:
            return None
        known, means = np.array([day for day, _ in told]), np.array([mean for _, mean in told])
        days = np.arange(known[0] - BEFORE_DAYS, known[-1] + AFTER_DAYS)
        every = _expected(known, means, days)
        every[known - days[0]] = means
        heat, drink = np.maximum(HEATING_BASE - every, 0.0), np.maximum(every - DRINKING_BASE, 0.0)
        sums = {supply: np.concatenate([[0.0], np.cumsum(x / _TENS)]) for supply, x in ((PROPANE, heat), (FRESH, drink))}
        return cls(tuple(told), int(days[0]), sums)

    def until(self, at: float, offset: float) -> Weather | None:
        """What was known of it at that time: the days that were over."""
        today = int((at + offset) // SECONDS_PER_DAY)
        return Weather.of([one for one in self.told if one[0] < today])

    def strength(self, supply: str, start: Floats | float, end: Floats | float, offset: float) -> Floats | float:
        """Mean strength between two instants (epoch seconds), 1 for ten degrees; 0 where a supply has no such need."""
        sums = self.sums.get(supply)
        if sums is None:
            return 0.0
        days = np.arange(len(sums))
        a, b = ((np.asarray(x) + offset) / SECONDS_PER_DAY - self.first for x in (start, end))
        mean: Floats = (np.interp(b, days, sums) - np.interp(a, days, sums)) / np.maximum(b - a, 1e-9)
        return mean


def _expected(known: Floats, means: Floats, days: Floats) -> Floats:
    """What a day is like by those at that time of any year, else by the nearest known ones."""
    count = np.bincount(known % _YEAR, minlength=_YEAR).astype(float)
    total = np.bincount(known % _YEAR, weights=means, minlength=_YEAR)
    near = np.ones(2 * NEAR_DAYS + 1)
    count, total = (np.convolve(np.tile(x, 3), near, "same")[_YEAR : 2 * _YEAR] for x in (count, total))
    begun, lately = means[:LATELY_DAYS].mean(), means[-LATELY_DAYS:].mean()
    otherwise = np.where(days > known[len(known) // 2], lately, begun)
    season = days % _YEAR
    expected: Floats = np.where(count[season] > 0, total[season] / np.maximum(count[season], 1.0), otherwise)
    return expected
