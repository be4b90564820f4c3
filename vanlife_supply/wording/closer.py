"""One supply looked at closely: use a day over time, and what was said against what came, as cells of a row."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.facts import Outcome, Stretch
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import FILLS, Supply
from vanlife_supply.wording.amounts import halves, rate
from vanlife_supply.wording.times import date_only, spell

MOSTLY = 0.8
"""What held for less of a stretch than this is said to be part of it."""


def use_heading(its: Supply) -> str:
    """What the rows below are: use a day between two good levels."""
    deed = "Came in" if its.direction == FILLS else "Used"
    return f"{deed} a day, {its.unit}, between two good levels"


def use_cells(s: Stretch, its: Supply, now: Moment) -> tuple[str, str, str]:
    """From–to, amount a day, what held: `26 Apr–1 May`, `1.2`, `heater, part guests`."""
    start, end = (date_only(at(epoch, now.zone, now.offset)) for epoch in (s.start, s.end))
    held = ", ".join(word if share >= MOSTLY else f"part {word}" for word, share in s.held)
    return f"{start}–{end}", rate(s.per_day, its), held


def use_whole(found: Sequence[Stretch], its: Supply) -> str:
    """The mean of all of it, weighed by time."""
    days = sum(s.end - s.start for s in found) / SECONDS_PER_DAY
    return f"All of it: {rate(sum(s.used for s in found) / days, its)} {its.unit} a day over {spell(days)}."


def said_heading(found: Sequence[Outcome]) -> str:
    """How many of them came as said."""
    inside = sum(o.inside for o in found)
    return f"Days said and days it lasted: {inside} of {len(found)} came as said, about {round(0.8 * len(found))} should"


def said_cells(o: Outcome, now: Moment) -> tuple[str, str, str, str]:
    """From when, days said, days it lasted, verdict: `1 May`, `2½–4½`, `3½`, `as said`."""
    low = _days(o.said.p10 or 0.0)
    said = f"over {low}" if o.said.p90 is None else f"{low}–{_days(o.said.p90)}"
    verdict = "as said" if o.inside else "sooner" if o.days < (o.said.p10 or 0.0) else "later"
    return date_only(at(o.start, now.zone, now.offset)), said, _days(o.days), verdict


def _days(value: float) -> str:
    return halves(value) if value < 9.75 else f"{value:.0f}"
