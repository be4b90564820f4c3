"""Small logs for tests: a rig, and entries written as (days since the start, kind, supply, ...)."""

from __future__ import annotations

from typing import Any

from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief, learn, look_ahead
from vanlife_supply.forecast.model import Band, Forecast, SupplyOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement, Rig

START = 1_777_881_600.0
"""Mon 4 May 2026, 08:00 UTC."""

TANK = """
[rig]
people = 1
[[container]]
supply = "fresh"
label = "tank"
capacity = "100 L"
portable = false
[[container]]
supply = "grey"
label = "gray"
capacity = "80 L"
"""

JUGS = """
[rig]
people = 1
[[container]]
supply = "fresh"
label = "jug"
capacity = "20 L"
count = 3
[[container]]
supply = "grey"
label = "sink"
capacity = "20 L"
usable = 0.9
[[container]]
supply = "grey"
label = "spare"
capacity = "20 L"
usable = 0.9
[[container]]
supply = "stove_fuel"
label = "canister"
capacity = "1 L"
count = 2
[[container]]
supply = "stove_fuel"
label = "can"
capacity = "4 L"
[[container]]
supply = "propane"
label = "cylinder"
capacity = "9 kg"
tare = "7.7 kg"
count = 2
"""


def moment(days: float) -> Moment:
    """So many days after the start."""
    return Moment(START + days * 86_400.0, 0, "")


def entry(days: float, kind: str, supply: str = "", amount: float | None = None, unit: str = "L", **more: Any) -> Entry:
    """One entry; its id follows from when and what it is."""
    ident = more.pop("id", f"{days:012.6f}-{kind}-{supply}-{more.get('container', '')}-{more.get('word', '')}")
    unit = unit if amount is not None else ""
    return Entry(ident, kind, moment(days), supply, amount, unit, recorded=START + days * 86_400.0, **more)


def rig(text: str) -> Rig:
    """The rig of a toml."""
    return read_rig(text)


def arrangements(text: str) -> tuple[Arrangement, ...]:
    """One rig for all times."""
    return (Arrangement(float("-inf"), read_rig(text)),)


def believed(text: str, entries: list[Entry]) -> Belief:
    """What is known after these entries."""
    return learn(None, arrangements(text), sorted(entries, key=lambda e: (e.at.epoch, e.recorded, e.id)))


def ahead(text: str, entries: list[Entry], days: float) -> Forecast:
    """The forecast so many days after the start."""
    return look_ahead(believed(text, entries), moment(days))


def known(forecast: Forecast, name: str) -> SupplyOutlook:
    """A supply that something is known of."""
    outlook = forecast.supply(name)
    assert outlook is not None and outlook.days_left is not None
    return outlook


def likely(band: Band | None) -> float:
    """The middle of a band."""
    assert band is not None and band.p50 is not None
    return band.p50


def numbers(forecast: Forecast) -> list[float]:
    """Every quantile a forecast says, None as a year and more."""
    found: list[float] = []
    for outlook in forecast.supplies:
        for band in (outlook.level, outlook.usable, outlook.use_per_day, outlook.days_left):
            found += [999.0 if q is None else q for q in (band.p10, band.p50, band.p90)] if band else [-1.0]
    return found


def steady(days: int, per_day: float = 5.0, full: float = 100.0, every: int = 7) -> list[Entry]:
    """A tank filled to the top every week, the amount known, the gray dumped before it."""
    return [
        each
        for day in range(0, days, every)
        for each in (
            entry(day, "dump", "grey", to="empty"),
            entry(day + 0.01, "fill", "fresh", min(per_day * every, full) if day else None, to="full"),
        )
    ]
