"""First passage of a gamma process and the scores forecasts are judged by, against published and independent values."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, factorial, inf, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special, stats

from vanlife_supply.forecast import arithmetic, passage

TANK, MEAN, SD = 60.0, 3.0, 1.5


@pytest.mark.parametrize(("shape", "x", "expected"), [(1, 1, exp(-1)), (2, 2, 3 * exp(-2)), (5, 5, None)])
def test_erlang_identities(shape: float, x: float, expected: float | None) -> None:
    """Whole shapes are Erlang: Q(n, x) = e^-x Σ x^k / k! (Abramowitz & Stegun 6.5.13)."""
    upper = 1.0 - passage.lower_gamma(shape, x)
    erlang = exp(-x) * sum(x**k / factorial(k) for k in range(int(shape)))
    assert upper == pytest.approx(erlang, abs=1e-12)
    assert expected is None or upper == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("day", "chance"),
    [
        (15, 0.008597537258031304),
        (18, 0.17132615484454947),
        (20, 0.4851312954164734),
        (22, 0.8007460319967098),
        (25, 0.9828916869648668),
    ],
)
def test_tank_of_sixty_litres(day: float, chance: float) -> None:
    """60 L used at 3 ± 1.5 L a day: the chance that it is empty by each day (computed with scipy's gammaincc)."""
    assert passage.empty_by(day, TANK, MEAN, SD) == pytest.approx(chance, abs=1e-9)
    assert passage.empty_by(day, TANK, MEAN, SD) == pytest.approx(float(special.gammaincc(4 * day, 80)), abs=1e-11)


def test_band_and_mean_of_that_tank() -> None:
    """Its 5, 50 and 95 % days are the roots of that chance, its mean 20.125 days and not 60 / 3."""
    band = [passage.days_until(p, TANK, MEAN, SD) for p in (0.05, 0.5, 0.95)]
    assert band == pytest.approx([16.521161105507954, 20.08327158121055, 23.871158672958664], abs=1e-6)
    area, _ = integrate.quad(lambda t: 1.0 - passage.empty_by(t, TANK, MEAN, SD), 0, 60, limit=200)
    assert area == pytest.approx(20.125, abs=1e-5)
    assert passage.mean_days(TANK, MEAN, SD) == pytest.approx(area, abs=1e-5)


@pytest.mark.parametrize(("day", "chance"), [(18, 0.1871247014778024), (20, 0.522232502477792)])
def test_brownian_motion_is_another_model(day: float, chance: float) -> None:
    """With normal instead of gamma days the same tank differs by up to four points (inverse Gaussian, scipy agrees)."""
    told = passage.brownian_empty_by(day, TANK, MEAN, SD)
    scale = (TANK / SD) ** 2
    assert told == pytest.approx(chance, abs=1e-9)
    assert told == pytest.approx(float(stats.invgauss.cdf(day, TANK / MEAN / scale, scale=scale)), abs=1e-9)


@given(st.floats(0.01, 200), st.floats(0.0, 400))
def test_incomplete_gamma_everywhere(shape: float, x: float) -> None:
    """Series and continued fraction agree with scipy wherever a supply could be."""
    assert passage.lower_gamma(shape, x) == pytest.approx(float(special.gammainc(shape, x)), abs=1e-10)


@given(st.floats(1, 100), st.floats(0.1, 10), st.floats(0.1, 1.5), st.floats(0.01, 0.99))
def test_days_until_is_the_inverse(amount: float, mean: float, spread: float, chance: float) -> None:
    """By the day named for a chance the supply is gone with just that chance."""
    day = passage.days_until(chance, amount, mean, spread * mean)
    assert passage.empty_by(day, amount, mean, spread * mean) == pytest.approx(chance, abs=1e-6)


def crps(cdf: Callable[[float], float], y: float, low: float) -> float:
    """∫ (F(x) − 1{x ≥ y})² dx (Gneiting & Raftery 2007)."""
    below, _ = integrate.quad(lambda x: cdf(x) ** 2, low, y, epsabs=1e-11, limit=200)
    above, _ = integrate.quad(lambda x: (1 - cdf(x)) ** 2, y, inf, epsabs=1e-11, limit=200)
    return float(below + above)


@pytest.mark.parametrize(
    ("shape", "rate", "y", "expected"),
    [
        (1, 1, 1, 0.23575888234288467),
        (2, 1, 1, 0.457276647028654),
        (4, 0.5, 10, 1.559874255096163),
        (9, 3, 2.5, 0.29219833924681027),
    ],
)
def test_crps_of_gamma_forecasts(shape: float, rate: float, y: float, expected: float) -> None:
    """Our gamma distribution gives the published continuous ranked probability scores."""
    assert crps(lambda x: passage.lower_gamma(shape, rate * x), y, 0.0) == pytest.approx(expected, abs=1e-8)


@pytest.mark.parametrize(("y", "expected"), [(0, 0.23369497725510913), (1, 0.6024413576276163)])
def test_crps_of_a_normal_forecast(y: float, expected: float) -> None:
    """The closed form for a normal: z(2Φ(z) − 1) + 2φ(z) − 1/√π, with Φ from our own functions."""
    normal = arithmetic.margin_chance(y, 1.0, 0.0, 0.0)
    closed = y * (2 * normal - 1) + 2 * exp(-y * y / 2) / sqrt(2 * pi) - 1 / sqrt(pi)
    assert closed == pytest.approx(expected, abs=1e-9)


def test_more_left_never_ends_sooner() -> None:
    """The chance of being empty grows with the days and shrinks with the amount."""
    days = [passage.empty_by(t, TANK, MEAN, SD) for t in np.linspace(0, 40, 81)]
    amounts = [passage.empty_by(20, y, MEAN, SD) for y in np.linspace(0, 120, 81)]
    assert days == sorted(days) and amounts == sorted(amounts, reverse=True)
