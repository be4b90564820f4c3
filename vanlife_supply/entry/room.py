"""Fills that are larger than the room there can have been: a forgotten entry, or a slip of the pen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.entry.states import ADDED, USED, Replay
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Arrangement, Container

NO_ROOM = "more than there was room for"
FASTEST_DAYS = 2.0
"""Nobody is taken to use up all that fits faster than this: common practice, no source."""
MARGIN = 0.1
"""A share of the brim that levels and amounts may be off together: common practice, no source."""


def overfull(entries: Iterable[Entry], arrangements: Sequence[Arrangement]) -> list[bool]:
    """For each entry of a log, in order of time, whether it is a fill larger than the room there can have been.

    What was used since the level was last known is granted generously; what was never known raises no doubt.
    """
    replay, since = Replay(), dict[tuple[str, str], float]()
    found = []
    for entry in entries:
        replay.arrange(arrangements, entry.at.epoch)
        shelf = replay.shelves.get(entry.supply)
        found.append(shelf is not None and _too_much(entry, shelf, replay, since))
        before = _levels(shelf)
        told = replay.fold(entry)
        at = entry.at.epoch
        if any(one.what not in (ADDED, USED) for one in told):
            since[entry.supply, ""] = at
        since.update(((entry.supply, label), at) for label, level in _levels(shelf).items() if level != before[label])
    return found


def _levels(shelf: Shelf | None) -> dict[str, float | None]:
    return {} if shelf is None else {v.spec.label: v.level for v in shelf.vessels}


def _too_much(entry: Entry, shelf: Shelf, replay: Replay, since: dict[tuple[str, str], float]) -> bool:
    if entry.kind != m.FILL or entry.said is None or entry.questioned or replay.rig is None:
        return False
    named = shelf.named(entry.container) if entry.container else None
    held = [named] if named else [v for v in shelf.vessels if not v.aside]
    known_at = since.get((entry.supply, named.spec.label if named else ""))
    if known_at is None or any(v.level is None for v in held):
        return False
    specs: list[Container] = [v.spec for v in held]
    brim = sum(c.capacity for c in specs)
    room = brim - sum(v.held for v in held)
    used = brim * (entry.at.epoch - known_at) / SECONDS_PER_DAY / FASTEST_DAYS
    try:
        amount = replay.rig.canonical(entry.said, entry.supply, named.spec.label if named else "")
    except Refusal:
        return False
    return amount > min(brim, room + used) + MARGIN * brim
