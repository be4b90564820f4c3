"""Words begun while noting: which letters may yet be one, and what a begun one will be."""

from __future__ import annotations

from vanlife_supply.entry.phrase import TIME_WORDS
from vanlife_supply.quantity import unit_named

_WORDS = (*TIME_WORDS, "half", "quarter", "third", "almost full", "some")
_WHOLE = (*_WORDS, "full", "empty", "all", "both")
"""Words that may be typed where one letter has a meaning of its own."""
_ALONE = "ly"
"""First letters that finish a word by themselves; any other could be a slip that changes the day."""


def begins(letters: str) -> bool:
    """Whether a word begins with these letters."""
    return any(word.startswith(letters) for word in _WHOLE)


def finishes(letters: str) -> bool:
    """Whether so few letters are enough for a word to be finished."""
    return len(letters) > 1 or letters in _ALONE


def completed(said: str) -> str:
    """`said` with the time word or amount at its end finished, if one is begun: `12 3 la` → `12 3 last night`."""
    words = said.strip().split(" ")
    for i in range(len(words)):
        chunk = " ".join(words[i:]).lower()
        number_before = i > 0 and words[i - 1][-1:].isdigit()
        if chunk[:1].isalpha() and finishes(chunk) and not (number_before and unit_named(chunk)):
            whole = next((word for word in _WORDS if word.startswith(chunk)), "")
            if whole:
                return " ".join([*words[:i], whole])
    return " ".join(words)
