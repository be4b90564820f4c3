"""Who is aboard beyond those who live there, as far as the log says: guests whose going nobody has noted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import Rig


def living(entries: Sequence[Entry], rig: Rig) -> float:
    """How many live aboard, guests left out: the last count that was not of guests, else the rig's."""
    said = (e.amount for e in reversed(entries) if e.kind == m.PEOPLE and e.until is None and e.word != m.GUEST)
    return next((amount for amount in said if amount is not None), rig.people)


def visited(entries: Sequence[Entry], rig: Rig, now: float) -> bool:
    """Whether guests are aboard now, as noted."""
    last = next((e for e in reversed(entries) if e.kind == m.PEOPLE and e.at.epoch <= now), None)
    here = last is not None and (last.until is None or last.until.epoch > now)
    return last is not None and here and (last.amount or 0.0) > living(entries, rig)


def counted(said: Typed, entries: Sequence[Entry], rig: Rig) -> Typed:
    """Guests on top of who lives aboard (`+2`; `+0` when they are gone) as the number in all; anything else as it is."""
    more = said.amount.removeprefix("+")
    if said.kind != m.PEOPLE or more == said.amount or not more.isdecimal():
        return said
    return replace(said, amount=f"{living(entries, rig) + int(more):.0f}")


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
    lives = living(counts[:-1], rig)
    if (last.amount or 0.0) <= lives:
        return None
    if last.until is not None:
        over = now - last.until.epoch
        return Guests(last, last.amount or 0.0, lives, True) if 0 <= over <= ASK_UNTIL_DAYS * SECONDS_PER_DAY else None
    old = now - last.at.epoch >= ASK_AFTER_DAYS * SECONDS_PER_DAY
    return Guests(last, last.amount or 0.0, lives, False) if old else None
