"""A few words choose entries."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.wording.example import NOW, rig
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.finding import finding_words, found
from vanlife_supply.refusal import Refusal

ENTRIES = tuple(
    build(typed, rig(), NOW)
    for typed in (
        Typed("fill", "water", place="Old Mill"), Typed("dump", "gray"),
        Typed("reading", "water", "half", container="jug B"),
        Typed("next", "water", container="jug B", into="jug A"), Typed("use", "water", "1 gal", word="shower"),
        Typed("fill", "water", "13 gal"), Typed("note", word="tap drips"), Typed("condition", word="heater"),
    )
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "which"),
    [
        ("w", [0, 2, 3, 4, 5]), ("gray", [1]), ("water b", [2, 3]), ("jug a", [3]), ("filled", [0, 5]), ("odd", [5]),
        ("old mill", [0]), ("SHOWER", [4]), ("drips", [6]), ("heater", [7]), ("water filled odd", [5]), ("", range(8)),
    ],
)  # fmt: skip
def test_words_choose(text: str, which: list[int]) -> None:
    """Supply, container, verb, place, purpose, note, doubt: by word or letter, all of them together."""
    assert found(ENTRIES, text, rig()) == tuple(ENTRIES[i] for i in which)


def test_what_fits_nothing_is_refused_with_the_nearest_word() -> None:
    """An empty list is no answer."""
    with pytest.raises(Refusal, match="water"):
        found(ENTRIES, "watre", rig())


@given(st.lists(st.sampled_from([*finding_words(rig()), "x", "?", "b", "w"]), max_size=4).map(" ".join))
def test_more_words_never_choose_more(text: str) -> None:
    """Whatever the words, what they choose is in order, of the entries, and odd narrows it further."""
    try:
        some = found(ENTRIES, text, rig())
    except Refusal:
        return
    assert some == tuple(e for e in ENTRIES if e in some)
    try:
        assert set(found(ENTRIES, f"{text} odd", rig())) == {e for e in some if e.questioned}
    except Refusal:
        assert not any(e.questioned for e in some)
