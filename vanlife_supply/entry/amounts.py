"""Amounts and money among the words of a phrase."""

from __future__ import annotations

import re

from vanlife_supply.entry import model as m
from vanlife_supply.entry.fitting import takes_gross
from vanlife_supply.entry.naming import FILLER, is_noun
from vanlife_supply.quantity import parse_amount, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Rig

WHOLE = ("some", "a bit", "almost", "full", "to the top", "to top", "empty", "now empty", "almost full", "all")
"""Said of how much, without a number."""
MONEY = re.compile(r"[$€£][0-9]+(?:[.,][0-9]{1,2})?|[0-9]+[.,][0-9]{2}(?:[$€£])?|[0-9]+c")
NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")


def take_amount(words: list[str], kind: str, supply: str, rig: Rig) -> tuple[str, str, list[str]]:
    """The longest run of words that is an amount, and money beside it."""
    words, paid = _marked_money(words)
    while len(words) > 1 and (is_noun(words[0]) or words[0].lower() in FILLER):
        words = words[1:]
    text = " ".join(w for w in words if not is_noun(w)).lower()
    if text in WHOLE:
        return text, paid, []
    for end in range(len(words), 0, -1):
        head = " ".join(words[:end])
        try:
            amount = parse_amount(head)
            if supply:
                rig.canonical(amount, supply, rig.of(supply)[0].label)
        except Refusal:
            continue
        rest = words[end:]
        after = [w.lower() for w in rest]
        if kind == m.FILL and after[:1] == [m.FULL]:
            head, rest = f"{head} full", rest[1:]
        elif kind == m.DUMP and m.EMPTY in after[:2] and after[0] in ("now", m.EMPTY):
            head, rest = f"{head} empty", rest[after.index(m.EMPTY) + 1 :]
        elif kind == m.READING and after[:1] == ["net"]:
            head, rest = f"{head} net", rest[1:]
        if not paid and rest and NUMBER.fullmatch(rest[0]) and kind in (m.FILL, m.EXCHANGE, m.DUMP):
            return head, rest[0], rest[1:]
        return head, paid, rest
    return "", paid, words


def _marked_money(words: list[str]) -> tuple[list[str], str]:
    """Money that shows itself: $3, 3.50 after another number, 35c."""
    for i, word in enumerate(words):
        marked = word[0] in "$€£" or word[-1] in "$€£c"
        second = any(NUMBER.fullmatch(w) or unit_named(w) for w in words[:i])
        if MONEY.fullmatch(word) and (marked or second):
            return words[:i] + words[i + 1 :], word
    return words, ""


def as_read(amount: str, method: str, supply: str, rig: Rig) -> str:
    """A bare number from the scale is the weight with the container, where its tare is known."""
    if method == "scale" and NUMBER.fullmatch(amount) and supply and takes_gross(supply, rig):
        return f"{amount} {rig.scale} gross"
    return amount
