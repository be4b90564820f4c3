"""`plan TRIP [--json]`: the cheapest plan of a trip."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from vanlife_supply.refusal import NO_PLAN, USAGE, Refusal
from vanlife_supply.trip.load import load
from vanlife_supply.trip.planner import plan
from vanlife_supply.trip.report import as_object


def run(argv: list[str], db: str | None) -> int:
    """Plan the trip in a file; exit status 5 when no plan reaches the demanded confidence."""
    names = [a for a in argv if a != "--json"]
    trip = load(Path(names[0]).read_text(encoding="utf-8"))
    found = plan(trip)
    print(json.dumps(as_object(trip, found)))
    return NO_PLAN if found.status == "infeasible" else 0
