"""Entries as rows of the entry table, and back."""

from __future__ import annotations

from typing import Any

from vanlife_supply.entry.model import Entry
from vanlife_supply.moment import Moment

COLUMNS = (
    "id, kind, epoch, utc_offset, zone, supply, amount, unit, to_level, method, container, into_container, "
    "until_epoch, until_offset, until_zone, word, pets, paid, place, note, by_whom, typed, slack_h, recorded, "
    "questioned, settled, replaces, act"
)
"""What `entry_of` reads and `row_of` writes, in this order."""
PLACES = ", ".join("?" for _ in COLUMNS.split(", "))

STANDS = "act NOT IN (SELECT act FROM undone) ORDER BY act"
"""The condition of rows that belong to acts: those not taken back, the newest last."""

Row = tuple[Any, ...]


def row_of(entry: Entry, act: str) -> Row:
    """The values of COLUMNS for an entry recorded with `act`."""
    end = entry.until
    return (
        entry.id, entry.kind, entry.at.epoch, entry.at.offset, entry.at.zone, entry.supply, entry.amount, entry.unit,
        entry.to, entry.method, entry.container, entry.into,
        end and end.epoch, end and end.offset, end and end.zone,
        entry.word, entry.pets, entry.paid, entry.place, entry.note, entry.by, entry.typed, entry.slack_h,
        entry.recorded, entry.questioned, entry.settled, entry.replaces, act,
    )  # fmt: skip


def entry_of(row: Row) -> Entry:
    """A row in the order of COLUMNS → Entry."""
    (
        ident, kind, epoch, offset, zone, supply, amount, unit, to, method, container, into,
        end, end_offset, end_zone, word, pets, paid, place, note, by, typed, slack_h, recorded,
        questioned, settled, replaces, _,
    ) = row  # fmt: skip
    until = None if end is None else Moment(end, end_offset, end_zone)
    return Entry(
        ident, kind, Moment(epoch, offset, zone), supply, amount, unit, to, method, container, into, until, word, pets,
        paid, place, note, by, typed, slack_h, recorded, questioned, settled, replaces,
    )  # fmt: skip


def entries_of(rows: list[Row]) -> tuple[Entry, ...]:
    """Many rows at once."""
    return tuple(map(entry_of, rows))
