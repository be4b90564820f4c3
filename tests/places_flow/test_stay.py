"""The person's own stay clock: a limit typed for a place, days counted from the log, a date on the first screen."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.conftest import Runner


@pytest.fixture
def camp(ready: Runner) -> Runner:
    """A camp with a limit, and a second one 11 km away, so within its 25 miles."""
    assert ready("place", "add", "Mesa camp", "--lat", "38.6", "--lon", "-109.5").status == 0
    assert ready("place", "add", "Rim camp", "--lat", "38.7", "--lon", "-109.5").status == 0
    assert ready("place", "stay", *["Mesa", "camp", "14", "days", "in", "28,", "then", "25", "miles"]).status == 0
    return ready


def limits(cli: Runner, *more: str) -> dict[str, float]:
    """Limit → days left, as `days --json` has them."""
    found: dict[str, Any] = json.loads(cli("days", "--json", *more).out)
    return {one["limit"]: one["days_left"] for one in found["limits"]}


def test_being_there_starts_the_clock(camp: Runner) -> None:
    """Nine days at the place leave five: said at once, on its page, and as a dated limit beside the supplies."""
    assert limits(camp) == {}
    said = camp("place", "here", "Mesa camp", "--at", "9 days ago")
    assert "9 of 14 days used" in said.out and "move by" in said.out
    assert limits(camp) == {"stay": pytest.approx(5.0, abs=1e-3)}
    assert "9 of 14 days used" in camp("place", "show", "Mesa camp").out
    days = json.loads(camp("days", "--json").out)
    assert days["first"] is None or "stay" in days["first"]["chances"]


def test_days_near_by_count_and_days_away_do_not(camp: Runner) -> None:
    """Within its radius another camp counts; on the road nothing does; elsewhere there is no limit to show."""
    camp("place", "here", "Rim camp", "--at", "8 days ago")
    camp("place", "leave", "--at", "5 days ago")
    camp("place", "here", "Mesa camp", "--at", "2 days ago")
    assert limits(camp)["stay"] == pytest.approx(9.0, abs=1e-3), "3 days at the other camp, 2 here"
    camp("place", "leave")
    assert limits(camp) == {}
    assert "5 of 14 days used; arriving now" in camp("place", "stay", "Mesa camp").out


def test_the_sooner_of_two_dates_counts(camp: Runner) -> None:
    """A date the person typed for the stay stands while it comes before the place's own."""
    camp("place", "here", "Mesa camp", "--at", "9 days ago")
    camp("limit", "stay", "--at", "in 2 days")
    assert limits(camp)["stay"] == pytest.approx(2.0, abs=0.6)
    camp("limit", "stay", "--drop")
    assert limits(camp)["stay"] == pytest.approx(5.0, abs=1e-3)


def test_undo_and_drop(camp: Runner) -> None:
    """A limit dropped no longer shows; undo brings it back; what makes no sense is refused with the form that does."""
    camp("place", "here", "Mesa camp", "--at", "9 days ago")
    camp("place", "stay", "Mesa camp", "--drop")
    assert limits(camp) == {}
    assert "stay limit" in camp("undo").out and "stay" in limits(camp)
    refused = camp("place", "stay", "Mesa camp", "14", "moons")
    assert refused.status == 1 and "14 days in 28" in refused.err
    assert camp("place", "stay", "Rim camp", "--drop").status == 1


def test_as_of_a_day_back_the_clock_stands_as_it_did(camp: Runner) -> None:
    """Looking back, the days since then are not counted."""
    camp("place", "here", "Mesa camp", "--at", "9 days ago")
    assert limits(camp, "--as-of", "3 days ago")["stay"] == pytest.approx(8.0, abs=1e-3)
