"""How a Gaussian level in every cell is changed by what was noted of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanlife_supply.forecast.special import Floats, beneath, gamma_log_pdf


@dataclass(frozen=True, slots=True)
class Note:
    """A level as a Gaussian statement: y, its sd, the chance of a slip.

    `bound`: it is only said that the level was not beyond y; +1 not under it, -1 not over it. `true`: the chance that
    a note which does not fit is true all the same, something before it being forgotten.
    """

    level: float
    sd: float
    slip: float
    bound: float = 0.0
    true: float = 0.5


def likelihood(note: Note, sign: float, now: Floats, var: Floats, expected: Floats, process: Floats) -> Floats:
    """Density of the noted level in every cell: normal, or gamma where the use itself is what varies.

    `now` ± sqrt(`var`) is the level before, `expected` the one after a use of variance `process`.
    """
    blur = var + note.sd**2
    spread = blur + process
    normal = np.exp(-0.5 * (note.level - expected) ** 2 / spread) / np.sqrt(2 * np.pi * spread)
    seen = sign * (note.level - now)
    gone = np.maximum(sign * (expected - now), 1e-9)
    skewed = (np.sqrt(blur) < 0.4 * gone) & (seen > 0)
    if not skewed.any():
        return normal
    gamma = np.exp(gamma_log_pdf(np.where(skewed, seen, gone), gone, gone**2 / spread))
    return np.where(skewed, gamma, normal)


def pulled(level: Floats, var: Floats, note: Note) -> tuple[Floats, Floats]:
    """Gaussian levels after a noted one (Kalman)."""
    gain = var / (var + note.sd**2)
    return level + gain * (note.level - level), (1.0 - gain) * var


def cut(mean: Floats, var: Floats, bound: Floats | float, error: float, side: float) -> tuple[Floats, Floats, Floats]:
    """Chance, mean and variance of Gaussians not beyond a bound that is itself uncertain by sd `error`.

    `side` +1: not under it, -1: not over it. Moments of the truncated normal, shared out as by Kalman.
    """
    spread = np.sqrt(var + error * error)
    z = np.maximum(side * (mean - bound) / spread, -30.0)
    chance, steep = beneath(z)
    gain = var / spread
    return chance, mean + side * gain * steep, np.maximum(var - gain * gain * steep * (steep + z), 1e-12)


def gathered(joint: Floats, level: Floats, var: Floats) -> tuple[Floats, Floats, Floats]:
    """Sums out the factor axis: weights, mean levels and variances of the cells."""
    if len(joint) == 1:
        return joint[0], level[0], var[0]
    weight = joint.sum(axis=0)
    safe = np.maximum(weight, 1e-300)
    mean = (joint * level).sum(axis=0) / safe
    second = (joint * (var + level**2)).sum(axis=0) / safe
    return weight, mean, np.maximum(second - mean**2, 1e-12)
