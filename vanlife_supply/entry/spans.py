"""Phrases about times rather than amounts: who is aboard, conditions, limits, plans, containers set aside."""

from __future__ import annotations

import re

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE, Rig

DATED = ("limit", "planned", "plan")
"""What follows these is dated: `at` names a time, no place."""
FIRST_WORDS = (*m.CONDITIONS, "condition", "people", "aside", "back", *DATED)
LIMITS = ("food", "stay", "move")
_COLD = re.compile(r"(?:the )?(?:flame|burner|stove) (?:died|went out|is out|out|stopped)\b.*\bcold\b")

_UNTIL = re.compile(r"\b(?:until|till)\b")
_AT = re.compile(r"\b(?:at|on|by)\b")


def read_span(text: str, rig: Rig) -> Typed | None:
    """`heater until fri`, `people 2 until sun`, `aside small jug frozen`, `limit food till thu`, `planned dump mon 10:00`,
    `limit food drop`, `back small jug`, `condition fridge until fri`.

    None if the phrase begins with no such word.
    """
    head, _, rest = " ".join(text.split()).partition(" ")
    word = head.lower()
    if word in m.CONDITIONS:
        return _condition(word, rest, text)
    if word == "condition":
        own, _, rest = rest.partition(" ")
        return _condition(own, rest, text)
    if word == "people":
        count, until = _split(_UNTIL, rest)
        return Typed(m.PEOPLE, amount=count, until=until, typed=text)
    if word == "aside":
        name, why = _container(rest, rig)
        return Typed(m.ASIDE, container=name, word=why, typed=text)
    if word == "back":
        return Typed(m.ASIDE, container=rest, down_to=m.BACK, typed=text)
    if word == "limit":
        return _limit(rest, text)
    if word in LIMITS and _UNTIL.search(rest):
        return _limit(f"{word} {rest}", text)
    if word in ("guest", "guests"):
        raise Refusal("Say how many are aboard in all: people 2 until sun.")
    if _COLD.match(text.lower()):
        return Typed(m.RAN_OUT, PROPANE, word=m.COLD, typed=text)
    if word in ("planned", "plan"):
        return _planned(rest, text)
    return None


def _container(text: str, rig: Rig) -> tuple[str, str]:
    """The longest name of a container that `text` begins with, and the rest; a name nobody knows is the first word."""
    names = {name.lower() for c in rig.containers for name in (c.label, c.letter)}
    words = text.split()
    known = (i for i in range(len(words), 0, -1) if " ".join(words[:i]).lower() in names)
    end = next(known, 1)
    return " ".join(words[:end]), " ".join(words[end:])


def _condition(word: str, rest: str, text: str) -> Typed:
    if rest.lower() == m.OFF:
        return Typed(m.CONDITION, word=word, down_to=m.OFF, typed=text)
    start, until = _split(_UNTIL, rest)
    since = start.removeprefix("on").strip().removeprefix("since").strip()
    return Typed(m.CONDITION, word=word, at=since, until=until, typed=text)


def _limit(rest: str, text: str) -> Typed:
    if rest.endswith(f" {m.DROP}"):
        return Typed(m.LIMIT, word=rest.removesuffix(m.DROP).strip(), down_to=m.DROP, typed=text)
    word, when = _split(re.compile(f"{_UNTIL.pattern}|{_AT.pattern}"), rest)
    if not when:
        raise Refusal("Say until when: limit food till thu.")
    when, _, every = when.partition(" every ")
    return Typed(m.LIMIT, word=word, at=when, every=every, typed=text)


def _planned(rest: str, text: str) -> Typed:
    kind, _, when = rest.partition(" ")
    if when.endswith(m.DROP):
        return Typed(m.PLANNED, word=kind.lower(), supply=when.removesuffix(m.DROP).strip(), down_to=m.DROP, typed=text)
    supply, when = _split(_AT, when) if _AT.search(when) else ("", when)
    when, _, every = when.partition(" every ")
    return Typed(m.PLANNED, word=kind.lower(), supply=supply, at=when, every=every, typed=text)


def _split(mark: re.Pattern[str], text: str) -> tuple[str, str]:
    """What stands before and after the first mark word."""
    found = mark.search(text)
    if found is None:
        return text, ""
    return text[: found.start()].strip(), text[found.end() :].strip()
