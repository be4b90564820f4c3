"""A page of lines to read, scrolled with the arrows."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from vanlife_supply.actions import FIRST, NOTING, PAGE, on_screen
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.lines import BLANK, Line, line
from vanlife_supply.tui.noting import VERBS
from vanlife_supply.tui.widgets.sheet import Sheet

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

Content = Callable[[int], list[Line]]
"""Width → all lines of the page."""


ACTION_OF = {key: a.id for a in on_screen(PAGE) for key in a.keys}
NOTING_KEYS = {key: a.id for a in on_screen(FIRST) if a.id in NOTING for key in a.keys}


class PageScreen(Screen[None]):
    """A title, lines below it, the keys at the foot. Esc goes back."""

    keys_of: ClassVar[tuple[str, ...]] = (PAGE,)
    """The screens of the registry whose keys stand at the foot."""

    def __init__(self, title: str, content: Content) -> None:
        super().__init__()
        self._title, self._content = title, content
        self._top = 0
        self._left = False
        """Keys already on their way here when it was left belong to the first screen."""

    def compose(self) -> ComposeResult:
        """One sheet fills the screen."""
        yield Sheet(self._lines)

    def _lines(self, width: int, height: int) -> list[Line]:
        foot = [each for screen in self.keys_of for each in key_lines(width, screen)]
        body, room = self._content(width), max(1, height - 3 - len(foot))
        self._top = max(0, min(self._top, len(body) - room))
        shown = body[self._top : self._top + room]
        below = len(body) - self._top - len(shown)
        more = line(f" {below} more below" if below else f" {' '.join(VERBS)} note something from here", "dim")
        head = [line(f" {self._title}", "strong"), BLANK]
        return [*head, *shown, *[BLANK] * (room - len(shown)), more, *foot][:height]

    def on_key(self, event: events.Key) -> None:
        """Scrolls, goes back, or goes back already noting."""
        own = cast("SupplyApp", self.app)
        if self._left:
            own.first.take(event)
        elif event.key in NOTING_KEYS:
            self.action_do("back")
            own.first.action_do(NOTING_KEYS[event.key])
        elif event.key in ACTION_OF:
            self.action_do(ACTION_OF[event.key])
        else:
            return
        event.stop()
        event.prevent_default()

    def action_do(self, name: str) -> None:
        """Scrolls or goes back."""
        if name == "back":
            self._left = True
            self.dismiss()
            return
        self._top += 1 if name == "down" else -1
        self.query_one(Sheet).show()
