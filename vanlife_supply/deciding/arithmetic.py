"""The sums behind decisions, as a person would do them on paper: plain numbers in, plain numbers out."""

from __future__ import annotations

from vanlife_supply.constants import ALCOHOL_MJ_PER_LITRE, PROPANE_LOWER_MJ_PER_KG


def allowance(usable: float, days: float) -> float:
    """What may be used a day for `usable` to last so many days."""
    return max(usable, 0.0) / days


def cut(per_day: float, usual: float) -> float:
    """The share of the usual that must go; 0 when the allowance is no less."""
    return max(0.0, 1.0 - per_day / usual) if usual > 0 else 0.0


def stands_in_propane(alcohol_litres: float, alcohol: float = ALCOHOL_MJ_PER_LITRE,
                      propane: float = PROPANE_LOWER_MJ_PER_KG) -> float:  # fmt: skip
    """kg of propane that give the heat of so much alcohol on the same pot; heats in MJ/L and MJ/kg."""
    return alcohol_litres * alcohol / propane


def stands_in_alcohol(propane_kg: float, alcohol: float = ALCOHOL_MJ_PER_LITRE,
                      propane: float = PROPANE_LOWER_MJ_PER_KG) -> float:  # fmt: skip
    """Litres of alcohol that give the heat of so much propane on the same pot."""
    return propane_kg * propane / alcohol


def to_keep_out(level: float, per_day: float, days: float, stop: float) -> float:
    """How much must stay out of the gray for it not to be over its stop mark in so many days; 0 if it will not be."""
    return max(0.0, level + per_day * days - stop)


def short_of(litres: float, need: float, days: float) -> float:
    """What is missing for `need` a day over so many days; 0 when there is enough."""
    return max(0.0, need * days - litres)
