"""Trips lived through, planned anew every day; run by hand: `python -m tests.bench.rolling [trips] [places] [still]`.

True use is drawn from the model the plan assumes: a rate for the whole trip and uneven nights. Every morning the true
levels are read, what was used so far tells of the rate (Bayes, as a log would), the trip is planned from there on (the plan
of the day before kept while it holds, as the command does), and what it says of today is done. The bar: in 92 of 100 trips
no supply ever goes below its reserve, each interval being planned at 0.9. With fewer places than the three a night of the
other benches there is often nowhere to go to once more was used than expected; `still` leaves the rate unlearned.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from math import exp, log, sqrt
from random import Random
from time import perf_counter

from tests.trip.instances import trip as drawn
from vanlife_supply.trip.answer import answer
from vanlife_supply.trip.change import Kept, remembered
from vanlife_supply.trip.model import Supply, Trip
from vanlife_supply.trip.planner import plan

NIGHTS, BAR = 21, 0.92
TRIPS, PLACES = 400, 65
RATES = [0.3 + 0.02 * i for i in range(86)]


def main(trips: int, places: int, *, learning: bool) -> None:
    """Print the share of trips whose reserve stayed untouched, that never ran out, and how often plans changed."""
    begun = perf_counter()
    lives = [live(one, Random(seed), learning=learning) for seed, one in feasible(trips, places)]
    safe, dry = (sum(life[i] for life in lives) / trips for i in (0, 1))
    changes = sum(life[2] for life in lives) / trips
    error = sqrt(safe * (1.0 - safe) / trips)
    rate = "" if learning else ", rate not learned"
    print(
        f"{trips} trips of {NIGHTS} nights × {places} places{rate}: reserve untouched {safe:.3f} ± {error:.3f} (bar {BAR}), "
        f"never out or over {dry:.3f}, plan changed on {changes:.1f} days a trip, {perf_counter() - begun:.0f} s"
    )


def feasible(count: int, places: int) -> Iterator[tuple[int, Trip]]:
    """Trips that have a plan at the start, of all styles in turn."""
    seed = found = 0
    while found < count:
        one = _open_all_stay(drawn(seed, NIGHTS, places, ("mixed", "fixed", "uniform", "allserv")[seed % 4]), Random(seed))
        if plan(one).status != "infeasible":
            found += 1
            yield seed, one
        seed += 1


def _open_all_stay(trip: Trip, rng: Random) -> Trip:
    """Four in ten of the places at a stay can be used on any of its days."""
    whens = [rng.random() < 0.4 and place.stay is not None for place in trip.places]
    found = (replace(place, when="any") if yes else place for place, yes in zip(trip.places, whens, strict=True))
    return replace(trip, places=tuple(found))


def live(trip: Trip, rng: Random, *, learning: bool) -> tuple[bool, bool, int]:
    """(reserve never touched, never out or over, days on which the plan was changed) of one trip."""
    rates = {s.name: rng.gammavariate(1.0 / s.cv_rate**2, s.cv_rate**2) for s in trip.supplies}
    stock = {s.name: s.stock for s in trip.supplies}
    used: dict[str, list[float]] = {s.name: [] for s in trip.supplies}
    old: Kept | None = None
    safe = wet = True
    changes = 0
    for day in range(trip.nights):
        known = (_learned(s, used[s.name]) if learning else s for s in trip.supplies)
        now = replace(trip, today=day, supplies=tuple(_with_stock(s, stock[s.name]) for s in known))
        found = answer(now, old=old)
        if found.followed is not None and not found.followed.kept and (found.followed.added or found.followed.dropped):
            changes += 1
        old = remembered(now, found.plan)
        for visit in found.plan.visits:
            for service in visit.services if visit.day == day else ():
                stock[service.supply] = service.level * trip.supply(service.supply).usable
        for s in trip.supplies:
            mean = s.mean * rates[s.name] * trip.factors(s.name)[day]
            used[s.name].append(rng.gammavariate(1.0 / s.cv**2, s.cv**2 * mean))
            stock[s.name] -= used[s.name][-1]
            safe = safe and stock[s.name] >= s.reserve
            wet = wet and stock[s.name] >= 0.0
            stock[s.name] = max(0.0, stock[s.name])
    return safe, wet, changes


def _with_stock(supply: Supply, stock: float) -> Supply:
    return replace(supply, start=supply.usable - stock if supply.fills else stock)


def _learned(supply: Supply, used: list[float]) -> Supply:
    """The supply with the rate as the nights so far tell of it: a gamma prior, gamma nights (all like one another)."""
    prior, night = 1.0 / supply.cv_rate**2, 1.0 / supply.cv**2
    ratio = sum(used) / supply.mean
    logs = [(prior - 1.0 - night * len(used)) * log(r) - prior * r - night * ratio / r for r in RATES]
    weights = [exp(x - max(logs)) for x in logs]
    mean = sum(w * r for w, r in zip(weights, RATES, strict=True)) / sum(weights)
    spread = sum(w * (r - mean) ** 2 for w, r in zip(weights, RATES, strict=True)) / sum(weights)
    return replace(supply, mean=supply.mean * mean, cv_rate=sqrt(spread) / mean)


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:] if word.isdigit()]
    main(*given, *(TRIPS, PLACES)[len(given) :], learning="still" not in sys.argv)
