"""A sheet of lines that fills its place and is drawn line by line."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.careful import Careful
from vanlife_supply.tui.lines import Line, wrap

Layout = Callable[[int, int], list[Line]]
"""Width and height → the lines that fill them."""


class Sheet(Careful, Widget):
    """Draws what its layout returns for the room there is; asks again after `show` or a resize."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "sheet--plain", "sheet--strong", "sheet--dim", "sheet--sure", "sheet--likely",
        "sheet--best", "sheet--alarm", "sheet--key", "sheet--cursor",
    }  # fmt: skip
    DEFAULT_CSS = """
    Sheet { width: 1fr; height: 1fr; background: $background; color: $foreground; }
    Sheet > .sheet--plain { color: $foreground; }
    Sheet > .sheet--strong { text-style: bold; }
    Sheet > .sheet--dim { color: $secondary; }
    Sheet > .sheet--sure { color: $primary; }
    Sheet > .sheet--likely { color: $primary; }
    Sheet > .sheet--best { color: $secondary; }
    Sheet > .sheet--alarm { color: $warning; text-style: bold; }
    Sheet > .sheet--key { color: $accent; text-style: bold; }
    Sheet > .sheet--cursor { text-style: reverse; }
    """

    def __init__(self, layout: Layout) -> None:
        super().__init__()
        self._layout_lines = layout
        self._lines: list[Line] = []

    def show(self) -> None:
        """Asks the layout for its lines again and draws them; where they cannot be had, why."""
        width, height = self.size
        try:
            self._lines = self._layout_lines(width, height) if width > 0 and height > 0 else []
        except Refusal as fault:
            self._lines = wrap(f" {fault}", width - 1, "alarm", " ")
        self.refresh()

    def on_resize(self) -> None:
        """More or less room: lay out again."""
        self.show()

    def notify_style_update(self) -> None:
        """A theme was changed: the looks are read again while drawing."""
        super().notify_style_update()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One line, every cell styled."""
        plain = self.get_component_rich_style("sheet--plain")
        spans = self._lines[y] if y < len(self._lines) else ()
        segments = [Segment(span.text, self._look(span.look, span.act)) for span in spans]
        return Strip(segments).crop(0, self.size.width).extend_cell_length(self.size.width, plain)

    def _look(self, look: str, act: str) -> Style:
        style = self.get_component_rich_style(f"sheet--{look or 'plain'}")
        return style + Style.from_meta({"@click": _click(act)}) if act else style


def _click(act: str) -> str:
    name, _, rest = act.partition("(")
    return f"screen.do('{name}', {rest.rstrip(')')})" if rest else f"screen.do('{name}')"
