"""The pages to read: all keys, one supply closer, one thing to do opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanlife_supply.actions import TITLES, key_name, on_screen
from vanlife_supply.forecast.model import Forecast, SupplyOutlook
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.tui.fan import fan
from vanlife_supply.tui.lines import BLANK, Line, Span, line, wrap
from vanlife_supply.tui.screens.page import Content, PageScreen
from vanlife_supply.wording.amounts import amount, rate, spread
from vanlife_supply.wording.entries import entry_full
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.state import container_text, mark
from vanlife_supply.wording.times import about, count_on, spell
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


def closer_page(app: SupplyApp, supply: str) -> PageScreen:
    """One supply: its range ahead, its containers, how we know, what was noted of it."""

    def content(width: int) -> list[Line]:
        outlook = app.forecast.supply(supply) if app.forecast else None
        return closer(app, outlook, width) if app.forecast and outlook else [line(" Working it out ...", "dim")]

    return PageScreen(supply_name(supply, app.rig), content)


def closer(app: SupplyApp, s: SupplyOutlook, width: int) -> list[Line]:
    """The page of one supply."""
    assert app.forecast is not None
    lines = [*_figures(s, app.forecast, app.rig, width), BLANK]
    if s.days_left is not None:
        lines += [*fan(s, app.forecast.as_of, app.rig.supply(s.supply), width - 2, 8), BLANK]
    lines += [line(f" {container_text(c, s, app.rig)}") for c in s.containers]
    if s.why:
        lines += [BLANK, line(" How we know", "strong")]
        lines += [each for why in s.why for each in wrap(f" {why}", width - 1, "", " ")]
    last = [e for e in reversed(app.known.entries) if e.supply == s.supply][:8]
    if last:
        lines += [BLANK, line(" Noted lately", "strong")]
        lines += [each for e in last for each in wrap(f" {entry_full(e, app.rig, app.now())}", width - 1, "", "   ")]
    return lines


def _figures(s: SupplyOutlook, f: Forecast, rig: Rig, width: int) -> list[Line]:
    its, fills = rig.supply(s.supply), s.direction == FILLS
    if s.days_left is None or s.level is None or s.usable is None:
        known = "dumped empty, or how much is in it" if fills else "filled to the top, or how much is left"
        return wrap(f" Not known yet. Note when it is {known}.", width - 1, "", " ")
    told = [f"Count on {count_on(s.days_left)}, at best {spell(s.days_left.p90)}."]
    if s.days_left.p50 is not None:
        told.append(f"{'Full' if fills else 'Out'} about {about(f.as_of.plus(s.days_left.p50), f.as_of)}.")
    told.append(f"In it {spread(s.level, its)}; {'room' if fills else 'to use'} {spread(s.usable, its)}.")
    if s.reserve:
        told.append(f"Kept back: {amount(s.reserve, its)}.")
    if s.use_per_day and s.use_per_day.p10 is not None and s.use_per_day.p90 is not None:
        low, high = rate(s.use_per_day.p10, its), rate(s.use_per_day.p90, its)
        told.append(f"A day: {low if low == high else f'{low} to {high}'} {its.unit}.")
    source = mark(s, f)
    return wrap(f" {' '.join(told)}{f' ({source})' if source else ''}", width - 1, "", " ")


def thing_page(app: SupplyApp, todo: Todo) -> PageScreen:
    """One thing to do: what threatens, what helps, how we know."""
    return PageScreen("Worth doing", _thing(app, todo))


def _thing(app: SupplyApp, todo: Todo) -> Content:
    def content(width: int) -> list[Line]:
        lines = wrap(f" {todo.text}", width - 1, "strong", " ") if todo.text else []
        lines += [*wrap(f" {todo.cure}", width - 1, "", " "), BLANK]
        outlook = app.forecast.supply(todo.supply) if app.forecast and todo.supply else None
        return lines + (closer(app, outlook, width) if outlook else [])

    return content
