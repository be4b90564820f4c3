"""A live page of rows with a cursor: walked through, tapped, the part around the cursor in sight."""

from __future__ import annotations

from typing import ClassVar

from vanlife_supply.tui.lines import FAR, Line, Span, clip
from vanlife_supply.tui.screens.live import LiveScreen, T


class RowsScreen(LiveScreen[T]):
    """`opens`: the action of the row under the cursor, which a tap on it does too."""

    opens: ClassVar[str]

    def __init__(self) -> None:
        super().__init__()
        self._at = 0

    def keep_within(self, count: int) -> None:
        """The cursor stays on one of so many rows."""
        self._at = max(0, min(self._at, count - 1))

    def marked(self, text: str, index: int, width: int) -> Line:
        """A line of the row of that number, as wide as the screen under the cursor."""
        here = index == self._at
        return (Span(clip(text, width).ljust(width if here else 0), "cursor" if here else "", f"row({index})"),)

    def arrow(self, index: int) -> str:
        """What a row begins with."""
        return "→" if index == self._at else " "

    def window(self, body: list[Line], room: int) -> list[Line]:
        """The part around the cursor."""
        here = next((i for i, each in enumerate(body) if each and each[0].look == "cursor"), 0)
        top = max(0, min(here - room // 2, len(body) - room))
        return body[top : top + room]

    def do_up(self) -> None:
        """The row above."""
        self._at -= 1

    def do_down(self) -> None:
        """The row below."""
        self._at += 1

    def do_top(self) -> None:
        """The first row."""
        self._at = 0

    def do_bottom(self) -> None:
        """The last row."""
        self._at = FAR

    def do_row(self, index: int) -> None:
        """A tap: to that row; on the row under the cursor it does what Enter does."""
        if index == self._at:
            self.action_do(self.opens)
        self._at = index
