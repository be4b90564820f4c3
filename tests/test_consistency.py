"""The figures on one screen agree with each other, also after silence, noted uses and a jug set aside."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.conftest import Runner

GAL = 3.785411784


def told(cli: Runner, as_of: str) -> dict[str, Any]:
    """The answer as of a moment."""
    said = cli("days", "--json", "--as-of", as_of)
    assert said.status == 0, said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


def supply(found: dict[str, Any], name: str) -> dict[str, Any]:
    """One supply of the answer."""
    its: dict[str, Any] = next(s for s in found["supplies"] if s["supply"] == name)
    return its


@pytest.mark.parametrize(
    "as_of", ["2026-05-02T18:00-06:00", "2026-05-09T08:00-06:00", "2026-05-14T19:10-06:00", "2026-06-20T12:00-06:00"]
)
def test_a_silent_log_does_not_contradict_itself(ready: Runner, as_of: str) -> None:
    """Jugs add up to the level, and what comes first comes no later than the soonest line."""
    ready("fill", "water", "--at", "2026-05-01T08:00")
    ready("dump", "--at", "2026-05-01T08:00")
    ready("fill", "alcohol", "--at", "2026-05-01T08:00")
    found = told(ready, as_of)
    for name in ("fresh", "stove_fuel"):
        its = supply(found, name)
        assert sum(c["level"]["p50"] for c in its["containers"]) == pytest.approx(
            its["level"]["p50"], abs=0.02 * its["capacity"]
        )
    soonest = min(s["days_left"]["p50"] for s in found["supplies"] if s["days_left"] and s["days_left"]["p50"] is not None)
    assert found["first"]["days_left"]["p50"] <= soonest * 1.02 + 0.02
    assert sum(found["first"]["chances"].values()) == pytest.approx(1.0, abs=1e-4)


def test_what_was_noted_as_used_is_gone(ready: Runner) -> None:
    """Nine of fourteen gallons noted as used cannot still be there, however little is usual."""
    ready("fill", "water", "--at", "2026-05-05T19:00")
    ready("use", "water", "9", "gal", "--at", "2026-05-07T08:00")
    level = supply(told(ready, "2026-05-07T09:00-06:00"), "fresh")["level"]
    assert level["p50"] <= (14 - 0.85 * 9) * GAL * 1.05


def test_a_jug_in_use_that_freezes_takes_its_water_with_it(ready: Runner) -> None:
    """What it held counts in the level and is not usable; the sealed one is still full, and opened."""
    ready("fill", "water", "--at", "2026-04-27T08:00")
    ready("reading", "water", "half", "--container", "A", "--at", "2026-05-01T08:00")
    ready("aside", "A", "--why", "frozen", "--at", "2026-05-02T08:00")
    its = supply(told(ready, "2026-05-02T08:00-06:00"), "fresh")
    frozen, other = its["containers"]
    assert frozen["state"] == "aside"
    assert frozen["level"]["p50"] < 0.5 * 7 * GAL
    assert other["level"]["p50"] == pytest.approx(7 * GAL, rel=0.06)


def test_a_reserve_that_is_begun_leaves_no_days(ready: Runner) -> None:
    """With half a gallon above nothing and one gallon to be kept, usable water is gone, not likely to last a while."""
    ready("fill", "water", "--at", "2026-05-01T08:00")
    ready("reading", "water", "0.5", "gal", "--by", "stick", "--container", "B", "--at", "2026-05-07T08:00")
    ready("ran-out", "water", "--container", "A", "--at", "2026-05-07T08:00")
    days = supply(told(ready, "2026-05-07T08:05-06:00"), "fresh")["days_left"]
    assert days["p50"] < 0.1


def test_a_level_that_cannot_be_is_asked_about(ready: Runner) -> None:
    """Forty silent days on fourteen gallons: a fill must be missing, and that is asked; after four days nothing is."""
    ready("fill", "water", "--at", "2026-03-01T08:00")
    for day in ("2026-03-08", "2026-03-15", "2026-03-22", "2026-03-29"):
        ready("fill", "water", "10", "gal", "full", "--at", f"{day}T08:00")
    codes = {w["code"] for w in told(ready, "2026-04-02T08:00-06:00")["warnings"] if w["supply"] == "fresh"}
    assert "impossible-level" not in codes
    asked = [w for w in told(ready, "2026-05-07T19:10-06:00")["warnings"] if w["code"] == "impossible-level"]
    assert [w["supply"] for w in asked] == ["fresh"]
    assert "fill" in asked[0]["cure"] + asked[0]["text"]
