"""`plan TRIP [--json]`: the cheapest plan of a trip that is as sure as demanded, or the surest there is."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from time import monotonic

from vanlife_supply.refusal import NO_PLAN, USAGE, Refusal
from vanlife_supply.trip.cures import breaks
from vanlife_supply.trip.explain import binding, one_night_more, whole_trip_chance, without_places
from vanlife_supply.trip.load import load
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.planner import plan
from vanlife_supply.trip.report import as_object
from vanlife_supply.trip.telling import told, told_break, told_stops, told_sureness

_SEARCH_S = 20.0
_REASONS_S = 1.0


def run(argv: list[str], db: str | None) -> int:
    """Print the plan of the trip in a file; exit status 5 when no plan reaches the demanded confidence."""
    words = [word for word in argv if word != "--json"]
    if len(words) != 1 or words[0].startswith("-"):
        raise Refusal("plan takes one trip: plan TRIP [--json].", USAGE)
    trip = _trip(words[0])
    found = plan(trip, out_of_time=_after(_SEARCH_S))
    if "--json" in argv:
        print(json.dumps(as_object(trip, found, breaks(trip, found)), ensure_ascii=False))
    else:
        print("\n".join(_text(trip, found)))
    return NO_PLAN if found.status == "infeasible" else 0


def _trip(name: str) -> Trip:
    try:
        text = Path(name).read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise Refusal(f"'{name}' cannot be read as a trip: {reason}.") from None
    trip = load(text)
    if trip.use == "log":
        raise Refusal(
            f"'{name}' takes its numbers from rig and log; write use = \"assume\" and [assume.X] tables to plan it."
        )
    return trip


def _after(seconds: float) -> Callable[[], bool]:
    deadline = monotonic() + seconds
    return lambda: monotonic() > deadline


def _text(trip: Trip, found: Plan) -> list[str]:
    lines = told(trip, found)
    if found.status == "infeasible":
        return [*lines, *(line for one in breaks(trip, found) for line in ("", *told_break(trip, one)))]
    tightest = binding(found)
    longer = None if tightest is None else one_night_more(trip, tightest)
    lines += ["", *told_sureness(trip, found, whole_trip_chance(trip, found), tightest, longer)]
    return [*lines, *told_stops(trip, without_places(trip, found, out_of_time=_after(_REASONS_S)))]
