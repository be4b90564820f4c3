"""What can be noted by letter: the verbs."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.entry import model as m
from vanlife_supply.rig.model import EMPTIES, FILLS, FRESH, GREY


@dataclass(frozen=True, slots=True)
class Verb:
    """One thing that can be noted: its key, the words for it, the kind of entry, the supply meant when none is said."""

    key: str
    said: str
    kind: str
    default: str = ""
    direction: str = ""
    needs_amount: bool = False
    needs_container: bool = False


VERBS: dict[str, Verb] = {
    v.key: v
    for v in (
        Verb("f", "filled", m.FILL, direction=EMPTIES),
        Verb("d", "dumped", m.DUMP, GREY, FILLS),
        Verb("n", "next", m.NEXT, FRESH),
        Verb("x", "ran out", m.RAN_OUT, direction=EMPTIES),
        Verb("r", "looked", m.READING, needs_amount=True),
        Verb("u", "used", m.USE, FRESH, EMPTIES, needs_amount=True),
        Verb("a", "set aside", m.ASIDE, needs_container=True),
    )
}
