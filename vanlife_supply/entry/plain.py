"""Everyday words → the terse ones of the grammar: `i showered`, `filled the 5`, `half a jug left`, `a gallon`."""

from __future__ import annotations

import re

from vanlife_supply.quantity import NUMBER_WORDS, convert, number, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE, STOVE_FUEL, Container, Rig

NOUNS = ("jug", "tank", "canister", "can", "cylinder", "bottle", "jerrycan", "bag", "bladder", "bucket")
"""What people call a container, whatever its label says."""
FAILED = ("frozen", "froze", "split", "cracked", "bad", "leaking")
_SMALL = {"the", "an", "my", "our", "is", "are", "was", "were"}
_BEFORE = {"i", "we", "i've", "we've", "have", "just"}
_LEVELS = {"full", "empty", "half", "quarter", "third", "bit", "almost", "nearly", "some", "to", *FAILED}
_NOUN = rf"(?:{'|'.join(NOUNS)})"
_UNIT = r"(?:(?:gal(?:lon)?|l|lit(?:er|re)|qt|quart|lb|pound|kg|kilo)s?(?!\S))"
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_BY_SIZE = tuple(
    re.compile(rf"(?<!\S){pattern}(?!\S)", re.IGNORECASE)
    for pattern in (
        rf"the (?P<size>{_NUMBER})(?: ?(?P<unit>{_UNIT}))?(?: (?P<noun>{_NOUN}))?",
        rf"(?:the )?(?P<noun>{_NOUN}) (?P<size>{_NUMBER})(?: ?(?P<unit>{_UNIT}))?",
        rf"(?:the )?(?P<size>{_NUMBER}) ?(?P<unit>{_UNIT}) (?P<noun>{_NOUN})",
    )
)
_SPELLED = tuple(
    (re.compile(rf"(?<!\S){pattern}", re.IGNORECASE), terse)
    for pattern, terse in (
        (rf"half an? (?={_UNIT})", "0.5 "), (rf"half an? (?={_NOUN})", "half "), (rf"an? (?={_UNIT})", "1 "),
        *((rf"{word} (?!quarters?|thirds?)(?=\S)", f"{n} ") for n, word in enumerate(NUMBER_WORDS, 1)),
        (r"both(?!\S)", "all"),
    )
)  # fmt: skip
_DID = tuple(
    (re.compile(rf"{pattern}(?!\S)", re.IGNORECASE), terse)
    for pattern, terse in (
        ("showered", "used shower"), ("washed up", "used dishes"), ("washed(?= .*dishes)", "used"), ("washed", "used wash"),
        ("cooked(.*)", r"used {fuel}\1 for cooking"),
    )
)  # fmt: skip


def plainly(words: list[str], rig: Rig, supply: str) -> list[str]:
    """`words` with a container told by its size named by its label, numbers in digits, without little words.

    `supply` is the one named among them, "" for none. What a label or a supply of the rig says is left alone.
    """
    while len(words) > 1 and words[0].lower() in _BEFORE:
        words = words[1:]
    text = _labelled(" ".join(words), rig, supply)
    fuel = next((s.name for s in rig.supplies if s.name in (STOVE_FUEL, PROPANE)), "") if not supply else ""
    for pattern, terse in _SPELLED:
        text = pattern.sub(terse, text)
    for pattern, terse in _DID:
        text = pattern.sub(terse.replace("{fuel}", fuel), text) if pattern.match(text) else text
    words = text.split()
    labels = {word for c in rig.containers for word in c.label.lower().split()} | {s.name.lower() for s in rig.supplies}
    return [w for i, w in enumerate(words) if w.lower() in labels or not (w.lower() in _SMALL or _article(words, i, supply))]


def _article(words: list[str], i: int, supply: str) -> bool:
    """Whether a lone `a` is the article, not the letter of a supply or container."""
    after = words[i + 1].lower() if words[i].lower() == "a" and i + 1 < len(words) and not supply else ""
    return after.isalpha() and len(after) > 1 and after not in _LEVELS and not unit_named(after)


def _labelled(text: str, rig: Rig, supply: str) -> str:
    """`filled the 5` → `filled water 5 gal jug`: the one container of that size, by its label."""
    mine = rig.of(supply) if supply else rig.containers
    if any(f" {c.label.lower()} " in f" {text.lower()} " for c in mine):
        return text
    for pattern in _BY_SIZE:
        found = pattern.search(text)
        if found is None:
            continue
        fits = [c for c in mine if _is_size(c, found["size"], found["unit"] or "", rig)]
        called = [c for c in fits if (found["noun"] or "").lower() in c.label.lower().split()] or fits
        if len(called) == 1:
            named = "" if supply else f"{called[0].supply} "
            return f"{text[: found.start()]}{named}{called[0].label}{text[found.end() :]}"
    return text


def _is_size(c: Container, size: str, unit: str, rig: Rig) -> bool:
    its = rig.supply(c.supply)
    try:
        told = convert(number(size), unit_named(unit) or its.unit, its.measure, its.density)
    except Refusal:
        return False
    return abs(told - c.capacity) < 0.02 * c.capacity
