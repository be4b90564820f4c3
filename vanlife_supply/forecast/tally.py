"""What is learned of a person from a handful of notes."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

FORGETS = 0.97
"""What an older note still weighs beside a newer one."""


@dataclass(frozen=True, slots=True)
class Tally:
    """Mean and scatter of something learned from few notes; `squares` is the weighed sum about the mean."""

    count: float = 0.0
    mean: float = 0.0
    squares: float = 0.0

    def with_one(self, value: float, extra: float = 0.0, worth: float = 1.0) -> Tally:
        """One more value, itself uncertain by variance `extra`; old ones fade slowly.

        `worth`: the mean of how many it is, so that `squares` is the scatter of single ones.
        """
        count = FORGETS * self.count + 1.0
        step = value - self.mean
        mean = self.mean + step / count
        return Tally(count, mean, FORGETS * self.squares + worth * step * (value - mean) + extra)

    def blended(self, mean: float, sd: float, worth: float) -> tuple[float, float]:
        """Mean and sd when a first guess is worth that many notes."""
        count = self.count + worth
        both = (worth * mean + self.count * self.mean) / count
        gap = worth * self.count / count * (self.mean - mean) ** 2
        return both, sqrt((worth * sd * sd + self.squares + gap) / count)
