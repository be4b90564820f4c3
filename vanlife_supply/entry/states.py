"""Container bookkeeping: what the log says is in which jug, and what that says of the whole supply.

The log speaks of containers (this one ran out, the next was opened, poured from the can), the habit of whole
supplies. `Replay` folds entries in order of their time and hands back `Evidence`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import inf

from vanlife_supply.entry.acts import ACTS, TOTAL_ERROR
from vanlife_supply.entry.books import reset
from vanlife_supply.entry.evidence import ADDED, LOOKED, Evidence
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.said import Said
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.rig.model import Arrangement, Rig


class Replay:
    """Folds a log, in order of time, over the containers of the rig that stood at each time."""

    def __init__(self) -> None:
        self.since = -inf
        self.rig: Rig | None = None
        self.shelves: dict[str, Shelf] = {}

    @classmethod
    def over(cls, entries: Iterable[Entry], arrangements: Sequence[Arrangement]) -> Replay:
        """All entries folded, oldest first, each over the rig of its time."""
        replay = cls()
        for entry in entries:
            replay.arrange(arrangements, entry.at.epoch)
            replay.fold(entry)
        return replay

    def copy(self) -> Replay:
        """An independent replay."""
        twin = Replay()
        twin.since, twin.rig = self.since, self.rig
        twin.shelves = {name: shelf.copy() for name, shelf in self.shelves.items()}
        return twin

    def arrange(self, arrangements: Sequence[Arrangement], at: float) -> list[tuple[str, Evidence]]:
        """Takes up the rig that stands at `at`; containers of the same label carry on, others start unknown.

        What that says of a supply known before: so much more or less of it is aboard; without the one in use only what
        is sealed.
        """
        since, rig = _standing(arrangements, at)
        if not self.is_due(arrangements, at):
            return []
        told: list[tuple[str, Evidence]] = []
        shelves: dict[str, Shelf] = {}
        for supply in rig.supplies:
            old = self.shelves.get(supply.name)
            shelf = Shelf.carried(supply, rig.of(supply.name), old)
            if old is not None:
                shelf.anchor_at, shelf.anchor_total, shelf.came = old.anchor_at, old.anchor_total, old.came
            labels = {name for spec in shelf.specs for name in spec.names}
            if old is not None and old.known and old.open.spec.label not in labels:
                told.append((supply.name, reset(shelf, since)))
            elif old is not None and old.known and old.specs != shelf.specs:
                came = shelf.total() - old.total()
                shelf.came += came
                told.append((supply.name, Evidence(since, ADDED, after=came, after_sd=TOTAL_ERROR * abs(came))))
            shelves[supply.name] = shelf
        self.since, self.rig, self.shelves = since, rig, shelves
        return told

    def is_due(self, arrangements: Sequence[Arrangement], at: float) -> bool:
        """Whether another rig stands at `at` than the one taken up last."""
        return self.rig is None or _standing(arrangements, at)[0] != self.since

    def fold(self, entry: Entry) -> list[Evidence]:
        """What the entry says of its supply; [] for entries that say nothing of a level."""
        shelf = self.shelves.get(entry.supply)
        act = ACTS.get(entry.kind)
        if shelf is None or act is None or self.rig is None:
            return []
        unknown, known, one = shelf.unknown, shelf.known, shelf.open.level
        told = act(shelf, entry, Said(self.rig, shelf, entry))
        added = known and one is not None and all(each.what == ADDED or each.is_hint for each in told)
        if told and shelf.unknown < unknown and len(shelf.vessels) > 1 and not added:
            # Something was never spoken of before: the total moved because we know more, not because it was used.
            told = [reset(shelf, entry.at.epoch, told[-1].size if told[-1].what in LOOKED else 0.0)]
        if entry.questioned and not entry.settled:
            told = [replace(one, doubted=True) for one in told]
        return told


def _standing(arrangements: Sequence[Arrangement], at: float) -> tuple[float, Rig]:
    """Since when a rig stands at `at` (the first one: always), and that rig."""
    index = max((i for i, a in enumerate(arrangements) if a.since <= at), default=0)
    return arrangements[index].since if index else -inf, arrangements[index].rig
