"""One line to type, with what it would mean shown while typing."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.screen import ModalScreen
from textual.suggester import Suggester
from textual.widgets import Input, Static
from textual.widgets.input import Selection

from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.careful import Careful
from vanlife_supply.tui.explaining import ASK, explained
from vanlife_supply.tui.lines import examples
from vanlife_supply.tui.screens.ahead import Ahead

NextWords = Callable[[str], list[str]]
"""What was typed up to the last blank → the words that may follow."""
Meaning = Callable[[str], str]
"""Typed text → what it would do, in words; Refusal when it cannot be taken."""


_KEYS = "[@click=screen.enter]Enter {does}[/]   [@click=screen.leave]Esc {esc}[/]"


class Completing(Suggester):
    """Shows the rest of the word being typed, where the line means nothing without; the right arrow takes it."""

    def __init__(self, next_words: NextWords, meaning: Meaning) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._next_words, self._meaning = next_words, meaning

    async def get_suggestion(self, value: str) -> str | None:
        """The whole line with its last word finished, or None."""
        with suppress(Refusal):
            self._meaning(value)
            return None
        return self.finished(value)

    def finished(self, value: str) -> str | None:
        """The same of any line."""
        before, _, begun = value.rpartition(" ")
        fits = (w for w in self._next_words(before) if begun and w.lower().startswith(begun.lower()) and w != begun)
        rest = next((w[len(begun) :] for w in fits), None)
        return None if rest is None else value + rest


class AskScreen(Careful, ModalScreen[str]):
    """Asks for one line; dismissed with the text, or with "" when left."""

    BINDINGS: ClassVar = [
        Binding("escape", "leave", "leave", show=False),
        Binding("f1", "explain", "what is this?", show=False),
    ]
    DEFAULT_CSS = """
    AskScreen { align: center bottom; }
    AskScreen > #ask { width: 100%; height: auto; background: $panel; border-top: solid $primary; padding: 0 1; }
    AskScreen Input { background: $panel; }
    AskScreen Input > .input--suggestion { text-style: underline; }
    AskScreen #keys { link-style: none; link-color: $foreground; link-background: $panel; }
    AskScreen .wrong { color: $warning; text-style: bold; }
    """

    def __init__(
        self, question: str, meaning: Meaning, *, hint: str = "", text: str = "", next_words: NextWords | None = None,
        does: str = "notes it", typed_over: tuple[int, int] = (0, 0),
    ) -> None:  # fmt: skip
        """`typed_over`: from where to where in `text` the next letter typed replaces what is there."""
        super().__init__()
        self._ahead = Ahead()
        self._completing = Completing(next_words, meaning) if next_words else None
        self._question, self._meaning, self._hint, self._text = question, meaning, hint, text
        self._does, self._typed_over = does, typed_over

    def compose(self) -> ComposeResult:
        """Question, line, meaning, keys."""
        from textual.containers import Vertical

        typed = Input(self._text, select_on_focus=False, compact=True, suggester=self._completing)
        typed.cursor_blink = False
        if any(self._typed_over):
            typed.selection = Selection(*self._typed_over)
        with Vertical(id="ask"):
            yield Static(self._question, markup=False)
            yield typed
            yield Static("", id="meaning", markup=False)
            yield Static("", id="keys")

    def on_mount(self) -> None:
        """The line is ready to type in."""
        self.query_one(Input).focus()
        self.call_after_refresh(self._ahead.release, self)
        self._explain(self._text)

    def on_resize(self, event: events.Resize) -> None:
        """More or fewer examples fit."""
        self.query_one(Input).placeholder = examples(self._hint, event.size.width - 3)

    def on_key(self, event: events.Key) -> None:
        """A key that came before the line was there waits for it."""
        self._ahead.keep(event)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Says what the text would mean so far."""
        self._explain(event.value)

    def _explain(self, text: str) -> str:
        """Says what Enter would note → the text it would take: as it stands, else with its last word finished; or ""."""
        told = self.query_one("#meaning", Static)
        taken, words = self._taken(text) if text.strip() else ("", "")
        told.set_class(bool(words) and not taken, "wrong")
        told.update(words)
        esc = "leaves" if text in ("", self._text) else "back as it was" if self._text else "clears"
        self.query_one("#keys", Static).update(_KEYS.format(does=self._does, esc=esc))
        return taken

    def _taken(self, text: str) -> tuple[str, str]:
        """The text that means something and what it means; ("", why not) when it means nothing."""
        try:
            return text, self._meaning(text)
        except Refusal as fault:
            finished = self._completing.finished(text) if self._completing else None
            with suppress(Refusal):
                return (finished, self._meaning(finished)) if finished else ("", str(fault))
            return "", str(fault)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Takes the line if it means something."""
        event.stop()
        self.action_enter()

    def action_enter(self) -> None:
        """Takes the line if it means something; an empty one leaves."""
        typed = self.query_one(Input).value
        taken = self._explain(typed)
        if taken or not typed.strip():
            self.dismiss(taken)

    def action_explain(self) -> None:
        """How a line is taken."""
        self.query_one("#meaning", Static).update(explained(ASK))

    def action_leave(self) -> None:
        """Takes back what was typed; leaves where nothing was."""
        line = self.query_one(Input)
        if line.value not in ("", self._text):
            line.value = self._text
            line.cursor_position = len(self._text)
        else:
            self.dismiss("")
