"""Choosing a known place for a stay of a trip: least extra road first, with what it gives and what was paid there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import ClassVar

from vanlife_supply.actions import PICK
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.resupply import atlas
from vanlife_supply.resupply.along import Nearby, nearby
from vanlife_supply.trip.model import Place, Trip
from vanlife_supply.tui.board import NARROW
from vanlife_supply.tui.lines import BLANK, Line, Span, cell, clip, wrap
from vanlife_supply.tui.screens.live import LiveScreen
from vanlife_supply.wording.places import far
from vanlife_supply.wording.trip_building import place_words

Found = Sequence[Nearby]


class PickScreen(LiveScreen[Found]):
    """A list with a cursor; when it is left `picked` is the place taken, `types_one` that another is wanted."""

    screen_name: ClassVar[str] = PICK
    keys_wait: ClassVar[bool] = True
    waiting: ClassVar[str] = "Measuring how far the places are ..."

    def __init__(self, trip: Trip, stay: int) -> None:
        super().__init__()
        self._trip, self._stay = trip, stay
        self._at = 0
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
            return wrap(" No place known gives or takes anything yet: t types one.", width - 1, "", " ")
        self._at = max(0, min(self._at, len(found) - 1))
        return [each for i, one in enumerate(found) for each in self._lines_of(one, i, width)]

    def _lines_of(self, one: Nearby, index: int, width: int) -> list[Line]:
        here = index == self._at
        road = f"{far(one.road, self.own.rig.units)} extra" if one.road else "how far is not known"
        given = place_words(one.stop, self.own.rig).partition(", ")[2]
        head = f"{'→' if here else ' '}{cell(one.stop.name, 24)}"
        texts = [f"{head} {cell(road, 21)} {given}"] if width >= NARROW else [head, f"   {road}, {given}"]
        return [(Span(clip(text, width).ljust(width if here else 0), "cursor" if here else "", f"row({index})"),)
                for text in texts]  # fmt: skip

    def window(self, body: list[Line], room: int) -> list[Line]:
        """The part around the cursor."""
        marked = next((i for i, each in enumerate(body) if each and each[0].look == "cursor"), 0)
        top = max(0, min(marked - room // 2, len(body) - room))
        return body[top : top + room]

    def foot(self, width: int) -> list[Line]:
        """The place under the cursor in full."""
        if self._message or not self._found or self._fault:
            return super().foot(width)
        one = self._found[min(self._at, len(self._found) - 1)]
        told = place_words(replace(one.stop, road=one.road), self.own.rig)
        return [BLANK, *wrap(f" {told}.", width - 1, "dim", " ")[:3]]

    def do_up(self) -> None:
        """The place above."""
        self._at -= 1

    def do_down(self) -> None:
        """The place below."""
        self._at += 1

    def do_row(self, index: int) -> None:
        """A tap: to that place, and a second one takes it."""
        if index == self._at:
            self.do_pick()
        self._at = index

    def do_pick(self) -> None:
        """The place under the cursor goes into the trip."""
        if self._found:
            self.picked = self._found[self._at].stop
            self.dismiss()

    def do_type_place(self) -> None:
        """One that is not in the list."""
        self.types_one = True
        self.dismiss()
