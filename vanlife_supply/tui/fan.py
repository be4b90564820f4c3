"""The range ahead of one supply: how much will be left on each coming day, in block characters with numbers beside."""

from __future__ import annotations

import math

from vanlife_supply.forecast.model import SupplyOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.quantity import convert
from vanlife_supply.rig.model import FILLS, Supply
from vanlife_supply.tui.lines import Line, Span
from vanlife_supply.tui.strip import header
from vanlife_supply.wording.amounts import number

_MARGIN = 8


def fan(s: SupplyOutlook, now: Moment, its: Supply, width: int, height: int) -> list[Line]:
    """At most `height` lines: what is left by day from now on, sure below, likely and at best above; a scale of round
    numbers at the left, each at the upper edge of its line; then the days and the legend.

    The level falls in a straight line from what is usable now to nothing at each quantile of the days left.
    """
    if s.usable is None or s.days_left is None or s.usable.p50 is None or s.days_left.p50 is None:
        return []
    cells = max(10, width - _MARGIN)
    horizon = s.days_left.p90 if s.days_left.p90 is not None else 60.0
    per_day = max(0.2, min(6.0, cells / max(1.0, 1.1 * horizon)))
    top = max(v for v in (s.usable.p10, s.usable.p50, s.usable.p90) if v is not None) or 1.0
    one = convert(1.0, its.unit, its.measure, its.density)
    step = _round_step(top / one / height)
    rows = max(1, math.ceil(top / one / step - 0.5))
    lines: list[Line] = []
    for row in range(rows, 0, -1):
        label = number(row * step, its.unit) if rows <= 4 or row % 2 == 0 else ""
        spans = [Span(f"{label:>{_MARGIN - 2}} │", "dim")]
        lines.append((*spans, *_row(s, (row - 0.5) * step * one, per_day, cells)))
    what = "room" if s.direction == FILLS else "left"
    axis = (Span(f"{'0':>{_MARGIN - 2}} └", "dim"), Span(header(now, per_day, cells), "dim"))
    return [*lines, axis, (Span(f"{its.unit:>{_MARGIN - 2}}  {what}: █ count on  ▒ likely  · at best", "dim"),)]


def _round_step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(k * power for k in (1, 2, 5, 10) if k * power >= least * (1 - 1e-9))


def _row(s: SupplyOutlook, level: float, per_day: float, cells: int) -> list[Span]:
    assert s.usable and s.days_left
    pairs = ((s.usable.p10, s.days_left.p10), (s.usable.p50, s.days_left.p50), (s.usable.p90, s.days_left.p90))
    ends = [_day_of(level, start, days) * per_day for start, days in pairs]
    spans: list[Span] = []
    done = 0
    for end, (glyph, look) in zip(ends, (("█", "sure"), ("▒", "likely"), ("·", "best")), strict=True):
        upto = min(cells, max(done, round(end)))
        spans.append(Span(glyph * (upto - done), look))
        done = upto
    return [*spans, Span(" " * (cells - done))]


def _day_of(level: float, start: float | None, days: float | None) -> float:
    """When a straight fall from `start` to nothing in `days` passes `level`."""
    if start is None or start <= level:
        return 0.0
    return (days if days is not None else 1e6) * (1 - level / start)
