"""The acceptance scenarios about decisions. Their figures are invented and worked out by hand (common practice, no source).

The filter spreads water use over the waking day; where a scenario reckons in plain days a supply of the owner's own,
which is reckoned so, stands in for it.
"""

from __future__ import annotations

import pytest

from tests.deciding.pinned import GAL, LB, STEADY, pinned
from vanlife_supply.deciding import arithmetic
from vanlife_supply.deciding.enduring import drinking_only
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.holding import chances
from vanlife_supply.deciding.lasting import make_it_last
from vanlife_supply.deciding.staying import stay_or_go
from vanlife_supply.deciding.supposing import Supposed, what_if
from vanlife_supply.deciding.wishing import can_i
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.suppose import with_reserve_released
from vanlife_supply.moment import Moment, read_iso

ZONE = "America/Denver"


def moment(text: str) -> Moment:
    """A wall-clock time in the scenarios' zone."""
    return read_iso(text, ZONE).moment


SINK = """
[rig]
people = 1
timezone = "America/Denver"
[[container]]
supply = "fresh"
label = "tank"
capacity = "20 gal"
[[container]]
supply = "grey"
label = "sink jug"
capacity = "5 gal"
usable = 0.9
"""


def at_the_sink() -> Ground:
    """Scenario 4 on Wednesday 19:00, a dump planned for Friday noon."""
    now = moment("2026-05-06T19:00")
    plan = Entry("", m.PLANNED, now, "grey", word=m.DUMP, until=moment("2026-05-08T12:00"))
    share = 11.3 / 15.6
    level = 2.4167 * 1.3 * share
    return pinned(SINK, now, {"fresh": 15 * GAL, "grey": level * GAL}, {"fresh": 1.3 * GAL, "grey": share}, noted=[plan])


def test_shower_before_the_dump_by_hand() -> None:
    """Scenario 4 (b, c): 0.88 gal must stay out of the gray, or fresh use come down to 0.585 gal a day, 55 % less."""
    share, after = 11.3 / 15.6, 2.4167 * 1.3 * 11.3 / 15.6 + 1.5
    days = 41 / 24
    assert arithmetic.to_keep_out(after, 1.3 * share, days, 4.5) == pytest.approx(0.884, abs=0.02)
    assert arithmetic.allowance(4.5 - after, days) / share == pytest.approx(0.585, abs=0.02)
    assert arithmetic.cut(0.585, 1.3) == pytest.approx(0.55, abs=0.02)


def test_shower_before_the_dump_is_a_yes_with_a_but() -> None:
    """Scenario 4 (b): the shower fits now, but gray is then full before the dump, as it was not; outside cures it."""
    known = at_the_sink()
    told = can_i(known, "1.5 gal")
    gray = next(part for part in told.parts if part.supply == "grey")
    assert told.verdict == "tight" and gray.fits == "yes"
    assert gray.risk is not None and gray.risk_before is not None and gray.risk > 0.9 and gray.risk_before < 0.25
    assert told.outside is not None and 0.88 <= told.outside / GAL <= 1.5
    full = told.after.supply("grey")
    assert full is not None and full.days_left is not None and full.days_left.p50 == pytest.approx(0.769, abs=0.15)
    assert can_i(known, "1.5 gal", outside=True).verdict == "yes"


def test_no_room_for_it() -> None:
    """Water yes, gray no: what does not fit under the sink is refused with the room there is."""
    told = can_i(at_the_sink(), "3 gal")
    fits = {part.supply: part.fits for part in told.parts}
    assert told.verdict == "no" and fits == {"fresh": "yes", "grey": "no"}
    assert told.parts[1].left.p50 == pytest.approx((4.5 - 2.4167 * 1.3 * 11.3 / 15.6) * GAL, abs=0.1)


def test_alcohol_not_allowed_by_hand() -> None:
    """Scenario 6 (d): 0.14 L of alcohol a day is 2,807 Btu, 0.131 lb of propane; 6 lb last 46 days."""
    pounds = arithmetic.stands_in_propane(0.14, alcohol=0.2441 * 11_500 / 0.14, propane=21_500)
    assert pounds == pytest.approx(0.131, abs=0.001) and 6.0 / pounds == pytest.approx(46, abs=0.1)
    assert arithmetic.stands_in_propane(0.14) / LB == pytest.approx(0.131, abs=0.02)
    assert arithmetic.stands_in_alcohol(arithmetic.stands_in_propane(0.14)) == pytest.approx(0.14)


STAY = """
[rig]
people = 1
pets = ["dog 50 lb"]
timezone = "America/Denver"
[[supply]]
name = "fresh"
reserve = "2 gal"
[[container]]
supply = "fresh"
label = "tank"
capacity = "30 gal"
[[container]]
supply = "grey"
label = "jug"
capacity = "6 gal"
usable = 0.9
count = 2
[[container]]
supply = "stove_fuel"
label = "can"
capacity = "4 L"
[[container]]
supply = "propane"
label = "cylinder"
capacity = "20 lb"
"""


def two_weeks() -> Ground:
    """Scenario 7: can I stay 14 days?"""
    now = moment("2026-05-04T08:00")
    limits = [Entry("", m.LIMIT, now, word=word, until=now.plus(days)) for word, days in (("food", 12.0), ("stay", 14.0))]
    levels = {"fresh": 20 * GAL, "grey": 0.0, "stove_fuel": 2.8, "propane": 9 * LB}
    rates = {"fresh": 1.6 * GAL, "grey": 0.55, "stove_fuel": 0.16, "propane": 0.35 * LB}
    return pinned(STAY, now, levels, rates, noted=limits)


def test_fourteen_days_as_things_stand() -> None:
    """Scenario 7: water stops you first at 11.25 days, gray at 12.27, alcohol 17.5, propane 25.7."""
    outlook = two_weeks().outlook
    likely = {s.supply: s.days_left.p50 for s in outlook.supplies if s.days_left}
    assert outlook.first is not None and outlook.first.what == "fresh"
    assert likely["fresh"] == pytest.approx(11.25, abs=0.15) and likely["grey"] == pytest.approx(12.27, abs=0.35)
    assert likely["stove_fuel"] == pytest.approx(17.5, rel=0.02) and likely["propane"] == pytest.approx(25.71, rel=0.02)


def test_make_it_last_fourteen_days() -> None:
    """Scenario 7: 18 gal over 14 days are 1.286 a day, 19.6 % less; drinking is covered; then only food is in the way."""
    known = two_weeks()
    told = make_it_last(known, "fresh", known.now.plus(14))
    for allowance in (told.sure, told.likely):
        assert allowance.per_day / GAL == pytest.approx(1.286, abs=0.02) and allowance.cut == pytest.approx(0.196, abs=0.02)
    assert told.drinking is not None and told.sure.drinks
    assert told.sure.washing == pytest.approx(told.sure.per_day - told.drinking)
    assert told.reserve == pytest.approx(2 * GAL) and told.next_first is not None and told.next_first.what == "food"
    assert told.drain_share is None and told.chance_as_usual < 0.1


def test_one_more_jug_moves_the_limit() -> None:
    """Scenario 7: with 5 gal more water lasts 14.4 days and food comes first, then gray.

    23 gal at 1.6 are 14.375 days; 0.375 of a day's use from 08:00 on is gone after 6.4 hours awake: 14.27 on the clock.
    """
    known = two_weeks()
    told = what_if(known, Supposed(containers=("5 gal",)))
    water, gray = told.after.supply("fresh"), told.after.supply("grey")
    assert water is not None and water.days_left is not None and water.days_left.p50 == pytest.approx(14.27, abs=0.15)
    assert told.before.first is not None and told.before.first.what == "fresh"
    assert told.after.first is not None and told.after.first.what == "food"
    assert gray is not None and told.before.supply("grey") == gray


def test_gray_to_last_fourteen_days() -> None:
    """Scenario 7: 10.8 gal of room over 14 days are 0.771 a day into the sink, 0.88 is usual."""
    known = two_weeks()
    told = make_it_last(known, "grey", known.now.plus(14))
    assert told.likely.per_day / GAL == pytest.approx(10.8 / 14, abs=0.02)
    assert told.likely.cut == pytest.approx(1 - 10.8 / 14 / 0.88, abs=0.02)
    assert told.drain_share == pytest.approx(0.55, abs=0.01) and told.drinking is None


def test_water_kept_out_of_the_sink_is_used_all_the_same() -> None:
    """However long gray is made to last, water is out when it would have been."""
    known = two_weeks()
    first = known.outlook.first
    assert first is not None and first.what == "fresh"
    for days in (14, 20):
        then = make_it_last(known, "grey", known.now.plus(days)).next_first
        assert then is not None and then.what == "fresh"
        assert then.days_left.p50 == pytest.approx(first.days_left.p50, abs=0.1)


def test_no_alcohol_lets_propane_carry_the_heat() -> None:
    """The fuel left alone lasts beyond a year, the other goes as much faster as the heat asks for."""
    told = what_if(two_weeks(), Supposed(without="alcohol"))
    alcohol, propane = told.after.supply("stove_fuel"), told.after.supply("propane")
    assert alcohol is not None and alcohol.days_left is not None and alcohol.days_left.p50 is None
    more = arithmetic.stands_in_propane(0.16)
    assert told.stand_in == pytest.approx(more, rel=0.01)
    assert propane is not None and propane.days_left is not None
    assert propane.days_left.p50 == pytest.approx(9 * LB / (0.35 * LB + more), rel=0.03)


STORM = """
[rig]
people = 1
timezone = "America/Denver"
[[supply]]
name = "cistern"
direction = "empties"
measure = "volume"
reserve = "1 gal"
[[container]]
supply = "cistern"
label = "tank"
capacity = "7 gal"
"""


def test_storm_stay_or_go() -> None:
    """Scenario 8: to Saturday 63 % keep the reserve and 98 % are not dry; to Monday 4 % are not dry.

    The scenario reckons with normal days, the filter with a gamma process of the same mean and spread: ± 3 points.
    """
    even = (1.15 / 0.30) ** 2
    now = moment("2026-05-07T18:00")
    known = pinned(STORM, now, {"cistern": 3.1 * GAL}, {"cistern": 1.15 * GAL}, sd=0.4 * GAL, even=even)
    released = with_reserve_released(known.belief)
    saturday, monday = now.plus(40 / 24), now.plus(90 / 24)
    assert chances(known, known.belief, saturday).each["cistern"] == pytest.approx(0.63, abs=0.03)
    assert chances(known, released, saturday).each["cistern"] == pytest.approx(0.983, abs=0.03)
    assert chances(known, released, monday).each["cistern"] == pytest.approx(0.043, abs=0.03)
    assert arithmetic.allowance(3.1, 3.75) == pytest.approx(0.827, abs=0.02)
    assert arithmetic.allowance(2.1, 3.75) == pytest.approx(0.56, abs=0.02)


def test_storm_leave_before_the_road_closes() -> None:
    """Scenario 8: at 9 chances in 10 the latest departure is before Saturday 10:00."""
    now = moment("2026-05-07T18:00")
    known = pinned(STORM, now, {"cistern": 3.1 * GAL}, {"cistern": 1.15 * GAL}, sd=0.4 * GAL, even=STEADY)
    told = stay_or_go(known, now.plus(40 / 24))
    assert told.leave_by is not None and now.epoch < told.leave_by.epoch < now.plus(40 / 24).epoch
    assert chances(known, known.belief, told.leave_by).together >= 0.9
    assert chances(known, known.belief, told.leave_by.plus(0.05)).together < 0.9


JUGS = """
[rig]
people = 1
pets = ["dog 50 lb"]
timezone = "America/Denver"
[[supply]]
name = "fresh"
reserve = "2 gal"
[[container]]
supply = "fresh"
label = "big jug"
capacity = "5 gal"
[[container]]
supply = "fresh"
label = "small jug"
capacity = "1 gal"
count = 2
[[container]]
supply = "fresh"
label = "wash jug"
capacity = "3 gal"
drinking = false
"""


def test_breakdown_in_the_heat() -> None:
    """Scenario 12: 5.167 gal at 1.781 a day are 2.90 days; help in 4 days needs 1.96 gal more."""
    now = moment("2026-05-10T08:00")
    known = pinned(JUGS, now, {"fresh": 5.167 * GAL}, {"fresh": 0.833 * GAL}, sd=0.5,
                   noted=[Entry("", m.CONDITION, now, word="hot")])  # fmt: skip
    told = drinking_only(known, now.plus(4))
    assert told.hot and told.need / GAL == pytest.approx(1.781, abs=0.02)
    assert (told.litres.p50 or 0) / GAL == pytest.approx(5.167, abs=0.02)
    assert told.days.p50 == pytest.approx(2.90, abs=0.02)
    assert told.short is not None and told.short / GAL == pytest.approx(1.96, abs=0.02)


def test_only_drinking_water_counts() -> None:
    """Wash water and what is set aside do not count; what is kept back does."""
    now = moment("2026-05-10T08:00")
    aside = Entry("", m.ASIDE, now, "fresh", container="small jug 1", word="frozen")
    known = pinned(JUGS, now, {"fresh": 9.5 * GAL}, {"fresh": 0.833 * GAL}, noted=[aside])
    told = drinking_only(known)
    assert told.left_out == ("small jug 1", "wash jug") and told.short is None
    assert (told.litres.p50 or 0) / GAL == pytest.approx(6.0, abs=0.02)
