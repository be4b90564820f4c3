"""Which look would help most: a reading of each supply supposed at what it may turn out to be."""

from __future__ import annotations

from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.model import Look
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Band, ContainerOutlook, Forecast, SupplyOutlook
from vanlife_supply.forecast.suppose import with_entries
from vanlife_supply.rig.model import PROPANE

OUTCOMES = (0.3, 0.4, 0.3)
"""Weights of a reading turning out at p10, p50 and p90 of what is believed: mean and spread of a normal are kept."""
BEYOND = 365.0


def best_looks(known: Ground) -> tuple[Look, ...]:
    """A reading of the one in use of every known supply, the one that narrows what stops you first most at the top."""
    looks = [look_at(known, told.supply) for told in known.outlook.supplies]
    found = [look for look in looks if look is not None]
    return tuple(sorted(found, key=lambda look: (-round(look.narrows_first, 2), -look.narrows_own)))


def look_at(known: Ground, supply: str) -> Look | None:
    """What a reading of the one in use would do; None where nothing is in use or known."""
    told = known.outlook.supply(supply)
    open_ones = [c for c in told.containers if c.state == "open" and c.level is not None] if told else []
    if told is None or not open_ones:
        return None
    open_one = open_ones[0]
    assert open_one.level is not None
    how = "scale" if supply == PROPANE else "sight"
    first = own = 0.0
    levels = (open_one.level.p10, open_one.level.p50, open_one.level.p90)
    for level, weight in zip(levels, OUTCOMES, strict=True):
        then = _after(known, told, open_one, how, level or 0.0)
        own += weight * _width(_days(then, told.supply))
        first += weight * _width(then.first.days_left if then.first else None)
    before = known.outlook
    before_first = _width(before.first.days_left if before.first else None)
    return Look(told.supply, how, open_one.label,
                _narrower(before_first, first), _narrower(_width(_days(before, told.supply)), own))  # fmt: skip


def _after(known: Ground, told: SupplyOutlook, c: ContainerOutlook, how: str, level: float) -> Forecast:
    container = "" if len(told.containers) == 1 else c.label
    reading = Entry("", m.READING, known.now, told.supply, level, told.unit, method=how, container=container)
    return known.ahead(with_entries(known.belief, [reading]))


def _days(forecast: Forecast, supply: str) -> Band | None:
    told = forecast.supply(supply)
    return told.days_left if told else None


def _width(band: Band | None) -> float:
    if band is None or band.p10 is None:
        return 0.0
    return (BEYOND if band.p90 is None else band.p90) - band.p10


def _narrower(before: float, after: float) -> float:
    return max(0.0, 1.0 - after / before) if before > 0 else 0.0
