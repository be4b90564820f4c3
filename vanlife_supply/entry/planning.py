"""Plans that have come and gone: was it done?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.moment import Moment, occurrences

ASK_AFTER_DAYS, ASK_UNTIL_DAYS = 0.5, 3.0
"""A plan means a day rather than an hour; it is asked about only while it is fresh in mind."""
EARLY_DAYS = 1.0
"""What is noted so long before a plan was done for it."""


def plan_to_ask(entries: Sequence[Entry], now: float) -> Entry | None:
    """The plan that went by lately with nothing noted of it, the newest; None where there is none.

    Of one that repeats: as planned for the last time that went by. `entries` in order of time; `now` epoch seconds.
    """
    newest: dict[tuple[str, str], Entry] = {}
    for plan in _standing(entries):
        for due in _passed(plan, now):
            before = newest.get((plan.word, plan.supply))
            if before is None or before.until is None or before.until.epoch < due.epoch:
                newest[plan.word, plan.supply] = replace(plan, until=due)
    missed = [plan for plan in newest.values() if not _done(plan, entries)]
    return max(missed, key=lambda plan: plan.until.epoch if plan.until else 0.0, default=None)


def asked_as(plan: Entry) -> str:
    """What is remembered of having asked about it: the plan and the time that went by."""
    return f"{plan.id} {plan.until.iso() if plan.until else ''}"


def _standing(entries: Sequence[Entry]) -> list[Entry]:
    """The plans not dropped, past ones too."""
    kept: list[Entry] = []
    for e in (e for e in entries if e.kind == m.PLANNED):
        if e.to == m.DROP:
            kept = [k for k in kept if (k.word, k.supply) != (e.word, e.supply)]
        else:
            kept.append(e)
    return kept


def _passed(plan: Entry, now: float) -> list[Moment]:
    """The times of a plan that are long enough ago to be asked about, and still fresh in mind."""
    if plan.until is None:
        return []
    since, until = (now - days * SECONDS_PER_DAY for days in (ASK_UNTIL_DAYS, ASK_AFTER_DAYS))
    return occurrences(plan.until, plan.to, since, until)


def _done(plan: Entry, entries: Sequence[Entry]) -> bool:
    due = plan.until.epoch if plan.until else 0.0
    early = due - EARLY_DAYS * SECONDS_PER_DAY
    return any((e.kind, e.supply) == (plan.word, plan.supply) and e.at.epoch >= early for e in entries)
