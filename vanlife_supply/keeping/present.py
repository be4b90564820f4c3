"""What time it is for the log, and what lies ahead of it."""

from __future__ import annotations

from collections.abc import Iterable

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.keeping import ids
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import TOO_FAR_AHEAD_S, Moment, at


def now_of(book: Logbook) -> Moment:
    """The time in the zone of the rig; a rehearsal's own now where the log has one."""
    return told_here(book, ids.now(stands_in=book.setting("now")))


def told_here(book: Logbook, when: Moment) -> Moment:
    """`when`, told in the zone of the rig that stands; as it is while there is none."""
    loaded = book.arrangements()
    return at(when.epoch, loaded[-1].rig.zone) if loaded else when


def is_behind(book: Logbook, now: Moment) -> bool:
    """Whether the clock is well before what was recorded last: it was wrong then, or is now."""
    return book.last_recorded() - now.epoch > TOO_FAR_AHEAD_S


def plans(book: Logbook, now: Moment, kind: str = m.PLANNED) -> tuple[Entry, ...]:
    """The planned dumps and fills, or the limits, that still lie ahead, soonest first; of limits the last of a word."""
    return standing(book.entries(now.epoch), now, kind)


def standing(entries: Iterable[Entry], now: Moment, kind: str) -> tuple[Entry, ...]:
    """`plans` of these entries."""
    kept: list[Entry] = []
    for e in entries:
        if e.kind == kind and (e.to == m.DROP or kind == m.LIMIT):
            kept = [k for k in kept if (k.word, k.supply) != (e.word, e.supply)]
        if e.kind == kind and e.to != m.DROP and e.until and (e.to or e.until.epoch > now.epoch):
            kept.append(e)
    return tuple(sorted(kept, key=lambda e: e.until.epoch if e.until else 0.0))
