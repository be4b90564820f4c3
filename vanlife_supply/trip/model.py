"""A trip, its places, and a plan: plain frozen values. Litres, kilograms (propane), nights, km, hours; money has no unit.

Day t is the t-th local date after the start; only nights use supplies (trip.toml, schema 1).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from vanlife_supply.place.distance import Distance
from vanlife_supply.place.model import Point

DEFAULT_CONFIDENCE = 0.9
KNOWN_SUPPLIES = ("fresh", "grey", "stove_fuel", "propane")


@dataclass(frozen=True, slots=True)
class Costs:
    """What a visit costs: money per km of detour, per stop, per hour spent."""

    per_km: float = 0.0
    stop: float = 0.0
    per_hour: float = 0.0


@dataclass(frozen=True, slots=True)
class Supply:
    """One supply as planned with. Amounts in its unit (L or kg); grey counts what is IN the tank as its `start`."""

    name: str
    usable: float
    start: float
    mean: float
    reserve: float = 0.0
    start_sd: float = 0.0
    cv: float = 0.0
    cv_rate: float = 0.0
    confidence: float = DEFAULT_CONFIDENCE
    end_reserve: float | None = None
    end_value: float = 0.0
    unit: float | None = None
    fills: bool = False

    @property
    def stock(self) -> float:
        """What use takes away on day 0: the level, or the head-room of a supply that fills."""
        return self.usable - self.start if self.fills else self.start

    @property
    def last_reserve(self) -> float:
        """The stock that must be left when the trip ends."""
        return self.reserve if self.end_reserve is None else max(self.reserve, self.end_reserve)


@dataclass(frozen=True, slots=True)
class Stay:
    """Nights at one spot; `factor` is the use per night relative to the mean, by supply (absent: 1).

    `flexible`: fewest and most nights of a stay "as long as we can"; `nights` is then the fewest, until it is settled.
    `people` and `conditions` are what rig and log make factors of; None: as the log has it. `unsure`: by supply and
    condition, the sd of that factor. `km`: the leg to it as typed, `road` as measured where nothing was typed.
    """

    nights: int
    km: float | None = None
    factor: Mapping[str, float] = field(default_factory=dict)
    flexible: tuple[int, int] | None = None
    people: float | None = None
    conditions: tuple[str, ...] | None = None
    name: str = ""
    point: Point | None = None
    road: Distance | None = None
    unsure: Mapping[str, Mapping[str, float]] = field(default_factory=dict)

    @property
    def drive_km(self) -> float:
        """The leg to it, likely; 0 where nothing is known of it."""
        return _known(self.km, self.road)


@dataclass(frozen=True, slots=True)
class Service:
    """One supply at one place: a fee per use, a price per unit (per container when exchanged).

    `levels`: shares of the usable capacity it may be brought to, one of them to be chosen.
    """

    supply: str
    exchange: bool = False
    fee: float = 0.0
    price: float = 0.0
    levels: tuple[float, ...] = (1.0,)


@dataclass(frozen=True, slots=True)
class Place:
    """Somewhere on a leg (`leg`, ordered by `km`) or near a stay (`stay`, `when`); both count from 1.

    `open` holds weekdays (Monday 0) or None for every day; `season` its first and last (month, day), both included.
    `detour_km`: the extra road of a visit as typed, `road` as measured where nothing was typed.
    """

    id: str
    leg: int | None = None
    stay: int | None = None
    when: str = "any"
    km: float = 0.0
    detour_km: float | None = None
    stop: float | None = None
    hours: float = 0.0
    entry: float = 0.0
    open: frozenset[int] | None = None
    season: tuple[tuple[int, int], tuple[int, int]] | None = None
    closed: frozenset[date] = frozenset()
    services: tuple[Service, ...] = ()
    name: str = ""
    point: Point | None = None
    road: Distance | None = None

    @property
    def extra_km(self) -> float:
        """The extra road of a visit, likely; 0 where nothing is known of it."""
        return _known(self.detour_km, self.road)

    def service(self, supply: str) -> Service | None:
        """What it offers of that supply, or None."""
        return next((s for s in self.services if s.supply == supply), None)


def _known(typed: float | None, measured: Distance | None) -> float:
    return typed if typed is not None else measured.likely if measured else 0.0


@dataclass(frozen=True, slots=True)
class Trip:
    """Stays in order, places, and the supplies to plan.

    `use` is "assume" (the supplies are complete) or "log" (numbers come from rig and log; `overrides` holds, by supply,
    the single numbers the file sets, and `confidence` is None when the file names none).
    `today`: the first day that still can be planned (0: before the start); the levels are those of that day.
    `payload`: kg of supplies the vehicle may carry, None if nobody said.
    """

    start: date
    name: str = ""
    use: str = "assume"
    confidence: float | None = None
    costs: Costs = Costs()
    supplies: tuple[Supply, ...] = ()
    overrides: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    stays: tuple[Stay, ...] = ()
    places: tuple[Place, ...] = ()
    today: int = 0
    payload: float | None = None

    @property
    def nights(self) -> int:
        """All nights of the trip: its last day."""
        return sum(stay.nights for stay in self.stays)

    def supply(self, name: str) -> Supply:
        """The supply of that name (it must be there)."""
        return next(s for s in self.supplies if s.name == name)

    def date_of(self, day: int) -> date:
        """The local date of a day: days are added to a date, never hours to an instant, so clock changes do no harm."""
        return self.start + timedelta(days=day)

    def factors(self, supply: str) -> list[float]:
        """Use relative to the mean, one number a night; what is over uses nothing any more."""
        nights = [stay.factor.get(supply, 1.0) for stay in self.stays for _ in range(stay.nights)]
        return [0.0 if night < self.today else factor for night, factor in enumerate(nights)]

    def unsure(self, supply: str) -> list[list[float]]:
        """By condition, the sd of each night's factor, for conditions under which use is not quite known."""
        told = [stay.unsure.get(supply, {}) for stay in self.stays for _ in range(stay.nights)]
        words = sorted({word for night in told for word in night})
        return [[0.0 if n < self.today else night.get(word, 0.0) for n, night in enumerate(told)] for word in words]

    def first_day(self, stay: int) -> int:
        """The day on which a stay (counted from 1; one more: the way home) is reached."""
        return sum(s.nights for s in self.stays[: stay - 1])


@dataclass(frozen=True, slots=True)
class Served:
    """One service in a plan: the expected amount taken (L or kg), the share of usable it leaves, what it costs.

    `containers` counts those handed over in an exchange, else 0.
    """

    supply: str
    amount: float
    level: float
    containers: int
    cost: float


@dataclass(frozen=True, slots=True)
class Visit:
    """A place on a day: `cost` is that of going there, without its services."""

    day: int
    place: str
    services: tuple[Served, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class Interval:
    """A supply between two services (or start, or end): expected use, the chance `p` that it holds.

    `latest_day` is the last day on which it would still hold with the demanded confidence; None when it never does.
    """

    supply: str
    start: str
    end: str
    first_day: int
    last_day: int
    stock: float
    use: float
    p: float
    demanded: float
    latest_day: int | None

    @property
    def slack(self) -> int:
        """Nights to spare; negative when it fails."""
        return (self.first_day if self.latest_day is None else self.latest_day) - self.last_day


@dataclass(frozen=True, slots=True)
class Plan:
    """What to do where. `status` is "optimal" (proven cheapest), "feasible" (`bound` is proven) or "infeasible".

    An infeasible plan is the best effort; `attainable` then gives, by supply, the confidence that can be had.
    `left` is the part of the cost that refills later what is missing at the end.
    """

    status: str
    cost: float
    bound: float
    visits: tuple[Visit, ...]
    intervals: tuple[Interval, ...]
    left: float = 0.0
    attainable: Mapping[str, float] = field(default_factory=dict)

    @property
    def confidence(self) -> float:
        """The smallest chance over all intervals; 1 when there is none."""
        return min((i.p for i in self.intervals), default=1.0)
