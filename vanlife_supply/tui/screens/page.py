"""A page of lines to read, scrolled with the arrows."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import events

from vanlife_supply.actions import FIRST, NOTING, PAGE, key_name, key_of, keys_of, on_screen
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.explaining import explained
from vanlife_supply.tui.lines import BLANK, FAR, Line, line, wrap
from vanlife_supply.tui.screens.sheeted import SheetScreen
from vanlife_supply.tui.widgets.sheet import Sheet

Content = Callable[[int], list[Line]]
"""Width → all lines of the page."""


class PageScreen(SheetScreen[str]):
    """A title, lines below it, the keys at the foot: its own, if `screen_name` has some, and those of any page.

    Dismissed with the action of the first screen that was asked for, "" if none was.
    """

    screen_name: ClassVar[str] = PAGE

    def __init__(self, title: str, content: Content) -> None:
        super().__init__()
        self._title, self._content = title, content
        self._top, self._page = 0, 1
        self._told = ""
        """What the page is, until the next key."""
        self._left = False
        """Keys already on their way here when it was left belong to the first screen."""

    def _lines(self, width: int, height: int) -> list[Line]:
        foot = wrap(f" {self._told}", width - 1, "strong", " ") if self._told else []
        foot += [each for screen in dict.fromkeys((self.screen_name, PAGE)) for each in key_lines(width, screen)]
        body, room = self._content(width), max(1, height - 3 - len(foot))
        self._top, self._page = max(0, min(self._top, len(body) - room)), room
        shown = body[self._top : self._top + room]
        below = len(body) - self._top - len(shown)
        noting = f"{' '.join(self._noting)} note something from here"
        more = line(f" {below} more below, {key_of('page_down')} a page" if below else f" {noting}", "dim")
        head = [line(f" {self._title}", "strong"), BLANK]
        return [*head, *shown, *[BLANK] * (room - len(shown)), more, *foot][:height]

    @property
    def about(self) -> str:
        """What is explained here."""
        return self.screen_name

    @property
    def _noting(self) -> dict[str, str]:
        """The keys of the first screen that note something, as printed → what they do; own keys go before them."""
        own = keys_of(self.screen_name, PAGE)
        return {key_name(k): a.id for a in on_screen(FIRST) if a.id in NOTING for k in a.keys if k not in own}

    def on_key(self, event: events.Key) -> None:
        """Scrolls, goes back, or goes back already noting."""
        action = keys_of(self.screen_name, PAGE).get(event.key) or self._noting.get(key_name(event.key))
        if self._left:
            self.own.first.take(event)
        elif action:
            self.action_do(action)
        else:
            return
        event.stop()
        event.prevent_default()

    def action_do(self, name: str) -> None:
        """Scrolls, goes back, or goes back and does there what belongs to the first screen."""
        moves = {"up": -1, "down": 1, "page_up": -self._page, "page_down": self._page, "top": -FAR, "bottom": FAR}
        self._told = explained(self.about) if name == "explain_this" else ""
        if name in moves or self._told:
            self._top += moves.get(name, 0)
            self.query_one(Sheet).show()
            return
        self._left = True
        self.dismiss("" if name == "back" or name in NOTING else name)
        if name in NOTING:  # at once: the next letters are on their way
            self.own.first.action_do(name)
