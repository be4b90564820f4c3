"""What else stands aboard when the one in use is empty, by the word of the log. No forecast is needed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.entry.states import Replay
from vanlife_supply.rig.model import Arrangement


@dataclass(frozen=True, slots=True)
class Standing:
    """Labels: the container in use, the one opened after it ("" where only a can to fill from is left), and all others
    that hold something."""

    in_use: str
    then: str
    others: tuple[str, ...]


def standing(entries: Iterable[Entry], arrangements: Sequence[Arrangement]) -> dict[str, Standing]:
    """By supply that runs out, where more stands aboard than the one in use; `entries` oldest first."""
    shelves = Replay.over(entries, arrangements).shelves
    return {name: found for name, shelf in shelves.items() if not shelf.fills and (found := _standing(shelf)).others}


def _standing(shelf: Shelf) -> Standing:
    others = [v for v in shelf.vessels if v is not shelf.open and v.level is not None and not v.spent and not v.aside]
    after = shelf.copy()
    after.open_next()
    then = after.open.spec.label if after.in_use != shelf.in_use else ""
    return Standing(shelf.open.spec.label, then, tuple(v.spec.label for v in others))


def one_out(said: Typed, beside: Standing) -> Typed:
    """The one in use is empty, as the event that leaves the others as they are: on to the next, or that one ran out."""
    if beside.then:
        return replace(said, kind=m.NEXT, into=beside.then)
    return replace(said, container=beside.in_use)
