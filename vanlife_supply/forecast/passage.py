"""How long it lasts: first passage of a gamma process, as exact scalars in plain Python.

Use is a gamma process of shape `c` a day and rate `u`: the amount used by day t is Gamma(c t, rate u), and a supply
of y lasts beyond t exactly when that amount is still below y. The screens use the vectorised form in `ahead`; these
are the identities it rests on (facts.md T18–T24).
"""

from __future__ import annotations

from math import erfc, exp, lgamma, log, sqrt

_TINY = 1e-300
_TURNS = 10_000


def lower_gamma(a: float, x: float) -> float:
    """Regularised lower incomplete gamma P(a, x), a > 0: series below a + 1, continued fraction above; about 1e-14."""
    if x <= 0:
        return 0.0
    head = exp(a * log(x) - x - lgamma(a))
    return head * _series(a, x) if x < a + 1.0 else 1.0 - head * _fraction(a, x)


def _series(a: float, x: float) -> float:
    term = total = 1.0 / a
    for n in range(1, _TURNS):
        term *= x / (a + n)
        total += term
        if term < total * 1e-16:
            break
    return total


def _fraction(a: float, x: float) -> float:
    """Lentz's method for Γ(a, x) / (x^a e^-x)."""
    b = x + 1.0 - a
    c, d = 1.0 / _TINY, 1.0 / b
    value = d
    for n in range(1, _TURNS):
        step = -n * (n - a)
        b += 2.0
        d = 1.0 / _away(step * d + b)
        c = _away(b + step / c)
        value *= d * c
        if abs(d * c - 1.0) < 1e-16:
            break
    return value


def _away(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def empty_by(days: float, amount: float, mean: float, sd: float) -> float:
    """Chance that `amount` is gone by `days`, used at `mean` ± `sd` a day (independent days)."""
    if amount <= 0:
        return 1.0
    if days <= 0:
        return 0.0
    shape, rate = (mean / sd) ** 2, mean / sd**2
    return 1.0 - lower_gamma(shape * days, rate * amount)


def days_until(chance: float, amount: float, mean: float, sd: float) -> float:
    """The day by which `amount` is gone with that chance: the root of `empty_by`, by bisection."""
    low, high = 0.0, 1.0
    while empty_by(high, amount, mean, sd) < chance:
        low, high = high, 2.0 * high
    for _ in range(200):
        middle = 0.5 * (low + high)
        if empty_by(middle, amount, mean, sd) < chance:
            low = middle
        else:
            high = middle
        if high - low < 1e-12 * high:
            break
    return 0.5 * (low + high)


def mean_days(amount: float, mean: float, sd: float) -> float:
    """Mean days until `amount` is gone: u y / c + 1 / (2 c) to first order, c the shape and u the rate a day."""
    shape, rate = (mean / sd) ** 2, mean / sd**2
    return rate * amount / shape + 0.5 / shape


def brownian_empty_by(days: float, amount: float, mean: float, sd: float) -> float:
    """The same chance if use were a Brownian motion with drift (inverse Gaussian): another model, to compare with."""
    root = sd * sqrt(days)
    first = _normal_cdf((mean * days - amount) / root)
    second = exp(2.0 * mean * amount / sd**2) * _normal_cdf(-(mean * days + amount) / root)
    return first + second


def _normal_cdf(z: float) -> float:
    return 0.5 * erfc(-z / sqrt(2.0))
