"""The days ahead as a mesh of instants: how much living lies between now and each of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.calendar import AWAY, NIGHT_SHARE, NOBODY_SHARE, PEOPLE_POWER, SLEEPS, WAKES, Calendar, Span
from vanlife_supply.forecast.prior import TEMPERATURE
from vanlife_supply.forecast.special import Floats
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH, GREY

HORIZON_DAYS = 400.0
RELAX_DAYS = 8.0
"""Guests leave and people come home in about that many days when nobody said when: common practice, no source."""
USUAL_DAYS = 45.0
OFTEN_DAYS = 90.0
SEEN_DAYS, UNSEEN_DAYS = 6.0, 6.0
"""A condition that was there once is reckoned to come back: so many days under it of so many, chosen on open cases."""
SPELL_DAYS = 7.0
"""A heat wave, a cold spell, a spell of heating lasts about a week: common practice, no source."""
WAITS, LEAST_CHANGE = 5, 0.1
"""Into how many equally likely waits the time until the next spell is cut, where that changes the use by a tenth or more."""
_MESH: Floats = np.concatenate([np.arange(0, 6, 0.125), np.arange(6, 30, 0.5), np.arange(30, HORIZON_DAYS + 3, 3.0)])


@dataclass(frozen=True, slots=True)
class Spell:
    """The next spell of a condition: it begins after so many more `free` days without it."""

    word: str
    free: float


@dataclass(frozen=True, slots=True)
class Future:
    """Cumulative exposure and days of process at `times` (days from now), all (mesh,) and increasing."""

    times: Floats
    exposure: Floats
    days: Floats

    def at(self, times: Floats) -> tuple[Floats, Floats]:
        """(exposure, days of process) by those times."""
        return np.interp(times, self.times, self.exposure), np.interp(times, self.times, self.days)

    def with_loss(self, per_day: float) -> Future:
        """The same with so much more exposure a day, whoever is aboard: what is lost while nothing is used."""
        return Future(self.times, self.exposure + per_day * self.times, self.days) if per_day else self

    def when(self, exposure: Floats) -> Floats:
        """The times by which that much living has gone by."""
        return np.interp(exposure, self.exposure, self.times)


def look(
    calendar: Calendar, supply: str, now: Moment, factors: Mapping[str, float], since: float, unforeseen: float,
    spell: Spell | None = None,
) -> Future:  # fmt: skip
    """The future of one supply as the calendar has it: people and conditions as said, guests leaving after a while.

    Conditions come back as often as they did since `since`, that of the `spell` when that has it begin; all use is
    `unforeseen` times what habit says.
    """
    days = _course(_MESH, now.epoch + now.offset) if supply in (FRESH, GREY) else _MESH
    times = _MESH[:-1] + 0.5 * np.diff(_MESH)
    weights = _aboard(calendar, supply, now.epoch, times) * _under(calendar, now.epoch, times, factors, since, spell)
    if calendar.weather is not None:
        edges = now.epoch + _MESH * SECONDS_PER_DAY
        need = calendar.weather.strength(supply, edges[:-1], edges[1:], now.offset)
        weights = weights * (1.0 + need * factors.get(TEMPERATURE, 0.0))
    exposure = np.concatenate([[0.0], np.cumsum(np.diff(days) * weights * unforeseen)])
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


def _aboard(calendar: Calendar, supply: str, now: float, times: Floats) -> Floats:
    """Living a day at each of those times, in units of one person, under no condition."""
    count = np.full(times.shape, calendar.people)
    home = np.ones(times.shape)
    fade = np.exp(-times / RELAX_DAYS)
    usual = usual_people(calendar, now)
    for span in calendar.spans:
        holds = _holds(span, now, times)
        if not span.word:
            told = span.count if span.until is not None else usual + (span.count - usual) * fade
            count = np.where(holds, told, count)
        elif span.word == AWAY:
            share = NOBODY_SHARE if span.until is not None else 1.0 + (NOBODY_SHARE - 1.0) * fade
            home = np.where(holds, share, home)
    lived = np.maximum(count, NOBODY_SHARE)
    aboard: Floats = home * (lived**PEOPLE_POWER if supply in (FRESH, GREY) else np.minimum(lived, 1.0))
    return aboard


def _under(
    calendar: Calendar, now: float, times: Floats, factors: Mapping[str, float], since: float, spell: Spell | None
) -> Floats:
    """What conditions multiply the use by at each of those times, in expectation but for the `spell`."""
    scale = np.ones(times.shape)
    for word, factor in factors.items():
        if word in (AWAY, TEMPERATURE) or factor == 1.0:
            continue
        usual = frequency(calendar, word, since, now)
        declared = np.zeros(times.shape)
        for span in calendar.spans:
            if span.word == word:
                lasting = 1.0 if span.until is not None else np.exp(-times / SPELL_DAYS)
                declared = np.where(_holds(span, now, times), np.maximum(declared, lasting), declared)
        free = np.cumsum(np.diff(times, prepend=0.0) * (declared < 0.5))
        returned = usual * (1.0 - np.exp(-free / SPELL_DAYS))
        if spell is not None and spell.word == word:
            begun = free - spell.free
            after = usual * (1.0 - np.exp(-np.maximum(begun - SPELL_DAYS, 0.0) / SPELL_DAYS))
            returned = np.where(begun < 0.0, 0.0, np.where(begun < SPELL_DAYS, 1.0, after))
        scale = scale * (1.0 + np.maximum(declared, returned) * (factor - 1.0))
    return scale


def awaited(calendar: Calendar, now: float, factors: Mapping[str, float], since: float) -> tuple[str, float] | None:
    """The condition whose coming back changes most, and the share of the time it held; None where none changes much."""
    usual = {w: frequency(calendar, w, since, now) for w in factors if w not in (AWAY, TEMPERATURE)}
    change = {word: often * abs(factors[word] - 1.0) for word, often in usual.items()}
    word = max(change, key=lambda each: (change[each], each), default="")
    return (word, usual[word]) if word and change[word] >= LEAST_CHANGE else None


def spells(
    calendar: Calendar, now: float, factors: Mapping[str, float], since: float
) -> list[tuple[float, Spell]]:
    """When the condition that changes most will be back, as equally likely spells; [] where none changes much."""
    found = awaited(calendar, now, factors, since)
    if found is None:
        return []
    word, usual = found
    between = SPELL_DAYS * (1.0 - usual) / usual
    return [(1.0 / WAITS, Spell(word, -between * log(1.0 - (k + 0.5) / WAITS))) for k in range(WAITS)]


def _holds(span: Span, now: float, times: Floats) -> NDArray[np.bool_]:
    end = np.inf if span.until is None else (span.until - now) / SECONDS_PER_DAY
    holds: NDArray[np.bool_] = (times >= (span.start - now) / SECONDS_PER_DAY) & (times < end)
    return holds


def frequency(calendar: Calendar, word: str, since: float, now: float) -> float:
    """The share of the time that a condition held lately, drawn towards half while little was seen."""
    start = max(since, now - OFTEN_DAYS * SECONDS_PER_DAY)
    spans = [span for span in calendar.spans if span.word == word]
    held = sum(max(0.0, min(now, now if s.until is None else s.until) - max(start, s.start)) for s in spans)
    seen = held + min(held, SEEN_DAYS * SECONDS_PER_DAY)
    return seen / (max(now - start, 0.0) + UNSEEN_DAYS * SECONDS_PER_DAY)


def usual_people(calendar: Calendar, now: float) -> float:
    """The number aboard for most of the last weeks, nobody not counted."""
    start = now - USUAL_DAYS * SECONDS_PER_DAY
    lived: dict[float, float] = {}
    for a, b in calendar.pieces(start, now):
        count = calendar.aboard(a)
        if count > 0:
            lived[count] = lived.get(count, 0.0) + b - a
    return max(lived, key=lambda c: (lived[c], c)) if lived else max(calendar.people, 1.0)
