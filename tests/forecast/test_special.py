"""The vectorised functions against scipy as a second opinion."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special as scipy_special
from scipy import stats

from vanlife_supply.forecast import special
from vanlife_supply.forecast.weighing import cut


def test_normal_cdf() -> None:
    """Φ by one exponential, within 4e-4."""
    z = np.linspace(-8, 8, 4001)
    assert np.abs(special.quick_normal_cdf(z) - scipy_special.ndtr(z)).max() < 4e-4


def test_log_gamma() -> None:
    """ln Γ within 1e-7 from tiny to large shapes."""
    a = np.geomspace(1e-3, 1e4, 500)
    assert np.abs(special.log_gamma(a) - scipy_special.gammaln(a)).max() < 1e-6


@pytest.mark.parametrize(("shapes", "error"), [((0.02, 6.0), 2.5e-3), ((6.0, 300.0), 1e-3)])
def test_gamma_cdf(shapes: tuple[float, float], error: float) -> None:
    """P(a, x) within what its docstring says, for a few hours as for weeks of use."""
    shape = np.geomspace(*shapes, 60)[:, None]
    amount = np.linspace(0.0, 4.0, 300)[None, :]
    told = special.gamma_cdf(shape, shape, amount)[:, 0, :]
    assert np.abs(told - scipy_special.gammainc(shape, shape * amount)).max() < error


def test_gamma_density() -> None:
    """The log density of a gamma by mean and shape is scipy's."""
    x, mean, shape = np.array([0.5, 2.0, 9.0]), np.array([1.0, 3.0, 7.0]), np.array([0.4, 2.0, 30.0])
    assert special.gamma_log_pdf(x, mean, shape) == pytest.approx(stats.gamma.logpdf(x, shape, scale=mean / shape), abs=1e-6)


def test_tail_of_the_normal() -> None:
    """Φ and φ/Φ stay right far into the tail."""
    z = np.linspace(-30, 8, 2001)
    below, steep = special.beneath(z)
    assert below == pytest.approx(scipy_special.ndtr(z), rel=1e-6)
    assert steep == pytest.approx(np.exp(stats.norm.logpdf(z) - scipy_special.log_ndtr(z)), rel=1e-6)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_cut_normal(side: float) -> None:
    """A Gaussian cut at a sharp bound has the moments of scipy's truncated normal."""
    mean, sd, bound = np.array([0.0, 2.0, -1.0]), np.array([1.0, 0.5, 2.0]), 1.2
    chance, middle, var = cut(mean, sd**2, bound, 0.0, side)
    edge = (bound - mean) / sd
    ends = (edge, np.full(3, np.inf)) if side > 0 else (np.full(3, -np.inf), edge)
    whole = stats.truncnorm(*ends, loc=mean, scale=sd)
    assert chance == pytest.approx(stats.norm.cdf(side * (mean - bound) / sd), rel=1e-6)
    assert middle == pytest.approx(whole.mean(), rel=1e-5)
    assert var == pytest.approx(whole.var(), rel=1e-4)
