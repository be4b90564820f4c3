"""The worked scenarios of the trade, by hand. Figures are invented and worked out on paper (common practice, no source)."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanlife_supply.forecast import arithmetic as a
from vanlife_supply.moment import Moment, read_iso

CLOSE = 0.02


def at(text: str) -> Moment:
    """A time written with its offset."""
    return read_iso(text, "UTC").moment


def after(text: str, days: float) -> str:
    """The wall clock so many days later, to the minute."""
    return (at(text).local() + timedelta(days=days)).strftime("%a %d %H:%M")


def test_first_week_one_jug() -> None:
    """Scenario 1: 0.80 gal a day, dry Wed 13 02:00, reserve reached Mon 11 20:00, ± 0.55 days because errors go together."""
    rate = a.pooled_rate([a.balance(7.0, 0.0, 3.0)], [5.0])
    assert rate == pytest.approx(0.80, abs=CLOSE)
    assert after("2026-05-09T08:00-06:00", a.days_at(3.0, rate)) == "Wed 13 02:00"
    assert after("2026-05-09T08:00-06:00", a.days_at(2.0, rate)) == "Mon 11 20:00"
    assert a.days_error(7.0, 3.0, 5.0, 0.25) == pytest.approx(0.547, abs=0.001)
    assert [5 * left / (7 - left) for left in (2.75, 3.25)] == pytest.approx([3.235, 4.333], abs=0.001)


def test_missed_entries() -> None:
    """Scenario 2: the balance says 28 L used where 21 were noted, 4.82 days and not 6.43."""
    used = a.balance(45, 10, 27)
    assert used == pytest.approx(28)
    assert a.days_at(27, used / 5) == pytest.approx(4.82, abs=CLOSE)


def test_brim_to_brim_from_an_unknown_start() -> None:
    """Scenario 3: pooled 0.945 gal a day, 4.16 gal on day 14, dry on day 18.40, reserve on day 17.35."""
    rate = a.pooled_rate([5.4, 5.0], [6.0, 5.0])
    assert rate == pytest.approx(0.945, abs=0.001)
    assert 7 - 3 * rate == pytest.approx(4.16, abs=0.01)
    assert 11 + a.days_at(7, rate) == pytest.approx(18.40, abs=CLOSE)
    assert 11 + a.days_at(6, rate) == pytest.approx(17.35, abs=CLOSE)


def test_gray_before_the_dump() -> None:
    """Scenario 4 (a): drain share 0.724, 3.88 gal at the planned dump, full Sat 9 03:41."""
    share = a.drain_share([3.9, 4.6, 2.8], [5.2, 6.5, 3.9])
    assert share == pytest.approx(0.724, abs=0.001)
    rate = 1.3 * share
    assert 4.125 * rate == pytest.approx(3.88, abs=0.01)
    assert after("2026-05-04T09:00-06:00", a.days_at(4.5, rate)) == "Sat 09 03:41"


def test_propane_by_weight() -> None:
    """Scenario 5: 7.2 lb net last 32.7 days cooking, 7.85 with the heater, 6.8 to 8.9 with scale and tare at their worst."""
    net = 24.3 - 17.1
    heating = 0.22 + 5_000 * 3 / 21_500
    assert a.days_at(net, 0.22) == pytest.approx(32.73, abs=CLOSE)
    assert a.days_at(net, heating) == pytest.approx(7.846, abs=CLOSE)
    assert [a.days_at(net + e, heating) for e in (-1, 1)] == pytest.approx([6.756, 8.936], abs=CLOSE)


def test_alcohol_and_what_evaporates() -> None:
    """Scenario 6 (a–c): 41.3 days without loss, 39.3 losing 10 % a week when fitted, 0.53 L after six idle weeks."""
    loss = a.idle_loss_rate(0.10)
    assert loss == pytest.approx(0.01505, abs=1e-5)
    assert a.days_with_loss(5.785, 0.14, 0.0) == pytest.approx(41.32, abs=CLOSE)
    fills = [1.0] * 5 + [0.785]
    assert sum(a.days_with_loss(fill, 0.14, loss) for fill in fills) == pytest.approx(39.3, abs=0.05)
    assert a.left_after(1.0, 42, loss) == pytest.approx(0.53, abs=0.005)


def test_storm() -> None:
    """Scenario 8: 63 % to keep the reserve till Saturday, 98.3 % not dry, 4 % not dry on Monday."""
    for days, keep, chance in ((1.667, 1.0, 0.63), (1.667, 0.0, 0.983), (3.75, 0.0, 0.04)):
        margin = 3.1 - keep - 1.15 * days
        assert a.margin_chance(margin, 0.4, 0.3, days) == pytest.approx(chance, abs=0.01)


def test_clock_change_between_two_readings() -> None:
    """Scenario 11: 47 hours of true time lie between, 1.200 gal a day, dry Fri 13 13:00 there and 12:00 one zone west."""
    start, end = at("2026-03-07T17:00-07:00"), at("2026-03-09T17:00-06:00")
    days = (end.epoch - start.epoch) / 86_400
    rate = a.balance(6.95, 0.0, 4.6) / days
    assert days * 24 == pytest.approx(47) and rate == pytest.approx(1.200, abs=0.001)
    dry = end.plus(a.days_at(4.6, rate))
    assert dry.local().strftime("%a %d %H:%M") == "Fri 13 13:00"
    assert Moment(dry.epoch, -7 * 3600).local().strftime("%a %d %H:%M") == "Fri 13 12:00"


def test_counting_jugs() -> None:
    """Scenario 12: 7.5 gal left are 8.57 ± 0.54 days; once the last small jug is opened, 6.0 left are 7.20 days."""
    rate = a.balance(11.0, 0.0, 7.5) / 4
    assert a.days_at(7.5, rate) == pytest.approx(8.57, abs=CLOSE)
    assert a.days_error(11.0, 7.5, 4.0, 0.15) == pytest.approx(0.54, abs=0.01)
    assert a.days_at(6.0, a.balance(11.0, 0.0, 6.0) / 6) == pytest.approx(7.20, abs=CLOSE)
    assert a.drain_share([4.0], [6.4 * 5.0 / 6]) == pytest.approx(0.75, abs=CLOSE)


@given(st.floats(0.1, 50), st.floats(0.01, 5), st.one_of(st.just(0.0), st.floats(1e-6, 0.5)))
def test_loss_never_makes_a_fill_last_longer(amount: float, per_day: float, loss: float) -> None:
    """What evaporates is not used: with any loss a fill lasts no longer than without."""
    assert a.days_with_loss(amount, per_day, loss) <= a.days_at(amount, per_day) * (1 + 1e-9)
