"""What notes say without saying it: room for what came in, no less used than was noted, gray follows the water."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.forecast.logs import TANK, ahead, entry, known, likely, steady
from vanlife_supply.entry.model import Entry

SILENT = 8.0


def uneven(days: int) -> list[Entry]:
    """Filled every week, 10 to 38 L at a time: some 3½ L a day."""
    log = steady(days, per_day=3.5)
    taken = (10.0, 38.0, 18.0, 30.0, 24.0, 14.0, 34.0, 28.0)
    weeks = [e for e in log if e.kind == "fill"]
    return [
        e if e.kind != "fill" or e.amount is None else replace(e, amount=taken[weeks.index(e) % len(taken)]) for e in log
    ]


def test_what_came_in_had_room() -> None:
    """70 L fitted into 100: the level before was 30 at most, however little is usual."""
    sparing = uneven(57)
    filled = entry(56 + SILENT, "fill", "fresh", 70.0)
    outlook = known(ahead(TANK, [*sparing, filled], 56 + SILENT + 0.01), "fresh")
    without = known(ahead(TANK, sparing, 56 + SILENT), "fresh")
    assert likely(without.level) > 60.0
    assert outlook.level is not None and outlook.level.p90 is not None and outlook.level.p90 <= 102.0
    assert outlook.use_per_day is not None and without.use_per_day is not None
    assert likely(outlook.use_per_day) > 1.1 * likely(without.use_per_day)


def test_what_went_out_was_in() -> None:
    """60 L poured out of a gray tank that was thought to hold 20: it held them, and the rest is what is in it now."""
    log = [*uneven(57), entry(56 + SILENT, "dump", "grey", 60.0)]
    outlook = known(ahead(TANK, log, 56 + SILENT + 0.01), "grey")
    assert outlook.level is not None and outlook.level.p10 is not None and outlook.level.p10 >= 0.0
    assert likely(outlook.level) < 25.0


def test_no_less_is_used_than_noted() -> None:
    """Who notes 60 L of use has used about that, though 28 would be usual."""
    log = [*uneven(57), *(entry(56.5 + day, "use", "fresh", 10.0) for day in range(6))]
    outlook = known(ahead(TANK, log, 56 + SILENT), "fresh")
    assert outlook.level is not None and outlook.level.p90 is not None and outlook.level.p90 < 50.0


def test_gray_follows_the_uses_noted() -> None:
    """Water noted as used since the last fill is on its way down the drain."""
    quiet = uneven(57)
    busy = [*quiet, *(entry(56.5 + day, "use", "fresh", 10.0) for day in range(6))]
    before, after = (likely(known(ahead(TANK, log, 56 + SILENT), "grey").level) for log in (quiet, busy))
    assert after > before + 15.0


def test_many_notes_average_out() -> None:
    """The same amount noted in many small uses leaves less doubt of the level than in one."""
    habit = [
        each
        for week in range(8)
        for each in (
            entry(7 * week, "dump", "grey", to="empty"),
            entry(7 * week + 0.01, "fill", "fresh", 35.0 if week else None, to="full"),
            *(entry(7 * week + 0.5 + day, "use", "fresh", 4.0) for day in range(6)),
        )
    ]
    few = [*habit, entry(49.6 + 5, "use", "fresh", 24.0)]
    wide, narrow = (known(ahead(TANK, log, 55.0), "fresh").level for log in ([*few[:-7], few[-1]], habit))
    assert wide is not None and narrow is not None
    assert None not in (wide.p10, wide.p90, narrow.p10, narrow.p90)
    assert (narrow.p90 or 0) - (narrow.p10 or 0) < (wide.p90 or 0) - (wide.p10 or 0)


@pytest.mark.parametrize("silent", [14, 30, 60])
@pytest.mark.parametrize("left", [0.0, 25.0, 50.0])
def test_what_is_counted_after_a_long_silence_is_there(silent: float, left: float) -> None:
    """A tank that by its usual pace was empty weeks ago was filled in between; it holds what was counted, no more."""
    noted = [entry(0, "fill", "fresh", to="full"), entry(2, "reading", "fresh", 90.0, method="count"),
             entry(silent, "reading", "fresh", left, method="count")]  # fmt: skip
    level = known(ahead(TANK, noted, silent), "fresh").level
    assert level is not None and level.p50 == pytest.approx(left, abs=2.0) and (level.p90 or 0.0) < left + 15.0
