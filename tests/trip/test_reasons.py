"""Where a trip breaks, what mends it, and why a plan stops where it does."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from tests.trip.instances import trip
from vanlife_supply.trip.answer import answer
from vanlife_supply.trip.chance import assumed, interval_chance, span_of
from vanlife_supply.trip.cures import CONTAINER_SHARE, Break, breaks
from vanlife_supply.trip.explain import (
    binding,
    longer_stays,
    one_night_more,
    slack,
    whole_trip_chance,
    without_places,
)
from vanlife_supply.trip.model import Place, Plan, Service, Stay, Supply, Trip
from vanlife_supply.trip.planner import plan
from vanlife_supply.trip.reasons import growing, reasons
from vanlife_supply.wording.trip_reasons import why_lines
from vanlife_supply.wording.trips import Voice


def broken() -> list[tuple[Trip, Break]]:
    """Breaks of a few dozen trips that cannot hold, one supply at a time."""
    found = []
    for seed in range(60):
        whole = trip(seed, 14, 14, "mixed")
        for supply in whole.supplies:
            one = replace(whole, supplies=(supply,))
            found += [(one, b) for b in breaks(one, plan(one))]
    return found


BROKEN = broken()


def mended(one: Trip, supply: Supply) -> bool:
    return plan(replace(one, supplies=(supply,))).status != "infeasible"


def test_using_less_mends_and_one_percent_more_does_not() -> None:
    """The percentage named is enough, and the smallest whole one."""
    checked = 0
    for one, b in BROKEN:
        supply = one.supplies[0]
        if b.less_use is not None:
            assert mended(one, replace(supply, mean=supply.mean * (1 - b.less_use / 100)))
            assert not mended(one, replace(supply, mean=supply.mean * (1 - (b.less_use - 1) / 100)))
            checked += 1
    assert checked >= 10


def test_more_containers_mend_and_one_fewer_does_not() -> None:
    """The number named is enough, and the smallest."""
    checked = 0
    for one, b in BROKEN:
        supply = one.supplies[0]
        assert b.size == pytest.approx(supply.unit or CONTAINER_SHARE * supply.usable)
        if b.containers is not None:
            for count, holds in ((b.containers, True), (b.containers - 1, False)):
                start = supply.start if supply.fills else supply.start + count * b.size
                assert mended(one, replace(supply, usable=supply.usable + count * b.size, start=start)) == holds
            checked += 1
    assert checked >= 10


def test_one_more_stop_mends_on_the_days_named_and_on_no_other() -> None:
    """An invented place on each day: the trip holds exactly where the cure says so."""
    rng = Random(5)
    for one, b in rng.sample(BROKEN, 12):
        for day in range(one.nights + 1):
            begins = [sum(s.nights for s in one.stays[:k]) for k in range(len(one.stays) + 1)]
            stay = next(k for k in range(len(one.stays)) if begins[k] <= day <= begins[k + 1])
            at = one.date_of(day).weekday()
            extra = Place("extra", stay=stay + 1, open=frozenset({at}), services=(Service(b.supply),))
            more = replace(one, places=(*one.places, extra))
            assert (plan(more).status != "infeasible") == (day in b.stop_days), (day, b)


def test_asking_for_no_more_than_attainable_mends() -> None:
    """With the attainable confidence demanded the trip holds; with a little more it does not."""
    checked = 0
    for one, b in BROKEN:
        if 0.01 < b.attainable < 0.98:
            supply = one.supplies[0]
            assert mended(one, replace(supply, confidence=b.attainable - 1e-5))
            assert not mended(one, replace(supply, confidence=b.attainable + 1e-5))
            checked += 1
    assert checked >= 10


def cut(one: Trip, nights: int) -> Trip:
    """The trip ended after so many nights."""
    stays: list[Stay] = []
    for stay in one.stays:
        stays.append(replace(stay, nights=min(stay.nights, nights - sum(s.nights for s in stays))))
    return replace(one, stays=tuple(stays))


def test_a_trip_that_ends_on_the_day_reached_holds_and_a_day_later_does_not() -> None:
    """The last day said to hold is the last day on which the trip could end."""
    rng = Random(6)
    for one, b in rng.sample(BROKEN, 20):
        assert plan(cut(one, b.reaches)).status != "infeasible"
        assert plan(cut(one, b.reaches + 1)).status == "infeasible"


def test_a_reading_mends_a_doubtful_start() -> None:
    """If only the level at the start is in doubt, looking is named as the cure."""
    one = trip(0, 7, 20, "mixed")
    fresh = Supply("fresh", 100.0, 100.0, 10.0, start_sd=40.0)
    (b,) = breaks(replace(one, supplies=(fresh,), places=()), plan(replace(one, supplies=(fresh,), places=())))
    assert b.reading and b.less_use is not None


def test_a_plan_that_holds_has_no_breaks() -> None:
    """Nothing to mend, nothing said."""
    one = trip(1, 30, 100, "allserv")
    assert breaks(one, plan(one)) == ()


def test_without_a_place_the_trip_is_never_cheaper() -> None:
    """Each place of an optimal plan is worth nothing or more, and the stops named instead avoid it."""
    one = trip(1, 30, 100, "allserv")
    found = plan(one)
    reasons = list(without_places(one, found))
    assert [r.place for r in reasons] == list(dict.fromkeys(v.place for v in found.visits))
    for r in reasons:
        assert r.extra is None or (r.extra >= -0.004 and all(place != r.place for _, place in r.instead))


def test_the_only_place_is_indispensable() -> None:
    """A place no other can stand in for is said to be so."""
    one = trip(1, 14, 40, "mixed")
    fresh = Supply("fresh", 60.0, 30.0, 6.0)
    only = Place("only", stay=2, services=(Service("fresh"),))
    lonely = replace(one, supplies=(fresh,), places=(only,))
    found = plan(lonely)
    assert found.status == "optimal"
    assert [(r.place, r.extra) for r in without_places(lonely, found)] == [("only", None)]


def test_one_more_night_is_priced_for_every_stay() -> None:
    """Each stay gets the difference between the longer trip's optimum and this one's."""
    one = trip(2, 14, 40, "allserv")
    found = plan(one)
    longer = list(longer_stays(one, found))
    assert [x.stay for x in longer] == list(range(1, len(one.stays) + 1))
    first = replace(one, stays=(replace(one.stays[0], nights=one.stays[0].nights + 1), *one.stays[1:]))
    assert longer[0].extra == pytest.approx(plan(first).cost - found.cost)


def test_time_out_ends_the_reasons() -> None:
    """Reasons are given one after the other until time is out."""
    one = trip(2, 14, 40, "allserv")
    assert list(without_places(one, plan(one), out_of_time=lambda: True)) == []


def test_the_tightest_interval_fails_first() -> None:
    """No interval between two services has fewer nights to spare, and a night beyond its latest day it fails."""
    one = trip(1, 30, 100, "allserv")
    found = plan(one)
    tight = binding(found)
    assert tight is not None and tight.slack == min(slack(found).values())
    assert tight.latest_day is not None
    at_limit = replace(tight, last_day=tight.latest_day)
    longer = one_night_more(one, at_limit)
    assert longer is not None and longer < tight.demanded
    supply, law = one.supply(tight.supply), assumed(one)[tight.supply]
    span = span_of(supply, tight.first_day, tight.latest_day, tight.stock, opening=tight.start == "start", closing=False)
    assert interval_chance(law, span, closing=False) >= tight.demanded


def test_the_whole_trip_is_less_sure_than_its_weakest_interval() -> None:
    """All intervals together hold no more often than the weakest, no less than if each failed at another time."""
    for seed in range(6):
        one = trip(seed, 14, 60, "allserv")
        found = plan(one)
        whole = whole_trip_chance(one, found)
        fails = sum(1.0 - i.p for i in found.intervals)
        assert 1.0 - fails - 0.03 <= whole <= found.confidence + 0.03


def test_the_whole_trip_chance_agrees_with_simulation() -> None:
    """Drawing rates and uses with a fixed seed gives the same chance, within three standard errors."""
    one = trip(0, 14, 60, "allserv")
    found = plan(one)
    rng, draws, held = Random(11), 4000, 0
    for _ in range(draws):
        held += all(simulated(found, s, rng) for s in one.supplies)
    whole = whole_trip_chance(one, found)
    assert held / draws == pytest.approx(whole, abs=3 * (whole * (1 - whole) / draws) ** 0.5 + 0.002)


def simulated(found: Plan, s: Supply, rng: Random) -> bool:
    """One life of a supply: a rate for the trip, gamma nights, every interval within its room."""
    rate = rng.gammavariate(s.cv_rate**-2, s.cv_rate**2)
    for i in found.intervals:
        if i.supply == s.name:
            room = i.stock - (s.last_reserve if i.end == "end" else s.reserve)
            scale = s.cv**2 * s.mean * rate
            if sum(rng.gammavariate(s.cv**-2, scale) for _ in range(i.last_day - i.first_day)) > room:
                return False
    return True


def test_reasons_come_one_by_one_and_end_complete() -> None:
    """How sure it is comes at once; then a price at a time, counted down to none."""
    one = trip(1, 14, 40, "allserv")
    told = answer(one)
    *steps, last = growing(told, lambda: False)
    assert steps[0].whole == last.whole and steps[0].tightest == last.tightest and not steps[0].without
    assert [step.to_go for step in (*steps, last)] == list(range(len(steps), -1, -1)) and not last.cut
    assert len(last.without) == len({v.place for v in told.plan.visits}) and len(last.more_nights) == len(one.stays)
    assert reasons(told, lambda: False) == last


def test_reasons_cut_short_say_so() -> None:
    """Time out: what needs no search is there, the rest is named as left out."""
    told = answer(trip(1, 14, 40, "allserv"))
    cut = reasons(told, lambda: True)
    assert cut.cut and cut.to_go == 0 and not cut.without and cut.whole > 0.0
    assert "took too long" in " ".join(why_lines(told, cut, Voice()))


def test_two_supplies_that_break_need_a_cure_each() -> None:
    """Where several break it is said that one cure does not mend the other."""
    base = trip(1, 30, 100, "allserv")
    greedy = replace(base, supplies=tuple(replace(s, mean=5 * s.mean) for s in base.supplies))
    told = answer(greedy)
    why = reasons(told, lambda: False)
    assert len(why.broken) > 1
    lines = why_lines(told, why, Voice())
    assert lines[0].endswith(": each needs a cure of its own.") and " and " in lines[0]
