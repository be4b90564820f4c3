"""Places: the list by what is needed next, and one of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import ClassVar, Literal

from vanlife_supply.actions import PLACE, PLACES, key_name, key_of, on_screen, with_keys
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.keeping import places as kept
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.place.model import WHATS, Confirmation, Place, What
from vanlife_supply.place.stay import read_rules
from vanlife_supply.refusal import Refusal
from vanlife_supply.resupply import Atlas, Row, Staying, atlas, clock_at, may_be, needed, rows
from vanlife_supply.tui.board import NARROW, key_lines
from vanlife_supply.tui.lines import BLANK, Line, Span, cell, line, wrap
from vanlife_supply.tui.screens.ask import AskScreen
from vanlife_supply.tui.screens.live import LiveScreen
from vanlife_supply.tui.screens.rows import RowsScreen
from vanlife_supply.tui.screens.saying import said
from vanlife_supply.wording.entries import entry_full
from vanlife_supply.wording.names import printable
from vanlife_supply.wording.place_page import answer_words, ask_what, detail, road_words, sections
from vanlife_supply.wording.places import MAP_FIRST, place_name, what_word

_NO_LIMIT = ("none", "no limit", "0")
_ABOUT = 60
"""Rows worked out on either side of the cursor: more than any screen shows."""


@dataclass(frozen=True, slots=True)
class Listed:
    """The list as read."""

    known: Atlas
    rows: Sequence[Row]
    only: What | None
    roads: dict[str, str] = field(default_factory=dict)
    """Place → how far in words, worked out when first shown."""


class PlacesScreen(RowsScreen[Listed]):
    """A list with a cursor; the place under it in full below."""

    screen_name: ClassVar[str] = PLACES
    waiting: ClassVar[str] = "Reading the places ..."
    opens: ClassVar[str] = "open_place"

    def __init__(self) -> None:
        super().__init__()
        self._each = 1
        """Lines a place."""
        self._only: What | None = None

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Listed]:
        """The places in order."""
        known = atlas(book, now)
        forecast, only = self.own.forecast, self._only
        yield Listed(known, rows(known, needed(forecast) if forecast else (), only), only)

    def heading(self) -> str:
        """How many, and for what."""
        if self._found is None:
            return "Places"
        return f"Places{f' for {what_word(self._found.only)}' if self._found.only else ''}: {len(self._found.rows)}"

    def body(self, found: Listed, width: int) -> list[Line]:
        """A line a place."""
        if not found.rows:
            told = "No place known gives or takes that."
            if not found.known.places:
                told = with_keys(f"No place is known yet. {{add_place}} keeps the place where you are. {MAP_FIRST}")
            return wrap(f" {told}", width - 1, "", " ")
        self._each = 1 if width >= NARROW else 2
        self.keep_within(len(found.rows))
        # Only the rows about the cursor are worked out: a whole region may be known.
        first = max(0, self._at - _ABOUT)
        near = found.rows[first : self._at + _ABOUT]
        return [each for i, row in enumerate(near, first) for each in self._row(found, row, i, width)]

    def _row(self, found: Listed, row: Row, index: int, width: int) -> list[Line]:
        """Name, distance, the answer that matters: side by side, or below the name where it is narrow."""
        told = answer_words(found.known.answer(row.place, row.what), self.own.now())
        if row.place.id not in found.roads:
            found.roads[row.place.id] = road_words(row.place, found.known, self._units)
        name, far = printable(place_name(row.place)), found.roads[row.place.id]
        head = self.arrow(index)
        if self._each == 1:
            texts = [f"{head}{cell(name, 26)} {cell(far, 14)} {told}"]
        else:
            texts = [f"{head}{name}", f"   {told}" if far == "?" else f"   {far}, {told}"]
        return [self.marked(text, index, width) for text in texts]

    def keys(self, width: int) -> list[Line]:
        """Where no place is known, only what makes one known."""
        known = self._found is None or self._found.known.places
        return super().keys(width) if known else key_lines(width, PLACES, only=("add_place",))

    @property
    def _units(self) -> str:
        return self.own.rig.units

    def foot(self, width: int) -> list[Line]:
        """What was just done, else the place under the cursor in full."""
        if self._message or self._found is None or not self._found.rows or self._fault:
            return super().foot(width)
        row = self._found.rows[min(self._at, len(self._found.rows) - 1)]
        return [BLANK, *wrap(f" {detail(row.place, self._found.known, self._units)}", width - 1, "dim", " ")[:5]]

    def do_open_place(self) -> None:
        """The place under the cursor."""
        if self._found and self._found.rows:
            self.own.push_screen(PlaceScreen(self._found.rows[self._at].place), lambda _: self.look())

    def _filter(self, what: What) -> None:
        self._only = None if self._only == what else what
        self._at = 0
        self.look()

    def do_only_water(self) -> None:
        """Only water, or all again."""
        self._filter("fresh")

    def do_only_gray(self) -> None:
        """Only gray, or all again."""
        self._filter("grey")

    def do_only_alcohol(self) -> None:
        """Only alcohol, or all again."""
        self._filter("stove_fuel")

    def do_only_propane(self) -> None:
        """Only propane, or all again."""
        self._filter("propane")

    def do_only_toilet(self) -> None:
        """Only toilet waste, or all again."""
        self._filter("toilet")

    def do_add_place(self) -> None:
        """The place where the person is, by its name: kept, and opened so that what it gives can be said."""

        def meaning(text: str) -> str:
            return f"You are at {kept.own_place(text, '', '', '').name}, and it is kept as a place."

        self.own.push_screen(AskScreen("What is this place called?", meaning, hint="Spring at the pass"), self._added)

    def _added(self, name: str | None) -> None:
        if not name:
            return
        place = kept.own_place(name, "", "", "")

        def add(book: Logbook, now: Moment) -> None:
            kept.be_at(book, place, now, None, now)

        try:
            self.noted(add, f"Noted: you are at {name}.")
        except Refusal as fault:
            self.tell(str(fault))
            return
        self.own.push_screen(PlaceScreen(place), lambda _: self.look())


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything known of places, and the stay clock of the one looked at."""

    known: Atlas
    stay: Staying | None


class PlaceScreen(LiveScreen[Seen]):
    """One place: what is known of it, and saying what was found there."""

    screen_name: ClassVar[str] = PLACE
    waiting: ClassVar[str] = "Reading ..."

    def __init__(self, place: Place) -> None:
        super().__init__()
        self._place = place
        self._asked: What | None = None

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Seen]:
        """Everything known of places."""
        yield Seen(atlas(book, now), clock_at(book, self._place.id, now))

    def heading(self) -> str:
        """Its name."""
        return printable(place_name(self._place))

    def body(self, found: Seen, width: int) -> list[Line]:
        """All that is known of it, section by section."""
        place = next((p for p in found.known.places if p.id == self._place.id), self._place)
        lines: list[Line] = []
        for head, texts in sections(place, found.known, self.own.rig, found.stay):
            lines += [BLANK, line(f" {head}", "strong")] if head else []
            lines += [each for text in texts for each in wrap(f" {text}", width - 1, "", "   ")]
        return lines

    def foot(self, width: int) -> list[Line]:
        """The question being asked, else what was just done."""
        if self._asked is None:
            return super().foot(width)
        keys = (Span(f" {key_of('yes')}", "key", "yes"), Span(" yes ", "", "yes"),
                Span(f" {key_of('no')}", "key", "no"), Span(" no", "", "no"))
        return [*wrap(f" {ask_what(self._place, self._asked)}", width - 1, "strong", " "), keys]

    def action_do(self, name: str, *rest: str) -> None:
        """Another key than yes or no drops the question."""
        asked, self._asked = self._asked, None
        if name in ("yes", "no"):
            self._asked = asked
        if name == "back" and asked:
            self.show()
            return
        super().action_do(name, *rest)

    def do_said_water(self) -> None:
        """Water: yes or no?"""
        self._asked = "fresh"

    def do_said_gray(self) -> None:
        """Gray water: yes or no?"""
        self._asked = "grey"

    def do_said_alcohol(self) -> None:
        """Alcohol: yes or no?"""
        self._asked = "stove_fuel"

    def do_said_propane(self) -> None:
        """Propane: yes or no?"""
        self._asked = "propane"

    def do_said_toilet(self) -> None:
        """Toilet waste: yes or no?"""
        self._asked = "toilet"

    def do_yes(self) -> None:
        """It is had there."""
        self._found_out("yes")

    def do_no(self) -> None:
        """It is not."""
        self._found_out("no")

    def _found_out(self, word: Literal["yes", "no"]) -> None:
        what, self._asked = self._asked, None
        if what is None:
            letters = " ".join(key_name(a.key) for a in on_screen(PLACE) if a.id.startswith("said_"))
            self._message = f"First the letter of what is {word}: {letters}."
            return

        def confirm(book: Logbook, now: Moment) -> None:
            kept.confirm(book, self._place, [Confirmation(what, word, now.epoch)], now)

        self.noted(confirm, f"Noted: {what_word(what)} {word}.")

    def do_failed(self) -> None:
        """Nothing of it works today; where else to go comes up at once."""
        from vanlife_supply.tui.screens.next_stop import StopScreen

        self.noted(lambda book, now: did_not_work(book, self._place, now), "Noted: it did not work.")
        self.own.push_screen(StopScreen(f"Noted: {self.heading()} did not work."))

    def do_here(self) -> None:
        """The person is there."""
        self.noted(lambda book, now: kept.be_at(book, self._place, now, None, now), "Noted: you are here.")

    def do_stay_limit(self) -> None:
        """How long one may stay here."""

        def meaning(text: str) -> str:
            if text.strip() in _NO_LIMIT:
                return "There is no limit here."
            read_rules(text)
            return f"Stay limit {text.strip()}. The clock starts with h, I am here."

        def keep(text: str | None) -> None:
            if not text:
                return
            said = "" if text.strip() in _NO_LIMIT else text
            try:
                self.noted(lambda book, now: kept.limit_stay(book, self._place, said, now), "Noted: the stay limit.")
            except Refusal as fault:
                self.tell(str(fault))

        hint = "14 days in 28, then 25 miles · none"
        self.own.push_screen(AskScreen(f"How long may one stay at {self.heading()}?", meaning, hint=hint), keep)

    def do_filled_here(self) -> None:
        """A fill at this place."""
        self._note("filled ")

    def do_dumped_here(self) -> None:
        """A dump at this place."""
        self._note("dumped ")

    def _note(self, begun: str) -> None:
        def typed(text: str) -> Typed:
            return replace(said(self.own, text), place=self._place.name or self._place.source_ref)

        def meaning(text: str) -> str:
            return f"{entry_full(build(typed(text), self.own.rig, self.own.now()), self.own.rig, self.own.now())}."

        def note(text: str | None) -> None:
            if text:
                self.own.first.note(typed(text))
                self._message = f"Noted. {key_of('undo')} on the first screen takes that back."
                self.look()

        asking = AskScreen(f"What was done at {self.heading()}?", meaning, hint="filled water 12 gal 3.00", text=begun)
        self.own.push_screen(asking, note)


def did_not_work(book: Logbook, place: Place, now: Moment) -> None:
    """Nothing that might be had there was to be had today."""
    known = atlas(book, now)
    whats = [what for what in WHATS if may_be(known.answer(place, what))]
    if not whats:
        raise Refusal("Nothing was expected of this place: say what it has not, by its letter.")
    kept.confirm(book, place, [Confirmation(what, "no", now.epoch, remark="did not work") for what in whats], now)
