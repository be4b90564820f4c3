"""What a forecast is: the frozen values that screens, text, JSON and tests show. No numpy: anyone may import it."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.moment import Moment
from vanlife_supply.rig.weight import Load


@dataclass(frozen=True, slots=True)
class Band:
    """Three quantiles: p10 is "count on" (9 in 10 that it is more), p50 "likely", p90 "at best".

    For levels and rates p10 is simply the low end. A None is beyond what is said (days: more than a year).
    """

    p10: float | None
    p50: float | None
    p90: float | None


@dataclass(frozen=True, slots=True)
class ContainerOutlook:
    """One container now. `state`: full, open, empty, aside, unknown; `level` canonical units, None if not known."""

    letter: str
    label: str
    state: str
    capacity: float
    level: Band | None
    why: str = ""
    """Why it is set aside (frozen, split, ...)."""


@dataclass(frozen=True, slots=True)
class PlannedOutlook:
    """The next planned dump or fill of a supply and the chance that the supply does not last until it is done.

    `place` as the plan names it; `works`: the chance that it can be done there, 1 where nobody doubts it.
    """

    kind: str
    at: Moment
    chance_fails_before: float | None
    place: str = ""
    works: float = 1.0


@dataclass(frozen=True, slots=True)
class SupplyOutlook:
    """One supply as of a moment, canonical units (L or kg, a day).

    `level` is what is in it; `usable` what may still be used (gray: room left to the stop mark);
    `days_left` until usable is gone. Each is None while nothing is known.
    `source`: "balance" (learned), "looked" (one reading), "noted" (one fill or dump), "said" (the owner's guess),
    "guess" (only a usual figure).
    `last_trusted`: epoch seconds of the last level that was not a guess.
    """

    supply: str
    direction: str
    unit: str
    capacity: float
    reserve: float
    level: Band | None
    usable: Band | None
    use_per_day: Band | None
    days_left: Band | None
    source: str = "guess"
    last_trusted: float | None = None
    containers: tuple[ContainerOutlook, ...] = ()
    planned: PlannedOutlook | None = None


@dataclass(frozen=True, slots=True)
class LimitOutlook:
    """A dated limit the person typed: food till Thursday, move by Saturday."""

    word: str
    at: Moment
    days_left: float


@dataclass(frozen=True, slots=True)
class First:
    """What stops you first: the likeliest, the distribution of the first time over everything, and each one's chance."""

    what: str
    days_left: Band
    chances: dict[str, float]


@dataclass(frozen=True, slots=True)
class Warning:
    """Something to do. `code` is of the contract; `at` epoch seconds at p50; canonical amounts in the details.

    `amount`: full-before-dump: litres to keep out of the sink; out-before-fill: canonical amount short, per day in
    `per_day`; `before` epoch of the plan it endangers or the limit; `entry` the id of a questioned entry;
    `place` where the plan is not sure to work, "" where nobody doubts it;
    `reason` for impossible-level: "above" (more than fits) or "below" (less than nothing), not-known: "" .
    """

    code: str
    supply: str
    chance: float | None = None
    at: float | None = None
    before: float | None = None
    amount: float | None = None
    per_day: float | None = None
    entry: str = ""
    reason: str = ""
    word: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """A condition that seems to have been switched on (`on`), or off, without being noted.

    `since` epoch seconds of the level it shows from; `chance` that it was; `pace`: use since then, times the usual;
    `until` epoch seconds of the level that ended it, None while it holds.
    """

    supply: str
    word: str
    on: bool
    since: float
    chance: float
    pace: float
    until: float | None = None


@dataclass(frozen=True, slots=True)
class Forecast:
    """Everything that is said about the time after `as_of`."""

    as_of: Moment
    supplies: tuple[SupplyOutlook, ...]
    limits: tuple[LimitOutlook, ...]
    first: First | None
    warnings: tuple[Warning, ...]
    people: float = 1.0
    conditions: tuple[str, ...] = ()
    last_entry: float | None = None
    """Epoch of the newest entry seen."""
    load: Load | None = None
    """What the supplies weigh, where the owner said what they may."""
    question: Question | None = None
    """The one thing worth asking (`forecast.switch`), where somebody is there to be asked."""

    def supply(self, name: str) -> SupplyOutlook | None:
        """The outlook of one supply, None if the rig has none."""
        return next((s for s in self.supplies if s.supply == name), None)
