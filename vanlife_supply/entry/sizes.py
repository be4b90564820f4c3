"""How much a shower or the dishes take: the person's own median once noted often enough, else what is usual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from statistics import median

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.company import counted
from vanlife_supply.entry.model import Entry
from vanlife_supply.quantity import Amount, parse_amount
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, Rig, supply_named
from vanlife_supply.rig.presets import USUAL_USES

OWN_TIMES = 3
"""A use noted this often is sized by the person's own median; one nothing is usual of, from the first time on."""


def sized(said: Typed, entries: Sequence[Entry], rig: Rig) -> Typed:
    """A use of which only what it was for is said, with its size; guests as how many are aboard in all; the rest as it is.

    Refusal where no size is known.
    """
    if said.kind == m.PEOPLE:
        return counted(said, entries, rig)
    word, times = said.word.lower(), said.amount.removesuffix(" times")
    if said.kind != m.USE or not word or (said.amount and times == said.amount):
        return said
    supply = supply_named(said.supply, tuple(s.name for s in rig.supplies)) if said.supply else FRESH
    if not knows(word, entries, rig, supply):
        its = "2 gal" if supply == FRESH else f"0.1 {rig.supply(supply).unit} {rig.say(supply)}"
        raise Refusal(f"How much is '{word}'? Say it this time, like used {its} for {word}; then it is known.")
    amount = parse_amount(use_said(word, entries, rig, supply)[0])
    often = float(times) if times else 1.0
    return replace(said, word=word, supply=supply, amount=str(replace(amount, value=often * amount.value)))


def knows(word: str, entries: Sequence[Entry], rig: Rig, supply: str = FRESH) -> bool:
    """Whether something is usual of that use, or it was noted before."""
    return USUAL_USES.get(word, ("",))[0] == supply or bool(_own(word, entries, rig, supply))


def use_size(word: str, entries: Sequence[Entry], rig: Rig, supply: str = FRESH) -> tuple[float, int]:
    """Canonical units of one use that `knows`, and how often it was noted by a size of one's own (0: it is the usual)."""
    own = _own(word, entries, rig, supply)
    if USUAL_USES.get(word, ("",))[0] == supply and len(own) < OWN_TIMES:
        return rig.canonical(parse_amount(USUAL_USES[word][1]), supply), 0
    return median(own), len(own)


def use_said(word: str, entries: Sequence[Entry], rig: Rig, supply: str = FRESH) -> tuple[str, int]:
    """The same as a person would type it, in the unit of the supply."""
    size, times = use_size(word, entries, rig, supply)
    unit = rig.supply(supply).unit
    return (f"{size / rig.canonical(Amount(1.0, unit), supply):.2g} {unit}" if times else USUAL_USES[word][1]), times


def _own(word: str, entries: Sequence[Entry], rig: Rig, supply: str) -> list[float]:
    """The sizes of one's own, canonical; what was noted as the usual size tells nothing of that."""
    usual = USUAL_USES[word][1] if word in USUAL_USES else ""
    mine = (e for e in entries if e.kind == m.USE and e.supply == supply and e.word.lower() == word and not e.questioned)
    told = [rig.sized(e.said, supply) for e in mine if e.said is not None and e.unit and str(e.said) != usual]
    return [size for size in told if size is not None]
