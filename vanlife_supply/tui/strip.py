"""The calendar strip: one bar for everything that can stop you, all shrinking towards trouble."""

from __future__ import annotations

from datetime import timedelta

from vanlife_supply.forecast.model import Band, Forecast, LimitOutlook, SupplyOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.tui.lines import Span

SURE, LIKELY, BEST, DATE = "█", "▒", "·", "│"
_SCALES = (3.0, 2.0, 1.0, 0.5, 0.25)
"""Cells a day, the finest first."""


def cells_a_day(forecast: Forecast, cells: int) -> float:
    """The finest scale at which what stops you first lies well inside the strip."""
    first = forecast.first.days_left.p50 if forecast.first else None
    shown = first if first is not None else 60.0
    return next((s for s in _SCALES if shown * s <= 0.6 * cells), _SCALES[-1])


def header(now: Moment, per_day: float, cells: int) -> str:
    """Weekday names at each midnight, or the date of each Monday, or of each month."""
    out = [" "] * cells
    midnight = now.local().replace(hour=0, minute=0, second=0, microsecond=0)
    for n in range(1, int(cells / per_day) + 2):
        day = midnight + timedelta(days=n)
        at = int((n - (now.local().hour + now.local().minute / 60) / 24) * per_day + 0.5)
        if per_day >= 3:
            label = f"{day:%a}"[:2]
        elif per_day >= 2:
            label = f"{day:%a}"[:1]
        elif per_day >= 1:
            label = str(day.day) if day.weekday() == 0 else ""
        else:
            label = f"{day:%b}" if day.day == 1 else ""
        if 0 <= at <= cells - len(label):
            out[at : at + len(label)] = list(label)
    return "".join(out[:cells])


def bar(thing: SupplyOutlook | LimitOutlook, now: Moment, per_day: float, cells: int) -> list[Span]:
    """The bar of one thing, always `cells` wide."""
    if isinstance(thing, LimitOutlook):
        length = min(cells, max(0, round(thing.days_left * per_day)))
        end = DATE if length < cells else ""
        return [Span(SURE * length, "sure"), Span(end.ljust(cells - length))]
    if thing.days_left is None:
        return [Span("not known yet".ljust(cells)[:cells], "dim")]
    marks = _plan_marks(thing, now, per_day, cells)
    glyphs = _band_cells(thing.days_left, per_day, cells)
    return _joined([marks.get(i, g) for i, g in enumerate(glyphs)])


def _band_cells(days: Band, per_day: float, cells: int) -> list[tuple[str, str]]:
    ends = [cells if q is None else q * per_day for q in (days.p10, days.p50, days.p90)]
    looks = ((SURE, "sure"), (LIKELY, "likely"), (BEST, "best"))
    return [next((g for end, g in zip(ends, looks, strict=True) if i + 0.5 <= end), (" ", "")) for i in range(cells)]


def _plan_marks(thing: SupplyOutlook, now: Moment, per_day: float, cells: int) -> dict[int, tuple[str, str]]:
    if thing.planned is None:
        return {}
    at = round(thing.planned.at.days_since(now) * per_day)
    return {at: (thing.planned.kind[:1].upper(), "key")} if 0 <= at < cells else {}


def _joined(glyphs: list[tuple[str, str]]) -> list[Span]:
    spans: list[Span] = []
    for text, look in glyphs:
        if spans and spans[-1].look == look:
            spans[-1] = Span(spans[-1].text + text, look)
        else:
            spans.append(Span(text, look))
    return spans
