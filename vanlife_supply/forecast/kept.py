"""A belief as bytes and back, exactly: a line of JSON, then the cells of every habit as little-endian doubles."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import astuple, fields
from typing import Any

import numpy as np

from vanlife_supply.entry.evidence import Evidence
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.forecast import grid
from vanlife_supply.forecast.belief import Belief
from vanlife_supply.forecast.calendar import Span
from vanlife_supply.forecast.factor import Factor
from vanlife_supply.forecast.habit import Habit
from vanlife_supply.forecast.prior import Manner, RatePrior
from vanlife_supply.forecast.tally import Tally
from vanlife_supply.forecast.thread import Row, Thread
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Arrangement

_CELLS = ("weight", "level", "var")
_TALLIES = ("errors", "shares")
_APART = (*_CELLS, *_TALLIES, "candour", "factors", "lived", "manner")
_SCALARS = tuple(f.name for f in fields(Habit) if f.name not in _APART)
_SHELF = ("in_use", "anchor_at", "anchor_total", "came", "pace_days", "pace_used", "noted", "missed")


def to_bytes(belief: Belief) -> bytes:
    """The belief as bytes; the same belief always gives the same bytes."""
    threads = list(belief.threads.items())
    said = {
        "since": belief.replay.since,
        "shelves": {name: _shelf(shelf) for name, shelf in belief.replay.shelves.items()},
        "people": belief.calendar.people,
        "spans": [astuple(span) for span in belief.calendar.spans],
        "plans": [astuple(entry) for entry in belief.plans],
        "limits": [astuple(entry) for entry in belief.limits],
        "doubts": belief.doubts,
        "last": belief.last,
        "threads": {name: _thread(thread) for name, thread in threads},
    }
    cells = [np.broadcast_to(getattr(thread.habit, name), grid.SHAPE) for _, thread in threads for name in _CELLS]
    body = b"".join(np.ascontiguousarray(c, dtype="<f8").tobytes() for c in cells)
    return json.dumps(said, separators=(",", ":")).encode() + b"\n" + body


def from_bytes(kept: bytes, arrangements: Sequence[Arrangement]) -> Belief:
    """The belief that `to_bytes` wrote, over the same arrangements. ValueError if it cannot be read."""
    try:
        head, _, body = kept.partition(b"\n")
        said = json.loads(head)
        belief = Belief(last=said["last"])
        belief.arrange(arrangements, said["since"])
        _restore(belief, said)
        _restore_cells(belief, said, body)
    except (KeyError, IndexError, TypeError, UnicodeDecodeError) as fault:
        raise ValueError(f"not a kept belief: {fault}") from None
    return belief


def _restore(belief: Belief, said: dict[str, Any]) -> None:
    for name, told in said["shelves"].items():
        _fill_shelf(belief.replay.shelves[name], told)
    belief.calendar.people = said["people"]
    belief.calendar.spans = [Span(*told) for told in said["spans"]]
    belief.plans = [_entry(told) for told in said["plans"]]
    belief.limits = [_entry(told) for told in said["limits"]]
    belief.doubts = [(str(a), str(b), float(c)) for a, b, c in said["doubts"]]


def _restore_cells(belief: Belief, said: dict[str, Any], body: bytes) -> None:
    arrays = np.frombuffer(body, dtype="<f8").reshape(-1, *grid.SHAPE)
    threads = {}
    for i, (name, told) in enumerate(said["threads"].items()):
        supply = belief.threads[name].supply if name in belief.threads else None
        if supply is None:
            continue
        thread = Thread.begun(supply, _manner(told["manner"]), told["brim"])
        thread.rows = [Row(Evidence(*row), offset) for row, offset in told["rows"]]
        thread.knots = [(at, used) for at, used in told["knots"]]
        for field in ("done", "levels", "mark", "noted", "began"):
            setattr(thread, field, told[field])
        habit = thread.habit
        habit.weight, habit.level, habit.var = arrays[3 * i], arrays[3 * i + 1], arrays[3 * i + 2]
        for field, value in told["habit"].items():
            setattr(habit, field, value)
        for field in _TALLIES:
            setattr(habit, field, {key: Tally(*value) for key, value in told[field].items()})
        habit.factors = {key: Factor(*map(np.array, value)) for key, value in told["factors"].items()}
        habit.lived = np.array(told["lived"])
        habit.candour = Tally(*told["candour"])
        threads[name] = thread
    belief.threads = threads


def _shelf(shelf: Shelf) -> dict[str, Any]:
    vessels = [(v.level, v.sd, v.aside) for v in shelf.vessels]
    return {"vessels": vessels, **{name: getattr(shelf, name) for name in _SHELF}}


def _fill_shelf(shelf: Shelf, told: dict[str, Any]) -> None:
    for vessel, (level, sd, aside) in zip(shelf.vessels, told["vessels"], strict=True):
        vessel.level, vessel.sd, vessel.aside = level, sd, aside
    for name in _SHELF:
        setattr(shelf, name, told[name])


def _thread(thread: Thread) -> dict[str, Any]:
    habit = thread.habit
    return {
        "manner": astuple(thread.manner),
        "brim": thread.brim,
        "rows": [(astuple(row.told), row.offset) for row in thread.rows],
        "knots": thread.knots,
        "done": thread.done,
        "levels": thread.levels,
        "began": thread.began,
        "mark": thread.mark,
        "noted": thread.noted,
        "habit": {name: getattr(habit, name) for name in _SCALARS},
        "errors": {key: astuple(tally) for key, tally in habit.errors.items()},
        "shares": {key: astuple(tally) for key, tally in habit.shares.items()},
        "factors": {key: (factor.logs.tolist(), factor.weight.tolist()) for key, factor in habit.factors.items()},
        "lived": habit.lived.tolist(),
        "candour": astuple(habit.candour),
    }


def _entry(told: list[Any]) -> Entry:
    values: list[Any] = [Moment(*value) if isinstance(value, list) else value for value in told]
    return Entry(*values)


def _manner(told: list[Any]) -> Manner:
    rate, evener, restless, (left, left_sd), (inside, inside_sd), idle, (seldom, often), switches = told
    return Manner(RatePrior(*rate), evener, restless, (left, left_sd), (inside, inside_sd), idle, (seldom, often), switches)
