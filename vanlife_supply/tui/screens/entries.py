"""Everything noted, newest first: mend it, take it out, answer what looks odd."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from textual import events, work
from textual.message import Message

from vanlife_supply import keeping
from vanlife_supply.actions import ENTRIES, ODD, PAGE, key_of, keys_of, with_keys
from vanlife_supply.entry.finding import finding_words, found
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.plain import undoubled
from vanlife_supply.entry.spoken import number_in, otherwise, phrase_of
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.board import NARROW, key_lines
from vanlife_supply.tui.explaining import IN_DOUBT, explained
from vanlife_supply.tui.lines import BLANK, FAR, Line, Span, cell, clip, line, wrap
from vanlife_supply.tui.screens.ask import AskScreen
from vanlife_supply.tui.screens.saying import said, saying
from vanlife_supply.tui.screens.sheeted import SheetScreen, key_of_press
from vanlife_supply.tui.widgets.sheet import Sheet
from vanlife_supply.wording.amounts import money
from vanlife_supply.wording.entries import effect, entry_full, entry_line, lowered
from vanlife_supply.wording.times import past, past_day

_NOTHING = "Nothing yet. Whatever is noted stands here, the newest first: {filled} on the first screen notes a fill."


@dataclass(frozen=True, slots=True)
class Change:
    """What was chosen for an entry: how it is asked, what is said once it is done, and what then stands in its place."""

    entry: Entry
    asked: str
    done: str
    act: Callable[[], None]
    becomes: Callable[[Logbook, Moment], Entry | None]


class EntriesScreen(SheetScreen[None]):
    """A list with a cursor. A change is chosen, its effect shown, then done; z on the first screen takes it back."""

    screen_name: ClassVar[str] = ENTRIES

    @dataclass
    class Supposed(Message):
        """A worker has worked out what a change would do; no forecast where that cannot be told."""

        change: Change
        forecast: Forecast | None

    def __init__(self, at: str = "") -> None:
        super().__init__()
        self._only = ""
        """The words that choose what is shown."""
        self._page = 1
        self._at = next((i for i, e in enumerate(self._entries()) if e.id == at), 0)
        self._message = ""
        self._chosen: Change | None = None
        self._effect = ""

    def _entries(self) -> list[Entry]:
        """Newest first, those the words choose."""
        try:
            return list(reversed(found(self.own.known.entries, self._only, self.own.rig)))
        except Refusal:
            return []

    def show(self) -> None:
        """Draws what is noted now."""
        self.query_one(Sheet).show()

    def tell(self, text: str) -> None:
        """Says something until the next key."""
        self._message = text
        self.show()

    def _lines(self, width: int, height: int) -> list[Line]:
        entries = self._entries()
        self._at = max(0, min(self._at, len(entries) - 1))
        noted = len(self.own.known.entries)
        keys = key_lines(width, ENTRIES) if noted else []
        foot = [*self._told(entries, width), *keys, *key_lines(width, PAGE)]
        room = self._page = max(1, height - 2 - len(foot))
        title = f"{self._only}: {len(entries)} of {noted}. Esc shows all." if self._only else f"Noted so far: {noted}"
        head = [line(clip(f" {title}", width), "strong"), BLANK]
        begin, end = max(0, self._at - room), self._at + room
        rows = [row for i, e in enumerate(entries[begin:end], begin) for row in self._row(e, i, width)]
        here = next((i for i, row in enumerate(rows) if row[0].look == "cursor"), 0)
        top = max(0, min(here - room // 2, len(rows) - room))
        rows = rows[top : top + room] if noted else wrap(f" {with_keys(_NOTHING)}", width - 1, "", " ")
        return [*head, *rows, *[BLANK] * (room - len(rows)), *foot][:height]

    def _row(self, e: Entry, index: int, width: int) -> list[Line]:
        """When, then what, in as many lines as it takes."""
        here, wide = index == self._at, width >= NARROW
        when = past(e.at, self.own.now(), e.slack_h) if wide else past_day(e.at, self.own.now())
        column = 20 if wide else 12
        told = [each[0].text for each in wrap(self._words(e), width - column - 3)]
        heads = [f"{'→' if here else ' '} {cell(when, column)}", *[" " * (column + 2)] * (len(told) - 1)]
        texts = (head + text for head, text in zip(heads, told, strict=True))
        return [(Span(text.ljust(width if here else 0), "cursor" if here else "", f"row({index})"),) for text in texts]

    def _words(self, e: Entry) -> str:
        paid = f", {money(e.paid, self.own.rig.currency)}" if e.paid is not None else ""
        place = f", at {e.place}" if e.place else ""
        return f"{'? ' if e.questioned else ''}{entry_line(e, self.own.rig)}{paid}{place}"

    def _told(self, entries: list[Entry], width: int) -> list[Line]:
        if self._chosen:
            asked = wrap(f" {self._chosen.asked}", width - 1, "strong", " ")
            does = (Span(" Enter", "key", "take_change"), Span(" do it  ", "", "take_change"))
            return [*asked, *wrap(f" {self._effect}", width - 1, "", " "), (*does, Span("Esc", "key", "back"),
                                                                           Span(" leave it", "", "back"))]
        if self._message:
            return wrap(f" {self._message}", width - 1, "strong", " ")
        if entries and entries[self._at].questioned:
            why = wrap(f" This looks odd: {entries[self._at].questioned}.", width - 1, "alarm", " ")
            return [*why, *key_lines(width, ENTRIES, rows=(ODD,))]
        return [BLANK]

    def on_key(self, event: events.Key) -> None:
        """Every key at once, in the order pressed."""
        action = keys_of(PAGE, ENTRIES).get(key_of_press(event))
        if action:
            event.stop()
            event.prevent_default()
            self.action_do(action)

    def action_do(self, name: str, *rest: int) -> None:
        """Moves, leaves, or changes the entry under the cursor; a change chosen waits for Enter, any other key drops it."""
        entries = self._entries()
        chosen, self._chosen, self._message = self._chosen, None, ""
        moves = {"up": -1, "down": 1, "page_up": -self._page, "page_down": self._page, "top": -FAR, "bottom": FAR}
        if name == "row":
            self._tap(*rest)
        elif name == "take_change" and chosen:
            self._do(chosen)
        elif name == "back" and chosen:
            self._message = "It stays as it was."
        elif name == "back" and self._only:
            self._only = ""
        elif name == "back":
            self.dismiss()
            return
        elif name == "only_some":
            self._ask_which()
        elif name in moves:
            self._at += moves[name]
        elif name == "explain_this":
            self._message = explained(self._about(entries))
        elif entries:
            getattr(self, f"_{name}")(entries[self._at])
        self.show()

    def _tap(self, index: int) -> None:
        """To that row; on the row under the cursor it does what Enter does."""
        if index == self._at:
            self.action_do("take_change")
        self._at = index

    def _about(self, entries: list[Entry]) -> str:
        """What is explained: the kind of the entry under the cursor, or that it looks odd."""
        if not entries:
            return ENTRIES
        return IN_DOUBT if entries[self._at].questioned else entries[self._at].kind

    def _ask_which(self) -> None:
        def meaning(text: str) -> str:
            known = self.own.known.entries
            return f"{len(found(known, text, self.own.rig))} of {len(known)}."

        def answered(text: str | None) -> None:
            self._only, self._at = text or "", 0
            self.show()

        hint, known = "water b · filled · a place · odd", finding_words(self.own.rig)
        asking = AskScreen("Which ones?", meaning, hint=hint, next_words=lambda _: known, does="shows them")
        self.app.push_screen(asking, answered)

    def _take_change(self, entry: Entry) -> None:
        """Enter where nothing is chosen."""
        self._mend(entry)

    def _void(self, entry: Entry) -> None:
        told = lowered(entry_full(entry, self.own.rig, self.own.now()))
        desk = self.own.desk
        asked, done = f"Take out: {told}?", f"Taken out: {told}."
        self._choose(Change(entry, asked, done, lambda: desk.void(entry), lambda book, now: None))

    def _real(self, entry: Entry) -> None:
        if self._is_odd(entry):
            self._settle(entry, "real", "It is right as it stands?", "Settled: it is right as it stands.")

    def _mistake(self, entry: Entry) -> None:
        if self._is_odd(entry):
            told = lowered(entry_full(entry, self.own.rig, self.own.now()))
            self._settle(entry, "mistake", f"A mistake, it counts no more: {told}?", f"Settled, a mistake: {told}.")

    def _amount(self, entry: Entry) -> None:
        """How much it was in truth is asked."""
        rig = self.own.rig
        if not self._is_odd(entry):
            return
        if entry.amount is None:
            self._message = "It says no amount: it is right, or it is taken out."
            return

        def told(text: str) -> str:
            new = self.own.desk.on_log(lambda book, now: keeping.settled(book, entry.id, text, now))
            return lowered(entry_line(new, rig)) if new else "a mistake, it counts no more"

        def answered(text: str | None) -> None:
            if text:
                self._settle(entry, text, f"In truth: {told(text)}?", f"Settled: {told(text)}.")
            self.show()

        question = f"{entry_full(entry, rig, self.own.now())}. How much was it in truth?"
        asking = AskScreen(question, lambda text: f"In truth: {told(text)}.", hint=str(entry.said), does="shows the effect")
        self.app.push_screen(asking, answered)

    def _is_odd(self, entry: Entry) -> bool:
        if not entry.questioned:
            self._message = "Nothing looks odd about this one."
        return bool(entry.questioned)

    def _settle(self, entry: Entry, answer: str, asked: str, done: str) -> None:
        desk = self.own.desk
        self._choose(Change(
            entry, asked, done, lambda: desk.settle(entry, answer),
            lambda book, now: keeping.settled(book, entry.id, answer, now),
        ))  # fmt: skip

    def _mend(self, entry: Entry) -> None:
        question = f"{entry_full(entry, self.own.rig, self.own.now())}. What should it be?"

        def mended(text: str | None) -> None:
            if text == before:
                self._message = "It stays as it was."
            elif text:
                self._choose(self._mending(entry, before, text))
            self.show()

        before = phrase_of(entry, self.own.rig)
        asking = saying(self.own, before, question, number_in(before, entry), "shows the effect", entry.at.iso())
        self.app.push_screen(asking, mended)

    def _mending(self, entry: Entry, before: str, text: str) -> Change:
        changes, desk = otherwise(said(self.own, before), said(self.own, text)), self.own.desk
        return Change(
            entry, f"Mend to: {undoubled(text)}?", "Mended.", lambda: desk.mend(entry, changes),
            lambda book, now: keeping.mended(book, entry.id, changes, now),
        )  # fmt: skip

    def _choose(self, change: Change) -> None:
        self._chosen, self._effect = change, "Working out what that does ..."
        self._suppose(change)

    @work(thread=True, exclusive=True, group="supposing", exit_on_error=False)
    def _suppose(self, change: Change) -> None:
        def act(book: Logbook, now: Moment) -> Forecast:
            from vanlife_supply.advising import outlook_if  # numpy comes with it

            new = change.becomes(book, now)
            return outlook_if(book, [new] if new else [], now, [change.entry])

        try:
            self.post_message(self.Supposed(change, self.own.desk.on_log(act)))
        except Refusal:  # what cannot be done is refused, with its reason, when it is done
            self.post_message(self.Supposed(change, None))

    def on_entries_screen_supposed(self, came: Supposed) -> None:
        """Says what the change would do, if it is still the one chosen."""
        if came.change is self._chosen:
            after, rig = came.forecast, self.own.rig
            self._effect = effect(self.own.forecast, after, came.change.entry.supply, rig) if after else ""
            self.show()

    def _do(self, change: Change) -> None:
        change.act()
        self._message = f"{change.done} {key_of('undo')} on the first screen takes that back."
        self.own.reload()
