"""What supplies and the letters that stand for them are called."""

from __future__ import annotations

from collections.abc import Mapping

from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL, Rig

_NAMES = {FRESH: "Water", STOVE_FUEL: "Alcohol", PROPANE: "Propane"}
_LETTERS = {FRESH: "w", GREY: "g", STOVE_FUEL: "a", PROPANE: "p"}
_FREE = "jil"
"""Letters that no action uses, for supplies the owner adds."""


def supply_name(supply: str, rig: Rig) -> str:
    """Water, Gray (Grey in metric rigs), Alcohol, Propane; the owner's own word with a capital."""
    if supply == GREY:
        return "Gray" if rig.units == "us" else "Grey"
    return _NAMES.get(supply) or supply.replace("_", " ").capitalize()


def limit_name(word: str) -> str:
    """A dated limit as it stands on the screen: Food, Stay, Move."""
    return word.replace("_", " ").capitalize()


def thing_name(what: str, rig: Rig) -> str:
    """The name of whatever stops you: a supply of the rig, else a dated limit."""
    known = any(s.name == what for s in rig.supplies)
    return supply_name(what, rig) if known else limit_name(what)


def supply_letters(rig: Rig, own: Mapping[str, str] | None = None) -> dict[str, str]:
    """Letter → supply, the same letter everywhere (`own`: supply → the letter a person gave it); one without a letter gets a
    free one, its first if it can."""
    given = {**{supply: letter for supply, letter in _LETTERS.items() if letter not in (own or {}).values()}, **(own or {})}
    found = {given[s.name]: s.name for s in rig.supplies if s.name in given}
    for supply in rig.supplies:
        free = next((c for c in (*supply.name.lower(), *_FREE) if c in _FREE and c not in found), "")
        if supply.name not in given and free:
            found[free] = supply.name
    return found


def printable(text: str) -> str:
    """Without anything a terminal would act on."""
    return "".join(ch if ch.isprintable() else " " for ch in text)
