"""What is believed before anything is logged: how fast supplies usually go, and what the usual conditions do.

All figures common practice, no source, unless said; each is soon outweighed by the person's own log.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

from vanlife_supply.forecast.arithmetic import idle_loss_rate
from vanlife_supply.rig.model import FILLS, FRESH, GREY, PROPANE, STOVE_FUEL, Container, Supply

# Litres (kilograms) a person-day or day: (small containers, large ones), and the sd of its log.
_USUAL = {FRESH: (5.5, 12.0, 0.7), STOVE_FUEL: (0.08, 0.15, 0.9), PROPANE: (0.2, 0.3, 1.0), GREY: (3.6, 10.0, 0.8)}
# Days a full load usually lasts: (small, large), sd of its log; a rig is bought to fit a life, not to fit a winter.
# Water's and alcohol's are chosen on open cases, within what practice allows.
_HORIZON = {
    FRESH: (7.5, 8.0, 0.55), STOVE_FUEL: (45.0, 12.0, 0.7), PROPANE: (45.0, 20.0, 0.9), GREY: (8.0, 10.0, 0.7),
}  # fmt: skip
_OTHER_HORIZON = (14.0, 14.0, 0.9)
_OWNER_SD = 0.2
_WIDEN = 1.1
# What is in the gray when it is dumped, as a share of its stop mark: (a life out of jugs, a tank); the former is
# chosen on open cases, within what practice allows.
_INSIDE = (0.65, 0.85)
# Drain share of the fresh water used: (drinking from the same jugs, a plumbed tank), sd.
_SHARE, _SHARE_SD = (0.66, 0.85), (0.18, 0.15)
DRAIN_EVENER = 4.0
"""The share that reaches the drain varies less from day to day than use itself."""
PROPANE_RESTLESS = 1.7
"""Heating seasons come and go."""
RETURNS = (0.015, 0.015)
"""How often a day the rate goes back to one lived with before, usually and once conditions were named."""
PROPANE_RETURNS = (0.015, 0.15)
"""Who names the heater heats in spells of about a week, and does not name every one of them: chosen on open cases."""
PROPANE_SWITCHES = 0.01
"""How often a day propane goes over to a rate not lived with before, but some fold from those: a heater comes on, a fridge
goes off, for weeks. Chosen on open cases and on invented ones of another make."""
JUG_LITRES, TANK_LITRES = 30.0, 60.0

STAYS_OUT = {
    "outside": 1.0, "plants": 1.0, "drinking": 1.0, "drink": 1.0, "dog": 1.0, "pets": 1.0, "coffee": 1.0, "tea": 1.0,
    "cooking": 0.7,
}  # fmt: skip
"""Share of a noted use of water, by what it was for, that does not come down the drain: common practice, no source."""

TEMPERATURE = "the temperature"
"""The need that outside temperatures bring, as if it were a condition: what ten degrees add to a day's use."""
CONDITIONS: dict[str, dict[str, tuple[float, float]]] = {
    "heater": {PROPANE: (2.3, 1.0)},
    "hot": {FRESH: (0.25, 0.25)},
    "cold": {FRESH: (-0.1, 0.2), PROPANE: (0.4, 0.5), STOVE_FUEL: (0.1, 0.2)},
    "saving": {FRESH: (-0.45, 0.3), STOVE_FUEL: (-0.2, 0.3), PROPANE: (-0.4, 0.4)},
    TEMPERATURE: {PROPANE: (-1.5, 1.5), FRESH: (-1.2, 0.7)},
    "guests": {FRESH: (0.5, 0.35), STOVE_FUEL: (0.3, 0.3), PROPANE: (0.3, 0.3)},
}
"""Condition → supply → (mean, sd) of the log of its factor; gray follows the water."""
OWN_WORD = (0.0, 0.3)


@dataclass(frozen=True, slots=True)
class RatePrior:
    """Lognormal prior of use per unit of exposure: mean and sd of the log."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class Manner:
    """How a supply is used before its log says so.

    `rate` per unit of exposure; `evener`: how much evener than usual it goes; `restless`: how much more its rate
    drifts; `left`, `inside`: mean and sd of the share still there at a fill, or in there at a dump, when nobody said
    how much; `idle`: what is lost a day without any use; `returns`: see `RETURNS`; `switches`: how often a day the rate
    goes over to a new one.
    """

    rate: RatePrior
    evener: float = 1.0
    restless: float = 1.0
    left: tuple[float, float] = (0.28, 0.22)
    inside: tuple[float, float] = (0.78, 0.25)
    idle: float = 0.0
    returns: tuple[float, float] = RETURNS
    switches: float = 0.0


def manner(
    supply: Supply, containers: Sequence[Container], rate: RatePrior, drains: bool, water_size: float
) -> Manner:
    """What the kind of a supply and its containers tell; `drains`: it is measured against the fresh water used.

    Who has one tank or cylinder waits until it is low; who lives out of several jugs tops up, and dumps when water is
    fetched rather than when the gray is full (`water_size`: `largeness` of what water is carried in).
    """
    evener = DRAIN_EVENER if drains else 1.0
    burns = supply.name == PROPANE
    restless, returns, switches = (PROPANE_RESTLESS, PROPANE_RETURNS, PROPANE_SWITCHES) if burns else (1.0, RETURNS, 0.0)
    idle = max((idle_loss(c) for c in containers), default=0.0)
    if len(containers) == 1:
        return Manner(rate, evener, restless, (0.17, 0.14), (_between(*_INSIDE, water_size), 0.22), idle, returns, switches)
    return Manner(rate, evener, restless, idle=idle, returns=returns, switches=switches)


def idle_loss(container: Container) -> float:
    """What the one in use loses a day, half full on the whole; the sealed ones lose nothing."""
    return idle_loss_rate(container.idle_loss_per_week) * 0.5 * container.stop


def largeness(containers: Sequence[Container]) -> float:
    """0 for a life out of jugs, 1 for a tank with a pump, between by the largest container."""
    most = max((c.capacity for c in containers), default=JUG_LITRES)
    return min(1.0, max(0.0, (most - JUG_LITRES) / (TANK_LITRES - JUG_LITRES)))


def rate(supply: Supply, containers: Sequence[Container], people: float, water_size: float) -> RatePrior:
    """The prior of a supply's rate: usual use, and what the owner's own guess, else its containers suggest.

    `people` weighs the exposure of water; `water_size` is `largeness` of the fresh containers, which tells what
    kind of life this is. Gray's rate is its share of the fresh water used.
    """
    load = sum(c.stop - c.dead for c in containers)
    size = largeness(containers) if supply.name in (FRESH, GREY) else water_size
    many = people if supply.name in (FRESH, GREY) else 1.0
    parts: list[tuple[float, float]] = []
    if supply.name in _USUAL:
        small, large, sd = _USUAL[supply.name]
        parts.append((_between(log(small), log(large), size), sd))
    if supply.lasts is not None:
        parts.append((log(load / many / supply.lasts), _OWNER_SD))
    else:
        near, far, sd = _HORIZON.get(supply.name, _OTHER_HORIZON)
        parts.append((log(load / many) - _between(log(near), log(far), size), sd))
    weight = sum(1 / sd**2 for _, sd in parts)
    mean = sum(value / sd**2 for value, sd in parts) / weight
    return RatePrior(mean, _WIDEN * weight**-0.5)


def drain_share(water_size: float, kept_apart: bool) -> RatePrior:
    """The prior of the share of fresh water that reaches the drain; `kept_apart`: drinking water is not counted."""
    size = max(water_size, 1.0 if kept_apart else 0.0)
    mean, sd = _between(*_SHARE, size), _between(*_SHARE_SD, size)
    return RatePrior(log(mean), sd / mean)


def condition(word: str, supply: Supply) -> tuple[float, float]:
    """Mean and sd of the log factor of a condition on a supply before it was ever seen."""
    known = CONDITIONS.get(word)
    if known is None:
        return OWN_WORD if supply.direction != FILLS else (0.0, 0.0)
    return known.get(supply.name, (0.0, 0.0))


def _between(small: float, large: float, size: float) -> float:
    return small + (large - small) * size
