"""What the supplies weigh by the word of the log: the last known levels, and usual use since. No forecast is needed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.entry.states import Replay
from vanlife_supply.rig.model import Arrangement, Rig
from vanlife_supply.rig.presets import FULL_LASTS_DAYS
from vanlife_supply.rig.weight import Load, load_of

BRINGS = (m.FILL, m.EXCHANGE)
"""What makes the vehicle heavier at once."""
ENOUGH = 300
"""So many entries of a supply tell what is in it, and how fast it usually goes."""


def laden(entries: Sequence[Entry], entry: Entry, arrangements: Sequence[Arrangement]) -> Load | None:
    """What is aboard once `entry` is done; `entries`, oldest first, are those before it.

    None where nobody said what it may weigh, or where the entry brings nothing aboard.
    """
    if entry.kind not in BRINGS:
        return None
    return at_last([*(e for e in entries if e.at.epoch <= entry.at.epoch), entry], entry.at.epoch, arrangements)


def at_last(entries: Sequence[Entry], at: float, arrangements: Sequence[Arrangement]) -> Load | None:
    """What is aboard at `at`, all entries, oldest first, being before it; None where nobody said what it may weigh."""
    if not arrangements or arrangements[-1].rig.payload is None:
        return None
    return aboard(Replay.over(_lately(entries), arrangements).shelves, at, arrangements[-1].rig)


def aboard(shelves: Mapping[str, Shelf], at: float, rig: Rig) -> Load | None:
    """What the containers hold together at `at`; None where nobody said what it may weigh."""
    return None if rig.payload is None else load_of({name: _level(shelf, at) for name, shelf in shelves.items()}, rig)


def _lately(entries: Sequence[Entry]) -> list[Entry]:
    seen: Counter[str] = Counter()
    found = []
    for entry in reversed(entries):
        seen[entry.supply] += 1
        if entry.supply and seen[entry.supply] <= ENOUGH:
            found.append(entry)
    return found[::-1]


def _level(shelf: Shelf, at: float) -> float | None:
    if not shelf.known:
        return None
    lasts = shelf.supply.lasts or FULL_LASTS_DAYS.get(shelf.supply.name)
    a_day = shelf.a_day or (shelf.brim / lasts if lasts else 0.0)
    days = 0.0 if shelf.anchor_at is None else max(at - shelf.anchor_at, 0.0) / SECONDS_PER_DAY
    usual = max(0.0, a_day * days - shelf.drawn)
    return min(shelf.total() + usual, shelf.top) if shelf.fills else max(shelf.total() - usual, 0.0)
