"""The letters that mean something while something is noted, by the keys in force."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply import actions
from vanlife_supply.actions import key_of, keys_of, on_screen
from vanlife_supply.entry import model as m
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL, Rig
from vanlife_supply.wording.names import supply_letters

_OPENS = {FRESH: "closer_water", GREY: "closer_gray", STOVE_FUEL: "closer_alcohol", PROPANE: "closer_propane"}
_GROUPS = {m.FILL: actions.FILLING, m.DUMP: actions.FILLING, m.RAN_OUT: actions.OUT, m.ASIDE: actions.ASIDE,
           m.USE: actions.USING}  # fmt: skip
_KINDS = {
    "traded_in": m.EXCHANGE, "plan_one": m.PLANNED, "put_aside": m.ASIDE, "spilled": m.SPILL,
}  # fmt: skip
"""Action → the kind it makes the entry, where that is another than the verb's."""


@dataclass(frozen=True, slots=True)
class Option:
    """One way an event can be meant besides the usual one: its letter, its words, the kind it makes it."""

    id: str
    letter: str
    words: str
    kind: str = ""
    word: str = ""


def letters(rig: Rig) -> dict[str, str]:
    """Letter → supply: the letter that opens it on the first screen, where that is one."""
    own = {supply: key_of(name) for supply, name in _OPENS.items()}
    return supply_letters(rig, {supply: key for supply, key in own.items() if len(key) == 1 and key.isalpha()})


def levels() -> dict[str, str]:
    """Letter → how full it looks, as a phrase has it."""
    words = {a.id: a.words for a in on_screen(actions.LEVELS)}
    return {key: words[name] for key, name in keys_of(actions.LEVELS).items()}


def meant(kind: str) -> tuple[Option, ...]:
    """All other ways an event of that kind may be meant."""
    said = {"plan_one": kind, "too_cold": m.COLD}
    named = (actions.ASIDE, actions.USING)
    return tuple(
        Option(a.id, a.key, a.words, _KINDS.get(a.id, kind),
               said.get(a.id, a.words if a.screen in named and a.id not in _KINDS else ""))
        for a in on_screen(_GROUPS.get(kind, ""))
    )  # fmt: skip
