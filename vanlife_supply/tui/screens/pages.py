"""The pages to read: all keys, one thing to do opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanlife_supply.actions import TITLES, key_name, on_screen
from vanlife_supply.tui.lines import BLANK, Line, Span, line, wrap
from vanlife_supply.tui.screens.asked import AskedScreen
from vanlife_supply.tui.screens.closer import ahead, lately
from vanlife_supply.tui.screens.page import Content, PageScreen
from vanlife_supply.wording.todo import Todo

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

_HOW = (
    "Press the letter of what happened, then the letter of what it was about, then Enter. Enter alone is the exact event: "
    "filled to the top, dumped empty, the next jug opened. An amount and a time may stand between: f w 12 3 last night.",
    "Nothing needs to be noted daily. Fills, dumps and jugs that ran dry teach the rate; a look now and then does the rest.",
    "Nothing is ever sent anywhere.",
)


def help_page() -> PageScreen:
    """Every key and what it does."""
    return PageScreen("Keys", _help)


def _help(width: int) -> list[Line]:
    lines = [each for text in _HOW for each in wrap(f" {text}", width - 1, "", " ")]
    for screen, title in TITLES.items():
        lines += [BLANK, line(f" {title.capitalize()}", "strong")]
        for action in on_screen(screen):
            keys = " ".join(key_name(k) for k in action.keys)
            first, *rest = wrap(action.help, width - 11)
            lines.append((Span(f" {keys:<8} ", "key"), *first))
            lines += [(Span(" " * 10), *each) for each in rest]
    return lines


def thing_page(app: SupplyApp, todo: Todo) -> PageScreen:
    """One thing to do: what threatens, what helps, how we know."""
    if todo.question:
        return AskedScreen(todo.question, _thing(app, todo))
    return PageScreen("Worth doing", _thing(app, todo))


def _thing(app: SupplyApp, todo: Todo) -> Content:
    def content(width: int) -> list[Line]:
        lines = wrap(f" {todo.text}", width - 1, "strong", " ") if todo.text else []
        lines += [*wrap(f" {todo.cure}", width - 1, "", " "), BLANK]
        outlook = app.forecast.supply(todo.supply) if app.forecast and todo.supply else None
        if app.forecast is None or outlook is None:
            return lines
        return [*lines, *ahead(outlook, app.forecast, app.rig, width), *lately(app, outlook.supply, width)]

    return content
