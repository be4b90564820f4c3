"""Phrases about times rather than amounts: who is aboard, conditions, limits, plans, containers set aside."""

from __future__ import annotations

import re

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.refusal import Refusal

CONDITIONS = ("heater", "hot", "cold", "away", "saving")
FIRST_WORDS = (*CONDITIONS, "people", "aside", "back", "limit", "planned")

_UNTIL = re.compile(r"\b(?:until|till)\b")
_AT = re.compile(r"\b(?:at|on|by)\b")


def read_span(text: str) -> Typed | None:
    """`heater until fri`, `people 2 until sun`, `aside small jug frozen`, `limit food till thu`, `planned dump mon 10:00`.

    None if the phrase begins with no such word.
    """
    head, _, rest = " ".join(text.split()).partition(" ")
    word = head.lower()
    if word in CONDITIONS:
        return _condition(word, rest, text)
    if word == "people":
        count, until = _split(_UNTIL, rest)
        return Typed(m.PEOPLE, amount=count, until=until, typed=text)
    if word == "aside":
        name, _, why = rest.rpartition(" ")
        return Typed(m.ASIDE, container=name or why, word=why if name else "", typed=text)
    if word == "back":
        return Typed(m.ASIDE, container=rest, down_to=m.BACK, typed=text)
    if word == "limit":
        return _limit(rest, text)
    if word == "planned":
        return _planned(rest, text)
    return None


def _condition(word: str, rest: str, text: str) -> Typed:
    if rest.lower() == m.OFF:
        return Typed(m.CONDITION, word=word, down_to=m.OFF, typed=text)
    start, until = _split(_UNTIL, rest)
    since = start.removeprefix("on").strip().removeprefix("since").strip()
    return Typed(m.CONDITION, word=word, at=since, until=until, typed=text)


def _limit(rest: str, text: str) -> Typed:
    word, when = _split(re.compile(f"{_UNTIL.pattern}|{_AT.pattern}"), rest)
    if not when:
        raise Refusal("Say until when: limit food till thu.")
    return Typed(m.LIMIT, word=word, at=when, typed=text)


def _planned(rest: str, text: str) -> Typed:
    kind, _, when = rest.partition(" ")
    supply, when = _split(_AT, when) if _AT.search(when) else ("", when)
    when, _, every = when.partition(" every ")
    return Typed(m.PLANNED, word=kind.lower(), supply=supply, at=when, every=every, typed=text)


def _split(mark: re.Pattern[str], text: str) -> tuple[str, str]:
    """What stands before and after the first mark word."""
    found = mark.search(text)
    if found is None:
        return text, ""
    return text[: found.start()].strip(), text[found.end() :].strip()
