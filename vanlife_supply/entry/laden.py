"""What the supplies weigh by the word of the log: the last known levels, and usual use since. No forecast is needed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.entry.states import Replay
from vanlife_supply.rig.model import Arrangement
from vanlife_supply.rig.weight import Load, load_of

BRINGS = (m.FILL, m.EXCHANGE)
"""What makes the vehicle heavier at once."""


def laden(entries: Iterable[Entry], entry: Entry, arrangements: Sequence[Arrangement]) -> Load | None:
    """What is aboard once `entry` is done; `entries`, oldest first, are those before it.

    None where nobody said what it may weigh, or where the entry brings nothing aboard.
    """
    if entry.kind not in BRINGS or not arrangements or arrangements[-1].rig.payload is None:
        return None
    shelves = Replay.over([*(e for e in entries if e.at.epoch <= entry.at.epoch), entry], arrangements).shelves
    held = {name: _level(shelf, entry.at.epoch) for name, shelf in shelves.items()}
    return load_of(held, arrangements[-1].rig)


def _level(shelf: Shelf, at: float) -> float | None:
    if not shelf.known:
        return None
    usual = max(0.0, (shelf.expected(at) or 0.0) - shelf.drawn)
    return min(shelf.total() + usual, shelf.top) if shelf.fills else max(shelf.total() - usual, 0.0)
