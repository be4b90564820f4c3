"""What supplies and the letters that stand for them are called."""

from __future__ import annotations

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


def supply_letters(rig: Rig) -> dict[str, str]:
    """Letter → supply, the same letter everywhere; an own supply gets a free letter, its own first one if it can."""
    found: dict[str, str] = {}
    for supply in rig.supplies:
        wanted = _LETTERS.get(supply.name) or next((c for c in (*supply.name.lower(), *_FREE) if _is_free(c, found)), "")
        if wanted:
            found[wanted] = supply.name
    return found


def _is_free(letter: str, taken: dict[str, str]) -> bool:
    return letter in _FREE and letter not in taken
