"""Two small pictures of a supply's past, the numbers beside each: its use a day, and what was said against what came."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.forecast.facts import Outcome, Stretch
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Supply
from vanlife_supply.tui.lines import Line, Span, cell, line, wrap
from vanlife_supply.wording.closer import said_cells, said_heading, use_cells, use_heading, use_whole

MOST = 12
"""Rows of each, the newest first."""
SAID, LIKELY, CAME, BEYOND = "▒", "│", "●", "›"


def use_picture(found: Sequence[Stretch], its: Supply, now: Moment, width: int) -> list[Line]:
    """A bar for every stretch between two good levels, all from nothing on; what held meanwhile at its end."""
    shown = list(reversed(found[-MOST:]))
    if not shown:
        return []
    rows = [use_cells(s, its, now) for s in shown]
    held = min(max(len(row[2]) for row in rows), max(8, width * 2 // 5))
    room = max(4, width - 23 - held)
    most = max(s.per_day for s in shown)
    out = wrap(f" {use_heading(its)}", width - 1, "strong", " ")
    for s, (dates, rate, words) in zip(shown, rows, strict=True):
        bar = "█" * max(1, round(s.per_day / most * room))
        beside = Span(f" {cell(dates, 14)}{rate:>5} ")
        out.append((beside, Span(cell(bar, room), "sure"), Span(f" {cell(words, held)}", "dim")))
    return [*out, line(f" {use_whole(found, its)}", "dim")]


def said_picture(found: Sequence[Outcome], now: Moment, width: int) -> list[Line]:
    """A row for every forecast that has been overtaken: the range said, the likely day, and when it came."""
    shown = list(reversed(found[-MOST:]))
    if not shown:
        return []
    rows = [said_cells(o, now) for o in shown]
    wide = max(4, *(len(row[1]) for row in rows))
    room = max(4, width - 25 - wide)
    far = _far(shown)
    heads = f" {cell('from', 7)}{cell('said', wide)} {'came':>5}"
    out = [*wrap(f" {said_heading(found)}", width - 1, "strong", " "), line(f"{heads} {_axis(far, room)}", "dim")]
    for o, (start, said, came, verdict) in zip(shown, rows, strict=True):
        beside = Span(f" {cell(start, 7)}{cell(said, wide)} {came:>5} ")
        out.append((beside, *_range(o, far, room), Span(f" {verdict}", "" if o.inside else "strong")))
    return [*out, line(f" {SAID} range said  {LIKELY} likely  {CAME} came", "dim")]


def _far(shown: Sequence[Outcome]) -> float:
    """Days at the right end: all that came and, unless far beyond it, all that was said."""
    came = max(o.days for o in shown)
    return max(came * 1.05, min(max(o.said.p90 or 0.0 for o in shown), 2.0 * came))


def _range(o: Outcome, far: float, room: int) -> list[Span]:
    glyphs = [(" ", "")] * room
    ends = [room if q is None else min(room, int(q / far * room)) for q in (o.said.p10, o.said.p50, o.said.p90)]
    for i in range(ends[0], min(room, ends[2] + 1)):
        glyphs[i] = (SAID, "likely")
    if ends[1] < room:
        glyphs[ends[1]] = (LIKELY, "strong")
    if o.said.p90 is None or o.said.p90 > far:
        glyphs[-1] = (BEYOND, "likely")
    glyphs[min(room - 1, int(o.days / far * room))] = (CAME, "alarm")
    return [Span(text, look) for text, look in glyphs]


def _axis(far: float, room: int) -> str:
    """Day numbers along the top, as many as stand apart."""
    step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500) if s / far * room >= 4)
    out = [" "] * room
    for day in range(0, int(far) + 1, step):
        at, text = int(day / far * room), str(day)
        if at + len(text) <= room:
            out[at : at + len(text)] = list(text)
    return "".join(out)
