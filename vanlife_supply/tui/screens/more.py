"""More: what the first screen has no letter left for, and every key with what it does."""

from __future__ import annotations

from typing import ClassVar

from vanlife_supply.actions import FIRST, MORE, TITLES, key_name, on_screen, with_keys
from vanlife_supply.tui.lines import BLANK, Line, Span, line, wrap
from vanlife_supply.tui.screens.page import PageScreen

_HOW = (
    "Press the letter of what happened, then the letter of what it was about, then Enter. Enter alone is the exact event: "
    "filled to the top, dumped empty, the next jug opened. An amount and a time may stand between: "
    "{filled} {closer_water} 12 3 last night.",
    "Nothing needs to be noted daily. Fills, dumps and jugs that ran dry teach the rate; a look now and then does the rest.",
    "Nothing is ever sent anywhere.",
)


class MoreScreen(PageScreen):
    """Its own acts first, then all keys; a tap on a line does what its key does."""

    screen_name: ClassVar[str] = MORE

    def __init__(self) -> None:
        super().__init__("More", _keys)


def _keys(width: int) -> list[Line]:
    lines = _of(MORE, width)
    lines += [BLANK, *(each for text in _HOW for each in wrap(f" {with_keys(text)}", width - 1, "", " "))]
    for screen, title in TITLES.items():
        if screen != MORE:
            lines += [BLANK, line(f" {title.capitalize()}", "strong"), *_of(screen, width)]
    return lines


def _of(screen: str, width: int) -> list[Line]:
    """The actions of a screen; those that can be done from here may be tapped."""
    lines: list[Line] = []
    for action in on_screen(screen):
        act = action.id if screen in (MORE, FIRST) else ""
        keys = " ".join(key_name(k) for k in action.keys)
        first, *rest = wrap(with_keys(action.help), width - 11)
        lines.append((Span(f" {keys:<8} ", "key", act), *(Span(s.text, s.look, act) for s in first)))
        lines += [(Span(" " * 10), *(Span(s.text, s.look, act) for s in each)) for each in rest]
    return lines
