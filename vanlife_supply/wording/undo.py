"""What an undo took or brought back, in words."""

from __future__ import annotations

from vanlife_supply import keeping
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Rig
from vanlife_supply.wording.entries import back_again, redone, taken_out, undone


def told_of_undo(book: Logbook, before: Rig | None, entries: tuple[Entry, ...], now: Moment, *, again: bool) -> str:
    """What the last act of `book`, an undo (`again`: of an undo) that concerned `entries`, did; `before`: the rig then."""
    rig = book.rig() if before else None
    if before and rig and rig != before:
        from vanlife_supply.wording.rig_change import rig_change

        level = "as full as was said" if entries else ""
        first, then = (before, rig) if again else (rig, before)
        return f"{'Changed again' if again else 'Taken back'}: {rig_change(first, then, level)}"
    if entries:
        taken, brought = (back_again, taken_out) if keeping.of_a_void(book) else (undone, redone)
        return (brought if again else taken)(entries, book.rig(), now)
    from vanlife_supply.logbook.places import changes_of_undone  # only who undoes something about places pays for it
    from vanlife_supply.wording.places import taken_back

    return taken_back(*changes_of_undone(book), again=again)
