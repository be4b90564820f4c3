"""The lines typed in plain words: what happened, and who or what is on until when."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.company import visited
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import next_words, read_phrase
from vanlife_supply.entry.sizes import sized, use_said
from vanlife_supply.entry.spans import LASTS
from vanlife_supply.entry.standing import standing
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.begun import completed
from vanlife_supply.tui.noting import places_meant
from vanlife_supply.tui.screens.ask import AskScreen, Meaning
from vanlife_supply.wording.cautions import caution_after
from vanlife_supply.wording.entries import entry_full, size_words, still_in

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

_AT = re.compile(r"(?:\s@|\sat\s)(.*)$")
SPANS = {"h": "heater", "o": "hot", "c": "cold", "a": "away", "s": "saving"}
"""Letter → what can be on."""
_AS_SAID = ("until", "till", "for", "since", "on", "off", "out", "no", "none", "gone", "left", "leave", "went", "away")


def saying(
    app: SupplyApp, text: str = "", question: str = "What happened?", typed_over: tuple[int, int] = (0, 0),
    does: str = "notes it", at: str = "",
) -> AskScreen:  # fmt: skip
    """What happened, in words; `at` that time where they name none."""
    hint = "filled water b 5 3.50 last night"

    def typed(text: str) -> Typed:
        told = said(app, text)
        return replace(told, at=told.at or at)

    meaning = meaning_of(app, typed)
    return AskScreen(question, meaning, hint=hint, text=text, next_words=lambda t: following(t, app), does=does,
                     typed_over=typed_over)  # fmt: skip


def following(text: str, app: SupplyApp) -> list[str]:
    """Words that may follow what is typed so far: after `at` or `@` the places known, else what the phrase has next."""
    begun = _AT.search(f"{text} ")
    if begun:
        return _rest_of(begun[1], app.where.places)
    return [*next_words(text, app.rig), *(f"@{name}" for name in app.where.places)]


def _rest_of(begun: str, names: Sequence[str]) -> list[str]:
    """What is still missing of the names that begin so."""
    return [name[len(begun) :] for name in names if name.casefold().startswith(begun.casefold())]


def said(app: SupplyApp, text: str) -> Typed:
    """A phrase, field by field; a time word only begun at its end is finished. Refusal says what does not fit."""
    try:
        typed = read_phrase(text, app.rig, app.now())
    except Refusal as fault:
        typed = _finished(text, fault, app)
    meant = places_meant(typed.place, app.where.places) if typed.place else []
    return replace(typed, place=meant[0]) if meant else typed


def _finished(text: str, fault: Refusal, app: SupplyApp) -> Typed:
    """The phrase with the word begun at its end finished, unless that is the letter of a container."""
    finished, last = completed(text), text.strip().lower().rpartition(" ")[2]
    if finished == text.strip() or any(c.letter.lower() == last for c in app.rig.containers):
        raise fault
    try:
        return read_phrase(finished, app.rig, app.now())
    except Refusal:
        raise fault from None


def span_asking(app: SupplyApp) -> AskScreen:
    """Who is aboard and what is on, by letter or in words."""
    on = conditions(app)
    named = [f"{letter} {word}{' is on' if word in on else ''}" for letter, word in SPANS.items()]
    rows = ["  ".join(named[:3]), "  ".join([*named[3:], f"g guests{' are aboard' if _guests(app) else ''}"])]
    question = "\n".join([*rows, "The letter, then until when. Alone it switches over."])
    return AskScreen(question, meaning_of(app, lambda t: typed_span(app, t)), hint="h · h sun · a until fri · g 2 until sun")


def conditions(app: SupplyApp) -> tuple[str, ...]:
    """What is on now."""
    return app.forecast.conditions if app.forecast else ()


def _guests(app: SupplyApp) -> bool:
    return visited(app.known.entries, app.rig, app.now().epoch)


def span_phrase(text: str, on: tuple[str, ...], *, guests: bool) -> str:
    """`h` → `heater` (off when it is on), `h sun` → `heater until sun`, `g 2 sun` → `2 guests until sun`; `g` sends away
    `guests` aboard."""
    first, _, rest = " ".join(text.lower().split()).partition(" ")
    if first in ("g", "guests", "guest"):
        count, _, after = rest.partition(" ")
        count, rest = (count, after) if count.isdecimal() and not LASTS.fullmatch(rest) else ("1", rest)
        if not rest and guests and count == "1":
            return "guest gone"
        return f"{count} guests {_till(rest)}".strip()
    word = SPANS.get(first, first)
    if word not in SPANS.values():
        return text
    return f"{word} {_till(rest)}" if rest else f"{word} off" if word in on else word


def _till(rest: str) -> str:
    """A bare time is until when, `3 days` is for how long; with a word before it, or for what is no time, as it stands."""
    word = rest.partition(" ")[0]
    if LASTS.fullmatch(rest):
        return f"for {rest}"
    return rest if word in _AS_SAID or not rest else f"until {rest}"


def typed_span(app: SupplyApp, text: str) -> Typed:
    """What was typed about a span, field by field."""
    return read_phrase(span_phrase(text, conditions(app), guests=_guests(app)), app.rig, app.now())


def meaning_of(app: SupplyApp, read: Callable[[str], Typed]) -> Meaning:
    """Typed words → what they would note."""

    def meaning(text: str) -> str:
        typed, past = read(text), app.known.entries
        full = sized(typed, past, app.rig)
        used = full.kind == m.USE and full is not typed
        size = size_words(*use_said(full.word, past, app.rig, full.supply)) if used else ""
        entry = build(full, app.rig, app.now())
        mind = caution_after(entry, app.rig, past, app.known.arrangements)
        return " ".join(filter(None, (f"{entry_full(entry, app.rig, app.now())}.", size, mind, _too(entry, app))))

    return meaning


def _too(entry: Entry, app: SupplyApp) -> str:
    """What stands aboard and counts as gone too when a whole supply ran out."""
    if entry.kind != m.RAN_OUT or entry.container or entry.word:
        return ""
    beside = standing(app.known.entries, app.known.arrangements).get(entry.supply)
    then = f"next {app.rig.say(entry.supply)}"
    return f"{still_in(beside.others)}, gone too then; to go on to it: {then}." if beside else ""
