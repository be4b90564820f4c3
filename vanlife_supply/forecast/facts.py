"""Facts behind a figure and outcomes of forecasts, as frozen values. No numpy here, so that anyone may import it."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.model import Band

CAPPED = 365.0
CHANCES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True)
class Balance:
    """Between two trusted levels: `first` + `came` − `last` = `used` (gray: what ran in). Times are epoch seconds."""

    start: float
    end: float
    first: float
    came: float
    last: float
    used: float
    sd: float = 0.0

    @property
    def days(self) -> float:
        """True elapsed days."""
        return (self.end - self.start) / SECONDS_PER_DAY


@dataclass(frozen=True, slots=True)
class Readings:
    """How many levels taught the habit, the last one: how it was taken, when, its level and its error (sd)."""

    count: int
    what: str
    at: float
    level: float
    sd: float
    trusted: bool


@dataclass(frozen=True, slots=True)
class Usual:
    """Use a day, the next week's people and conditions taken in."""

    per_day: Band


@dataclass(frozen=True, slots=True)
class Returning:
    """A condition that is off and reckoned to come back: it held that `share` of the time lately."""

    word: str
    share: float
    factor: float


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition that holds now: it multiplies the use by `factor`; `learned` from this log, or only a first guess."""

    word: str
    factor: Band
    learned: bool


@dataclass(frozen=True, slots=True)
class Stretch:
    """Use between two levels (canonical a day), and what held meanwhile: word → share of the time, most first.

    Times are epoch seconds.
    """

    start: float
    end: float
    used: float
    held: tuple[tuple[str, float], ...] = ()

    @property
    def per_day(self) -> float:
        """Canonical amount a day."""
        return self.used / ((self.end - self.start) / SECONDS_PER_DAY)


Fact = Balance | Readings | Usual | Condition | Returning


CAPACITY, DEAD, STOP_MARK, TARE, IDLE_LOSS = "capacity", "dead", "usable", "tare", "idle_loss_per_week"
"""What can be measured of a container, by the key it is written under in rig.toml."""


@dataclass(frozen=True, slots=True)
class Learned:
    """Something learned about the rig or the life in it: what, of which supply, its band, from how many levels.

    Of a container: its label, what is `written` of it, and whether that is so far off that it is `offered` to be
    written anew. Canonical units; tare kilograms; stop mark and idle loss a week as shares.
    """

    what: str
    supply: str
    band: Band
    count: int
    container: str = ""
    written: float | None = None
    offered: bool = False

    @property
    def declined(self) -> str:
        """The setting of the log that remembers a no to the offer."""
        return f"declined {self.what} {self.supply} {self.container}"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One forecast and what came. Times are epoch seconds, durations days.

    From `start` on `used` was used until `end`. The forecast `made` at least `lead` days before `end` said the end
    of such an amount would come after `said` days; `pit` is the chance it gave to less being used by then.
    `mean_days`: what the mean rate of all balances known by then would have said, None without one.
    """

    supply: str
    lead: int
    made: float
    start: float
    end: float
    used: float
    said: Band
    pit: float
    mean_days: float | None

    @property
    def days(self) -> float:
        """How long it lasted."""
        return (self.end - self.start) / SECONDS_PER_DAY

    @property
    def inside(self) -> bool:
        """Whether what came lies in the band that was to hold 8 in 10."""
        low, high = self.said.p10 or 0.0, self.said.p90
        return low <= self.days and (high is None or self.days <= high)

    @property
    def loss(self) -> float:
        """Mean pinball loss of the three quantiles, days."""
        ends = (self.said.p10, self.said.p50, self.said.p90)
        said = [CAPPED if q is None else q for q in ends]
        return sum(pinball(q, self.days, p) for q, p in zip(said, CHANCES, strict=True)) / len(CHANCES)

    @property
    def mean_loss(self) -> float | None:
        """The same for the mean rate, which knows no band."""
        if self.mean_days is None:
            return None
        return sum(pinball(min(self.mean_days, CAPPED), self.days, p) for p in CHANCES) / len(CHANCES)


@dataclass(frozen=True, slots=True)
class Score:
    """Outcomes of one supply (of all: "") at one lead (any: 0): how many, how many inside, loss against the mean rate's.

    `ratio` under 1: better than the mean rate; None where there was none to compare with.
    """

    supply: str
    lead: int
    count: int
    inside: int
    ratio: float | None


@dataclass(frozen=True, slots=True)
class Helped:
    """What temperatures were worth to the forecasts of a supply: mean pinball loss over mean days, with and without."""

    supply: str
    count: int
    told: float
    untold: float


def pinball(said: float, came: float, chance: float) -> float:
    """Pinball loss of a quantile: (chance − [came < said]) (came − said)."""
    return (chance - (came < said)) * (came - said)
