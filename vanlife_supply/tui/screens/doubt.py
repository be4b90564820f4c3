"""A question in plain words: a letter chooses, what it would note and do is shown, Enter notes it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import events, work
from textual.message import Message

from vanlife_supply.actions import QUESTION, key_name, on_screen
from vanlife_supply.entry.build import build
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.doubts import Answer, Doubt
from vanlife_supply.tui.explaining import explained
from vanlife_supply.tui.lines import BLANK, Line, Span, wrap
from vanlife_supply.tui.screens.sheeted import SheetScreen, key_of_press
from vanlife_supply.tui.widgets.sheet import Sheet
from vanlife_supply.wording.entries import effect, entry_full


class DoubtScreen(SheetScreen[Answer]):
    """Dismissed with the answer; with None when it is put off."""

    screen_name: ClassVar[str] = QUESTION

    @dataclass
    class Supposed(Message):
        """A worker has worked out what an answer would do."""

        answer: Answer
        forecast: Forecast | None

    def __init__(self, doubt: Doubt) -> None:
        super().__init__()
        self._doubt = doubt
        self._chosen: Answer | None = None
        self._told = ""
        self._action_of = {key: a.id for a in on_screen(QUESTION) for key in a.keys}

    def _lines(self, width: int, height: int) -> list[Line]:
        lines = [*wrap(f" {self._doubt.asked}", width - 1, "strong", " "), *wrap(f" {self._doubt.told}", width - 1, "", " ")]
        for answer in self._doubt.answers:
            lines += [BLANK, *self._answer(answer, width)]
        if self._chosen:
            lines += [BLANK, *wrap(f" {self._preview()}", width - 1, "", " ")]
        lines += wrap(f" {self._told}", width - 1, "strong", " ") if self._told else []
        foot: Line = (Span(" Esc", "key", "not_now"), Span(" not today", "", "not_now"))
        if self._chosen:
            foot = (Span(" Enter", "key", "note_it"), Span(" note it  ", "", "note_it"), *foot)
        room = max(0, height - 1)
        return [*lines[:room], *[BLANK] * (room - len(lines)), foot][:height]

    def _answer(self, answer: Answer, width: int) -> list[Line]:
        action = next(a for a in on_screen(QUESTION) if a.id == answer.act)
        first, *rest = wrap(answer.words, width - 7)
        mark = "→" if answer is self._chosen else " "
        head = Span(f"{mark}{key_name(answer.key or action.key)}  ", "key", action.id)
        return [(head, *(Span(s.text, s.look, action.id) for s in first)), *((Span("    "), *each) for each in rest)]

    def _preview(self) -> str:
        entry = self._entry()
        return f"Would note: {entry_full(entry, self.own.rig, self.own.now())}." if entry else ""

    def _entry(self) -> Entry | None:
        said = self._chosen.said if self._chosen else None
        return build(said, self.own.rig, self.own.now()) if said else None

    def on_key(self, event: events.Key) -> None:
        """Every key at once, in the order pressed."""
        key = key_of_press(event)
        if key in self._action_of:
            event.stop()
            event.prevent_default()
            self.action_do(self._action_of[key])

    def action_do(self, name: str, *rest: str) -> None:
        """Chooses an answer, takes it, or puts the question off."""
        if name == "not_now":
            self.dismiss(None)
        elif name == "explain_question":
            self._told = explained(QUESTION)
            self.query_one(Sheet).show()
        elif name == "note_it":
            if self._chosen:
                self.dismiss(self._chosen)
        else:
            self._choose(next((a for a in self._doubt.answers if a.act == name), None))

    def _choose(self, answer: Answer | None) -> None:
        if answer is None:
            return
        self._chosen, self._told = answer, ""
        if answer.said is None:
            self.dismiss(answer)
            return
        self._suppose(answer)
        self.query_one(Sheet).show()

    @work(thread=True, exclusive=True, group="supposing", exit_on_error=False)
    def _suppose(self, answer: Answer) -> None:
        def act(book: Logbook, now: Moment) -> Forecast | None:
            from vanlife_supply.advising import outlook_if  # numpy comes with it

            return outlook_if(book, [build(answer.said, book.rig(), now)], now) if answer.said else None

        try:
            self.post_message(self.Supposed(answer, self.own.desk.on_log(act)))
        except Refusal:  # without a log there is nothing to suppose; the entry is shown all the same
            self.post_message(self.Supposed(answer, None))

    def on_doubt_screen_supposed(self, came: Supposed) -> None:
        """Says what the answer would do, if it is still the one chosen."""
        if came.answer is self._chosen and came.forecast:
            self._told = effect(self.own.forecast, came.forecast, self._doubt.supply, self.own.rig)
            self.query_one(Sheet).show()
