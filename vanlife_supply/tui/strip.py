"""The calendar strip: one bar for everything that can stop you, all shrinking towards trouble."""

from __future__ import annotations

from datetime import datetime, timedelta

from vanlife_supply.forecast.model import Band, Forecast, LimitOutlook, SupplyOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.tui.lines import Span
from vanlife_supply.wording.times import day_of

SURE, LIKELY, BEST, DATE = "█", "▒", "·", "│"
_SCALES = (3.0, 2.0, 1.0, 0.5, 0.25)
"""Cells a day, the finest first."""


def cells_a_day(forecast: Forecast, cells: int) -> float:
    """The finest scale at which what stops you first lies well inside the strip."""
    first = forecast.first.days_left.p50 if forecast.first else None
    shown = first if first is not None else 60.0
    return next((s for s in _SCALES if shown * s <= 0.6 * cells), _SCALES[-1])


def header(now: Moment, per_day: float, cells: int) -> str:
    """What stands above or below the days: weekdays at each midnight, dates where there are many."""
    out, free = [" "] * cells, 0
    today = now.local()
    midnight = today.replace(hour=0, minute=0, second=0, microsecond=0)
    for n in range(1, int(cells / per_day) + 2):
        at = int((n - (today.hour + today.minute / 60) / 24) * per_day + 0.5)
        label = _label(midnight + timedelta(days=n), n, per_day, cells)
        if label and free <= at <= cells - len(label):
            out[at : at + len(label)] = list(label)
            free = at + len(label) + 1
    return "".join(out)


def _label(day: datetime, n: int, per_day: float, cells: int) -> str:
    """`Fr`, `Mo 11`, `Mon 11 May`, `11 May`, `1 Jun`, `Jun`: what the scale has room for; "" where nothing begins."""
    week, whole = 7 * per_day, day_of(day)
    dated = per_day >= len("Mo 11 ")
    if dated or (per_day >= 2 and cells <= _WEEKDAYS * per_day):
        if dated and day.weekday() == 0:
            return f"Mo {day.day}"
        return whole[:2] if per_day >= len("Fr ") or n % 2 else ""
    if week >= len("11 May "):
        return "" if day.weekday() else whole if week > len("Mon 11 May ") else whole[4:]
    if per_day >= 0.5:
        return whole[4:] if day.day in (1, 15) else ""
    return whole[-3:] if day.day == 1 else ""


_WEEKDAYS = 15
"""Days for which weekdays are told, at most; more of them are dates."""


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
