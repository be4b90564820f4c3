"""Invented trips for tests and benches, drawn from a seed: the numbers are of the size real ones have, nothing more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random

from vanlife_supply.trip.model import Costs, Place, Service, Stay, Supply, Trip

START = date(2026, 5, 4)
OFFERED = {"fresh": 0.5, "grey": 0.45, "stove_fuel": 0.35, "propane": 0.3}
STYLES = ("mixed", "fixed", "uniform", "allserv")


def supplies(rng: Random) -> tuple[Supply, ...]:
    """All four supplies of a small van."""
    return (
        Supply("fresh", 140.0, rng.uniform(60, 140), rng.uniform(12, 15), 14.0, cv=0.5, cv_rate=0.1),
        Supply("grey", 90.0, rng.uniform(0, 40), rng.uniform(8, 12), 4.0, cv=0.4, cv_rate=0.1, fills=True),
        Supply("stove_fuel", 8.0, rng.uniform(3, 8), rng.uniform(0.25, 0.4), 0.5, cv=0.6, cv_rate=0.15),
        Supply("propane", 12.0, rng.uniform(5, 12), rng.uniform(0.4, 0.6), 1.0, cv=0.7, cv_rate=0.2, unit=6.0),
    )


def stays(rng: Random, nights: int) -> tuple[Stay, ...]:
    """Stays of one to five nights that add up."""
    found: list[Stay] = []
    while (left := nights - sum(s.nights for s in found)) > 0:
        found.append(Stay(min(left, rng.randint(1, 5)), km=float(rng.randint(30, 300))))
    return tuple(found)


def service(rng: Random, name: str, style: str) -> Service:
    """One service: free in the styles whose difficulty lies in the visits alone."""
    if style in ("fixed", "uniform"):
        return Service(name)
    fees, price = {
        "fresh": ((0, 0, 2, 5), rng.choice((0.0, 0.0, 0.03))),
        "grey": ((0, 5, 10, 15), 0.0),
        "stove_fuel": ((0,), round(rng.uniform(2.5, 5.5), 2)),
        "propane": ((0, 3), round(rng.uniform(1.4, 2.8), 2)),
    }[name]
    return Service(name, fee=float(rng.choice(fees)), price=price)


def place(rng: Random, number: int, count: int, style: str) -> Place:
    """A place on a leg or at a stay, some with weekly closing days."""
    names = [n for n, share in OFFERED.items() if style == "allserv" or rng.random() < share] or ["fresh"]
    closed = frozenset(range(7)) - {rng.randrange(7), rng.randrange(7)} if rng.random() < 0.3 else None
    where = Place(
        f"p{number:03}",
        detour_km=0.0 if style in ("fixed", "uniform") else round(rng.expovariate(1 / 6), 1),
        stop=15.0 if style == "fixed" else None,
        open=closed,
        services=tuple(service(rng, name, style) for name in names),
    )
    if rng.random() < 0.7:
        return replace(where, leg=rng.randint(1, count + 1), km=float(rng.randint(0, 99)))
    return replace(where, stay=rng.randint(1, count), when=rng.choice(("arrive", "depart")))


def long_stays(seed: int, nights: int, places: int, style: str = "mixed") -> Trip:
    """A trip of stays of one to two weeks, every place usable on any of their days: the most to choose from."""
    rng = Random(f"long/{seed}/{nights}/{places}/{style}")
    found: list[Stay] = []
    while (left := nights - sum(s.nights for s in found)) > 0:
        found.append(Stay(min(left, rng.randint(7, 14)), km=100.0))
    one = trip(seed, nights, places, style)
    anywhere = tuple(replace(p, leg=None, stay=rng.randint(1, len(found)), when="any") for p in one.places)
    return replace(one, stays=tuple(found), places=anywhere)


def trip(seed: int, nights: int, places: int, style: str = "mixed") -> Trip:
    """A whole trip, feasible or not. Styles: mixed costs; visits of 15 and free services (fixed); all visits equal
    and every place every day (uniform); every place offers all (allserv)."""
    rng = Random(f"{seed}/{nights}/{places}/{style}")
    legs = stays(rng, nights)
    found = [place(rng, i + 1, len(legs), style) for i in range(places)]
    if style == "uniform":
        found = [replace(p, open=None) for p in found]
    costs = Costs(per_km=0.35, stop=5.0 if style == "uniform" else 4.0)
    return Trip(
        START, f"{style}-{seed}", confidence=0.9, costs=costs, supplies=supplies(rng), stays=legs, places=tuple(found)
    )
