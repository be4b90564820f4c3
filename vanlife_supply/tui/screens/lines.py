"""A few questions, each answered in a line, with what was understood shown while typing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.careful import Careful
from vanlife_supply.tui.explaining import LINES, explained
from vanlife_supply.tui.screens.ahead import Ahead


@dataclass(frozen=True, slots=True)
class Question:
    """One line: its short name for the list above, what is asked, an example, what it is about."""

    key: str
    name: str
    asked: str
    example: str


Understood = Callable[[list[str]], str]
"""The answers so far, the last one as it is being typed → what it would mean, from the second line on what to mind; Refusal
when it means nothing."""
Keep = Callable[[list[str]], object]
"""Keeps all answers; Refusal when they cannot be kept, and the last line is asked again."""


class LinesScreen(Careful, ModalScreen[list[str]]):
    """Asks line by line, below what stays in sight of the screen behind.

    Dismissed with all answers; with None when left at the first line.
    """

    BINDINGS: ClassVar = [
        Binding("escape", "before", "one line back", show=False),
        Binding("f1", "explain", "what is this?", show=False),
    ]
    DEFAULT_CSS = """
    LinesScreen { align: center bottom; }
    LinesScreen > Vertical { background: $panel; border-top: solid $primary; padding: 0 1; height: auto; }
    LinesScreen Static { height: auto; }
    LinesScreen #title { text-style: bold; }
    LinesScreen #answered { display: none; text-wrap: nowrap; text-overflow: ellipsis; }
    LinesScreen #answered.some { display: block; }
    LinesScreen #asked { text-style: bold; color: $primary; }
    LinesScreen #heard { color: $secondary; }
    LinesScreen #heard.wrong { color: $warning; text-style: bold; }
    LinesScreen Input { background: $panel; }
    """

    def __init__(
        self, title: str, questions: tuple[Question, ...], understood: Understood,
        needless: Callable[[str, list[str]], bool] = lambda key, answers: False, keep: Keep = len,
    ) -> None:  # fmt: skip
        super().__init__()
        self._ahead = Ahead()
        self._title, self._questions, self._understood, self._needless = title, questions, understood, needless
        self._keep = keep
        self._answers: list[str] = []

    def compose(self) -> ComposeResult:
        """What was answered, the question, the line, what was understood."""
        typed = Input(select_on_focus=False, compact=True)
        typed.cursor_blink = False
        with Vertical():
            yield Static(self._title, id="title", markup=False)
            yield Static("", id="answered", markup=False)
            yield Static("", id="asked", markup=False)
            yield typed
            yield Static("", id="heard", markup=False)
            yield Static("Enter next   Esc clears, then goes back", id="keys", markup=False)

    def on_mount(self) -> None:
        """The first question."""
        self.query_one(Input).focus()
        self.call_after_refresh(self._ahead.release, self)
        self._ask("")

    def _ask(self, text: str) -> None:
        question = self._questions[len(self._answers)]
        told = (a or self._understood(self._answers[: i + 1]).partition("\n")[0] for i, a in enumerate(self._answers))
        answered = "\n".join(f"{q.name:<9} {words}" for q, words in zip(self._questions, told, strict=False))
        self.query_one("#answered", Static).update(answered)
        self.query_one("#answered", Static).set_class(bool(answered), "some")
        self.query_one("#asked", Static).update(f"{len(self._answers) + 1} of {len(self._questions)}  {question.asked}")
        line = self.query_one(Input)
        line.placeholder = f"like: {question.example}"
        line.value = text
        line.cursor_position = len(text)
        self._explain(text)

    def on_key(self, event: events.Key) -> None:
        """A key that came before the line was there waits for it."""
        self._ahead.keep(event)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Says what is understood so far."""
        self._explain(event.value)

    def _explain(self, text: str) -> bool:
        try:
            words, wrong = self._understood([*self._answers, text]), False
        except Refusal as fault:
            words, wrong = str(fault), True
        self._say(words, wrong=wrong)
        return not wrong

    def _say(self, words: str, *, wrong: bool) -> None:
        place = self.query_one("#heard", Static)
        place.set_class(wrong, "wrong")
        place.update(words)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Takes the line; after the last one the answers go back to who asked."""
        event.stop()
        if not self._explain(event.value):
            return
        before = list(self._answers)
        self._answers.append(event.value.strip())
        while len(self._answers) < len(self._questions):
            if not self._needless(self._questions[len(self._answers)].key, self._answers):
                self._ask("")
                return
            self._answers.append("")
        try:
            self._keep(self._answers)
        except Refusal as fault:
            self._answers = before
            self._say(str(fault), wrong=True)
        else:
            self.dismiss(self._answers)

    def action_explain(self) -> None:
        """How the lines are taken."""
        self._say(explained(LINES), wrong=False)

    def action_before(self) -> None:
        """Back to the line before."""
        if self.query_one(Input).value:
            self.query_one(Input).value = ""
        elif self._answers:
            self._ask(self._answers.pop())
        else:
            self.dismiss(None)
