"""Warnings: what will go wrong before the next plan, what cannot be, what waits for an answer."""

from __future__ import annotations

from collections.abc import Mapping

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.forecast.ahead import LONGEST_DAYS, Ahead
from vanlife_supply.forecast.belief import Belief
from vanlife_supply.forecast.model import LimitOutlook, PlannedOutlook, SupplyOutlook, Warning
from vanlife_supply.moment import Moment, occurrences
from vanlife_supply.rig.model import FILLS

SPEAKS_UP_AT = 0.10
"""Chance of trouble before the plan from which a warning is worth reading."""
LIMIT_SOON_DAYS = 2.0
MOST_QUESTIONS = 3
QUESTION_DAYS = 60.0
ELSEWHERE_DAYS = 2.0
"""So long it takes to find another place when a plan does not work out: common practice, no source."""
IMPOSSIBLE = 0.05
"""Chance below which what the log says cannot be: a fill or dump is missing, or somebody was away."""


def next_date(start: Moment | None, every: str, as_of: Moment) -> Moment | None:
    """The first date after `as_of` of something dated that may repeat."""
    if start is None:
        return None
    if start.epoch > as_of.epoch:
        return start
    if not every.startswith("every"):
        return None
    ahead = occurrences(start, every, as_of.epoch, as_of.epoch + LONGEST_DAYS * SECONDS_PER_DAY)
    return ahead[0] if ahead else None


def limits(known: Belief, as_of: Moment) -> tuple[LimitOutlook, ...]:
    """The next date of every limit that is still ahead, soonest first."""
    found = []
    for entry in known.limits:
        when = next_date(entry.until, entry.to, as_of)
        if when is not None:
            found.append(LimitOutlook(entry.word, when, (when.epoch - as_of.epoch) / SECONDS_PER_DAY))
    return tuple(sorted(found, key=lambda limit: (limit.days_left, limit.word)))


def next_plan(known: Belief, supply: str, as_of: Moment, ahead: Ahead | None) -> PlannedOutlook | None:
    """The next planned dump or fill of a supply, and the chance that it does not last until it is done.

    Where nobody knows whether it works there, it may have to wait for the plan after it, or for another place.
    """
    found = []
    for entry in known.plans:
        when = next_date(entry.until, entry.to, as_of) if entry.supply == supply else None
        if when is not None:
            found.append((when.epoch, entry.word, when, entry))
    if not found:
        return None
    _, kind, when, entry = min(found, key=lambda plan: plan[:2])
    works = known.works.get(entry.id, 1.0)
    if ahead is None:
        return PlannedOutlook(kind, when, None, entry.place, works)
    after = next_date(entry.until, entry.to, when) or when.plus(ELSEWHERE_DAYS)
    over = [float(ahead.survival.over_by((day.epoch - as_of.epoch) / SECONDS_PER_DAY)) for day in (when, after)]
    return PlannedOutlook(kind, when, works * over[0] + (1 - works) * over[1], entry.place, works)


def all_of(
    known: Belief,
    supplies: tuple[SupplyOutlook, ...],
    possible: Mapping[str, float],
    dated: tuple[LimitOutlook, ...],
    as_of: Moment,
) -> tuple[Warning, ...]:
    """Every warning, the most urgent kind first; of odd entries the newest.

    `possible`: the chance that each supply is not over yet by its balance.
    """
    found: list[Warning] = []
    for one in supplies:
        if possible.get(one.supply, 1.0) < IMPOSSIBLE:
            reason = "above" if one.direction == FILLS else "below"
            found.append(Warning("impossible-level", one.supply, at=as_of.epoch, reason=reason))
    for one in supplies:
        found += _before_plan(one, as_of)
    found += [
        Warning("limit-soon", "", at=limit.at.epoch, before=limit.at.epoch, word=limit.word)
        for limit in dated if limit.days_left <= LIMIT_SOON_DAYS
    ]  # fmt: skip
    recent = [d for d in known.doubts if d[2] > as_of.epoch - QUESTION_DAYS * SECONDS_PER_DAY]
    found += [Warning("questioned", supply, entry=id_, at=at) for id_, supply, at in recent[: -MOST_QUESTIONS - 1 : -1]]
    found += [Warning("not-known", one.supply) for one in supplies if one.level is None]
    return tuple(found)


def _before_plan(one: SupplyOutlook, as_of: Moment) -> list[Warning]:
    """Full before the dump, or out before the fill: what to keep back, or how much a day would do."""
    plan, left, use, usable = one.planned, one.days_left, one.use_per_day, one.usable
    if plan is None or plan.chance_fails_before is None or plan.chance_fails_before < SPEAKS_UP_AT:
        return []
    fills = one.direction == FILLS
    if left is None or use is None or usable is None or plan.kind != (m.DUMP if fills else m.FILL):
        return []
    until = (plan.at.epoch - as_of.epoch) / SECONDS_PER_DAY
    sure, likely, daily = left.p10 or 0.0, left.p50, use.p50 or 0.0
    return [
        Warning(
            "full-before-dump" if fills else "out-before-fill", one.supply, plan.chance_fails_before,
            at=None if likely is None else as_of.epoch + likely * SECONDS_PER_DAY,
            before=plan.at.epoch,
            amount=max(0.0, until - sure) * daily,
            per_day=daily * min(1.0, sure / until) if until > 0 else None,
            place=plan.place if plan.works < 1.0 else "",
        )
    ]  # fmt: skip
