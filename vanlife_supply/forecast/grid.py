"""The cells of belief: rate × evenness × drift, and how belief in them moves while days pass.

Axis 0: log rate in `RATES` equal steps about a centre.  Axis 1: `EVENNESS`, the shape a day of a gamma process
(use over D days of mean μ has variance μ²/(kD)).  Axis 2: `DRIFT`, sd per sqrt(day) of a random walk of the log
rate.  The walk, and rare jumps on top of it, are a continuous-time Markov chain on the rate axis with reflecting
ends; its generator is diagonal in the discrete cosine basis, so any span of time is one closed form and two spans
compose exactly.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp

import numpy as np

from vanlife_supply.forecast.special import Floats

RATES, STEP = 31, 0.2
EVENNESS = np.array([0.6, 1.4, 3.4, 8.0, 20.0])
EVENNESS_PRIOR = np.array([0.06, 0.17, 0.32, 0.28, 0.17])
DRIFT = np.array([0.0, 0.01, 0.03, 0.07])
DRIFT_PRIOR = np.array([0.25, 0.3, 0.3, 0.15])
JUMPS_PER_DAY, JUMP_SD = 0.001, 0.5
SWITCH_SD = 0.5
"""How far from the rates lived with before a switch to a new one leads, on the log scale: mostly less than threefold."""
SHAPE = (RATES, len(EVENNESS), len(DRIFT))

OFFSETS: Floats = (np.arange(RATES) - RATES // 2).astype(np.float64) * STEP
_MODES = np.arange(RATES)
_LAMBDA = 2.0 * (1.0 - np.cos(np.pi * _MODES / RATES)) / STEP**2


@lru_cache(maxsize=1)
def _basis() -> Floats:
    """Orthonormal cosines (mode × rate): `B @ B.T` is the identity."""
    basis = np.cos(np.pi * np.outer(_MODES, np.arange(RATES) + 0.5) / RATES) * np.sqrt(2.0 / RATES)
    basis[0] /= np.sqrt(2.0)
    return np.asarray(basis, dtype=np.float64)


@lru_cache(maxsize=8)
def _decay(restless: float) -> Floats:
    """Decay a day of each cosine mode, (rate mode, drift); `restless` multiplies drifts and jumps."""
    walk = 0.5 * np.multiply.outer(_LAMBDA, (restless * DRIFT) ** 2)
    jump = restless * JUMPS_PER_DAY * (1.0 - np.exp(-0.5 * JUMP_SD**2 * _LAMBDA))
    decay: Floats = walk + jump[:, None]
    return decay


def few_fold(past: Floats) -> Floats:
    """The rates within a few fold of those lived with before, (rate,): bounded by those, unlike a walk."""
    basis = _basis()
    near: Floats = basis.T @ (np.exp(-0.5 * SWITCH_SD**2 * _LAMBDA) * (basis @ past))
    return near


def spread(cells: Floats, days: float, past: Floats, restless: float, returns: float) -> Floats:
    """Belief after `days` of walk, jumps and, `returns` of them a day, returns to `past` rates (rate,).

    `cells` (rate, evenness, drift), or several such side by side, (rate, several, evenness, drift).
    """
    basis = _basis()
    damping = np.exp(-days * _decay(restless))
    flat = (basis @ cells.reshape(RATES, -1)).reshape(RATES, -1, len(DRIFT)) * damping[:, None, :]
    stayed = (basis.T @ flat.reshape(RATES, -1)).reshape(cells.shape)
    stay = exp(-returns * days)
    returned = np.multiply.outer((1.0 - stay) * past, cells.sum(axis=0))
    moved: Floats = stay * stayed + returned
    return moved


def spread_marginal(cells: Floats, days: Floats, past: Floats, restless: float, returns: float) -> Floats:
    """`spread` after each of `days` (T,), summed over the drifts: (T, rate, evenness), each summing to 1."""
    basis = _basis()
    flat = (basis @ cells.reshape(RATES, -1)).reshape(cells.shape)
    damping = np.exp(-np.multiply.outer(days, _decay(restless)))
    damped = np.einsum("tjq,jkq->tjk", damping, flat)
    stay = np.exp(-returns * days)[:, None, None]
    back = np.maximum(stay * (basis.T @ damped) + (1.0 - stay) * past[:, None] * cells.sum(axis=(0, 2)), 0.0)
    normal: Floats = back / back.sum(axis=(1, 2), keepdims=True)
    return normal


def prior_cells(sd: float) -> Floats:
    """Weights before any evidence: a lognormal rate of that sd, usual evenness and drift."""
    rate = np.exp(-0.5 * (OFFSETS / sd) ** 2)
    cells = rate[:, None, None] * EVENNESS_PRIOR[:, None] * DRIFT_PRIOR
    normal: Floats = cells / cells.sum()
    return normal
