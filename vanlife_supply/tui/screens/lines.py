"""A few questions, each answered in a line, with what was understood shown while typing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import takewhile
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


@dataclass(frozen=True, slots=True)
class Begun:
    """Answers of another time that came to no end: what is said of them, and whether each is asked again (`stale`)."""

    answers: tuple[str, ...]
    told: str
    stale: bool


_KEYS = "[@click=screen.go_on]Enter {enter}[/]   [@click=screen.before]Esc {esc}[/]"


class LinesScreen(Careful, ModalScreen[list[str]]):
    """Asks line by line, below what stays in sight of the screen behind.

    Dismissed with all answers; with None when left at the first line. An answer once given stands in its line again when
    one comes back to it.
    """

    BINDINGS: ClassVar = [
        Binding("escape", "before", "one line back", show=False),
        Binding("enter,ctrl+j", "go_on", "go on", show=False),
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
    LinesScreen.offering Input, LinesScreen.offering #heard { display: none; }
    LinesScreen #keys { link-style: none; link-color: $foreground; link-background: $panel; }
    """

    def __init__(
        self, title: str, questions: tuple[Question, ...], understood: Understood,
        needless: Callable[[str, list[str]], bool] = lambda key, answers: False, keep: Keep = len,
        given: Callable[[list[str]], object] = len, begun: Begun | None = None, leaves: str = "leaves",
    ) -> None:  # fmt: skip
        """`given` is told of every answer as it is given; `begun` is offered first; `leaves`: what Esc does at last."""
        super().__init__()
        self._ahead = Ahead()
        self._title, self._questions, self._understood, self._needless = title, questions, understood, needless
        self._keep, self._tell_given, self._begun, self._leaves = keep, given, begun, leaves
        self._answers: list[str] = []
        self._given: list[str] = []
        """Every answer given so far, also those one went back from."""

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
            yield Static("", id="keys")

    def on_mount(self) -> None:
        """The first question, or whether to go on with what was begun."""
        if self._begun:
            self._offer(self._begun)
        else:
            self._ask()
        self.call_after_refresh(self._ahead.release, self)

    def _offer(self, begun: Begun) -> None:
        self.add_class("offering")
        self.query_one(Input).disabled = True
        self._list(begun.answers)
        self.query_one("#asked", Static).update(begun.told)
        self._foot("goes on", "begins anew")

    def _chosen(self, given: tuple[str, ...], *, stale: bool) -> None:
        """Goes on where the answers `given` end or are no longer understood, at the first line when they are `stale`."""
        self._begun, self._given = None, list(given)
        self.remove_class("offering")
        self.query_one(Input).disabled = False
        with suppress(Refusal):
            while not stale and len(self._answers) < len(given):
                self._understood([*self._answers, given[len(self._answers)]])
                self._answers.append(given[len(self._answers)])
        self._ask()

    def _ask(self) -> None:
        question = self._questions[len(self._answers)]
        told = [a or self._understood(self._answers[: i + 1]).partition("\n")[0] for i, a in enumerate(self._answers)]
        self._list(told)
        self.query_one("#asked", Static).update(f"{len(self._answers) + 1} of {len(self._questions)}  {question.asked}")
        line = self.query_one(Input)
        line.focus()
        line.placeholder = f"like: {question.example}"
        line.value = (*self._given, *[""] * len(self._questions))[len(self._answers)]
        line.cursor_position = len(line.value)
        self._explain(line.value)

    def _list(self, told: Sequence[str]) -> None:
        """What was answered, one line a question."""
        answered = "\n".join(f"{q.name:<9} {words or '-'}" for q, words in zip(self._questions, told, strict=False))
        self.query_one("#answered", Static).update(answered)
        self.query_one("#answered", Static).set_class(bool(answered), "some")

    def _foot(self, enter: str, esc: str) -> None:
        self.query_one("#keys", Static).update(_KEYS.format(enter=enter, esc=esc))

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
        last = len(self._answers) + 1 == len(self._questions)
        esc = "clears" if text else "one line back" if self._answers else self._leaves
        self._foot("keeps it all" if last else "next", esc)
        return not wrong

    def _say(self, words: str, *, wrong: bool) -> None:
        place = self.query_one("#heard", Static)
        place.set_class(wrong, "wrong")
        place.update(words)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Takes the line; after the last one the answers go back to who asked."""
        event.stop()
        self._take(event.value.strip())

    def _take(self, text: str) -> None:
        if not self._explain(text):
            return
        before = list(self._answers)
        self._answers.append(text)
        needed = (q.key for q in self._questions[len(self._answers) :])
        self._answers += [""] * sum(1 for _ in takewhile(lambda key: self._needless(key, self._answers), needed))
        self._given[: len(self._answers)] = self._answers
        self._tell_given(self._given)
        if len(self._answers) < len(self._questions):
            self._ask()
            return
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

    def action_go_on(self) -> None:
        """On with what was begun; a tap takes the line."""
        if self._begun:
            self._chosen(self._begun.answers, stale=self._begun.stale)
        else:
            self._take(self.query_one(Input).value.strip())

    def action_before(self) -> None:
        """Clears the line, or goes one back, past what nobody needs to answer; what was begun is begun anew."""
        if self._begun:
            self._tell_given([])
            self._chosen((), stale=False)
        elif self.query_one(Input).value:
            self.query_one(Input).value = ""
        elif self._answers:
            self._answers.pop()
            while self._answers and self._needless(self._questions[len(self._answers)].key, self._answers):
                self._answers.pop()
            self._ask()
        else:
            self.dismiss(None)
