"""An invented rig and its forecast on a Thursday evening, shared by the tests of words and screens."""

from __future__ import annotations

from vanlife_supply.forecast.model import (
    Band,
    ContainerOutlook,
    First,
    Forecast,
    LimitOutlook,
    PlannedOutlook,
    SupplyOutlook,
    Warning,
)
from vanlife_supply.moment import read_iso
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import EMPTIES, FILLS, Rig

GALLON = 3.785411784
POUND = 0.45359237

RIG_TOML = """
[rig]
people = 1
pets = ["dog 50 lb"]
timezone = "America/Denver"
[[container]]
supply = "fresh"
label = "jug A"
capacity = "7 gal"
[[container]]
supply = "fresh"
label = "jug B"
capacity = "5 gal"
[[container]]
supply = "grey"
label = "gray jug"
capacity = "6 gal"
usable = 0.9
[[container]]
supply = "stove_fuel"
label = "canister"
count = 2
capacity = "1.2 L"
[[container]]
supply = "stove_fuel"
label = "can"
capacity = "1 gal"
[[container]]
supply = "propane"
label = "cylinder"
capacity = "20 lb"
tare = "17.1 lb"
"""

NOW = read_iso("2026-05-07T19:10:00-06:00", "America/Denver").moment


def rig() -> Rig:
    """Two unequal water jugs, a gray jug, two canisters and a can, one cylinder."""
    return read_rig(RIG_TOML)


def _band(low: float, mid: float, high: float, unit: float = 1.0) -> Band:
    return Band(low * unit, mid * unit, high * unit)


def _water() -> SupplyOutlook:
    return SupplyOutlook(
        "fresh", EMPTIES, "L", 12 * GALLON, GALLON,
        level=_band(7.0, 7.5, 8.0, GALLON), usable=_band(6.0, 6.5, 7.0, GALLON),
        use_per_day=_band(0.9, 1.1, 1.3, GALLON), days_left=Band(4.7, 5.9, 7.4),
        source="balance", last_trusted=NOW.epoch - 86_400,
        containers=(
            ContainerOutlook("A", "jug A", "open", 7 * GALLON, _band(2.2, 2.5, 2.8, GALLON)),
            ContainerOutlook("B", "jug B", "full", 5 * GALLON, _band(5, 5, 5, GALLON)),
        ),
    )  # fmt: skip


def _gray() -> SupplyOutlook:
    return SupplyOutlook(
        "grey", FILLS, "L", 6 * GALLON, 0.0,
        level=_band(2.6, 2.9, 3.2, GALLON), usable=_band(2.2, 2.5, 2.8, GALLON),
        use_per_day=_band(0.55, 0.7, 0.85, GALLON), days_left=Band(2.9, 3.6, 4.4),
        source="balance", last_trusted=NOW.epoch - 3 * 86_400,
        containers=(ContainerOutlook("A", "gray jug", "open", 6 * GALLON, _band(2.6, 2.9, 3.2, GALLON)),),
        planned=PlannedOutlook("dump", NOW.plus(3.87), 0.75),
    )  # fmt: skip


def _propane() -> SupplyOutlook:
    return SupplyOutlook(
        "propane", EMPTIES, "kg", 20 * POUND, 0.0,
        level=_band(8, 11.5, 15, POUND), usable=_band(8, 11.5, 15, POUND),
        use_per_day=_band(0.2, 0.35, 0.6, POUND), days_left=Band(18.0, 33.0, 60.0),
        source="guess", last_trusted=NOW.epoch - 19 * 86_400,
        containers=(ContainerOutlook("A", "cylinder", "open", 20 * POUND, _band(8, 11.5, 15, POUND)),),
    )  # fmt: skip


def _alcohol() -> SupplyOutlook:
    return SupplyOutlook(
        "stove_fuel", EMPTIES, "L", 6.185, 0.0,
        level=_band(3.0, 3.5, 4.0), usable=_band(3.0, 3.5, 4.0), use_per_day=_band(0.05, 0.07, 0.1),
        days_left=Band(32.0, 50.0, 75.0), source="said", last_trusted=NOW.epoch - 4 * 86_400,
        containers=(
            ContainerOutlook("A", "canister 1", "open", 1.2, _band(0.5, 0.6, 0.7)),
            ContainerOutlook("B", "canister 2", "full", 1.2, _band(1.2, 1.2, 1.2)),
            ContainerOutlook("C", "can", "open", GALLON, _band(1.5, 1.7, 1.9)),
        ),
    )  # fmt: skip


def forecast() -> Forecast:
    """Gray stops the stay first; propane is an old guess; food and the stay are dated."""
    return Forecast(
        as_of=NOW,
        supplies=(_water(), _gray(), _alcohol(), _propane()),
        limits=(LimitOutlook("food", NOW.plus(6.7), 6.7), LimitOutlook("stay", NOW.plus(8.7), 8.7)),
        first=First("grey", Band(2.9, 3.6, 4.4), {"grey": 0.71, "fresh": 0.24, "food": 0.05}),
        warnings=(
            Warning("full-before-dump", "grey", 0.75, NOW.plus(3.6).epoch, NOW.plus(3.87).epoch, amount=GALLON),
            Warning("questioned", "fresh", entry="e1"),
        ),
        people=1.0,
        last_entry=NOW.epoch - 3600,
    )
