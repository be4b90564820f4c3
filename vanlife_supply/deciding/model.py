"""What decisions answer with: frozen values, canonical units, true days. No numpy here, so that anyone may import it."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.forecast.facts import Fact, Learned, Outcome, Stretch
from vanlife_supply.forecast.model import Band, First, Forecast
from vanlife_supply.moment import Moment
from vanlife_supply.rig.weight import Load


@dataclass(frozen=True, slots=True)
class Allowance:
    """So much a day and it lasts until the date. `cut` is the share of the usual that must go (0: none).

    Water only: `washing` is what is left a day beside drinking, `drinks` whether the drinking is all there.
    """

    per_day: float
    cut: float
    washing: float | None = None
    drinks: bool = True


@dataclass(frozen=True, slots=True)
class Lasting:
    """Making a supply last until a date. `sure` at 9 in 10, `likely` at even chances.

    `usual` is the p50 use a day; `coming`: the pace to reckon with, what may come up (visits, a heater again) taken in;
    cuts are shares of it. `reserve` is kept. Gray: `drain_share` of the water used reaches it.
    `drinking` a day for people and pets (water only, never cut). `next_first` is what stops you first when the
    `sure` allowance is kept to; `chance_as_usual` that it lasts without any cut.
    """

    supply: str
    now: Moment
    until: Moment
    days: float
    usual: float
    coming: float
    usable: Band
    reserve: float
    sure: Allowance
    likely: Allowance
    drinking: float | None
    drain_share: float | None
    chance_as_usual: float
    next_first: First | None
    sizes: dict[str, float]
    """Litres of a shower and of a load of dishes, where the supply is water or gray."""


@dataclass(frozen=True, slots=True)
class Part:
    """One supply that a wish needs. `need` of it, `left` may be used (gray: fits in); `ends` after it, days.

    `fits`: "yes", "likely" (more than even, not sure) or "no". `risk`, `risk_before`: chances to fail before the plan.
    A guest: `beside` goes in that time anyway, `refilled` is the chance to fail when filled (dumped) first.
    """

    supply: str
    need: float
    left: Band
    fits: str
    plan: Moment | None = None
    risk: float | None = None
    risk_before: float | None = None
    beside: float = 0.0
    refilled: float | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """Can I? `verdict`: "yes", "tight" (it fits now, but trouble comes before the plan), "likely" or "no".

    `word` what for ("" for a bare amount), `before` and `after` the outlooks, `outside` how much would have to stay
    out of the sink for it to be all right (None: that would not help or is not needed). `own`: the amount is the
    person's own median, not a starting figure.
    """

    word: str
    verdict: str
    parts: tuple[Part, ...]
    before: Forecast
    after: Forecast
    outside: float | None = None
    own: bool = False
    until: Moment | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """What if: the outlook now beside the supposed one, and what was supposed, in plain words."""

    supposed: tuple[str, ...]
    before: Forecast
    after: Forecast
    stand_in: float | None = None
    """kg of propane a day that take the place of the alcohol, or litres of alcohol that of the propane."""
    left_out: str = ""
    """The fuel supposed not to be used."""


@dataclass(frozen=True, slots=True)
class Day:
    """Chances that it holds until `at`: each supply, everything with the dated limits, water to the last drop."""

    at: Moment
    each: dict[str, float]
    together: float
    last_drop: float | None


@dataclass(frozen=True, slots=True)
class Staying:
    """Stay or go. `leave_by`: the latest departure at `confidence`; None: nothing stops you in the days looked at."""

    now: Moment
    confidence: float
    days: tuple[Day, ...]
    leave_by: Moment | None
    first: First | None


@dataclass(frozen=True, slots=True)
class Enduring:
    """Drinking only: `litres` of drinking water aboard, the reserve released; `need` a day; how long that is.

    `left_out`: containers that do not count (set aside, not for drinking). `short`: litres missing to a date.
    `rule`: what the planning rule asks for a day; `need` is less where the log shows that less is drunk.
    """

    now: Moment
    litres: Band
    need: float
    people: float
    pets: tuple[str, ...]
    hot: bool
    days: Band
    left_out: tuple[str, ...]
    until: Moment | None = None
    short: float | None = None
    rule: float = 0.0


@dataclass(frozen=True, slots=True)
class Look:
    """A reading not yet taken: by how much it is expected to narrow p10–p90 of what stops you first and of its supply.

    Shares of the width now: 0.4 means 40 % narrower. `container`: the one to read; `how`: scale, sight …
    """

    supply: str
    how: str
    container: str
    narrows_first: float
    narrows_own: float


@dataclass(frozen=True, slots=True)
class Closer:
    """One supply looked at closely. `use` and `said` oldest first; `last_drop`: days with nothing kept back.

    `offer`: the first of what is taught that is worth writing into the rig; `load`: what all supplies weigh, where that
    is asked for.
    """

    supply: str
    facts: tuple[Fact, ...]
    look: Look | None
    taught: tuple[Learned, ...]
    use: tuple[Stretch, ...]
    said: tuple[Outcome, ...]
    last_drop: Band | None = None
    offer: Learned | None = None
    load: Load | None = None
