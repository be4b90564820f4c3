"""What lies ahead with a date: a dump or fill planned, and what ends the stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanlife_supply import keeping
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.tui.letters import letters
from vanlife_supply.tui.screens.ask import AskScreen
from vanlife_supply.tui.screens.saying import meaning_of
from vanlife_supply.wording.entries import entry_line

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

ENDS = {"f": "food", "s": "stay", "m": "move"}
"""Letter → what can have a date."""


def plan_asking(app: SupplyApp) -> AskScreen:
    """A dump or fill ahead."""
    question = f"{_so_far(app, m.PLANNED)}d dump  f fill\nThe letter, then when, how often; or drop: not any more."
    meaning = meaning_of(app, lambda t: typed_plan(app, t))
    return AskScreen(question, meaning, hint="d mon 10:00 · d fri every fri · f w sat · d drop")


def limit_asking(app: SupplyApp) -> AskScreen:
    """A date that ends the stay."""
    letters = "  ".join(f"{letter} {word}" for letter, word in ENDS.items())
    question = f"{_so_far(app, m.LIMIT)}{letters}\nThe letter or a word of your own, then till when; or drop: not any more."
    meaning = meaning_of(app, lambda t: typed_limit(app, t))
    return AskScreen(question, meaning, hint="f thu · m sat · dump mon every 5 days · f drop")


def _so_far(app: SupplyApp, kind: str) -> str:
    stands = keeping.standing(app.known.entries, app.now(), kind)
    return f"{' '.join(f'{entry_line(e, app.rig)}.' for e in stands)}\n" if stands else ""


def typed_plan(app: SupplyApp, text: str) -> Typed:
    """What was typed about a plan, field by field."""
    return read_phrase(plan_phrase(text, app.rig), app.rig, app.now())


def typed_limit(app: SupplyApp, text: str) -> Typed:
    """What was typed about a date, field by field."""
    return read_phrase(limit_phrase(text), app.rig, app.now())


def plan_phrase(text: str, rig: Rig) -> str:
    """`d mon 10:00` → `planned dump at mon 10:00`, `f w sat` → `planned fill fresh at sat`, `d drop`."""
    first, _, rest = " ".join(text.split()).partition(" ")
    kind = {"d": m.DUMP, "f": m.FILL}.get(first.lower(), first.lower())
    letter, _, after = rest.partition(" ")
    fitting = {c: s for c, s in letters(rig).items() if (rig.supply(s).direction == FILLS) == (kind == m.DUMP)}
    supply = fitting.get(letter.lower()) or next((s for s in fitting.values() if rig.say(s) == letter.lower()), "")
    when = after if supply else rest
    supply = supply or (next(iter(fitting.values())) if len(fitting) == 1 else "")
    return f"planned {kind} {supply} {when if when == m.DROP else f'at {_bare(when)}'}"


def limit_phrase(text: str) -> str:
    """`f thu` → `limit food till thu`, `f drop` → `limit food drop`, `dump mon every 5 days` → `limit dump till mon …`."""
    first, _, rest = " ".join(text.split()).partition(" ")
    word = ENDS.get(first.lower(), first)
    return f"limit {word} {rest}" if rest == m.DROP else f"limit {word} till {_bare(rest)}"


def _bare(when: str) -> str:
    """Without the little word before a time."""
    for little in ("till ", "until ", "at ", "on ", "by "):
        when = when.removeprefix(little)
    return when
