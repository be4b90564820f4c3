"""What to do in town, from the state of the jugs: take out, get, in which order, and what one may count on after."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.forecast.model import ContainerOutlook, Forecast, LimitOutlook, SupplyOutlook
from vanlife_supply.rig.model import EMPTIES, FILLS, FRESH, Rig

WORTH_A_STOP_SHARE = 0.25
"""Fuel is on the list once this share of it is missing: common practice, no source."""
LONG_DAYS = 14.0
"""Fuel that may not last this long is on the list however full: common practice, no source."""
_NEARLY = 0.02


@dataclass(frozen=True, slots=True)
class Errand:
    """One container to empty or to fill. `amount` canonical, None if its level is not known."""

    supply: str
    container: ContainerOutlook
    amount: float | None


@dataclass(frozen=True, slots=True)
class TownList:
    """`out` is dumped first, then `water` is filled, then the `fuels`; `enough`: supplies that need nothing.

    `limits`: what ends on a date whatever is filled. `after`: once all that is done, the days one may count on (None: over
    a year) and what then comes first, a supply or a dated limit.
    """

    out: tuple[Errand, ...]
    water: tuple[Errand, ...]
    fuels: tuple[Errand, ...]
    enough: tuple[str, ...]
    limits: tuple[LimitOutlook, ...] = ()
    after: tuple[float | None, str] | None = None

    @property
    def moved(self) -> tuple[str, ...]:
        """The supplies that are emptied or filled."""
        return tuple(dict.fromkeys(errand.supply for errand in (*self.out, *self.water, *self.fuels)))


def town(forecast: Forecast, rig: Rig) -> TownList:
    """The list for everything aboard; what comes after it takes a forecast of its own."""
    out = [e for s in forecast.supplies if s.direction == FILLS for e in _errands(s, rig)]
    water = [e for s in forecast.supplies if s.supply == FRESH for e in _errands(s, rig)]
    others = [s for s in forecast.supplies if s.direction == EMPTIES and s.supply != FRESH]
    wanted = [s for s in others if _wanted(s, rig)]
    fuels = [e for s in wanted for e in _errands(s, rig)]
    moved = {e.supply for e in (*out, *water, *fuels)}
    enough = tuple(s.supply for s in forecast.supplies if s.supply not in moved)
    return TownList(tuple(out), tuple(water), tuple(fuels), enough, forecast.limits)


def _wanted(outlook: SupplyOutlook, rig: Rig) -> bool:
    if outlook.level is None or outlook.level.p50 is None:
        return True
    missing = 1 - outlook.level.p50 / (_full(outlook, rig) or 1.0)
    sure = outlook.days_left.p10 if outlook.days_left else None
    return missing >= WORTH_A_STOP_SHARE or (sure is not None and sure < LONG_DAYS and missing > _NEARLY)


def _errands(outlook: SupplyOutlook, rig: Rig) -> list[Errand]:
    found = []
    for its in outlook.containers:
        if its.state == "aside":
            continue
        stop = next((c.stop for c in rig.of(outlook.supply) if c.label == its.label), its.capacity)
        amount = None if its.level is None or its.level.p50 is None else its.level.p50
        if amount is not None and outlook.direction == EMPTIES:
            amount = stop - amount
        if amount is None or amount > _NEARLY * its.capacity:
            found.append(Errand(outlook.supply, its, amount))
    return found


def _full(outlook: SupplyOutlook, rig: Rig) -> float:
    aside = {c.label for c in outlook.containers if c.state == "aside"}
    return sum(c.stop for c in rig.of(outlook.supply) if c.label not in aside)
