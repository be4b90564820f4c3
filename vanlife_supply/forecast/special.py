"""Vectorised normal and gamma distribution functions on numpy arrays, without scipy."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_HALF_LOG_TAU = 0.9189385332046727
_SHIFT_BELOW, _SHIFT = 3.0, 3
_LOGIT, _LOGIT_CUBE = 1.5957691216, 0.0705659
_ERFC = (-1.26551223, 1.00002368, 0.37409196, 0.09678418, -0.18628806, 0.27886807, -1.13520398, 1.48851587, -0.82215223,
         0.17087277)  # fmt: skip
_NORMAL_PEAK = 0.3989422804014327
# Gauss–Hermite nodes and weights for a standard normal, three points.
NODES = np.array([-1.7320508075688772, 0.0, 1.7320508075688772])
NODE_WEIGHTS = np.array([1 / 6, 2 / 3, 1 / 6])


def quick_normal_cdf(z: Floats) -> Floats:
    """Φ(z) by a logistic of a cubic, one exponential; absolute error under 4e-4 (after Page, 1977)."""
    power = z * z
    power *= -_LOGIT_CUBE
    power -= _LOGIT
    power *= z
    np.minimum(power, 700.0, out=power)
    np.exp(power, out=power)
    power += 1.0
    return np.reciprocal(power, out=power)


def beneath(z: Floats) -> tuple[Floats, Floats]:
    """Φ(z) and φ(z)/Φ(z), far into the tail too: relative error under 2e-7 for z > -35 (Chebyshev fit of erfc, from
    memory after Press et al., Numerical Recipes, section 6.2)."""
    x = np.abs(z) * 0.7071067811865476
    t = 1.0 / (1.0 + 0.5 * x)
    power = np.full_like(t, _ERFC[-1])
    for coefficient in _ERFC[-2::-1]:
        power = coefficient + t * power
    scaled = 0.5 * t * np.exp(power)
    density = np.exp(-x * x)
    below = np.where(z < 0, scaled * density, 1.0 - scaled * density)
    steep = _NORMAL_PEAK / np.where(z < 0, scaled, 1.0)
    return below, np.where(z < 0, steep, _NORMAL_PEAK * density / below)


def log_gamma(a: Floats) -> Floats:
    """ln Γ(a) for a > 0: Stirling's series after a shift by three; error under 1e-6."""
    b = a + 3.0
    series = (b - 0.5) * np.log(b) - b + _HALF_LOG_TAU + (1.0 / 12.0 - (1.0 / 360.0 - 1.0 / (1260.0 * b * b)) / (b * b)) / b
    return series - np.log(a * (a + 1.0) * (a + 2.0))


def gamma_cdf(shape: Floats, scale: Floats, amount: Floats) -> Floats:
    """P(shape, scale × amount), the regularised lower incomplete gamma: (points, cells, atoms).

    `shape` > 0 and `scale` (points, cells), `amount` ≥ 0 (cells, atoms). Error under 2.5e-3, under 1e-3 from a shape
    of 6 on. Wilson–Hilferty's cube root, which separates; shapes under 3 are first raised by
    P(a, x) = P(a + 1, x) + x^a e^-x / Γ(a + 1), so that the skew of a day or two of use is right where it matters.
    """
    small = shape < _SHIFT_BELOW
    raised = np.where(small, shape + _SHIFT, shape)
    spread = np.sqrt(9.0 * raised)
    z = np.cbrt(scale / raised)[:, :, None] * np.cbrt(amount)
    z -= (1.0 - 1.0 / (9.0 * raised))[:, :, None]
    z *= spread[:, :, None]
    value = quick_normal_cdf(z)
    if small.any():
        point, cell = np.nonzero(small)
        value[point, cell] += _head(shape[point, cell][:, None], scale[point, cell][:, None] * amount[cell])
    return value


def _head(a: Floats, x: Floats) -> Floats:
    """P(a, x) − P(a + 3, x)."""
    safe = np.maximum(x, 1e-300)
    first = np.exp(a * np.log(safe) - safe - log_gamma(a + 1.0))
    return first * (1.0 + safe / (a + 1.0) * (1.0 + safe / (a + 2.0)))


def gamma_log_pdf(x: Floats, mean: Floats, shape: Floats) -> Floats:
    """Log density of a gamma of that mean and shape at x > 0."""
    scaled = shape * x / mean
    return shape * np.log(scaled) - scaled - np.log(x) - log_gamma(shape)
