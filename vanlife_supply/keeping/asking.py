"""What was typed as a checked entry, not yet kept, asked about where it is odd."""

from __future__ import annotations

from dataclasses import replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, read_when
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, PROPANE, Rig

SAME_FILL_S = 20 * 60.0
SAME_FILL_SHARE = 0.10
"""Two fills this close in time and amount are asked about: common practice, no source."""
LOOKED_BACK, LOOKED_BACK_S = 60, 30 * 86_400.0
"""Entries of a supply, and seconds, that tell what can be in it: the last fill to the top, dump or look is among them."""
MOST_READ = 1000
"""Entries of a supply read back for what was last said of one of its containers."""
SAME_FILL = "the same fill as one just before"


def noted(book: Logbook, said: Typed, now: Moment) -> Entry:
    """What was typed → a checked entry, not yet kept: with the rig of its own time, and asked about where odd."""
    rig = _rig_of_its_time(book, said, now)
    entry = build(with_size(book, said, rig), rig, now)
    if entry.to == m.DROP:
        _refuse_nothing_to_drop(book, entry, now)
    if entry.kind == m.ASIDE and entry.word != m.BACK:
        _refuse_aside_already(book, entry)
    return _impossible_asked(book, _same_fill_asked(book, entry, rig))


def with_size(book: Logbook, said: Typed, rig: Rig) -> Typed:
    """A use of which only what it was for is said, with the size it usually has; guests as the number aboard in all."""
    open_use = said.kind == m.USE and (not said.amount or said.amount.endswith("times"))
    guests = said.kind == m.PEOPLE and said.amount.startswith("+")
    if not (open_use or guests):
        return said
    from vanlife_supply.entry.sizes import sized

    return sized(said, book.entries(), rig)


def _rig_of_its_time(book: Logbook, said: Typed, now: Moment) -> Rig:
    """The rig that stood when it happened; words of time are read in the zone of now."""
    rig = book.rig()
    if not said.at or said.kind in (m.LIMIT, m.PLANNED) or len(book.arrangements()) < 2:
        return rig
    return replace(book.rig(read_when(said.at, now, rig.zone).moment.epoch), zone=rig.zone)


def _same_fill_asked(book: Logbook, entry: Entry, rig: Rig) -> Entry:
    if entry.kind != m.FILL or entry.amount is None or entry.questioned:
        return entry
    near = book.entries(entry.at.epoch + SAME_FILL_S, entry.at.epoch - SAME_FILL_S)
    return replace(entry, questioned=SAME_FILL) if any(same_fill(entry, other, rig) for other in near) else entry


def _impossible_asked(book: Logbook, entry: Entry) -> Entry:
    """More filled in than fits, more dumped than is there, a weight risen by itself, run out or the next one
    opened too soon: judged by the last entries of that supply, and by whether the heater was on or guests were aboard."""
    sized = entry.kind in (m.FILL, m.DUMP, m.READING) and entry.amount is not None
    if entry.questioned or not (sized or entry.kind in (m.RAN_OUT, m.NEXT)):
        return entry
    from vanlife_supply.entry.room import doubts

    now = entry.at.epoch
    before = list(book.entries(now, now - LOOKED_BACK_S, entry.supply, LOOKED_BACK))
    if entry.supply in (PROPANE, FRESH):
        spells = [e for e in book.entries(now, now - LOOKED_BACK_S) if e.kind in (m.CONDITION, m.PEOPLE)]
        before = sorted([*before, *spells], key=m.order)
    return replace(entry, questioned=doubts([*before, entry], book.arrangements())[-1])


def same_fill(one: Entry, other: Entry, rig: Rig) -> bool:
    """Whether two entries may be one fill noted twice: same place to put it, within 20 minutes and 10 %."""
    if other.kind != m.FILL or one.supply != other.supply or one.container != other.container:
        return False
    if one.said is None or other.said is None or abs(one.at.epoch - other.at.epoch) > SAME_FILL_S:
        return False
    amounts = sorted(rig.canonical(e, one.supply, one.container) for e in (one.said, other.said))
    return amounts[1] - amounts[0] <= SAME_FILL_SHARE * amounts[1]


def _refuse_nothing_to_drop(book: Logbook, entry: Entry, now: Moment) -> None:
    said = [e for e in book.entries(now.epoch) if (e.kind, e.word, e.supply) == (entry.kind, entry.word, entry.supply)]
    if not said or said[-1].to == m.DROP:
        raise Refusal(f"There is no {'plan' if entry.kind == m.PLANNED else 'limit'} '{entry.word}' to drop.")


def _refuse_aside_already(book: Logbook, entry: Entry) -> None:
    before = book.entries(entry.at.epoch, supply=entry.supply, most=MOST_READ)
    said = [e for e in before if e.kind == m.ASIDE and e.container == entry.container]
    if said and said[-1].word != m.BACK:
        raise Refusal(f"{entry.container} is set aside already: back {entry.container} brings it back.")
