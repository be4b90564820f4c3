"""The days ahead as a mesh of instants: how much living lies between now and each of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.calendar import AWAY, NIGHT_SHARE, NOBODY_SHARE, PEOPLE_POWER, SLEEPS, WAKES, Calendar
from vanlife_supply.forecast.special import Floats
from vanlife_supply.rig.model import FRESH, GREY

HORIZON_DAYS = 400.0
RELAX_DAYS = 8.0
"""Guests leave and people come home in about that many days when nobody said when: common practice, no source."""
USUAL_DAYS = 45.0
RETURN_DAYS = 3.0
"""A condition that was there before comes back unannounced in about that many days, fitted on the open cases."""
RETURN_PRIOR_DAYS = 3.0
"""Days under a condition once known that are always reckoned to its share of the last weeks."""
_MESH: Floats = np.concatenate([np.arange(0, 6, 0.125), np.arange(6, 30, 0.5), np.arange(30, HORIZON_DAYS + 3, 3.0)])


@dataclass(frozen=True, slots=True)
class Future:
    """Cumulative exposure and days of process at `times` (days from now), all (mesh,) and increasing."""

    times: Floats
    exposure: Floats
    days: Floats

    def at(self, times: Floats) -> tuple[Floats, Floats]:
        """(exposure, days of process) by those times."""
        return np.interp(times, self.times, self.exposure), np.interp(times, self.times, self.days)

    def when(self, exposure: Floats) -> Floats:
        """The times by which that much living has gone by."""
        return np.interp(exposure, self.exposure, self.times)


def look(calendar: Calendar, supply: str, now: float, offset: float, factors: Mapping[str, float]) -> Future:
    """The future of one supply as the calendar has it: people and conditions as said, guests leaving after a while."""
    days = _course(_MESH, now + offset) if supply in (FRESH, GREY) else _MESH
    weights = _weights(calendar, supply, now, _MESH[:-1] + 0.5 * np.diff(_MESH), factors)
    exposure = np.concatenate([[0.0], np.cumsum(np.diff(days) * weights)])
    return Future(_MESH, exposure, days)


def _course(times: Floats, local: float) -> Floats:
    start = (local / SECONDS_PER_DAY) % 1.0
    clock = start + times
    part = clock - np.floor(clock)
    awake = np.clip(part - WAKES, 0.0, SLEEPS - WAKES)
    day = (1.0 - NIGHT_SHARE) / (SLEEPS - WAKES)
    night = NIGHT_SHARE / (1.0 - SLEEPS + WAKES)
    lived = np.floor(clock) + day * awake + night * (part - awake)
    course: Floats = lived - lived[0]
    return course


def _weights(
    calendar: Calendar, supply: str, now: float, times: Floats, factors: Mapping[str, float]
) -> Floats:
    """Living a day at each of those times, in units of one person."""
    count = np.full(times.shape, calendar.people)
    scale = np.ones(times.shape)
    fade = np.exp(-times / RELAX_DAYS)
    usual = usual_people(calendar, now)
    said_under: dict[str, Floats] = {}
    for span in calendar.spans:
        until = HORIZON_DAYS * 10 if span.until is None else (span.until - now) / SECONDS_PER_DAY
        holds = (times >= (span.start - now) / SECONDS_PER_DAY) & (times < until)
        if not span.word:
            told = span.count if span.until is not None else usual + (span.count - usual) * fade
            count = np.where(holds, told, count)
        elif span.word == AWAY:
            share = NOBODY_SHARE if span.until is not None else 1.0 + (NOBODY_SHARE - 1.0) * fade
            scale = np.where(holds, share, scale)
        else:
            told = factors.get(span.word, 1.0)
            said = said_under.setdefault(span.word, np.zeros(times.shape))
            said[holds] = 1.0 if span.until is not None else fade[holds]
    for word, said in said_under.items():
        share = usual_share(calendar, word, now)
        under = said + (1.0 - said) * share * (1.0 - np.exp(-times / RETURN_DAYS))
        scale = scale * (1.0 + under * (factors.get(word, 1.0) - 1.0))
    lived = np.maximum(count, NOBODY_SHARE)
    if supply in (FRESH, GREY):
        return lived**PEOPLE_POWER * scale
    return np.minimum(lived, 1.0) * scale


def usual_people(calendar: Calendar, now: float) -> float:
    """The number aboard for most of the last weeks, nobody not counted."""
    start = now - USUAL_DAYS * SECONDS_PER_DAY
    lived: dict[float, float] = {}
    for a, b in calendar.pieces(start, now):
        count = calendar.aboard(a)
        if count > 0:
            lived[count] = lived.get(count, 0.0) + b - a
    return max(lived, key=lambda c: (lived[c], c)) if lived else max(calendar.people, 1.0)


def usual_share(calendar: Calendar, word: str, now: float) -> float:
    """The share of the last weeks spent under a condition: how likely it is to be back one day."""
    start = now - USUAL_DAYS * SECONDS_PER_DAY
    under = sum(b - a for a, b in calendar.pieces(start, now) if word in calendar.conditions(a))
    return min((under / SECONDS_PER_DAY + RETURN_PRIOR_DAYS) / USUAL_DAYS, 1.0)
