"""Who lives aboard and under which conditions, and how much living lies between two instants.

Exposure is measured in person-days: a day of one person under no condition is 1. Water is used by day, hardly by
night; fuels are counted by plain days. Pure arithmetic, no numpy.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import FRESH, GREY

if TYPE_CHECKING:
    from vanlife_supply.forecast.weather import Weather

PEOPLE_POWER = 0.9
"""Two people use a little less than twice what one does: common practice, no source."""
NOBODY_SHARE = 0.03
"""What still goes when nobody is aboard, of one person's use."""
# Hours of the waking day and what little is used outside them: common practice, no source.
WAKES, SLEEPS, NIGHT_SHARE = 6.5 / 24, 22.5 / 24, 0.06
_DAY_RATE = (1.0 - NIGHT_SHARE) / (SLEEPS - WAKES)
_NIGHT_RATE = NIGHT_SHARE / (1.0 - SLEEPS + WAKES)
AWAY = "away"


@dataclass(frozen=True, slots=True)
class Span:
    """A count of people (`word` "") or a condition, from–until epoch seconds; until None: not over.

    One without length only tells that the condition was said to be off then.
    """

    word: str
    start: float
    until: float | None
    count: float = 0.0

    def covers(self, at: float) -> bool:
        return self.start <= at and (self.until is None or at < self.until)


def waking_days(start: float, end: float, offset: float) -> float:
    """Days between two instants weighed by the usual course of a day; `offset` seconds east of UTC."""
    return _course(end + offset) - _course(start + offset)


def _course(local: float) -> float:
    days = local / SECONDS_PER_DAY
    whole = floor(days)
    part = days - whole
    day = min(max(part - WAKES, 0.0), SLEEPS - WAKES)
    return whole + _DAY_RATE * day + _NIGHT_RATE * (part - day)


@dataclass(slots=True)
class Calendar:
    """The spans known so far. `people` is the rig's number, until the first span says otherwise; `weather` if it is told."""

    people: float = 1.0
    spans: list[Span] = field(default_factory=list)
    weather: Weather | None = None

    def copy(self) -> Calendar:
        return Calendar(self.people, list(self.spans), self.weather)

    def note(self, entry: Entry) -> None:
        """Takes in a people or condition entry."""
        until = entry.until.epoch if entry.until else None
        at = entry.at.epoch
        if entry.kind == m.PEOPLE:
            if entry.amount is not None:
                self.spans.append(Span("", at, until, entry.amount))
            return
        if entry.to == m.OFF:
            ends = [s for s in self.spans if s.word and entry.word in (m.ALL, s.word) and s.covers(at)]
            self.spans = [self._ended(s, at) if s in ends else s for s in self.spans]
            if not ends:
                self.spans.append(Span(entry.word, at, at))
            return
        self.spans.append(Span(entry.word, at, until))

    @staticmethod
    def _ended(span: Span, at: float) -> Span:
        return Span(span.word, span.start, at, span.count)

    def prune(self, before: float) -> None:
        """Forgets what ended before that and the counts of people that a later one replaced."""
        lasting = [s for s in self.spans if not s.word and s.until is None and s.start <= before]
        base = lasting[-1] if lasting else None
        self.spans = [
            s for s in self.spans
            if (s.until is None or s.until > before) and (s.word or s.until is not None or s.start > before or s is base)
        ]  # fmt: skip

    def aboard(self, at: float) -> float:
        """People at that instant: the latest count that still holds."""
        for span in reversed(self.spans):
            if not span.word and span.covers(at):
                return span.count
        return self.people

    def conditions(self, at: float) -> tuple[str, ...]:
        """The conditions that hold at that instant, sorted."""
        return tuple(sorted({s.word for s in self.spans if s.word and s.covers(at)}))

    def pieces(self, start: float, end: float) -> list[tuple[float, float]]:
        """The interval cut where anything changes."""
        cuts = {start, end}
        for span in self.spans:
            for edge in (span.start, span.until):
                if edge is not None and start < edge < end:
                    cuts.add(edge)
        marks = sorted(cuts)
        return list(pairwise(marks))

    def exposure(
        self, supply: str, start: float, end: float, offset: float, factors: Mapping[str, float], learned: str = ""
    ) -> tuple[float, float, float]:
        """(person-days, person-days under the condition `learned`, days of process) between two instants.

        `factors` multiply while their condition holds; that of `learned` is left out.
        """
        plain = under = days = 0.0
        by_day = supply in (FRESH, GREY)
        for a, b in self.pieces(start, end):
            span = waking_days(a, b, offset) if by_day else (b - a) / SECONDS_PER_DAY
            words = self.conditions(a)
            lived = span * self.weight(supply, a, words, factors)
            if learned and learned in words and AWAY not in words:
                under += lived / factors.get(learned, 1.0)
            else:
                plain += lived
            days += span
        return plain, under, days

    def weight(self, supply: str, at: float, words: tuple[str, ...], factors: Mapping[str, float]) -> float:
        """Living a day at that instant in units of one person, under those conditions."""
        count = self.aboard(at)
        if AWAY in words or count <= 0:
            return NOBODY_SHARE
        scale = count**PEOPLE_POWER if supply in (FRESH, GREY) else 1.0
        for word in words:
            scale *= factors.get(word, 1.0)
        return scale

    def words(self, start: float, end: float) -> set[str]:
        """The conditions that hold at some time between two instants."""
        during = [s for s in self.spans if s.start < end and (s.until is None or s.until > max(start, s.start))]
        return {s.word for s in during if s.word}
