"""How an act is entered in the books of a supply: the shelf's trusted level, and the evidence that comes of it."""

from __future__ import annotations

from math import hypot

from vanlife_supply.entry.evidence import ADDED, EXACT, RESET, Evidence
from vanlife_supply.entry.shelf import Shelf

PUMPED_ERROR = 0.03
"""Sd of an amount that was measured at the pump or poured by a mark, as a share of it: common practice, no source."""


def reset(shelf: Shelf, at: float, size: float = 0.0) -> Evidence:
    """What the shelf says now, nothing being said of before; `size`: the brim of what was only looked at."""
    total = shelf.total()
    shelf.anchor(at, None, total)
    return Evidence(at, RESET, after=total, after_sd=hypot(shelf.error(), 0.1 * size))


def exact(shelf: Shelf, at: float) -> list[Evidence]:
    """All that is there now is known, and nothing came or went in the act itself."""
    total, error = shelf.total(), shelf.error()
    shelf.anchor(at, total, total)
    return [Evidence(at, EXACT, total, error, total, error)]


def moved(shelf: Shelf, at: float, amount: float, sd: float) -> list[Evidence]:
    """So much came (negative: went), ± sd."""
    shelf.came += amount
    return [Evidence(at, ADDED, after=amount, after_sd=sd)]


def brought(shelf: Shelf, at: float, habit: str, others: float, size: float, taken: float | None) -> list[Evidence]:
    """The supply was brought to what the shelf now says. `taken`: by how much it rose (negative: fell), if said;
    else the level before is others + a habitual share of `size`."""
    after, error = shelf.total(), shelf.error()
    if taken is None or after - taken < -0.15 * shelf.brim or after - taken > 1.15 * shelf.brim:
        shelf.anchor(at, None, after)
        return [Evidence(at, habit, others, 0.0, after, error, size)]
    before = min(max(0.0, after - taken), shelf.brim)
    shelf.anchor(at, before, after)
    return [Evidence(at, EXACT, before, hypot(PUMPED_ERROR * taken, hypot(error, 0.01 * shelf.brim)), after, error)]
