"""Who is aboard beyond those who live there, as far as the log says: guests whose going nobody has noted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import Rig

ASK_AFTER_DAYS, ASK_UNTIL_DAYS = 7.0, 3.0
"""A guest without a date is asked about after a week; one whose date is over only while it is fresh in mind."""


@dataclass(frozen=True, slots=True)
class Guests:
    """`entry` brought `aboard` in all where `lives` live; `over` when it said until when and that is past."""

    entry: Entry
    aboard: float
    lives: float
    over: bool


def guests_to_ask(entries: Sequence[Entry], rig: Rig, now: float) -> Guests | None:
    """The last count of people, where it raised the number aboard and their going is in doubt; else None."""
    counts = [e for e in entries if e.kind == m.PEOPLE and e.amount is not None]
    if not counts:
        return None
    last = counts[-1]
    lives = next((e.amount for e in reversed(counts[:-1]) if e.until is None), rig.people) or 0.0
    if (last.amount or 0.0) <= lives:
        return None
    if last.until is not None:
        over = now - last.until.epoch
        return Guests(last, last.amount or 0.0, lives, True) if 0 <= over <= ASK_UNTIL_DAYS * SECONDS_PER_DAY else None
    old = now - last.at.epoch >= ASK_AFTER_DAYS * SECONDS_PER_DAY
    return Guests(last, last.amount or 0.0, lives, False) if old else None
