"""The page to read of one thing to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanlife_supply.tui.lines import BLANK, Line, wrap
from vanlife_supply.tui.screens.asked import AskedScreen
from vanlife_supply.tui.screens.closer import ahead, lately
from vanlife_supply.tui.screens.page import Content, PageScreen
from vanlife_supply.wording.todo import Todo

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp


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
