"""Drinking water for those aboard: planning figures, never medical advice, never a ration."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from vanlife_supply.constants import DRINKING_LITRES_PER_PERSON_DAY, KG_PER_POUND, LITRES_PER_GALLON, PET_LITRES_PER_KG_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import Rig

HOT = "hot"
HOT_LITRES_PER_PERSON_DAY = LITRES_PER_GALLON
"""A gallon a person and day is the common rule for emergency stores and for the desert: common practice, no source."""
HOT_PETS = 2.0
"""Pets drink up to twice as much when it is hot: common practice, no source."""
UNSAID_KG = {"cat": 4.5, "dog": 20.0, "puppy": 8.0}
"""What a pet weighs when nobody said: common practice, no source."""
_PET = re.compile(r"(?:(\d+)\s+)?([a-z][a-z ]*?)s?(?:\s+(\d+(?:[.,]\d+)?)\s*(lbs?|kg|pounds?))?")


def drinking(people: float, pets: Iterable[str], hot: bool) -> float:
    """Litres a day for people and pets (`dog 50 lb`, `2 cats 4 kg`); more in heat."""
    each = HOT_LITRES_PER_PERSON_DAY if hot else DRINKING_LITRES_PER_PERSON_DAY
    pet_litres = sum(pet_weight(pet) for pet in pets) * PET_LITRES_PER_KG_DAY
    return people * each + pet_litres * (HOT_PETS if hot else 1.0)


def pet_weight(pet: str) -> float:
    """Kilograms of what a pet's words say; what no one can read counts as a cat."""
    said = _PET.fullmatch(" ".join(pet.lower().split()))
    if said is None:
        return UNSAID_KG["cat"]
    count = int(said[1] or 1)
    if said[3]:
        return count * float(said[3].replace(",", ".")) * (KG_PER_POUND if said[4].startswith(("lb", "pound")) else 1.0)
    return count * UNSAID_KG.get(said[2].strip(), UNSAID_KG["cat"])


def pets_aboard(rig: Rig, entries: Sequence[Entry], at: float) -> tuple[str, ...]:
    """The pets of the last people entry that says any and still holds, else those of the rig."""
    for entry in reversed(entries):
        holds = entry.at.epoch <= at and (entry.until is None or entry.until.epoch > at)
        if entry.kind == m.PEOPLE and entry.pets and holds:
            said = (p.strip() for p in re.split(r",|\band\b|\+", entry.pets))
            return tuple(p for p in said if p and p.lower() not in ("none", "no", "0"))
    return rig.pets
