"""The search against HiGHS, a solver that knows nothing of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trip.instances import STYLES, long_stays, trip
from vanlife_supply.trip.model import Place, Service, Trip
from vanlife_supply.trip.planner import plan

pytest.importorskip("highspy", reason="highspy is not installed: no second opinion")


def richer(one: Trip) -> Trip:
    """The same trip with propane exchanged, water sold by levels, and what is missing at the end priced."""

    def changed(place: Place) -> Place:
        return replace(place, services=tuple(_richer(service) for service in place.services))

    supplies = tuple(replace(s, end_value=0.02 if s.name == "fresh" else 0.0) for s in one.supplies)
    return replace(one, supplies=supplies, places=tuple(changed(place) for place in one.places))


def _richer(service: Service) -> Service:
    if service.supply == "propane":
        return replace(service, exchange=True, price=18.0)
    return replace(service, levels=(0.5, 0.75, 1.0), price=0.05) if service.supply == "fresh" else service


def assert_agreement(trips: list[Trip], least_feasible: int) -> None:
    """Ours is proven and costs what the solver's costs, or neither has a plan."""
    from tests.trip.second_opinion import cheapest

    feasible = 0
    for one in trips:
        found, other = plan(one), cheapest(one)
        assert (other is None) == (found.status == "infeasible"), one.name
        if other is not None:
            feasible += 1
            assert found.status == "optimal", one.name
            assert found.cost == pytest.approx(other, abs=0.004), one.name
    assert feasible >= least_feasible


@pytest.mark.parametrize("style", STYLES)
def test_a_solver_finds_the_same_cost(style: str) -> None:
    """On forty mid-size trips the solver's optimum and ours are the same, and so is what cannot be done."""
    assert_agreement([trip(seed, *((14, 40) if seed % 2 else (30, 80)), style) for seed in range(10)], 5)


@pytest.mark.parametrize("style", ["mixed", "allserv"])
def test_a_solver_agrees_on_levels_exchange_and_end_value(style: str) -> None:
    """Twenty more trips with everything an arc may cost."""
    assert_agreement([richer(trip(seed, 14, 40, style)) for seed in range(10)], 5)


def test_a_solver_agrees_where_the_gap_is_slow_to_close() -> None:
    """Long trips whose every place offers everything: bound, beam and exact search take turns there."""
    assert_agreement([trip(seed, 60, 200, "allserv") for seed in (0, 4)], 2)


def test_a_solver_agrees_on_places_usable_on_any_day() -> None:
    """Long stays whose places can be used on every day of them."""
    assert_agreement([long_stays(seed, 21, 40) for seed in range(4)], 2)
