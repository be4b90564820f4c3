"""The search against trying everything, on trips small enough for that."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random

import pytest

from tests.trip.judge import ALL_HOLD, Judge, visits_of
from vanlife_supply.trip.model import Costs, Place, Service, Stay, Supply, Trip
from vanlife_supply.trip.planner import plan

NAMES = ("fresh", "grey", "stove_fuel")


def tiny_supply(rng: Random, name: str) -> Supply:
    usable = rng.choice((20.0, 40.0))
    return Supply(
        name, usable, round(rng.uniform(0, usable), 1), rng.choice((0.0, 4.0, 7.3, 9.1)), rng.choice((0.0, 3.0)),
        start_sd=rng.choice((0.0, 0.0, 2.0)), cv=rng.choice((0.0, 0.4, 0.9)), cv_rate=rng.choice((0.0, 0.15)),
        confidence=rng.choice((0.6, 0.9)), end_reserve=rng.choice((None, None, 12.0)),
        end_value=rng.choice((0.0, 0.0, 0.4)), unit=6.8, fills=name == "grey",
    )  # fmt: skip


def tiny_service(rng: Random, name: str) -> Service:
    levels = rng.choice(((1.0,), (1.0,), (0.5,), (0.6, 1.0)))
    return Service(name, rng.random() < 0.25, rng.choice((0.0, 2.0)), rng.choice((0.0, 0.5, 1.7)), levels)


def tiny_place(rng: Random, number: int, stays: int) -> Place:
    names = rng.sample(NAMES, rng.choice((1, 1, 2, 3)))
    place = Place(
        f"p{number}", detour_km=rng.choice((0.0, 3.0, 10.0)), hours=rng.choice((0.0, 0.5)), entry=rng.choice((0.0, 1.0)),
        stop=rng.choice((None, None, 1.0)), open=rng.choice((None, None, frozenset({0, 2, 4, 5}))),
        season=rng.choice((None, None, ((10, 1), (5, 6)))), closed=rng.choice((frozenset(), frozenset({date(2026, 5, 6)}))),
        services=tuple(tiny_service(rng, name) for name in names),
    )  # fmt: skip
    if rng.random() < 0.5:
        return replace(place, leg=rng.randint(1, stays + 1), km=float(rng.randint(0, 50)))
    return replace(place, stay=rng.randint(1, stays), when=rng.choice(("arrive", "depart", "any")))


def tiny_trip(seed: int) -> Trip:
    rng = Random(seed)
    stays = tuple(
        Stay(rng.choice((0, 1, 2, 2, 3)), factor={"fresh": rng.choice((0.5, 2.0))} if rng.random() < 0.3 else {})
        for _ in range(rng.randint(1, 4))
    )
    names = rng.sample(NAMES, rng.randint(1, 3))
    places = tuple(tiny_place(rng, n, len(stays)) for n in range(rng.randint(1, 4)))
    costs = Costs(rng.choice((0.0, 0.35)), rng.choice((0.0, 4.0)), rng.choice((0.0, 6.0)))
    return Trip(
        date(2026, 5, 4), costs=costs, supplies=tuple(tiny_supply(rng, n) for n in names), stays=stays, places=places
    )


@pytest.mark.parametrize("block", range(6))
def test_no_plan_is_cheaper_or_surer_than_the_one_found(block: int) -> None:
    """On 600 tiny trips cost, confidence and attainable chance equal those of trying every combination."""
    infeasible = 0
    for seed in range(block * 100, block * 100 + 100):
        trip = tiny_trip(seed)
        found, judge = plan(trip), Judge(trip)
        least, keys = judge.cheapest()
        cost, found_keys = judge.cost(visits_of(found))
        assert found_keys == pytest.approx(keys), seed
        assert cost == pytest.approx(least, abs=0.004), seed
        assert found.cost == pytest.approx(cost, abs=1e-6), seed
        failing = {name: max(0.0, k[0]) for name, k in keys.items() if k != ALL_HOLD}
        assert found.attainable == pytest.approx(failing), seed
        assert found.status == ("infeasible" if failing else "optimal"), seed
        infeasible += bool(failing)
    assert 10 < infeasible < 90  # both kinds are met
