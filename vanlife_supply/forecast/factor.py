"""How a condition multiplies use, as a distribution."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanlife_supply.forecast.special import Floats

FACTORS = 9


@dataclass(frozen=True, slots=True)
class Factor:
    """How a condition multiplies the use: log factors and their weights, (factors,)."""

    logs: Floats
    weight: Floats

    @classmethod
    def unlearned(cls, mean: float, sd: float) -> Factor:
        """A lognormal first guess."""
        at = np.linspace(-2.0, 2.0, FACTORS)
        weight = np.exp(-0.5 * at * at)
        return cls(mean + sd * at, weight / weight.sum())

    @property
    def mean(self) -> float:
        """The expected factor."""
        return float((self.weight * np.exp(self.logs)).sum())

    def nodes(self) -> tuple[tuple[float, float], ...]:
        """(chance, factor): its lower quarter, its middle half and its upper quarter, each by its mean."""
        ends = np.concatenate([[0.0], np.cumsum(self.weight)])
        found = []
        for low, high in ((0.0, 0.25), (0.25, 0.75), (0.75, 1.0)):
            share = np.clip(np.minimum(ends[1:], high) - np.maximum(ends[:-1], low), 0.0, None)
            found.append((float(share.sum()), float((share * np.exp(self.logs)).sum() / share.sum())))
        return tuple(found)

    @property
    def sd(self) -> float:
        """How far the factor may be from that."""
        return float((self.weight * (np.exp(self.logs) - self.mean) ** 2).sum() ** 0.5)


ALWAYS = Factor(np.zeros(1), np.ones(1))
"""No condition: once."""
