"""The evidence of one supply in order, and the habit folded from it.

What is believed must not depend on how often it was asked for, so a habit is a function of the sequence of evidence
alone: it is folded from the start of the last chapter but one (`CHAPTER` levels each).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from math import inf

from vanlife_supply.entry.evidence import ADDED, SPARED, USED, Evidence
from vanlife_supply.forecast.habit import Habit, Lapse
from vanlife_supply.forecast.prior import Manner
from vanlife_supply.rig.model import FILLS, Supply

CHAPTER = 50
SUMMED = (USED, SPARED)
NO_LEVEL = (ADDED, *SUMMED)


@dataclass(frozen=True, slots=True)
class Row:
    """Evidence and the offset (seconds east of UTC) of the clock it was noted by."""

    told: Evidence
    offset: float

    @property
    def is_level(self) -> bool:
        return self.told.what not in NO_LEVEL


@dataclass(slots=True)
class Thread:
    """`rows` of the last chapters, since `began`, the first `done` of them folded into `habit`.

    `knots`: (time, amount used by then) at every level folded.  `mark`: what the fresh water had come to when gray
    was last known, `noted`: the uses of it noted since.
    """

    supply: Supply
    manner: Manner
    brim: float
    habit: Habit
    began: float = inf
    rows: list[Row] = field(default_factory=list)
    done: int = 0
    levels: int = 0
    knots: list[tuple[float, float]] = field(default_factory=list)
    mark: float = 0.0
    noted: float = 0.0

    @classmethod
    def begun(cls, supply: Supply, manner: Manner, brim: float) -> Thread:
        """A supply nothing was noted of."""
        return cls(supply, manner, brim, _unlearned(supply, manner, brim))

    def copy(self) -> Thread:
        """An independent thread."""
        return replace(self, habit=self.habit.copy(), rows=list(self.rows), knots=list(self.knots))

    def refitted(self, manner: Manner, brim: float) -> Thread:
        """The same life out of other containers: they hold and lose as these do; what was learned of its pace stays."""
        self.manner = self.habit.manner = replace(self.manner, idle=manner.idle)
        self.brim = self.habit.brim = brim
        return self

    def add(self, row: Row) -> bool:
        """One more row; whether the first chapter was dropped and all is to be folded anew."""
        last = self.rows[-1].told if self.rows else None
        if last is not None and row.told.what in SUMMED and last.what == row.told.what and self.done < len(self.rows):
            both = replace(
                row.told,
                after=last.after + row.told.after,
                after_sd=last.after_sd + row.told.after_sd,
                times=last.times + row.told.times,
            )
            self.rows[-1] = Row(both, row.offset)
            return False
        self.began = min(self.began, row.told.at)
        self.rows.append(row)
        self.levels += row.is_level
        if self.levels < 2 * CHAPTER:
            return False
        while self.levels > CHAPTER:
            dropped = self.rows.pop(0)
            self.levels -= dropped.is_level
            self.began = dropped.told.at
        self.restart()
        return True

    def completed_by(self, row: Row) -> bool:
        """Whether a row took the place of the last, whose round of looks it ends; all is to be folded anew then."""
        if not self.rows or not row.told.completes(self.rows[-1].told):
            return False
        self.rows[-1] = row
        self.restart()
        return True

    def drop_before(self, at: float) -> None:
        """Forgets the rows before that time."""
        self.rows = [row for row in self.rows if row.told.at >= at]
        self.levels = sum(row.is_level for row in self.rows)
        self.began = max(self.began, at)
        self.restart()

    def restart(self) -> None:
        """Forgets what was folded, not the evidence."""
        self.habit = _unlearned(self.supply, self.manner, self.brim)
        self.done, self.knots, self.mark = 0, [], 0.0

    def fold(self, lapse: Callable[[Row], Lapse | None]) -> None:
        """Folds the rows not yet folded; `lapse` tells what lies between the last level and a row, None: wait."""
        while self.done < len(self.rows):
            row = self.rows[self.done]
            if row.is_level:
                between = lapse(row)
                if between is None:
                    return
                self.habit.fold(row.told, between)
                self.knots.append((row.told.at, self.habit.used))
            else:
                self.habit.fold(row.told, NO_TIME)
            self.done += 1


NO_TIME = Lapse(0.0, 0.0, 0.0)


def _unlearned(supply: Supply, manner: Manner, brim: float) -> Habit:
    return Habit.unlearned(1.0 if supply.direction == FILLS else -1.0, manner, brim)
