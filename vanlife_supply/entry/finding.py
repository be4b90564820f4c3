"""Which entries a few words mean: `water b`, `filled`, `old mill`, `odd`."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.naming import take_container, take_supply
from vanlife_supply.entry.phrase import VERBS
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import Rig

ODD = ("odd", "questioned", "?")
"""Words for the entries that wait for an answer."""


def found(entries: Sequence[Entry], text: str, rig: Rig) -> tuple[Entry, ...]:
    """Those that all words fit, in the order given; all for no words. Refusal where there is none.

    A word is a supply or its letter, after it a container or its letter, a verb, `odd`, or part of a place, a note or
    what it was for.
    """
    words = text.lower().split()
    rest = [w for w in words if w not in ODD]
    only_odd = len(rest) < len(words)
    supply, rest = take_supply(rest, rig)
    container, rest = take_container(rest, supply, rig)
    label = rig.container(supply, container).label if supply and container else container
    fitting = tuple(
        e for e in entries
        if supply in ("", e.supply) and label in ("", e.container, e.into)
        and (e.questioned or not only_odd) and all(_fits(e, w) for w in rest)
    )  # fmt: skip
    if not fitting:
        raise Refusal(f"Nothing noted fits '{text.strip()}'{nearest(text.strip(), finding_words(rig))}.")
    return fitting


def finding_words(rig: Rig) -> list[str]:
    """Words that may be typed, for completion."""
    return [*(rig.say(s.name) for s in rig.supplies), *(c.label for c in rig.containers), *ODD[:1], *VERBS]


def _fits(entry: Entry, word: str) -> bool:
    kind = VERBS.get(word, ("", ""))[0]
    said = " ".join((entry.kind, entry.word, entry.place, entry.note, entry.pets)).casefold()
    return entry.kind == kind or word.casefold() in said
