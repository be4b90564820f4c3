"""What supplies weigh: kilograms of what is in the containers; the containers and the vehicle are left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from vanlife_supply.constants import WATER_KG_PER_LITRE
from vanlife_supply.rig.model import STANDARD, Rig, Supply


@dataclass(frozen=True, slots=True)
class Load:
    """Kilograms of supplies aboard; `whole`: something is known of every supply, else it is at least so much."""

    kg: float
    whole: bool


def kg_each(supply: Supply) -> float:
    """Kilograms in one canonical unit of a supply; what has no density counts as water."""
    return 1.0 if supply.measure == "mass" else supply.density or WATER_KG_PER_LITRE


def kg_each_called(name: str) -> float:
    """`kg_each` where only the name is known."""
    return kg_each(Supply(name, *STANDARD[name][:3])) if name in STANDARD else WATER_KG_PER_LITRE


def load_of(levels: Mapping[str, float | None], rig: Rig) -> Load:
    """What those levels (supply → canonical units, None: not known) weigh together."""
    known = [kg_each(s) * level for s in rig.supplies if (level := levels.get(s.name)) is not None]
    return Load(sum(known), len(known) == len(rig.supplies))
