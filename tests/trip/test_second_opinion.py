"""The search against HiGHS, a solver that knows nothing of it."""

from __future__ import annotations

import pytest

from tests.trip.instances import STYLES, trip
from vanlife_supply.trip.planner import plan

pytest.importorskip("highspy", reason="highspy is not installed: no second opinion")


@pytest.mark.parametrize("style", STYLES)
def test_a_solver_finds_the_same_cost(style: str) -> None:
    """On forty mid-size trips the solver's optimum and ours are the same, and so is what cannot be done."""
    from tests.trip.second_opinion import cheapest

    feasible = 0
    for seed in range(10):
        one = trip(seed, 14 if seed % 2 else 30, 40 if seed % 2 else 80, style)
        found, other = plan(one), cheapest(one)
        assert (other is None) == (found.status == "infeasible"), seed
        if other is not None:
            feasible += 1
            assert found.status == "optimal"
            assert found.cost == pytest.approx(other, abs=0.004), seed
    assert feasible >= 5
