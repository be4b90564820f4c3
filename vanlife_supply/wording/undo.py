"""What an undo took or brought back, in words."""

from __future__ import annotations

from vanlife_supply import keeping
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.wording.entries import back_again, redone, taken_out, undone


def told_of_undo(book: Logbook, entries: tuple[Entry, ...], now: Moment, *, again: bool) -> str:
    """What the last act of `book`, an undo (`again`: of an undo) that concerned `entries`, did."""
    if entries:
        taken, brought = (back_again, taken_out) if keeping.of_a_void(book) else (undone, redone)
        return (brought if again else taken)(entries, book.rig(), now)
    from vanlife_supply.logbook.places import changes_of_undone  # only who undoes something about places pays for it
    from vanlife_supply.wording.places import taken_back

    return taken_back(changes_of_undone(book), again=again)
