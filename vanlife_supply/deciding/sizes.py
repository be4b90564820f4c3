"""How much water a shower or the dishes take: the person's own median once noted often enough."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.sizes import knows, use_size
from vanlife_supply.quantity import parse_amount
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import FRESH, Rig
from vanlife_supply.rig.presets import USUAL_USES

GUEST = "guest"


def size_of(word: str, entries: Sequence[Entry], rig: Rig) -> tuple[float, bool]:
    """Litres of water that a use or an amount means, and whether that is the person's own median."""
    if not knows(word, entries, rig):
        try:
            litres = rig.canonical(parse_amount(word), FRESH)
        except Refusal:
            known = [*USUAL_USES, GUEST]
            raise Refusal(f"'{word}' is nothing I can answer{nearest(word, known)}: ask for {', '.join(known)}, "
                          "or an amount like 2 gal.") from None  # fmt: skip
        if litres <= 0:
            raise Refusal("Nothing is always possible: ask for an amount above 0.")
        return litres, False
    size, times = use_size(word, entries, rig)
    return size, times > 0
