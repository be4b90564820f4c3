"""The gamma law against exact identities, published sums and SciPy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import gammainc

from vanlife_supply.trip.chance import GammaLaw, Span, gamma_cdf, interval_chance, span_of
from vanlife_supply.trip.model import Supply

shapes = st.floats(1e-3, 1e4)


@given(shapes, st.floats(0.0, 10.0))
def test_scipy_agrees(shape: float, ratio: float) -> None:
    """Over seven decades of shape the distribution function agrees with SciPy's, up to the rounding of lgamma: the
    exponent is a difference of numbers as large as shape × log shape."""
    rounding = 1e-13 + 2.0 * 2.2e-16 * shape * math.log(shape + 2.0)
    assert gamma_cdf(shape, shape * ratio) == pytest.approx(float(gammainc(shape, shape * ratio)), abs=rounding)


@pytest.mark.parametrize("shape", [1, 2, 5, 12])
@pytest.mark.parametrize("x", [0.1, 1.0, 2.0, 5.0, 30.0])
def test_whole_shapes_are_erlang(shape: int, x: float) -> None:
    """For whole shapes 1 − F is a Poisson sum (Abramowitz & Stegun 6.5.13)."""
    tail = math.exp(-x) * sum(x**k / math.factorial(k) for k in range(shape))
    assert gamma_cdf(shape, x) == pytest.approx(1.0 - tail, abs=1e-14)


def test_identities_of_first_passage() -> None:
    """P(passed by t) = Q(ct, uy): e^-1, 3 e^-2, and five Poisson terms (exact Erlang identities)."""
    assert 1.0 - gamma_cdf(1.0, 1.0) == pytest.approx(0.36787944117144233, abs=1e-12)
    assert 1.0 - gamma_cdf(2.0, 2.0) == pytest.approx(0.4060058497098381, abs=1e-12)
    assert 1.0 - gamma_cdf(5.0, 5.0) == pytest.approx(0.4404932850652124, abs=1e-12)


@pytest.mark.parametrize(
    ("day", "empty"),
    [
        (15, 0.008597537258031304),
        (18, 0.17132615484454947),
        (20, 0.4851312954164734),
        (22, 0.8007460319967098),
        (25, 0.9828916869648668),
    ],
)
def test_sixty_litres_at_three_a_day(day: int, empty: float) -> None:
    """60 L, 3 ± 1.5 L a day: chance of being empty by that day (computed with SciPy, checked by simulation)."""
    supply = Supply("fresh", 60.0, 60.0, 3.0, cv=0.5)
    law = GammaLaw(supply, [1.0] * 30)
    assert 1.0 - law.chance(Span(0, day, 60.0, True)) == pytest.approx(empty, abs=1e-9)


def test_mean_and_band_of_first_passage() -> None:
    """Days 60 L last at 3 ± 1.5 L, gamma process: mean 80/4 + 1/8 = 20.125 (quadrature); 5/50/95 % by root."""

    def lasts(days: float) -> float:
        return gamma_cdf(4.0 * days, 80.0)

    step = 0.01
    mean = sum(lasts((i + 0.5) * step) for i in range(6000)) * step
    assert mean == pytest.approx(20.125, abs=1e-4)
    for days, gone in ((16.521161105507954, 0.05), (20.08327158121055, 0.5), (23.871158672958664, 0.95)):
        assert 1.0 - lasts(days) == pytest.approx(gone, abs=1e-9)


def test_certain_use_falls_from_one_to_nothing() -> None:
    """Without spread a supply holds surely to the litre and then not at all."""
    law = GammaLaw(Supply("fresh", 40.0, 40.0, 4.0), [1.0] * 20)
    assert [law.chance(Span(0, day, 40.0, False)) for day in (9, 10, 11)] == [1.0, 1.0, 0.0]


def test_a_doubtful_start_widens_the_first_interval_only() -> None:
    """`start_sd` lowers the chance of the interval that begins the trip and no other."""
    law = GammaLaw(Supply("fresh", 60.0, 60.0, 3.0, cv=0.5, start_sd=8.0), [1.0] * 20)
    assert law.chance(Span(0, 15, 60.0, True)) < law.chance(Span(0, 15, 60.0, False))


def test_nothing_to_use_holds_unless_the_trip_ends_below_its_reserve() -> None:
    """With no use an interval holds even below the reserve, so that a place on day 0 can rescue; the end does not."""
    supply = Supply("fresh", 60.0, 2.0, 3.0, reserve=5.0)
    law = GammaLaw(supply, [1.0])
    below = span_of(supply, 0, 0, 2.0, opening=True, closing=False)
    assert interval_chance(law, below, closing=False) == 1.0
    assert interval_chance(law, below, closing=True) == 0.0
    level = span_of(supply, 0, 0, 5.0, opening=False, closing=True)
    assert interval_chance(law, level, closing=True) == 1.0


@given(st.floats(1e5, 1e12), st.floats(-3.0, 3.0))
def test_scipy_agrees_on_large_shapes(shape: float, deviations: float) -> None:
    """Where use is almost certain the distribution function still agrees with SciPy's to three deviations; farther
    below the mean SciPy itself is wrong in the third digit (2.794e-7 instead of 2.797e-7 at five, shape 2850258)."""
    x = shape + deviations * shape**0.5
    assert gamma_cdf(shape, x) == pytest.approx(float(gammainc(shape, x)), abs=3e-10)


@given(st.floats(0.0, 1e-3), st.floats(0.0, 1e-3))
def test_the_smallest_spread_is_no_trouble(cv: float, cv_rate: float) -> None:
    """A spread next to nothing gives a chance next to certain, on either side."""
    law = GammaLaw(Supply("fresh", 60.0, 60.0, 3.0, cv=cv, cv_rate=cv_rate), [1.0] * 20)
    assert law.chance(Span(0, 10, 30.5, False)) == pytest.approx(1.0, abs=1e-9)
    assert law.chance(Span(0, 10, 29.5, False)) == pytest.approx(0.0, abs=1e-9)


@given(st.floats(0.1, 0.4), st.integers(1, 20))
def test_one_interval_alone_is_as_sure_as_its_joint(cv: float, nights: int) -> None:
    """Without a common rate error the joint chance of one interval is its own; with one it differs by the law's fit."""
    law = GammaLaw(Supply("fresh", 60.0, 60.0, 3.0, cv=cv), [1.0] * 20)
    span = Span(0, nights, 40.0, False)
    assert law.joint([span]) == pytest.approx(law.chance(span), abs=1e-12)
    rated = GammaLaw(Supply("fresh", 60.0, 60.0, 3.0, cv=cv, cv_rate=0.15), [1.0] * 20)
    assert rated.joint([span]) == pytest.approx(rated.chance(span), abs=0.05)


def test_a_common_rate_binds_intervals_together() -> None:
    """Two like intervals under one uncertain rate hold together more often than independent ones, never more than one."""
    law = GammaLaw(Supply("fresh", 60.0, 60.0, 3.0, cv=0.3, cv_rate=0.3), [1.0] * 20)
    one, two = Span(0, 10, 36.0, False), Span(10, 20, 36.0, False)
    assert law.joint([one]) ** 2 < law.joint([one, two]) < law.joint([one])
