"""What is believed of one supply: how fast it goes, how evenly, and how much of it there is.

A deterministic grid filter. Every cell (rate r, evenness k, drift q; see `grid`) carries a Gaussian level. Use over
an exposure E spread over D days is Gamma(shape kD, mean rE). A level somebody noted reweighs the cells by how well
it fits and pulls their levels towards it; a small share of every note is held to be a slip.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import exp, hypot, isnan, log, sqrt

import numpy as np

from vanlife_supply.entry.evidence import (
    ADDED,
    COUNT,
    FITTED,
    IN_AT_DUMP,
    LEFT_AT_FILL,
    LOOKED,
    PLAIN,
    PROBE,
    SCALE,
    SIGHT,
    SOME,
    SPARED,
    STICK,
    USED,
    Evidence,
)  # fmt: skip
from vanlife_supply.forecast import grid
from vanlife_supply.forecast.factor import ALWAYS, Factor
from vanlife_supply.forecast.prior import TEMPERATURE, Manner
from vanlife_supply.forecast.special import Floats, beneath
from vanlife_supply.forecast.tally import FORGETS, Tally
from vanlife_supply.forecast.weighing import Note, cut, gathered, likelihood, pulled

# Sd of a reading as a share of the brim of what was read, and how many readings that first guess is worth.
READING_ERROR = {SIGHT: 0.085, PROBE: 0.10, STICK: 0.035, PLAIN: 0.06, SCALE: 0.02, COUNT: 0.005}
READING_WORTH = 8.0
# Notes that the first guess of a habitual share is worth.
SHARE_WORTH = 4.0
# Chance that a note is a slip (a typing error, a forgotten fill before it), and the range it then comes from.
SLIP, SLIP_SOFT, SLIP_DOUBTED, SLIP_RANGE = 0.02, 0.10, 0.6, 1.3
# How much of what is used gets noted, on the log scale, and the sd of a single note, before that is learned; chosen
# on open cases.
CANDOUR, CANDOUR_SD, CANDOUR_WORTH = -0.7, 1.4, 2.0
CANDOUR_LEAST_SD = 0.05
# What was noted as used is gone: the log of the least share of it, and the sd of that. Common practice, no source.
NOTED_LEAST, NOTED_ERROR = -0.05, 0.05
TRUE_WEIGHED = 0.8
"""Of weights that do not fit, so many are true all the same: a scale is seldom misread. Checked on open cases."""
IMPOSSIBLE = 0.05  # with less chance that the level can still be there, something was forgotten; checked on open cases
SLIP_DENSITY = 0.25
"""Per unit of log use: noting was given up for a while."""
SOFT = (LEFT_AT_FILL, IN_AT_DUMP)
MEMORY_DAYS = 90.0
FIRST_GUESS_DAYS = 6.0
UNFORESEEN = 0.25
"""Who uses unevenly uses more ahead than habit says, by this much of a day's relative variance: visits, spills, hot days
come on top of what is usual and are seldom made up for. Fitted on open cases."""
SPARED_WORTH = 0.5
"""Gray loads of water seen before it is usual to keep some of it from the drain: common practice, no source."""
LEAST_DAYS = 0.02
LEAST_EXPOSURE = 1e-3
"""A use noted in the minute of a fill still takes that much living."""


@dataclass(frozen=True, slots=True)
class Lapse:
    """What lies between two levels: exposure and its own sd, days of process, real days.

    `under`: further exposure under the condition `word`, to be multiplied by its factor.
    """

    exposure: float
    days: float
    real_days: float
    exposure_sd: float = 0.0
    word: str = ""
    under: float = 0.0


@dataclass(slots=True)
class Habit:
    """The belief about one supply. Arrays are never changed in place, so a shallow copy is a copy.

    `sign` −1 for what empties, +1 for what fills; `centre` the log rate of the middle cell; `brim` the sum of brims;
    `manner` what was thought before; `weight`, `level`, `var` (rate, evenness, drift), the last two (1, 1, 1) while all
    cells agree; `lived` days lived at each rate, old ones fading; `at` the last level's time; `mean` the expected level
    then plus what came since; `used` what went since the first level, for gray to be measured against;
    `evidence` the log density of all the levels noted, to weigh two stories of them.
    """

    sign: float
    centre: float
    brim: float
    manner: Manner
    weight: Floats
    level: Floats
    var: Floats
    lived: Floats
    at: float | None = None
    trusted: float | None = None
    looks: int = 0
    mean: float = 0.0
    used: float = 0.0
    logged: float = 0.0
    noted: int = 0
    logged_at: float = 0.0
    spared: float = 0.0
    spared_all: float = 0.0
    exposed: float = 0.0
    evidence: float = 0.0
    errors: dict[str, Tally] = field(default_factory=dict)
    shares: dict[str, Tally] = field(default_factory=dict)
    factors: dict[str, Factor] = field(default_factory=dict)
    candour: Tally = field(default_factory=Tally)

    @classmethod
    def unlearned(cls, sign: float, manner: Manner, brim: float) -> Habit:
        """Before anything is known."""
        level, var = np.full(grid.SHAPE, 0.5 * brim), np.full(grid.SHAPE, (0.35 * brim) ** 2)
        cells = grid.prior_cells(manner.rate.sd)
        lived = FIRST_GUESS_DAYS * cells.sum(axis=(1, 2))
        return cls(sign, manner.rate.mean, brim, manner, cells, level, var, lived, mean=0.5 * brim)

    def copy(self) -> Habit:
        """An independent belief."""
        twin = Habit(self.sign, self.centre, self.brim, self.manner, self.weight, self.level, self.var, self.lived)
        for name in ("at", "trusted", "looks", "mean", "used", "logged", "noted", "logged_at", "spared",
                     "spared_all", "exposed", "evidence", "candour"):  # fmt: skip
            setattr(twin, name, getattr(self, name))
        twin.errors, twin.shares, twin.factors = dict(self.errors), dict(self.shares), dict(self.factors)
        return twin

    @property
    def rates(self) -> Floats:
        """Use per unit of exposure of each rate cell, (rate,)."""
        rates: Floats = np.exp(self.centre + grid.OFFSETS)
        return rates

    @property
    def evenness(self) -> Floats:
        """Shape a day of the process of each evenness cell, (evenness,)."""
        evenness: Floats = grid.EVENNESS * self.manner.evener
        return evenness

    @property
    def uneven(self) -> float:
        """Expected variance of a day's use over its squared mean."""
        return float((self.weight.sum(axis=(0, 2)) / self.evenness).sum())

    @property
    def unforeseen(self) -> float:
        """How much more is used ahead than habit says, as a factor; 1 for the steadiest."""
        return 1.0 + UNFORESEEN * (self.uneven - 1.0 / float(self.evenness[-1]))

    @property
    def reaching(self) -> float:
        """Gray: the share of the water used that is not usually noted as kept from the drain."""
        return 1.0 - self.spared_all / (self.exposed + SPARED_WORTH * self.brim)

    @property
    def past(self) -> Floats:
        """Where a rate that switches goes, as weights (rate,): to one lived with so far, or to one some fold from those."""
        lived: Floats = self.lived / self.lived.sum()
        new = self.manner.switches / self.returns
        return (1.0 - new) * lived + new * grid.few_fold(lived) if new else lived

    @property
    def returns(self) -> float:
        """How often a day the rate switches, mostly back to one lived with before."""
        return self.manner.returns[bool(self.factors.keys() - {TEMPERATURE})] + self.manner.switches

    # --- folding evidence --------------------------------------------------------------------

    def fold(self, told: Evidence, lapse: Lapse) -> None:
        """One piece of evidence, `lapse` since the last level (ignored by amounts that came or were noted)."""
        if told.what == ADDED:
            self.level = self.level + told.after
            self.var = self.var + told.after_sd**2
            self.mean += told.after
        elif told.what == USED:
            self.logged += told.after
            self.noted += told.times
            self.logged_at = told.at
        elif told.what == SPARED:
            self.spared += told.after
        else:
            self._fold_level(told, lapse)

    def _fold_level(self, told: Evidence, lapse: Lapse) -> None:
        note = self._note(told)
        if self.at is not None:
            self._live_through(lapse, note, told)
            self._let_time_pass(lapse.real_days, moments=isnan(told.after))
        elif note is not None and note.bound:
            _, self.level, self.var = cut(self.level, self.var, note.level, note.sd, note.bound)
        elif note is not None:
            self.level, self.var = pulled(self.level, self.var, note)
        self._set_after(told)
        self.spared_all, self.exposed = self.spared_all + self.spared, self.exposed + lapse.exposure + self.spared
        self.at, self.logged, self.noted, self.spared = told.at, 0.0, 0, 0.0
        self.looks += not told.is_hint
        if told.what not in (SOME, FITTED, LEFT_AT_FILL, IN_AT_DUMP) or not isnan(told.after):
            self.trusted = told.at

    def _live_through(self, lapse: Lapse, note: Note | None, told: Evidence) -> None:
        """From the last level to this one: what went by, what was noted of it, and the level found."""
        lost = self.manner.idle * lapse.real_days
        self.level, before = self.level - lost, self.mean - lost
        factor = self.factors.get(lapse.word, ALWAYS)
        joint, used, process = self._heard(self._predicted(lapse, factor), factor)
        expected = self.level + self.sign * used
        if note is not None:
            joint, level, var = self._weighed(note, lapse, joint, expected, process)
        else:
            level, var = expected, self.var + process
        total = float(joint.sum())
        self.evidence += log(total)
        self._gather(lapse.word, joint / total, level, var)
        self.used += max(0.0, self.sign * (float((self.weight * self.level).sum()) - before))
        if note is not None:
            self._learn_from(told, note, before, max(0.0, 1.0 - self._slip(note) / total))

    def _note(self, told: Evidence) -> Note | None:
        """The level before, as a statement with an error; None when nothing is said of it."""
        if isnan(told.before):
            return None
        slip = SLIP_DOUBTED if told.doubted else SLIP
        if told.what in SOFT:
            share, spread = self.usual_share(told.what)
            return Note(told.before + share * told.size, spread * told.size, max(slip, SLIP_SOFT))
        if told.what == FITTED:
            return Note(told.before, told.before_sd, slip, self.sign)
        sd = told.before_sd
        if told.what in LOOKED:
            sd = hypot(sd, self.reading_error(told.what) * told.size)
        note = Note(told.before, max(sd, 1e-3 * self.brim), slip)
        return replace(note, true=TRUE_WEIGHED) if told.what == SCALE else note

    def reading_error(self, method: str) -> float:
        """Sd of a reading of that kind, as a share of the brim of what is read."""
        first = READING_ERROR[method]
        tally = self.errors.get(method, Tally())
        return sqrt((READING_WORTH * first**2 + tally.squares) / (READING_WORTH + tally.count))

    def usual_share(self, what: str) -> tuple[float, float]:
        """Mean and sd of what is still in there when somebody fills (dumps) without saying how much."""
        mean, sd = self.manner.left if what == LEFT_AT_FILL else self.manner.inside
        return self.shares.get(what, Tally()).blended(mean, sd, SHARE_WORTH)

    def predicted(self, lapse: Lapse) -> tuple[Floats, Floats, Floats]:
        """Weight, mean and variance of the level of each cell after a lapse, uses that were noted taken in."""
        factor = self.factors.get(lapse.word, ALWAYS)
        joint, used, process = self._heard(self._predicted(lapse, factor), factor)
        level = self.level + self.sign * used - self.manner.idle * lapse.real_days
        return gathered(joint, level, self.var + process)

    def went(self, lapse: Lapse) -> tuple[float, float]:
        """Mean and sd of what was used over a lapse, uses that were noted taken in."""
        factor = self.factors.get(lapse.word, ALWAYS)
        joint, used, process = self._heard(self._predicted(lapse, factor), factor)
        mean = float((joint * used).sum())
        return mean, sqrt(float((joint * ((used - mean) ** 2 + process)).sum()))

    def _predicted(self, lapse: Lapse, factor: Factor) -> tuple[Floats, Floats]:
        """Use in each cell over a lapse and its variance, (factors, rate, evenness or 1, drift or 1)."""
        exposure = np.maximum(lapse.exposure + lapse.under * np.exp(factor.logs), LEAST_EXPOSURE)
        gone = self.rates[:, None, None] * exposure[:, None, None, None]
        uneven = gone**2 / (self.evenness[:, None] * max(lapse.days, LEAST_DAYS))
        blurred = (self.rates[:, None, None] * lapse.exposure_sd) ** 2
        return gone, uneven + blurred

    def _heard(self, predicted: tuple[Floats, Floats], factor: Factor) -> tuple[Floats, Floats, Floats]:
        """Joint weights (factors, rate, evenness, drift), the use and its variance, given the uses noted.

        What somebody notes is a share of what is used; how large and how steady a share is learned.
        """
        gone, process = predicted
        joint = self.weight * factor.weight[:, None, None, None]
        if self.logged <= 0:
            return joint, gone, process
        mean, sd = self._usual_candour()
        # The log of the use over its expected value: normal, found through what was noted, and no less than that.
        uneven = np.log1p(process / gone**2)
        noted = log(self.logged) - np.log(gone)
        spread = uneven + sd * sd
        off = noted - mean + 0.5 * uneven
        fit = np.exp(-0.5 * off**2 / spread) / np.sqrt(2 * np.pi * spread)
        used, var = uneven / spread * off - 0.5 * uneven, uneven * sd * sd / spread
        chance, used, var = cut(used, var, noted + NOTED_LEAST, NOTED_ERROR, 1.0)
        usual = float(beneath(np.array((-NOTED_LEAST - mean) / hypot(sd, NOTED_ERROR)))[0])
        joint = joint * ((1.0 - SLIP_SOFT) * fit * chance / usual + SLIP_SOFT * SLIP_DENSITY)
        amount = gone * np.exp(used + 0.5 * var)
        return joint / joint.sum(), amount, amount**2 * np.expm1(var)

    def _usual_candour(self) -> tuple[float, float]:
        """Mean and sd of the log of the share that gets noted: many notes average out."""
        mean, sd = self.candour.blended(CANDOUR, CANDOUR_SD, CANDOUR_WORTH)
        return mean, hypot(CANDOUR_LEAST_SD, sd / sqrt(self.noted))

    def _weighed(
        self, note: Note, lapse: Lapse, joint: Floats, expected: Floats, process: Floats
    ) -> tuple[Floats, Floats, Floats]:
        """Bayes: every cell by how well the level fits, its own level pulled towards what was noted."""
        if note.bound:
            return self._bounded(note, joint, expected, self.var + process)
        # A slip of the pen leaves the level where it was, if it can still be there; after a forgotten fill the note is true.
        end = 0.0 if self.sign < 0 else self.brim
        possible, stayed, stayed_var = cut(expected, self.var + process, end, 0.0, -self.sign)
        if float((joint * possible).sum()) > IMPOSSIBLE * float(joint.sum()):
            possible, stayed, stayed_var = np.ones(()), expected, self.var + process
        untrue = (1.0 - note.true) * possible
        sure = (1.0 - note.slip) * likelihood(note, self.sign, self.level, self.var, expected, process)
        both = sure + self._slip(note) * (note.true + untrue)
        joint = joint * both
        kept, kept_var = pulled(expected, self.var + process, note)
        honest, true = sure / both, note.true / (note.true + untrue)
        slipped = (1.0 - true) * stayed + true * note.level
        slipped_var = true * (1.0 - true) * (stayed - note.level) ** 2 + (1.0 - true) * stayed_var + true * note.sd**2
        level = honest * kept + (1.0 - honest) * slipped
        var = honest * (kept_var + kept**2) + (1.0 - honest) * (slipped_var + slipped**2) - level**2
        return joint, level, var

    def _slip(self, note: Note) -> float:
        """Density of a level that is a slip."""
        return note.slip / (SLIP_RANGE * self.brim)

    def _bounded(self, note: Note, joint: Floats, expected: Floats, spread: Floats) -> tuple[Floats, Floats, Floats]:
        """Bayes where it is only known that the level was not beyond the noted one."""
        chance, kept, kept_var = cut(expected, spread, note.level, note.sd, note.bound)
        sure = (1.0 - note.slip) * chance
        both = sure + note.slip
        joint = joint * both
        honest = sure / both
        level = honest * kept + (1.0 - honest) * expected
        var = honest * (kept_var + kept**2) + (1.0 - honest) * (spread + expected**2) - level**2
        return joint, level, np.maximum(var, 1e-12)

    def _gather(self, word: str, joint: Floats, level: Floats, var: Floats) -> None:
        """Cells and the factor of a condition part again, each with its own weights."""
        if word in self.factors:
            weight = joint.sum(axis=(1, 2, 3))
            self.factors[word] = Factor(self.factors[word].logs, weight / weight.sum())
        self.weight, self.level, self.var = gathered(joint, level, var)

    def _learn_from(self, told: Evidence, note: Note, before: float, honest: float) -> None:
        """How well this person reads, what they leave when they fill, how much they note: from how it turned out.

        `honest`: the chance that the note was no slip; a slip says nothing of how well somebody reads.
        """
        off = float((self.weight * (self.level - note.level)).sum())
        left = float((self.weight * ((self.level - note.level - off) ** 2 + self.var)).sum())
        if told.what in READING_ERROR and told.size > 0:
            old = self.errors.get(told.what, Tally())
            value = min((off**2 + left) / told.size**2, 0.09)
            fades = 1.0 - honest * (1.0 - FORGETS)
            self.errors[told.what] = Tally(fades * old.count + honest, 0.0, fades * old.squares + honest * value)
        if told.what in SOFT and told.size > 0:
            share = (off + note.level - told.before) / told.size
            old = self.shares.get(told.what, Tally())
            self.shares[told.what] = old.with_one(min(max(share, 0.0), 1.2), left / told.size**2)
        used = self.sign * (note.level - before)
        if self.logged > 0 and told.what not in SOFT and used > max(3.0 * note.sd, 0.03 * self.brim):
            share = min(max(log(self.logged / used), -4.0), 0.3)
            self.candour = self.candour.with_one(share, worth=self.noted)

    def _let_time_pass(self, days: float, *, moments: bool) -> None:
        """Rates drift; where levels are not set anew they travel with their cells."""
        fade = exp(-days / MEMORY_DAYS)
        self.lived = fade * self.lived + (1.0 - fade) * MEMORY_DAYS * self.weight.sum(axis=(1, 2))
        if not moments:
            weight = np.maximum(self._spread(self.weight, days), 0.0)
            self.weight = weight / weight.sum()
            return
        first = self.weight * self.level
        second = self.weight * (self.var + self.level**2)
        moved = self._spread(np.stack([self.weight, first, second], axis=1), days)
        weight = np.maximum(moved[:, 0], 1e-30)
        self.weight = weight / weight.sum()
        self.level = moved[:, 1] / weight
        self.var = np.maximum(moved[:, 2] / weight - self.level**2, 1e-12)

    def _spread(self, cells: Floats, days: float) -> Floats:
        return grid.spread(cells, days, self.past, self.manner.restless, self.returns)

    def _set_after(self, told: Evidence) -> None:
        if told.what == SOME:
            # Between a third of the room and all of it came in.
            room = np.maximum(told.before + told.size - self.level, 0.0)
            self.level, self.var = self.level + 0.65 * room, 0.2 * self.var + (0.25 * room) ** 2
        elif not isnan(told.after):
            self.level = np.full((1, 1, 1), told.after)
            self.var = np.full((1, 1, 1), max(told.after_sd, 1e-3 * self.brim) ** 2)
        self.level = np.minimum(np.maximum(self.level, -0.02 * self.brim), 1.05 * self.brim)
        self.mean = float((self.weight * self.level).sum())
