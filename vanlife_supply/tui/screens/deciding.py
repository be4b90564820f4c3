"""Ask before you act: one line to type, the answer below it; a key of its own notes it where it is an act."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input, Static

from vanlife_supply.actions import key_of
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.board import figures
from vanlife_supply.tui.careful import Careful
from vanlife_supply.tui.decide import HINTS, SHORT, Answered, title
from vanlife_supply.tui.explaining import DECIDING, explained
from vanlife_supply.tui.lines import plain, side_by_side
from vanlife_supply.tui.screens.ahead import Ahead

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp


NOTES = "n"
"""Notes what was asked about; Enter, pressed twice in haste, must not."""


class Question(Input):
    """A line that begins anew once it is answered; a blank goes on with it: `l`, then ` sun`."""

    answered = False
    act = False
    """Whether what was asked can be noted as done."""

    class Done(Message):
        """What was asked about was done."""

    async def _on_key(self, event: events.Key) -> None:
        if self.answered and self.act and event.character == NOTES:
            event.stop()
            event.prevent_default()
            self.post_message(self.Done())
            return
        if event.is_printable:
            if self.answered and event.character != " ":
                self.value = ""
            self.answered = False
        await super()._on_key(event)


class DecidingScreen(Careful, Screen[str]):
    """Dismissed with the phrase to note, or with "" when nothing is."""

    BINDINGS: ClassVar = [
        Binding("escape", "leave", "leave", show=False),
        Binding("down", "scroll(1)", "down", show=False, priority=True),
        Binding("up", "scroll(-1)", "up", show=False, priority=True),
        Binding("pagedown,right", "page(1)", "page down", show=False, priority=True),
        Binding("pageup,left", "page(-1)", "page up", show=False, priority=True),
        Binding("home", "page(-1000)", "top", show=False, priority=True),
        Binding("end", "page(1000)", "bottom", show=False, priority=True),
        Binding("f1", "explain", "what is this?", show=False),
    ]
    DEFAULT_CSS = """
    DecidingScreen { background: $background; }
    DecidingScreen > Vertical { padding: 0 1; }
    DecidingScreen Static { height: auto; }
    DecidingScreen #title { text-style: bold; }
    DecidingScreen #hints { color: $secondary; }
    DecidingScreen #figures { color: $secondary; }
    DecidingScreen #answer.wrong { color: $warning; text-style: bold; }
    DecidingScreen VerticalScroll { height: 1fr; scrollbar-size: 0 0; }
    DecidingScreen #keys { dock: bottom; }
    DecidingScreen Input { background: $panel; }
    DecidingScreen.-told Input, DecidingScreen.-told #title { height: 0; }
    """

    @dataclass
    class Came(Message):
        """An answer is there; `fault` says why there is none."""

        asked: str
        answer: Answered | None
        fault: str = ""

    def __init__(self, asked: str = "", *, at_once: bool = False) -> None:
        super().__init__()
        self._ahead = Ahead()
        self._asked, self._at_once = asked, at_once
        self._answer: Answered | None = None
        self._copied = False
        self._told, self._keys = "", "Enter asks   Esc back"

    def compose(self) -> ComposeResult:
        """Line, answer, what can be asked."""
        example = "s · 2 gal · b w sun · i 2 people until sun"
        typed = Question(self._asked, placeholder=example, select_on_focus=False, compact=True)
        typed.cursor_blink = False
        with Vertical():
            yield Static(title(self._asked), id="title", markup=False)
            yield typed
            with VerticalScroll(can_focus=False):
                yield Static("", id="answer", markup=False)
                yield Static("", id="hints", markup=False)
                yield Static("", id="figures", markup=False)
            yield Static("\nEnter asks   Esc back", id="keys", markup=False)

    def on_mount(self) -> None:
        """Asks at once where nothing has to be typed."""
        self.query_one(Input).focus()
        self.set_class(self._at_once, "-told")
        self.call_after_refresh(self._ahead.release, self)
        for what in ("virtual_size", "scroll_y"):
            self.watch(self.query_one(VerticalScroll), what, self._count_more)
        if self._at_once:
            self._ask(self._asked)

    def on_key(self, event: events.Key) -> None:
        """A key that came before the line was there waits for it."""
        self._ahead.keep(event)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Another question: the answer to the last one no longer counts as one to note."""
        if event.value.strip() != self._asked:
            self._answer = None

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Asks; with an answer on the screen that is no act, copies it."""
        event.stop()
        asked = event.value.strip()
        if self._answer and asked == self._asked:
            self._take(self._answer)
        elif asked:
            self._ask(asked)

    def _take(self, answer: Answered) -> None:
        """Enter with the answer on the screen: what is no act is copied; once more, kept in a file."""
        if answer.phrase:
            return
        if self._copied:
            first = self._asked.split()[0]
            word = SHORT.get(first, first if first in SHORT.values() else "answer")
            try:
                told = f"Kept as {cast('SupplyApp', self.app).desk.keep_files(word, {'txt': answer.text})}.txt."
            except Refusal as fault:
                told = str(fault)
            self._tell(answer.text.rstrip(), wrong=False, keys=f"{told}   ↑ ↓   Esc back")
        else:
            self._copied = True
            self.app.copy_to_clipboard(answer.text)
            keys = "Sent to the terminal's clipboard. Enter: to a file   ↑ ↓   Esc back"
            self._tell(answer.text.rstrip(), wrong=False, keys=keys)

    def on_question_done(self) -> None:
        """The act is noted."""
        if self._answer:
            self.dismiss(self._answer.phrase)

    def _ask(self, asked: str) -> None:
        self._asked, self._answer, self._copied = asked, None, False
        self.query_one("#title", Static).update(title(asked))
        self._tell("Working it out ...", wrong=False, keys="Esc back")
        self._work_out(asked)

    @work(thread=True, exclusive=True, group="deciding", exit_on_error=False)
    def _work_out(self, asked: str) -> None:
        try:
            self.post_message(self.Came(asked, cast("SupplyApp", self.app).desk.decide(asked)))
        except Refusal as fault:
            self.post_message(self.Came(asked, None, str(fault)))
        except Exception as fault:  # whatever goes wrong in there must not leave the screen waiting for ever
            self.post_message(self.Came(asked, None, f"That could not be worked out ({type(fault).__name__}: {fault})."))

    def on_deciding_screen_came(self, came: Came) -> None:
        """Shows the answer, if it is still the one asked for."""
        if came.asked != self._asked:
            return
        self._answer = came.answer
        question = self.query_one(Question)
        question.answered, question.act = True, bool(came.answer and came.answer.phrase)
        if came.answer is None:
            self._tell(came.fault, wrong=True, keys="Enter asks   Esc back")
        else:
            then = f"{NOTES} notes it as done" if came.answer.phrase else "Enter copies it"
            self._tell(came.answer.text.rstrip(), wrong=False, keys=f"{then}   ↑ ↓   Esc back")

    def _tell(self, text: str, *, wrong: bool, keys: str) -> None:
        self._told, self._keys = text, keys
        self.query_one("#answer", Static).set_class(wrong, "wrong")
        self.query_one("#hints", Static).display = wrong or not text
        self._lay_out()

    def on_resize(self) -> None:
        """More or less room: one column or two, other hints below each other."""
        self._lay_out()

    def _lay_out(self) -> None:
        width, room = self.size.width - 2, self.size.height - (2 if self._at_once else 4)
        told, hints = self._fitting(width, room), self.query_one("#hints", Static)
        asked = _hints(max(20, width))
        self.query_one("#answer", Static).update(told)
        hints.update("\n".join(asked))
        above = max(1, _height(told, width)) + (len(asked) if hints.display else 0)
        beside = self._figures(width, room - above - 1)
        self.query_one("#figures", Static).update(beside)
        self.query_one("#figures", Static).display = bool(beside)
        self._count_more()

    def _figures(self, width: int, room: int) -> str:
        """What is known now, in what room is left: one asks with it in sight."""
        app = cast("SupplyApp", self.app)
        if self._at_once or app.forecast is None or app.known.rig is None:  # what is shown at once has its own
            return ""
        found = plain(figures(app.forecast, app.known.rig, width + 1, room))  # its lines begin with a blank, so do ours
        return "\n" + "\n".join(row[1:] for row in found.splitlines()) if found else ""

    def _fitting(self, width: int, room: int) -> str:
        """What is told, in its wide form where there is room for all of it; the sentence at its head may be broken."""
        head, *rest = self._answer.wide.rstrip().splitlines() if self._answer and self._answer.wide else [""]
        if rest and len(rest) + len(head) // width < room and max(map(len, rest)) <= width:
            return "\n".join([head, *rest])
        return side_by_side(self._told, width, room)

    def _count_more(self) -> None:
        """How much of it is out of sight stands above the keys."""
        place = self.query_one(VerticalScroll)
        below = int(place.max_scroll_y - place.scroll_y)
        more = f"{below} more below, {key_of('page_down')} a page" if below > 0 else ""
        self.query_one("#keys", Static).update(f"{more}\n{self._keys}")

    def action_scroll(self, lines: int) -> None:
        """Moves the answer."""
        self.query_one(VerticalScroll).scroll_relative(y=lines, animate=False)

    def action_page(self, pages: int) -> None:
        """So many pages on; where the answer fits on the screen, the cursor of the line moves."""
        place, typed = self.query_one(VerticalScroll), self.query_one(Input)
        if place.max_scroll_y:
            place.scroll_relative(y=pages * max(1, place.size.height - 1), animate=False)
        else:
            typed.cursor_position += pages

    def action_explain(self) -> None:
        """What asking does and does not do."""
        self.query_one("#title", Static).update(explained(DECIDING))

    def action_leave(self) -> None:
        """Back, nothing noted; another question is typed over the last one."""
        self.dismiss("")


def _height(text: str, width: int) -> int:
    """Lines that text takes once it is broken."""
    return sum(max(1, len(textwrap.wrap(row, max(1, width)))) for row in text.splitlines())


def _hints(width: int) -> list[str]:
    return [row for key, words in HINTS for row in textwrap.wrap(f"{key:<3} {words}", width, subsequent_indent=" " * 4)]
