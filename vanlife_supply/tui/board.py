"""The first screen as lines: a pure function of what is known and of the room there is."""

from __future__ import annotations

import math
from collections.abc import Container
from dataclasses import dataclass

from vanlife_supply.actions import FIRST, Action, key_name, on_screen
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Forecast, LimitOutlook, SupplyOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.tui.lines import BLANK, FAR, Line, Span, cell, clip, line, wrap
from vanlife_supply.tui.spare import spare
from vanlife_supply.tui.strip import BEST, LIKELY, SURE, bar, cells_a_day, header
from vanlife_supply.wording.amounts import amount, rate
from vanlife_supply.wording.days import Lasting, by_end
from vanlife_supply.wording.entries import entry_line
from vanlife_supply.wording.names import limit_name, supply_name
from vanlife_supply.wording.sentence import answer
from vanlife_supply.wording.state import left_now, short_container, short_mark
from vanlife_supply.wording.times import clock, day, days_since, past, short, spell
from vanlife_supply.wording.todo import Todo

NARROW, WIDE = 70, 110
"""Below NARROW columns the strip gives way to two columns; from WIDE on the entries stand beside it."""


@dataclass(frozen=True, slots=True)
class View:
    """All the first screen shows. `forecast` is None while it is being worked out."""

    rig: Rig
    now: Moment
    forecast: Forecast | None = None
    entries: tuple[Entry, ...] = ()
    foot: tuple[Line, ...] = ()
    """What stands at the bottom instead of the keys: a message or what is being noted."""
    next_stop: str = ""
    """Where to go next, in a line; "" while no place is known or nothing calls for a stop."""
    in_town: tuple[tuple[str, str], ...] = ()
    """Supply and what would be done with one of its containers in town today."""
    todo: tuple[Todo, ...] = ()
    page: int | None = 0
    """How often the rest was asked for, where not all has room; None while keys mean something else."""


def board(view: View, width: int, height: int) -> list[Line]:
    """The whole first screen in exactly `height` lines of at most `width` cells."""
    main = main_width(width)
    if main < width:
        return _beside(_main(view, main, height), _entries_side(view, width - main - 3, height), main)
    return _main(view, width, height)


def main_width(width: int) -> int:
    """The columns left for the answer where the entries stand beside it."""
    return width - min(44, width - 82) - 3 if width >= WIDE else width


def _main(view: View, width: int, height: int) -> list[Line]:
    foot = _foot(view, width)
    head = _status(view, width)
    if view.forecast is None:
        waiting = line(" Working it out from what was noted ...", "dim")
        return _filled([head, BLANK, waiting], foot, height)
    room = height - len(foot)
    blocks, rest = _blocks(view, view.forecast, head, width, room)
    if not rest or view.page is None or room < _PAGED:
        blocks += spare(view.in_town, view.forecast, view.rig, width, room - sum(len(b) + 1 for b in blocks if b) + 1)
        return _spaced(blocks, foot, height)
    blocks, rest = _blocks(view, view.forecast, head, width, room - 1)
    page = room - 3  # the head, a blank line and what is still below take one each
    for _ in range(view.page % (1 + math.ceil(len(rest) / page))):
        blocks, rest = [[head], rest[:page]], rest[page:]
    more = f" {len(rest)} more below, " if rest else " That is all, "
    key = key_name(next(a for a in on_screen(FIRST) if a.id == "rest").key)
    mark: Line = (Span(f"{more}{key} {'a page' if rest else 'to the answer'}", "dim", "rest"),)
    return _filled([*_spaced(blocks, [], room - 1), mark], foot, height)


_PAGED = 8
"""Lines it takes above the keys to show the rest page by page."""


def _blocks(view: View, forecast: Forecast, head: Line, width: int, height: int) -> tuple[list[list[Line]], list[Line]]:
    """What of the answer, the table, the things to do and the jugs goes into `height` lines, and what does not."""
    todo, rig = list(view.todo), view.rig
    top = [head, *_answer(forecast, rig, todo, width)]
    room = height - len(top)
    first = _todo_lines(todo[:1], width, room)
    stop = _stop_lines(view.next_stop, width)
    table, later = _table(forecast, rig, width, max(1, min(room - len(first) - len(stop) - (width >= NARROW), 9)))
    room -= len(table)
    lists = _todo_lines(todo, width, max(0, room - len(stop))) if room > 0 else []
    lists += stop[: max(0, room - len(lists))]
    room = max(0, room - len(lists))
    held = _containers(forecast, rig, width)
    undone = [*_todo_lines(todo, width, FAR), *stop][len(lists) :]
    return [top, table, lists, held[:room]], [*later, *undone, *held[room:]]


def _spaced(blocks: list[list[Line]], foot: list[Line], height: int) -> list[Line]:
    """The blocks with blank lines between them while there is room, the foot at the very bottom."""
    spare = height - len(foot) - sum(len(b) for b in blocks)
    out: list[Line] = []
    for i, block in enumerate(b for b in blocks if b):
        if i and spare > 0:
            out.append(BLANK)
            spare -= 1
        out += block
    return _filled(out, foot, height)


def _filled(lines: list[Line], foot: list[Line], height: int) -> list[Line]:
    body = lines[: max(0, height - len(foot))]
    return [*body, *[BLANK] * (height - len(foot) - len(body)), *foot][:height]


def _status(view: View, width: int) -> Line:
    """The date, who is aboard, what is on, how old the last entry is."""
    left = f" {day(view.now)}, {clock(view.now)}"
    f = view.forecast
    people = f.people if f else view.rig.people
    aboard = f"{people:g} {'person' if people == 1 else 'people'}"
    facts = [", ".join([aboard, *(p.split()[0] for p in view.rig.pets)]), *(f.conditions if f else ())]
    last = f.last_entry if f else max((e.at.epoch for e in view.entries), default=None)
    facts.append("nothing noted yet" if last is None else f"last entry {_age(last, view.now)}")
    while facts:  # where there is no room for all, what was on and the last entry stay
        right = " · ".join(facts)
        gap = width - len(left) - len(right) - 1
        if gap > 0:
            return line(left + " " * gap + right, "dim")
        facts = facts[1:]
    return line(clip(left, width), "dim")


def _age(epoch: float, now: Moment) -> str:
    days = days_since(epoch, now)
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def _answer(forecast: Forecast, rig: Rig, todo: list[Todo], width: int) -> list[Line]:
    """The sentence, then the first warning if it is about what stops you."""
    how_long, what = answer(forecast, rig)
    whole = f" {how_long}  {what}"
    if len(whole) <= width:
        lines: list[Line] = [BLANK, (Span(f" {how_long}  ", "strong"), Span(what, "strong"))]
    else:
        lines = [BLANK, line(clip(f" {how_long}", width), "strong")]
        lines += wrap(f" {what}", width, "strong", " ")
    if todo and todo[0].pressing and todo[0].text:
        lines += wrap(f" {todo[0].text}", width, "alarm", " ")[:2]
    return lines


def _table(forecast: Forecast, rig: Rig, width: int, most: int) -> tuple[list[Line], list[Line]]:
    """The rows that go into so many lines, and those of what comes later, under a heading of their own."""
    things = by_end(forecast)
    count = max(1, most - 2) if len(things) + 1 > most else len(things)
    rows = _narrow if width < NARROW else _wide
    shown = rows(things[:count], forecast, rig, width)
    if count == len(things):
        return shown, []
    more = line(f"  and {len(things) - count} more, later than these", "dim")
    return [*shown, more], rows(things[count:], forecast, rig, width)


def _wide(things: list[Lasting], forecast: Forecast, rig: Rig, width: int) -> list[Line]:
    cells = width - _LEFT - _RIGHT
    per_day = cells_a_day(forecast, cells)
    legend = f"{SURE} count on  {LIKELY} likely  {BEST} at best"
    rows: list[Line] = [
        (
            Span(f"  {cell('', 9)}{cell('left now', 13)}{cell('a day', 6)}", "dim"),
            Span(header(forecast.as_of, per_day, cells), "dim"),
            Span(" likely", "dim"),
        )
    ]
    for thing in things:
        first = forecast.first is not None and _key(thing) == forecast.first.what
        left, used, end, known = _figures(thing, forecast, rig)
        start = f" {'→' if first else ' '}{cell(_name(thing, rig), 9)}{cell(left, 13)}{cell(used, 6)}"
        closer = f"closer({_key(thing)!r})" if isinstance(thing, SupplyOutlook) else ""
        rows.append((
            Span(start, "strong" if first else "", closer),
            *bar(thing, forecast.as_of, per_day, cells),
            Span(f" {cell(end, 13)} "), Span(cell(known, 5), "dim"),
        ))  # fmt: skip
    plans = {s.planned.kind for s in forecast.supplies if s.planned}
    told = "".join(f"  {kind[:1].upper()} = {kind} planned" for kind in sorted(plans))
    rows.append(line(cell(legend + told, width - 1, right=True), "dim"))
    return rows


_LEFT, _RIGHT = 30, 20


def _narrow(things: list[Lasting], forecast: Forecast, rig: Rig, width: int) -> list[Line]:
    """Two columns instead of the strip: what may be counted on, and what is likely."""
    rows = [line(clip(f"  {cell('', 8)}{cell('left now', 14)}{cell('count on', 11)}likely", width), "dim")]
    for thing in things:
        first = forecast.first is not None and _key(thing) == forecast.first.what
        left, _, _, _ = _figures(thing, forecast, rig)
        sure, likely = _lasting(thing)
        text = f" {'→' if first else ' '}{cell(_name(thing, rig), 8)}{cell(left, 14)}{cell(sure, 11)}{likely}"
        rows.append(line(clip(text, width), "strong" if first else ""))
    return rows


def figures(forecast: Forecast, rig: Rig, width: int, room: int) -> list[Line]:
    """The answer and as many rows of the table as go into `room` lines, for beside a question; [] where none does."""
    _, *top = _answer(forecast, rig, [], width)
    rows = _narrow(by_end(forecast), forecast, rig, width)[: max(0, room - len(top))]
    return [*top, *(rows if len(rows) > 1 else [])] if len(top) <= room else []


def _lasting(thing: Lasting) -> tuple[str, str]:
    if isinstance(thing, LimitOutlook):
        return spell(thing.days_left, down=True), ""
    if thing.days_left is None:
        return "not known", ""
    return spell(thing.days_left.p10, down=True), spell(thing.days_left.p50)


def _key(thing: Lasting) -> str:
    return thing.word if isinstance(thing, LimitOutlook) else thing.supply


def _name(thing: Lasting, rig: Rig) -> str:
    return limit_name(thing.word) if isinstance(thing, LimitOutlook) else supply_name(thing.supply, rig)


def _figures(thing: Lasting, forecast: Forecast, rig: Rig) -> tuple[str, str, str, str]:
    """Left now, a day, likely end, where it is known from."""
    now = forecast.as_of
    if isinstance(thing, LimitOutlook):
        return "", "", f"till {short(thing.at, now)}", "said"
    its = rig.supply(thing.supply)
    if thing.usable is None or thing.usable.p50 is None:
        return "", "", "", ""
    fills = thing.direction == FILLS
    left = left_now(thing.usable.p50, thing, forecast, its)
    used = rate(thing.use_per_day.p50, its) if thing.use_per_day and thing.use_per_day.p50 is not None else ""
    likely = thing.days_left.p50 if thing.days_left else None
    if thing.days_left is None:
        end = ""
    elif likely is None:
        end = "over a year"
    else:
        end = f"{'full' if fills else 'out'} {short(now.plus(likely), now)}"
    return left, used, end, short_mark(thing, forecast)


def _todo_lines(todo: list[Todo], width: int, room: int) -> list[Line]:
    lines: list[Line] = []
    for i, each in enumerate(todo, 1):
        wrapped = wrap(f" {i} {each.cure}", width, "", "   ")
        act = ("first_thing", "second_thing", "third_thing")[i - 1]
        wrapped = [tuple(Span(s.text, s.look, act) for s in one) for one in wrapped]
        if len(lines) + len(wrapped) > room:
            break
        lines += wrapped
    return lines


def _stop_lines(text: str, width: int) -> list[Line]:
    """Where to go next, at most two lines; a tap opens it."""
    lines = wrap(f" {text}", width, "", "   ")[:2] if text else []
    return [tuple(Span(s.text, s.look, "next_stop") for s in one) for one in lines]


def _containers(forecast: Forecast, rig: Rig, width: int) -> list[Line]:
    """The jugs, canisters and cylinders as they stand, each supply beginning a line."""
    rows: list[Line] = []
    for outlook in forecast.supplies:
        its = rig.supply(outlook.supply)
        kept = [f"{amount(its.reserve, its)} of it kept back"] if its.reserve else []
        held = _packed([*(short_container(c, outlook, rig) for c in outlook.containers), *kept], width - 11)
        act = f"closer({outlook.supply!r})"
        for i, text in enumerate(held):
            name = supply_name(outlook.supply, rig) if i == 0 else ""
            rows.append((Span(f" {cell(name, 9)}", "dim", act), Span(clip(text, width - 11), "", act)))
    return rows


def _packed(parts: list[str], width: int) -> list[str]:
    """Parts set side by side, as many to a line as fit, none of them broken."""
    lines: list[str] = []
    for part in parts:
        joined = f"{lines[-1]}   {part}" if lines else part
        if lines and len(joined) <= width:
            lines[-1] = joined
        else:
            lines.append(part)
    return lines


def _entries_side(view: View, width: int, height: int) -> list[Line]:
    """The newest entries, for wide terminals."""
    rows = [line("Noted lately", "dim")]
    for entry in reversed(view.entries[-(height - 2) :]):
        when = line(clip(f"  {past(entry.at, view.now, entry.slack_h)}", width), "dim")
        told = [*wrap(entry_line(entry, view.rig), width, "", "  "), when]
        if len(rows) + len(told) >= height:
            break
        rows += told
    return rows[: height - 1]


def _beside(main: list[Line], side: list[Line], width: int) -> list[Line]:
    out: list[Line] = []
    for i, each in enumerate(main):
        used = sum(len(s.text) for s in each)
        extra = side[i] if i < len(side) else BLANK
        out.append((*each, Span(" " * max(0, width - used)), Span(" │ ", "dim"), *extra))
    return out


def _foot(view: View, width: int) -> list[Line]:
    if view.foot:
        return [tuple(Span(clip(s.text, width), s.look, s.act) for s in each) for each in view.foot]
    return [BLANK, *key_lines(width)]


def key_lines(
    width: int, screen: str = FIRST, rows: tuple[int, ...] = (1, 2), only: Container[str] | None = None
) -> list[Line]:
    """The hints of a screen's keys, each tappable, wrapped to the width; `only`: of those that have something to do."""
    lines: list[Line] = []
    for row in rows:
        actions = [a for a in on_screen(screen) if a.row == row and (only is None or a.id in only)]
        if row == 2 and width < NARROW:
            actions = [a for a in actions if a.id in _NARROW_HINTS]
        lines += _hints(actions, width) if actions else []
    return lines


_NARROW_HINTS = ("can_i", "say", "entries", "more", "quit")
"""Where lines are few, the others are found under more."""


def _hints(actions: list[Action], width: int) -> list[Line]:
    lines: list[list[Span]] = [[]]
    used = 0
    for action in actions:
        text = f" {key_name(action.key)} {action.words} "
        if used + len(text) > width and lines[-1]:
            lines.append([])
            used = 0
        lines[-1] += [Span(f" {key_name(action.key)}", "key", action.id), Span(f" {action.words} ", "", action.id)]
        used += len(text)
    return [tuple(each) for each in lines]
