"""Plans that have come and gone: was it done?"""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry

ASK_AFTER_DAYS, ASK_UNTIL_DAYS = 0.5, 3.0
"""A plan means a day rather than an hour; it is asked about only while it is fresh in mind."""
EARLY_DAYS = 1.0
"""What is noted so long before a plan was done for it."""


def plan_to_ask(entries: Sequence[Entry], now: float) -> Entry | None:
    """The plan without repeats that went by lately with nothing noted of it; None where there is none.

    `entries` in order of time; `now` epoch seconds.
    """
    last = {(e.word, e.supply): e for e in entries if e.kind == m.PLANNED}
    for plan in last.values():
        if plan.to or plan.until is None:
            continue
        due = plan.until.epoch
        past = (now - due) / SECONDS_PER_DAY
        if ASK_AFTER_DAYS <= past <= ASK_UNTIL_DAYS and not any(
            e.kind == plan.word and e.supply == plan.supply and e.at.epoch >= due - EARLY_DAYS * SECONDS_PER_DAY
            for e in entries
        ):
            return plan
    return None
