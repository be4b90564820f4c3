"""A page about what the log holds besides entries: read by a worker, shown when it comes, scrolled or walked through."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, ClassVar, Generic, TypeVar

from textual import events, work
from textual.message import Message
from textual.worker import get_current_worker

from vanlife_supply.actions import PAGE, key_of, keys_of
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.explaining import explained
from vanlife_supply.tui.lines import BLANK, FAR, Line, line, wrap
from vanlife_supply.tui.screens.sheeted import SheetScreen, key_of_press
from vanlife_supply.tui.widgets.sheet import Sheet

T = TypeVar("T")


class LiveScreen(SheetScreen[None], Generic[T]):
    """Title, lines, what was just done, keys. Its actions are those of `screen` in the registry."""

    screen_name: ClassVar[str]
    waiting: ClassVar[str] = "Reading ..."
    keys_wait: ClassVar[bool] = False
    """Whether keys pressed before the page has been read wait for it."""
    some_wait: ClassVar[frozenset[str]] = frozenset()
    """Where not all do: the actions that do."""

    @dataclass
    class Came(Message):
        """A worker has read something; `turn` tells for which asking. `fault`: why there is nothing."""

        turn: int
        found: Any
        fault: str = ""

    def __init__(self) -> None:
        super().__init__()
        self._found: T | None = None
        self._fault = ""
        self._message = ""
        self._turn = 0
        self._top, self._page = 0, 1
        self._each = 1
        """Lines a step up or down goes past."""
        self._early: list[tuple[str, tuple[str, ...]]] = []

    # what each page brings

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[T]:
        """What is to be shown, in a worker; several where the first comes sooner. Ends early when `stopped`."""
        raise NotImplementedError

    def heading(self) -> str:
        """The title."""
        raise NotImplementedError

    def body(self, found: T, width: int) -> list[Line]:
        """All lines of the page."""
        raise NotImplementedError

    # the rest is the same for all

    def on_mount(self) -> None:
        """Begins to read."""
        self.look()

    def look(self) -> None:
        """Reads again in the background; what is shown stays until it comes."""
        self._turn += 1
        self._read_on(self._turn)

    @work(thread=True, exclusive=True, group="live", exit_on_error=False)
    def _read_on(self, turn: int) -> None:
        stopped = get_current_worker()

        def act(book: Logbook, now: Moment) -> None:
            for found in self.read(book, now, lambda: stopped.is_cancelled):
                self.post_message(self.Came(turn, found))

        try:
            self.own.desk.on_log(act)
        except Refusal as fault:
            self.post_message(self.Came(turn, None, str(fault)))
        except Exception as fault:  # whatever goes wrong in there must not leave the screen waiting for ever
            self.post_message(self.Came(turn, None, f"That could not be worked out ({type(fault).__name__}: {fault})."))

    def on_live_screen_came(self, came: Came) -> None:
        """Shows what was read, if it is still what was asked for."""
        if came.turn == self._turn:
            self._fault = came.fault
            self._found = came.found if came.found is not None else self._found
            self.show()

    def show(self) -> None:
        """Draws what is known now; before the sheet is there it will ask by itself."""
        for sheet in self.query(Sheet):
            sheet.show()
        early, self._early = (self._early, []) if self._found is not None else ([], self._early)
        for name, rest in early:
            self.action_do(name, *rest)

    def tell(self, text: str) -> None:
        """Says what was done, until the next key."""
        self._message = text
        self.show()

    def _lines(self, width: int, height: int) -> list[Line]:
        foot = [*self.foot(width), *self.keys(width), *key_lines(width, PAGE)]
        room = max(1, height - 2 - len(foot))
        shown = self.window(self._content(width), room)
        self._page = max(1, (room - 1) // self._each)
        return [line(f" {self.heading()}", "strong"), BLANK, *shown, *[BLANK] * (room - len(shown)), *foot][:height]

    def _content(self, width: int) -> list[Line]:
        if self._fault:
            return wrap(f" {self._fault}", width - 1, "alarm", " ")
        return [line(f" {self.waiting}", "dim")] if self._found is None else self.body(self._found, width)

    def window(self, body: list[Line], room: int) -> list[Line]:
        """The part of the page that is in sight."""
        self._top = max(0, min(self._top, len(body) - room))
        shown = body[self._top : self._top + room]
        below = len(body) - self._top - len(shown)
        if below <= 0 or room <= 1:
            return shown
        return [*shown[:-1], line(f" {below + 1} more below, {key_of('page_down')} a page", "dim")]

    def foot(self, width: int) -> list[Line]:
        """What was just done."""
        return wrap(f" {self._message}", width - 1, "strong", " ") if self._message else [BLANK]

    def keys(self, width: int) -> list[Line]:
        """The hints of the page's own keys."""
        return key_lines(width, self.screen_name)

    def on_key(self, event: events.Key) -> None:
        """Every key at once, in the order pressed."""
        action = keys_of(self.screen_name, PAGE).get(key_of_press(event))
        if action:
            event.stop()
            event.prevent_default()
            self.action_do(action)

    def action_do(self, name: str, *rest: str) -> None:
        """Runs an action of the registry by its id."""
        waits = name in self.some_wait or (self.keys_wait and name != "back")
        if waits and self._found is None and not self._fault:
            self._early.append((name, rest))
            return
        self._message = ""
        try:
            getattr(self, f"do_{name}")(*rest)
        except Refusal as fault:
            self._message = str(fault)
        self.show()

    def do_back(self) -> None:
        """Back to where it was opened from."""
        self.dismiss()

    def do_up(self) -> None:
        """A line up."""
        self._top -= 1

    def do_down(self) -> None:
        """A line down."""
        self._top += 1

    def do_page_up(self) -> None:
        """A page up."""
        for _ in range(self._page):
            self.do_up()

    def do_page_down(self) -> None:
        """A page down."""
        for _ in range(self._page):
            self.do_down()

    def do_top(self) -> None:
        """To the first line."""
        self._top = 0

    def do_bottom(self) -> None:
        """To the last line."""
        self._top = FAR

    @property
    def about(self) -> str:
        """What is explained: the kind of the row under the cursor, else the screen."""
        return self.screen_name

    def do_explain_this(self) -> None:
        """What stands here, in two sentences."""
        self._message = explained(self.about)

    def noted(self, act: Callable[[Logbook, Moment], None], told: str) -> None:
        """Keeps something, says so, reads again; the first screen learns of it too."""
        self.own.desk.on_log(act)
        self._message = f"{told} {key_of('undo')} on the first screen takes that back."
        self.own.reload()
        self.look()
