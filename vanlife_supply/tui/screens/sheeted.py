"""What every screen drawn as one sheet of lines has in common."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar, cast

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from vanlife_supply.tui.careful import Careful
from vanlife_supply.tui.lines import Line
from vanlife_supply.tui.widgets.sheet import Sheet

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

T = TypeVar("T")


class SheetScreen(Careful, Screen[T]):
    """One sheet fills the screen; `_lines` lays it out."""

    @property
    def own(self) -> SupplyApp:
        """The app with our own attributes."""
        return cast("SupplyApp", self.app)

    def compose(self) -> ComposeResult:
        """One sheet fills the screen."""
        yield Sheet(self._lines)

    def _lines(self, width: int, height: int) -> list[Line]:
        """The lines that fill that room."""
        raise NotImplementedError


def key_of_press(event: events.Key) -> str:
    """The key pressed; Enter pressed while the app was still coming up arrives as a line feed."""
    return "enter" if event.key == "ctrl+j" else event.key
