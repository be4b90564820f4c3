"""Which container holds what, where the log leaves it open: what somebody who lives out of jugs would conclude.

The conclusions are common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.forecast.logs import ahead, entry, known, likely
from vanlife_supply.entry.model import Entry

WATER = """
[rig]
people = 1
[[container]]
supply = "fresh"
label = "A"
capacity = "20 L"
[[container]]
supply = "fresh"
label = "B"
capacity = "20 L"
[[container]]
supply = "fresh"
label = "C"
capacity = "10 L"
"""
ALCOHOL = """
[rig]
people = 1
[[container]]
supply = "stove_fuel"
label = "near"
capacity = "1 L"
[[container]]
supply = "stove_fuel"
label = "spare"
capacity = "1 L"
[[container]]
supply = "stove_fuel"
label = "can"
capacity = "4 L"
"""


def left(text: str, entries: list[Entry], day: float) -> tuple[float, float]:
    """The likely level of what the rig has only one supply of, and the width of its band."""
    name = "fresh" if "fresh" in text else "stove_fuel"
    level = known(ahead(text, entries, day), name).level
    assert level is not None and level.p10 is not None and level.p90 is not None
    return likely(level), level.p90 - level.p10


def look(day: float, supply: str, label: str, share: float) -> Entry:
    """A look by eye at one container."""
    return entry(day, "reading", supply, share, "%", method="sight", container=label)


def test_who_has_begun_a_jug_finishes_it_before_the_next() -> None:
    """A was seen a quarter full, then B half full: A is empty by then, unless somebody says it is not."""
    seen = [entry(0, "fill", "fresh", to="full"), look(2, "fresh", "A", 25.0), look(4, "fresh", "B", 50.0)]
    likely_left, _ = left(WATER, seen, 4.01)
    assert likely_left == pytest.approx(20.0, abs=2.5)


def test_the_third_jug_is_not_opened_first_in_ten_days() -> None:
    """Nothing noted for ten days after a fill, then the last jug is empty: not two full ones are left."""
    noted = [entry(0, "fill", "fresh", to="full"), entry(10, "next", "fresh", container="C")]
    likely_left, _ = left(WATER, noted, 10.01)
    assert likely_left < 25.0


def test_a_jug_of_which_it_is_doubtful_whether_it_was_emptied_makes_the_total_doubtful() -> None:
    """After so many days either one jug or both may be gone: the band spans a good part of the one in doubt."""
    noted = [
        entry(0, "fill", "fresh", to="full"), entry(3, "fill", "fresh", 20.0, to="full"), look(4.4, "fresh", "B", 75.0),
    ]  # fmt: skip
    sure = [*noted[:2], entry(4.3, "next", "fresh", container="A"), noted[2]]
    assert left(WATER, noted, 4.41)[1] > 2.0 * left(WATER, sure, 4.41)[1]


@pytest.mark.parametrize("amount", [0.9, None])
def test_nobody_pours_into_a_full_canister(amount: float | None) -> None:
    """The spare one was full by the books and is filled from the can: it had been emptied, so that much less is left."""
    noted = [
        entry(0, "fill", "stove_fuel", to="full"),
        entry(14, "pour", "stove_fuel", amount, container="can", into="spare"),
    ]
    untouched = [entry(0, "fill", "stove_fuel", to="full")]
    assert left(ALCOHOL, noted, 14.01)[0] < left(ALCOHOL, untouched, 14.01)[0] - 0.3


def test_a_canister_seen_half_full_last_night_is_topped_up_not_refilled() -> None:
    """Half a litre was seen in it, then it is filled from a full can: nothing is lost on the way."""
    noted = [
        entry(0, "fill", "stove_fuel", to="full"),
        look(6, "stove_fuel", "near", 50.0),
        entry(6.2, "fill", "stove_fuel", to="full", container="can"),
        look(6.3, "stove_fuel", "near", 50.0),
        entry(7, "pour", "stove_fuel", container="can", into="near"),
    ]
    before, after = left(ALCOHOL, noted[:-1], 6.99)[0], left(ALCOHOL, noted, 7.01)[0]
    assert after == pytest.approx(before, abs=0.1)


def test_a_jug_said_to_be_empty_is_empty() -> None:
    """By eye an empty tank has a rest, an empty jug has not: what is left is what the others hold."""
    noted = [
        entry(0, "fill", "fresh", to="full"),
        look(3, "fresh", "A", 0.0), look(3.001, "fresh", "B", 50.0), look(3.002, "fresh", "C", 100.0),
    ]  # fmt: skip
    told = known(ahead(WATER, noted, 3.003), "fresh")
    jugs = {one.label: likely(one.level) for one in told.containers}
    assert jugs["A"] < 0.3 and jugs["B"] == pytest.approx(10.0, abs=1.5)
