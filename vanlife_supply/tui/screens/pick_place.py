"""Choosing a known place for a stay of a trip: least extra road first, with what it gives and what was paid there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import ClassVar

from vanlife_supply.actions import PICK, with_keys
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.resupply import atlas
from vanlife_supply.resupply.along import Nearby, nearby
from vanlife_supply.trip.model import Place, Trip
from vanlife_supply.tui.board import NARROW
from vanlife_supply.tui.lines import BLANK, Line, cell, wrap
from vanlife_supply.tui.screens.rows import RowsScreen
from vanlife_supply.wording.places import far
from vanlife_supply.wording.trip_building import place_words

Found = Sequence[Nearby]


class PickScreen(RowsScreen[Found]):
    """A list with a cursor; when it is left `picked` is the place taken, `types_one` that another is wanted."""

    screen_name: ClassVar[str] = PICK
    keys_wait: ClassVar[bool] = True
    opens: ClassVar[str] = "pick"
    waiting: ClassVar[str] = "Measuring how far the places are ..."

    def __init__(self, trip: Trip, stay: int) -> None:
        super().__init__()
        self._trip, self._stay = trip, stay
        self.picked: Place | None = None
        self.types_one = False

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Found]:
        """The places that give something."""
        yield nearby(atlas(book, now), self._trip, self._stay, self.own.rig)

    def heading(self) -> str:
        """What it is for."""
        return f"A place for {self._trip.stays[self._stay - 1].name or f'stay {self._stay}'}"

    def body(self, found: Found, width: int) -> list[Line]:
        """A line a place, two where it is narrow."""
        if not found:
            none = with_keys(" No place known gives or takes anything yet: {type_place} types one.")
            return wrap(none, width - 1, "", " ")
        self.keep_within(len(found))
        return [each for i, one in enumerate(found) for each in self._lines_of(one, i, width)]

    def _lines_of(self, one: Nearby, index: int, width: int) -> list[Line]:
        road = f"{far(one.road, self.own.rig.units)} extra" if one.road else "how far is not known"
        given = place_words(one.stop, self.own.rig).partition(", ")[2]
        head = f"{self.arrow(index)}{cell(one.stop.name, 24)}"
        texts = [f"{head} {cell(road, 21)} {given}"] if width >= NARROW else [head, f"   {road}, {given}"]
        return [self.marked(text, index, width) for text in texts]

    def foot(self, width: int) -> list[Line]:
        """The place under the cursor in full."""
        if self._message or not self._found or self._fault:
            return super().foot(width)
        one = self._found[min(self._at, len(self._found) - 1)]
        told = place_words(replace(one.stop, road=one.road), self.own.rig)
        return [BLANK, *wrap(f" {told}.", width - 1, "dim", " ")[:3]]

    def do_pick(self) -> None:
        """The place under the cursor goes into the trip."""
        if self._found:
            self.picked = self._found[self._at].stop
            self.dismiss()

    def do_type_place(self) -> None:
        """One that is not in the list."""
        self.types_one = True
        self.dismiss()
