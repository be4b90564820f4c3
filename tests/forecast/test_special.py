"""The vectorised functions against scipy as a second opinion."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special as scipy_special
from scipy import stats

from vanlife_supply.forecast import special


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
