"""Trips lived through with a plan made anew every day; run by hand: `python -m tests.bench.rolling [trips]`.

True use is drawn from the model the plan assumes: a rate for the whole trip and uneven nights. Every morning the true
levels are read, the trip is planned from there on (the plan of the day before kept while it holds, as the command does),
and what it says of today is done. The bar: in 92 of 100 trips no supply ever goes below its reserve, each interval being
planned at 0.9.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from math import sqrt
from random import Random
from time import perf_counter

from tests.trip.instances import trip as drawn
from vanlife_supply.trip.answer import answer
from vanlife_supply.trip.change import Kept, remembered
from vanlife_supply.trip.model import Supply, Trip
from vanlife_supply.trip.planner import plan

NIGHTS, PLACES, BAR = 21, 65, 0.92
TRIPS = 400


def main(trips: int) -> None:
    """Print the share of trips whose reserve stayed untouched, that never ran out, and how often plans changed."""
    begun = perf_counter()
    lives = [live(one, Random(seed)) for seed, one in feasible(trips)]
    safe, dry = (sum(life[i] for life in lives) / trips for i in (0, 1))
    changes = sum(life[2] for life in lives) / trips
    error = sqrt(safe * (1.0 - safe) / trips)
    print(
        f"{trips} trips of {NIGHTS} nights × {PLACES} places: reserve untouched {safe:.3f} ± {error:.3f} (bar {BAR}), "
        f"never out or over {dry:.3f}, plan changed on {changes:.1f} days a trip, {perf_counter() - begun:.0f} s"
    )


def feasible(count: int) -> Iterator[tuple[int, Trip]]:
    """Trips that have a plan at the start, of all styles in turn."""
    seed = found = 0
    while found < count:
        one = drawn(seed, NIGHTS, PLACES, ("mixed", "fixed", "uniform", "allserv")[seed % 4])
        if plan(one).status != "infeasible":
            found += 1
            yield seed, one
        seed += 1


def live(trip: Trip, rng: Random) -> tuple[bool, bool, int]:
    """(reserve never touched, never out or over, days on which the plan was changed) of one trip."""
    rates = {s.name: rng.gammavariate(1.0 / s.cv_rate**2, s.cv_rate**2) for s in trip.supplies}
    stock = {s.name: s.stock for s in trip.supplies}
    old: Kept | None = None
    safe = wet = True
    changes = 0
    for day in range(trip.nights):
        now = replace(trip, today=day, supplies=tuple(_with_stock(s, stock[s.name]) for s in trip.supplies))
        found = answer(now, old=old)
        if found.followed is not None and not found.followed.kept and (found.followed.added or found.followed.dropped):
            changes += 1
        old = remembered(now, found.plan)
        for visit in found.plan.visits:
            for service in visit.services if visit.day == day else ():
                stock[service.supply] = service.level * trip.supply(service.supply).usable
        for s in trip.supplies:
            mean = s.mean * rates[s.name] * trip.factors(s.name)[day]
            stock[s.name] -= rng.gammavariate(1.0 / s.cv**2, s.cv**2 * mean)
            safe = safe and stock[s.name] >= s.reserve
            wet = wet and stock[s.name] >= 0.0
            stock[s.name] = max(0.0, stock[s.name])
    return safe, wet, changes


def _with_stock(supply: Supply, stock: float) -> Supply:
    return replace(supply, start=supply.usable - stock if supply.fills else stock)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else TRIPS)
