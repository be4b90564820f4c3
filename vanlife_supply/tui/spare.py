"""What a large terminal shows below the answer: what to do in town, and the range ahead of what ends first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from vanlife_supply.actions import key_of
from vanlife_supply.forecast.model import Forecast, SupplyOutlook
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.tui.fan import fan
from vanlife_supply.tui.lines import Line, Span, cell, clip, line
from vanlife_supply.wording.days import by_end
from vanlife_supply.wording.names import supply_name

_NAME = 9
"""Columns for the name of a supply, as in the list of jugs."""
_LEAST, _MOST = 4, 8
"""Rows of the picture: with fewer it says nothing, more say no more."""


def spare(in_town: Sequence[tuple[str, str]], forecast: Forecast, rig: Rig, width: int, room: int) -> list[list[Line]]:
    """Blocks that fit into `room` lines with a blank one before each, the most wanted first. `in_town`: supply and what is
    to be done with one of its containers."""
    blocks: list[list[Line]] = []
    for make in (partial(_in_town, in_town), partial(_ahead, forecast)):
        block = make(rig, width, room - 1)
        if block and len(block) < room:
            blocks.append(block)
            room -= len(block) + 1
    return blocks


def _in_town(in_town: Sequence[tuple[str, str]], rig: Rig, width: int, room: int) -> list[Line]:
    """What would have to be dumped and got if it were today; [] where it does not all fit."""
    rows: list[Line] = [(
        Span(" In town today  ", "strong", "town"), Span(f" {key_of('town')}", "key", "town"),
        Span(" the whole list", "dim", "town"),
    )]  # fmt: skip
    before = ""
    for supply, words in in_town:
        name = "" if supply == before else supply_name(supply, rig)
        rows.append((Span(f" {cell(name, _NAME)}", "dim", "town"), Span(clip(words, width - _NAME - 2), "", "town")))
        before = supply
    return rows if 1 < len(rows) <= room else []


def _ahead(forecast: Forecast, rig: Rig, width: int, room: int) -> list[Line]:
    """Day by day what is left of the supply that ends first."""
    known = (s for s in by_end(forecast) if isinstance(s, SupplyOutlook) and s.days_left is not None)
    first = next(known, None)
    if first is None or room < _LEAST + 2:
        return []
    picture = fan(first, forecast.as_of, rig.supply(first.supply), width - 2, min(_MOST, room - 3))
    if not picture:
        return []
    what = "room left" if first.direction == FILLS else "left"
    act = f"closer({first.supply!r})"
    head = f" {supply_name(first.supply, rig)}: {what} from day to day, {rig.supply(first.supply).unit}"
    return [line(clip(head, width), "strong"), *(tuple(Span(s.text, s.look, act) for s in each) for each in picture[:-1])]
