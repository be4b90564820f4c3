"""Everything noted, newest first: mend it, take it out, answer what looks odd."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from vanlife_supply.actions import ENTRIES, PAGE, key_of, keys_of
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.spoken import phrase_of
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.lines import BLANK, Line, Span, clip, line, wrap
from vanlife_supply.tui.screens.saying import said, saying
from vanlife_supply.tui.widgets.sheet import Sheet
from vanlife_supply.wording.amounts import money
from vanlife_supply.wording.entries import entry_full, entry_line, lowered
from vanlife_supply.wording.times import past

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

_MENDED = ("amount", "supply", "container", "into", "at", "until", "paid", "word", "method", "down_to", "kind",
           "every")  # fmt: skip


class EntriesScreen(Screen[None]):
    """A list with a cursor. What is done here can be taken back with z on the first screen."""

    def __init__(self, at: str = "") -> None:
        super().__init__()
        self._at = next((i for i, e in enumerate(self._entries()) if e.id == at), 0)
        self._message = ""

    @property
    def own(self) -> SupplyApp:
        """The app with our own attributes."""
        return cast("SupplyApp", self.app)

    def compose(self) -> ComposeResult:
        """One sheet fills the screen."""
        yield Sheet(self._lines)

    def _entries(self) -> list[Entry]:
        return list(reversed(self.own.known.entries))

    def show(self) -> None:
        """Draws what is noted now."""
        self.query_one(Sheet).show()

    def _lines(self, width: int, height: int) -> list[Line]:
        entries = self._entries()
        self._at = max(0, min(self._at, len(entries) - 1))
        foot = [*self._told(entries, width), *key_lines(width, ENTRIES), *key_lines(width, PAGE)]
        room = max(1, height - 2 - len(foot))
        top = max(0, min(self._at - room // 2, len(entries) - room))
        head = [line(f" Noted so far: {len(entries)}", "strong"), BLANK]
        rows = [self._row(e, i + top, width) for i, e in enumerate(entries[top : top + room])]
        return [*head, *rows, *[BLANK] * (room - len(rows)), *foot][:height]

    def _row(self, e: Entry, index: int, width: int) -> Line:
        here = index == self._at
        when = past(e.at, self.own.now(), e.slack_h)
        odd = "? " if e.questioned else ""
        paid = f", {money(e.paid, self.own.rig.currency)}" if e.paid is not None else ""
        text = f"{'→' if here else ' '} {when:<19} {odd}{entry_line(e, self.own.rig)}{paid}"
        return (Span(clip(text, width).ljust(width if here else 0), "cursor" if here else ""),)

    def _told(self, entries: list[Entry], width: int) -> list[Line]:
        if self._message:
            return wrap(f" {self._message}", width - 1, "strong", " ")
        if entries and entries[self._at].questioned:
            return wrap(f" This looks odd: {entries[self._at].questioned}.", width - 1, "alarm", " ")
        return [BLANK]

    def on_key(self, event: events.Key) -> None:
        """Every key at once, in the order pressed."""
        action = keys_of(PAGE, ENTRIES).get(event.key)
        if action:
            event.stop()
            event.prevent_default()
            self.action_do(action)

    def action_do(self, name: str) -> None:
        """Moves, leaves, or changes the entry under the cursor."""
        entries = self._entries()
        self._message = ""
        if name == "back":
            self.dismiss()
            return
        if name in ("up", "down"):
            self._at += 1 if name == "down" else -1
        elif entries:
            getattr(self, f"_{name}")(entries[self._at])
        self.show()

    def _void(self, entry: Entry) -> None:
        told = lowered(entry_full(entry, self.own.rig, self.own.now()))
        self._changed(lambda: self.own.desk.void(entry), f"Taken out: {told}.")

    def _real(self, entry: Entry) -> None:
        if not entry.questioned:
            self._message = "Nothing looks odd about this one."
            return
        self._changed(lambda: self.own.desk.settle(entry, "real"), "Settled: it is right as it stands.")

    def _mend(self, entry: Entry) -> None:
        question = f"{entry_full(entry, self.own.rig, self.own.now())}. What should it be?"

        def mended(text: str | None) -> None:
            if text == before:
                self._message = "It stays as it was."
            elif text:
                self._changed(lambda: self._replace(entry, before, text), "Mended.")
            self.show()

        before = phrase_of(entry, self.own.rig)
        self.app.push_screen(saying(self.own, before, question), mended)

    def _replace(self, entry: Entry, before: str, text: str) -> None:
        """Only what was typed otherwise changes: a phrase does not say all that an entry holds."""
        old, new = said(self.own, before), said(self.own, text)
        self.own.desk.mend(entry, {f: getattr(new, f) for f in _MENDED if getattr(new, f) != getattr(old, f)})

    def _changed(self, act: Callable[[], None], words: str) -> None:
        try:
            act()
        except Refusal as fault:
            self._message = str(fault)
            return
        self._message = f"{words} {key_of('undo')} on the first screen takes that back."
        self.own.reload()
