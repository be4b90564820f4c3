"""What a caution at the act has to know of the log."""

from __future__ import annotations

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.rig.weight import Load

MOST_READ = 1000
"""Entries of a supply read back for whether something was filled at a place before."""


def laden(book: Logbook, entry: Entry) -> Load | None:
    """What the supplies weigh with `entry`, where it brings some aboard and the owner said what they may weigh."""
    if book.rig().payload is None:
        return None
    from vanlife_supply.entry.laden import ENOUGH
    from vanlife_supply.entry.laden import laden as weighed

    before = [e for e in _lately(book, entry.at.epoch, ENOUGH) if e.id != entry.id]
    return weighed(before, entry, book.arrangements())


def strange(book: Logbook, entry: Entry) -> bool:
    """Whether it fills at a place where nothing of that supply was ever filled, as far back as is read."""
    if not entry.place:
        return False
    from vanlife_supply.entry import prices

    before = book.entries(entry.at.epoch, supply=entry.supply, most=MOST_READ)
    return prices.strange(entry, [e for e in before if e.id != entry.id])


def load_aboard(book: Logbook, now: Moment) -> Load | None:
    """What the supplies weigh now, where the owner said what they may weigh."""
    if book.rig().payload is None:
        return None
    from vanlife_supply.entry.laden import ENOUGH, at_last

    return at_last(_lately(book, now.epoch, ENOUGH), now.epoch, book.arrangements())


def _lately(book: Logbook, until: float, most: int) -> list[Entry]:
    """The last entries of each supply, oldest first."""
    return sorted((e for s in book.rig().supplies for e in book.entries(until, supply=s.name, most=most)), key=m.order)
