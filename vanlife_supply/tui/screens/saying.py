"""The lines typed in plain words: what happened, and who or what is on until when."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.laden import laden
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import next_words, read_phrase
from vanlife_supply.entry.sizes import sized, use_said
from vanlife_supply.entry.standing import standing
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.noting import completed, places_meant
from vanlife_supply.tui.screens.ask import AskScreen, Meaning
from vanlife_supply.wording.cautions import caution
from vanlife_supply.wording.entries import entry_full, size_words, still_in

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

_AT = re.compile(r"(?:\s@|\sat\s)(.*)$")
SPANS = {"h": "heater", "o": "hot", "c": "cold", "a": "away", "s": "saving"}
"""Letter → what can be on."""


def saying(app: SupplyApp, text: str = "", question: str = "What happened?") -> AskScreen:
    """What happened, in words."""
    hint = "filled water b 5 3.50 last night"
    meaning = meaning_of(app, lambda t: said(app, t))
    return AskScreen(question, meaning, hint=hint, text=text, next_words=lambda t: following(t, app))


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
    if text.lower().split()[:1] in (["guest"], ["guests"]):
        return typed_span(app, text)
    try:
        typed = read_phrase(text, app.rig, app.now())
    except Refusal:
        finished = completed(text)
        if finished == text.strip():
            raise
        typed = read_phrase(finished, app.rig, app.now())
    meant = places_meant(typed.place, app.where.places) if typed.place else []
    return replace(typed, place=meant[0]) if meant else typed


def span_asking(app: SupplyApp) -> AskScreen:
    """Who is aboard and what is on, by letter or in words."""
    on = conditions(app)
    named = [f"{letter} {word}{' is on' if word in on else ''}" for letter, word in SPANS.items()]
    rows = ["  ".join(named[:3]), "  ".join([*named[3:], "g guests"])]
    question = "\n".join([*rows, "The letter, then until when. Alone it switches over."])
    return AskScreen(question, meaning_of(app, lambda t: typed_span(app, t)), hint="h · h sun · a until fri · g 2 until sun")


def conditions(app: SupplyApp) -> tuple[str, ...]:
    """What is on now."""
    return app.forecast.conditions if app.forecast else ()


def living(app: SupplyApp) -> int:
    """How many live aboard, guests left out."""
    said = [e for e in app.known.entries if e.kind == m.PEOPLE and e.until is None and e.amount is not None]
    return int(said[-1].amount or 0) if said else int(app.rig.people)


def span_phrase(text: str, on: tuple[str, ...], aboard: int) -> str:
    """`h` → `heater` (off when it is on), `h sun` → `heater until sun`, `g 2 sun` → `people 3 until sun` (one aboard)."""
    first, _, rest = " ".join(text.lower().split()).partition(" ")
    rest = rest.removeprefix("until ").removeprefix("till ")
    if first in ("g", "guests", "guest"):
        count, _, until = rest.partition(" ")
        if not count.isdecimal():
            count, until = "1", rest
        until = until.removeprefix("until ").removeprefix("till ")
        return f"people {aboard + int(count)}{f' until {until}' if until else ''}"
    word = SPANS.get(first, first)
    if word not in SPANS.values():
        return text
    if rest:
        return f"{word} off" if rest == "off" else f"{word} until {rest}"
    return f"{word} off" if word in on else word


def typed_span(app: SupplyApp, text: str) -> Typed:
    """What was typed about a span, field by field."""
    return read_phrase(span_phrase(text, conditions(app), living(app)), app.rig, app.now())


def meaning_of(app: SupplyApp, read: Callable[[str], Typed]) -> Meaning:
    """Typed words → what they would note."""

    def meaning(text: str) -> str:
        typed, past = read(text), app.known.entries
        full = sized(typed, past, app.rig)
        size = size_words(*use_said(full.word, past, app.rig, full.supply)) if full is not typed else ""
        entry = build(full, app.rig, app.now())
        mind = caution(entry, app.rig, laden(past, entry, app.known.arrangements))
        return " ".join(filter(None, (f"{entry_full(entry, app.rig, app.now())}.", size, mind, _too(entry, app))))

    return meaning


def _too(entry: Entry, app: SupplyApp) -> str:
    """What stands aboard and counts as gone too when a whole supply ran out."""
    if entry.kind != m.RAN_OUT or entry.container or entry.word:
        return ""
    beside = standing(app.known.entries, app.known.arrangements).get(entry.supply)
    then = f"next {app.rig.say(entry.supply)}"
    return f"{still_in(beside.others)}, gone too then; to go on to it: {then}." if beside else ""
