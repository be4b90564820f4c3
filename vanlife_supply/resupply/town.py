"""What to do in town, from the state of the jugs: take out, get, in which order, and what one may count on after."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.entry.shelf import stores
from vanlife_supply.forecast.model import ContainerOutlook, Forecast, LimitOutlook, SupplyOutlook
from vanlife_supply.rig.model import EMPTIES, FILLS, FRESH, Rig

WORTH_A_STOP_SHARE = 0.25
"""Fuel is on the list once this share of it is missing: common practice, no source."""
LONG_DAYS = 14.0
"""Fuel that may not last this long is on the list however full: common practice, no source."""
_NEARLY = 0.02


@dataclass(frozen=True, slots=True)
class Errand:
    """One container to empty or to fill. `amount` canonical, None if its level is not known.

    `pours`: what of it takes the place of what is first poured out of this one into the others.
    """

    supply: str
    container: ContainerOutlook
    amount: float | None
    pours: float = 0.0


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
    return _from_the_can(found, outlook, rig)


def _from_the_can(errands: list[Errand], outlook: SupplyOutlook, rig: Rig) -> list[Errand]:
    """Canisters are filled from the can where that holds enough; then only the can has to be filled. One whose level is not
    known may take all it holds."""
    specs = rig.of(outlook.supply)
    cans = {specs[i].label for i in stores(rig.supply(outlook.supply), specs)}
    can = next((c for c in outlook.containers if c.label in cans and c.state != "aside"), None)
    canisters = [e for e in errands if e.container.label not in cans]
    if can is None or can.level is None or can.level.p50 is None or not canisters:
        return errands
    pours = sum(e.container.capacity if e.amount is None else e.amount for e in canisters)
    if pours > can.level.p50:
        return errands
    missing = next((e.amount or 0.0 for e in errands if e.container is can), 0.0)
    rest = [e for e in errands if e.container.label in cans and e.container is not can]
    return [Errand(outlook.supply, can, missing + pours, pours), *rest]


def _full(outlook: SupplyOutlook, rig: Rig) -> float:
    aside = {c.label for c in outlook.containers if c.state == "aside"}
    return sum(c.stop for c in rig.of(outlook.supply) if c.label not in aside)
