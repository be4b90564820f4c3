"""How much a shower or the dishes take: the person's own median once noted often enough, else what is usual."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import USUAL_USES
from vanlife_supply.quantity import Amount, parse_amount
from vanlife_supply.rig.model import Rig

OWN_TIMES = 3
"""A use noted this often is sized by the person's own median."""


def use_size(word: str, entries: Sequence[Entry], rig: Rig) -> tuple[float, int]:
    """Canonical units of one use of `USUAL_USES`, and how often it was noted by a size of one's own (0: it is the usual).

    What was noted as the usual size tells nothing of one's own.
    """
    supply, usual = USUAL_USES[word]
    mine = [e for e in entries if e.kind == m.USE and e.word == word and e.supply == supply and not e.questioned]
    told = [rig.sized(e.said, supply) for e in mine if e.said is not None and e.unit and str(e.said) != usual]
    sizes = [size for size in told if size is not None]
    return (median(sizes), len(sizes)) if len(sizes) >= OWN_TIMES else (rig.canonical(parse_amount(usual), supply), 0)


def use_said(word: str, entries: Sequence[Entry], rig: Rig) -> tuple[str, int]:
    """The same as a person would type it, in the unit of the supply."""
    supply, usual = USUAL_USES[word]
    size, times = use_size(word, entries, rig)
    unit = rig.supply(supply).unit
    return (f"{size / rig.canonical(Amount(1.0, unit), supply):.2g} {unit}" if times else usual), times
