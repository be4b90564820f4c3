"""The range ahead of one supply: how much will be left on each coming day, in block characters with numbers beside."""

from __future__ import annotations

from vanlife_supply.forecast.model import SupplyOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FILLS, Supply
from vanlife_supply.tui.lines import Line, Span
from vanlife_supply.tui.strip import header
from vanlife_supply.wording.amounts import bare

_MARGIN = 8


def fan(s: SupplyOutlook, now: Moment, its: Supply, width: int, height: int) -> list[Line]:
    """`height` lines: what is left by day from now on, sure below, likely and at best above; a scale at the left.

    The level falls in a straight line from what is usable now to nothing at each quantile of the days left.
    """
    if s.usable is None or s.days_left is None or s.usable.p50 is None or s.days_left.p50 is None:
        return []
    cells = max(10, width - _MARGIN)
    horizon = s.days_left.p90 if s.days_left.p90 is not None else 60.0
    per_day = max(0.2, min(6.0, cells / max(1.0, 1.1 * horizon)))
    top = max(v for v in (s.usable.p10, s.usable.p50, s.usable.p90) if v is not None) or 1.0
    lines: list[Line] = []
    for row in range(height):
        level = top * (height - row - 0.5) / height
        label = bare(top * (height - row) / height, its) if row in (0, height // 2) else ""
        spans = [Span(f"{label:>{_MARGIN - 2}} │", "dim")]
        lines.append((*spans, *_row(s, level, per_day, cells)))
    what = "room" if s.direction == FILLS else "left"
    axis = (Span(f"{'0':>{_MARGIN - 2}} └", "dim"), Span(header(now, per_day, cells), "dim"))
    return [*lines, axis, (Span(f"{its.unit:>{_MARGIN - 2}}  {what}: █ count on  ▒ likely  · at best", "dim"),)]


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
