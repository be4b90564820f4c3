"""What the log says of a whole supply: levels with their errors, amounts that came or went, uses somebody noted."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan, nan

SPARED = "spared"
ADDED, USED, EXACT, RESET, SOME, FITTED = "added", "used", "exact", "reset", "some", "fitted"
LEFT_AT_FILL, IN_AT_DUMP = "left-at-fill", "in-at-dump"
SIGHT, STICK, SCALE, PROBE, COUNT, PLAIN = "sight", "stick", "scale", "probe", "count", "plain"
LOOKED = (SIGHT, STICK, SCALE, PROBE, COUNT, PLAIN)
ROUND_S = 1800.0
"""Whoever looks into several containers does so within half an hour: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What one entry says of a whole supply, canonical units, `at` epoch seconds.

    - `what`: added or used (`after` is the amount, `after_sd` its error); spared (gray only: so much of the water used
      did not come down the drain); exact; reset (nothing said of before);
      some (an unknown amount came in); fitted (there was room for what came: the level was at most `before`, gray: at
      least); left-at-fill and in-at-dump (before = `before` + an unknown share of `size`); or how it was looked at
      (error in shares of `size`, the brim of what was read).
    - `before`, `before_sd`: the level just before, nan where not said.
    - `after`, `after_sd`: the level the entry set, nan where it set none.
    - `times`: how many notes of use are in it.
    - `of`: the container that was looked at.
    - `doubted`: the entry is questioned and nobody said it is real.
    """

    at: float
    what: str
    before: float = nan
    before_sd: float = 0.0
    after: float = nan
    after_sd: float = 0.0
    size: float = 0.0
    doubted: bool = False
    times: int = 1
    of: str = ""

    def completes(self, other: Evidence) -> bool:
        """Whether both are of one round of looks, at one container after another: the last of them says it all."""
        looks = self.what in LOOKED and other.what in LOOKED
        return looks and self.of != other.of and self.at - other.at <= ROUND_S

    @property
    def is_hint(self) -> bool:
        """Whether it only hints at the level before something came or went, which then stays unknown."""
        return self.what == FITTED or (self.what == LEFT_AT_FILL and isnan(self.after))
