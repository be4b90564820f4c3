"""The person's own clock against stay limits typed as data (the forms of rules: practice.md 3.4)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.place.samples import steady
from vanlife_supply.constants import KM_PER_MILE
from vanlife_supply.moment import Moment, read_iso
from vanlife_supply.place.model import Point
from vanlife_supply.place.stay import Stay, StayRule, read_rules, stay_clock, tightest
from vanlife_supply.refusal import Refusal

DAY = 86_400.0
CAMP: Point = (40.0, -110.0)
NEAR: Point = (40.2, -110.0)  # 22 km
FAR: Point = (41.0, -110.0)  # 111 km


def _on(day: float) -> Moment:
    return Moment(1_700_000_000.0 + day * DAY, 0, "UTC")


def _stay(start: float, end: float | None, point: Point = CAMP, **more: float) -> Stay:
    return Stay(_on(start).epoch, None if end is None else _on(end).epoch, point, road_km=more.get("road_km"))


def _clock(rule: StayRule, stays: list[Stay], day: float) -> tuple[float, float, float]:
    """Days used, days left, and the day from which a full stay is allowed again."""
    clock = stay_clock(rule, CAMP, "", stays, _on(day))
    assert clock.move_by.epoch == pytest.approx(_on(day + clock.left_days).epoch, abs=2)
    return clock.used_days, clock.left_days, (clock.back_from.epoch - _on(0).epoch) / DAY


FOURTEEN = StayRule(14, "from-first", 28, radius_km=25 * KM_PER_MILE)


@pytest.mark.parametrize(
    ("stays", "day", "used", "left", "back"),
    [
        ([], 0, 0, 14, 28),
        ([_stay(0, None)], 10, 10, 4, 28),
        ([_stay(0, 5), _stay(8, None)], 10, 7, 7, 28),
        ([_stay(0, 5), _stay(6, 9, NEAR), _stay(9, None)], 10, 9, 5, 28),
        ([_stay(0, 5), _stay(6, 9, FAR), _stay(9, None)], 10, 6, 8, 28),
        ([_stay(0, 14)], 20, 14, 0, 28),
        ([_stay(0, None)], 40, 12, 2, 56),
        ([_stay(0, 14)], 28, 0, 14, 56),
        ([_stay(0, 2)], 27, 2, 15, 56),
    ],
)
def test_fourteen_days_in_twenty_eight(stays: list[Stay], day: float, used: float, left: float, back: float) -> None:
    """14 days within 28 and 25 miles: then away until day 29 since the first night."""
    assert _clock(FOURTEEN, stays, day) == pytest.approx((used, left, back), abs=1e-4)


def test_rolling_window() -> None:
    """28 in any 60: days fall out of the window at its far end and are free again."""
    rule = StayRule(28, "rolling", 60)
    assert _clock(rule, [_stay(0, 20)], 30)[:2] == pytest.approx((20, 8), abs=1e-4)
    # On day 55 20 days are used; the window lets go of them one by one from day 60, as fast as new ones come.
    assert _clock(rule, [_stay(0, 20)], 55)[:2] == pytest.approx((20, 28), abs=1e-4)


@settings(steady, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 40), st.integers(1, 9)), max_size=6),
    st.integers(1, 14),
    st.integers(14, 40),
)
def test_rolling_window_by_counting_days(spans: list[tuple[int, int]], most: int, window: int) -> None:
    """Counting whole days one by one finds the same day to move by."""
    stays = [_stay(start, start + length) for start, length in spans]
    now = 50
    occupied = {day for start, length in spans for day in range(start, start + length) if day < now}
    day = now
    while len([one for one in range(day - window, day) if one in occupied]) < most:
        occupied.add(day)
        day += 1
    assert _clock(StayRule(most, "rolling", window), stays, now)[1] == pytest.approx(day - now, abs=1e-3)


def test_consecutive_days() -> None:
    """A night away of less than the window does not stop the clock; a longer absence starts it again."""
    rule = StayRule(14, "consecutive", 3)
    assert _clock(rule, [_stay(0, 5), _stay(6, None)], 8)[:2] == pytest.approx((8, 6))
    assert _clock(rule, [_stay(0, 5), _stay(8, None)], 9)[:2] == pytest.approx((1, 13))
    assert _clock(rule, [_stay(0, 20)], 20) == pytest.approx((20, 0, 23))


def test_calendar_year() -> None:
    """A cap a year starts anew on New Year's Day of the place."""
    rule = StayRule(30, "year")
    new_year = read_iso("2026-01-01T00:00", "America/Denver").moment
    stays = [Stay(new_year.epoch - 20 * DAY, new_year.epoch + 5 * DAY, CAMP)]
    clock = stay_clock(rule, CAMP, "", stays, new_year.plus(10))
    assert (clock.used_days, clock.left_days) == pytest.approx((5, 25))
    assert clock.back_from.iso() == "2027-01-01T00:00:00-07:00"
    late = stay_clock(rule, CAMP, "", [], new_year.plus(360))
    assert late.left_days == pytest.approx(35)


def test_road_radius() -> None:
    """With a radius by road the road distance counts where it is known, else the one by air, which is never too lax."""
    rule = StayRule(14, "from-first", 28, radius_km=25, radius_kind="road")
    assert _clock(rule, [_stay(0, 5, NEAR, road_km=40)], 6)[0] == 0
    assert _clock(rule, [_stay(0, 5, NEAR)], 6)[0] == pytest.approx(5)


def test_clock_may_start_later_than_the_arrival() -> None:
    """The clock runs from its own start, which the person may set apart from the arrival, and not before it."""
    assert _clock(FOURTEEN, [_stay(3, None)], 5)[0] == pytest.approx(2)
    assert _clock(FOURTEEN, [_stay(7, None)], 5)[0] == 0


def test_place_without_coordinates() -> None:
    """Stays at the same place count by its id where nothing is known of its position."""
    stays = [Stay(_on(0).epoch, None, None, "here"), Stay(_on(-9).epoch, _on(-5).epoch, None, "there")]
    assert stay_clock(StayRule(14), None, "here", stays, _on(2)).left_days == pytest.approx(12)


def test_tightest_of_two_caps() -> None:
    """With two caps the one that makes one move first is given; without rules there is none."""
    stays = [_stay(0, 10), _stay(12, None)]
    week = StayRule(7, "consecutive", 1)
    clock = tightest([FOURTEEN, week], CAMP, "", stays, _on(13))
    assert clock is not None and clock.rule is FOURTEEN and clock.left_days == pytest.approx(3)
    assert tightest([], CAMP, "", stays, _on(13)) is None


@pytest.mark.parametrize(
    "wrong", [(0, "year", 1, 0), (14, "rolling", 7, 0), (14, "from-first", 28, -1), (float("nan"), "year", 1, 0)]
)
def test_numbers_that_make_no_rule(wrong: tuple[float, str, float, float]) -> None:
    """A limit of no days, a window shorter than the limit and a negative radius are refused."""
    with pytest.raises(Refusal):
        StayRule(wrong[0], wrong[1], wrong[2], wrong[3])  # type: ignore[arg-type]  # plain words, as a person types them


@pytest.mark.parametrize(
    ("said", "rules"),
    [
        ("14 days in 28", [(14, "rolling", 28, 0)]),
        ("14 days in 28, then 25 miles", [(14, "rolling", 28, 40.2336)]),
        ("14 days within 28 from the first night; then", None),
        ("14 days within 28 from the first night, then 25 mi", [(14, "from-first", 28, 40.2336)]),
        ("14 days within 25 miles within 90 days", [(14, "rolling", 90, 40.2336)]),
        ("30 days then 5 road miles", [(30, "consecutive", 1, 8.04672)]),
        ("14 consecutive then 3 miles and 28 in any 60", [(14, "consecutive", 1, 4.828032), (28, "rolling", 60, 0)]),
        ("2 weeks, then 7 days away", [(14, "consecutive", 7, 0)]),
        ("30 days a year", [(30, "year", 366, 0)]),
        ("24 hours", [(1, "consecutive", 1, 0)]),
        ("16 nights in 30, then 8 km", [(16, "rolling", 30, 8)]),
        ("14 days in 7", None),
        ("as long as you like", None),
        ("", None),
    ],
)
def test_rules_as_people_say_them(said: str, rules: list[tuple[object, ...]] | None) -> None:
    """The forms of practice.md 3.4 are understood; anything else is refused, never guessed."""
    if rules is None:
        with pytest.raises(Refusal, match=r"14 days in 28|must be the longer one"):
            read_rules(said)
        return
    read = read_rules(said)
    found: list[tuple[object, ...]] = [(r.max_days, r.kind, r.window_days, pytest.approx(r.radius_km)) for r in read]
    assert found == rules


@given(st.text(max_size=60))
def test_any_text_is_a_rule_or_a_refusal(text: str) -> None:
    """No text makes the reader of rules stumble."""
    try:
        assert all(rule.max_days > 0 for rule in read_rules(text))
    except Refusal as fault:
        assert str(fault)
