"""A started trip, the plan kept from the day before, stays as long as we can, weights and bands."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import gamma, norm

from tests.trip.instances import trip
from vanlife_supply.constants import ALCOHOL_KG_PER_LITRE
from vanlife_supply.refusal import Refusal
from vanlife_supply.trip.answer import answer, where
from vanlife_supply.trip.bands import expected
from vanlife_supply.trip.chance import BelievedLaw, GammaLaw, Span, assumed, enough
from vanlife_supply.trip.change import Kept, follow, read_kept, remembered
from vanlife_supply.trip.flexible import stretch, with_nights
from vanlife_supply.trip.model import Place, Plan, Service, Stay, Supply, Trip
from vanlife_supply.trip.planner import plan
from vanlife_supply.trip.weight import leg_weights

WATER = Supply("fresh", 100.0, 100.0, 10.0, reserve=5.0)


def small(*places: Place, stays: tuple[Stay, ...] = (Stay(6), Stay(6)), **other: object) -> Trip:
    """A trip of one supply that goes by exactly 10 L a night."""
    whole = Trip(trip(0, 7, 1).start, "small", confidence=0.9, supplies=(WATER,), stays=stays, places=places)
    return replace(whole, **other)  # type: ignore[arg-type]  # any field


def cut(whole: Trip, day: int) -> Trip:
    """What is left of a trip on a day, as a trip of its own."""
    k = next(i for i in range(1, len(whole.stays) + 1) if whole.first_day(i + 1) >= day)
    first = whole.first_day(k)
    rest = replace(whole.stays[k - 1], nights=first + whole.stays[k - 1].nights - day)
    places = []
    for place in whole.places:
        if place.stay is not None:
            if place.stay > k or (place.stay == k and (place.when != "arrive" or day == first)):
                places.append(replace(place, stay=place.stay - k + 1))
        elif (place.leg or 1) > k or (place.leg == k and day == first):
            places.append(replace(place, leg=(place.leg or 1) - k + 1))
    return replace(whole, start=whole.start + timedelta(days=day), stays=(rest, *whole.stays[k:]), places=tuple(places))


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 400), st.integers(0, 9))
def test_planning_from_a_day_on_is_planning_what_is_left(seed: int, day: int) -> None:
    """The past uses nothing and offers nothing: cost, status and stops are those of the rest as a trip of its own."""
    whole = trip(seed, 10, 14)
    from_today, rest = plan(replace(whole, today=day)), plan(cut(whole, day))
    assert from_today.status == rest.status
    assert from_today.cost == pytest.approx(rest.cost, abs=0.003)
    assert all(visit.day >= day for visit in from_today.visits)


def test_a_started_trip_knows_where_it_is() -> None:
    """Before the start nowhere; then the stay and its night; on the last day no night is left."""
    one = small()
    assert where(one) is None
    second = where(replace(one, today=7))
    assert second is not None and (second.stay, second.night, second.nights, second.days) == (2, 2, 6, 12)
    last = where(replace(one, today=12))
    assert last is not None and (last.stay, last.night) == (2, 0)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 300), st.floats(0.7, 1.5), st.integers(1, 6))
def test_a_plan_is_kept_while_it_holds_and_costs_hardly_more(seed: int, pace: float, day: int) -> None:
    """Whatever use turns out to be: what is followed holds if the best does, and is dearer by at most max(1, 2 %)."""
    whole = trip(seed, 10, 14)
    kept = read_kept(remembered(whole, plan(whole)).text())
    assert kept is not None
    later = replace(whole, today=day, supplies=tuple(replace(s, mean=s.mean * pace) for s in whole.supplies))
    best = plan(later)
    found, followed = follow(later, best, kept, assumed(later))
    assert found.cost <= best.cost + max(1.0, 0.02 * best.cost) + 1e-6
    if best.status != "infeasible":
        assert all(enough(i.p, i.demanded) for i in found.intervals)
    if followed.kept:
        assert set(remembered(later, found).stops) <= set(kept.stops)
    else:
        assert found is best


def test_nothing_changed_keeps_the_plan_without_a_word() -> None:
    """The same trip again: the same plan, still the cheapest."""
    whole = trip(2, 10, 20)
    best = plan(whole)
    found, followed = follow(whole, best, remembered(whole, best), assumed(whole))
    assert followed.kept and followed.dearer == pytest.approx(0.0, abs=1e-9) and found.status == best.status
    assert found.visits == best.visits


def test_a_plan_dearer_by_little_is_kept_and_by_much_is_not() -> None:
    """Within 1 the old stop stays; beyond it the new one is taken and the saving is named."""
    near, far = (Place(name, leg=2, stop=cost, services=(Service("fresh"),)) for name, cost in (("near", 3.0), ("far", 3.9)))
    one = small(near, far)
    old = Kept({(one.date_of(6).isoformat(), "far"): {"fresh": 1.0}}, {"fresh": 10.0})
    found, followed = follow(one, plan(one), old, assumed(one))
    assert followed.kept and found.visits[0].place == "far" and followed.dearer == pytest.approx(0.9)
    assert found.status == "feasible" and found.bound == pytest.approx(3.0)
    dear = small(near, replace(far, stop=4.2))
    found, followed = follow(dear, plan(dear), old, assumed(dear))
    assert not followed.kept and found.visits[0].place == "near" and followed.saves == pytest.approx(1.2)


def test_what_is_not_possible_any_more_is_named() -> None:
    """A place closed: the stop is gone, another takes its place."""
    near, far = (Place(name, leg=2, stop=3.0, services=(Service("fresh"),)) for name in ("near", "far"))
    one = small(near, far)
    old = Kept({(one.date_of(6).isoformat(), "far"): {"fresh": 1.0}}, {"fresh": 10.0})
    left = small(near)
    _, followed = follow(left, plan(left), old, assumed(left))
    assert followed.gone == (one.date_of(6).isoformat(), "far")
    assert followed.dropped == (followed.gone,) and followed.added == ((one.date_of(6).isoformat(), "near"),)


def test_use_that_has_grown_is_given_as_the_reason() -> None:
    """The old stop comes too late for what is now used a night: both figures are kept for the sentence."""
    early, late = Place("early", leg=1, services=(Service("fresh"),)), Place("late", leg=2, services=(Service("fresh"),))
    middle = Place("middle", stay=1, when="any", stop=5.0, services=(Service("fresh"),))
    one = small(early, late, middle)
    old = Kept({(one.date_of(6).isoformat(), "late"): {"fresh": 1.0}}, {"fresh": 10.0})
    more = replace(one, supplies=(replace(WATER, mean=17.0),))
    found, followed = follow(more, plan(more), old, assumed(more))
    assert not followed.kept and followed.failing is not None and followed.failing.supply == "fresh"
    assert (followed.before, followed.now) == (10.0, 17.0) and any(v.place == "middle" for v in found.visits)


@pytest.mark.parametrize("text", [None, "", "{", "[]", '{"stops": 3, "means": {}}', '{"stops": [], "means": {"a": "x"}}'])
def test_what_cannot_be_read_of_a_kept_plan_counts_as_none(text: str | None) -> None:
    """A setting somebody damaged is no plan, and no error."""
    assert read_kept(text) is None


def test_a_flexible_stay_is_as_long_as_any_plan_holds() -> None:
    """100 L at 10 L a night with 5 kept back last 9 nights: 3 after the 6, each length priced by its own plan."""
    one = small(stays=(Stay(6), Stay(1, flexible=(1, 8))))
    settled, found, (stretched,) = stretch(one)
    assert stretched.taken == 3 and settled.stays[1] == Stay(3) and found.status == "optimal"
    assert stretched.more == 0 and stretched.cheapest
    assert [(x.nights, x.cost) for x in stretched.lengths] == [(n, 0.0 if n <= 3 else None) for n in range(1, 9)]


def test_each_length_costs_what_its_own_plan_costs() -> None:
    """The curve is made of proven plans; the one taken is the longest that holds."""
    for seed in range(4):
        whole = trip(seed, 9, 16)
        one = replace(whole, stays=(*whole.stays[:-1], replace(whole.stays[-1], flexible=(1, 6))))
        _, found, (stretched,) = stretch(one)
        own = {n: plan(with_nights(one, len(one.stays), n)) for n in range(1, 7)}
        for x in stretched.lengths:
            holds = own[x.nights].status != "infeasible"
            assert (x.cost is not None) == holds and (not holds or x.cost == pytest.approx(own[x.nights].cost))
        assert stretched.taken == max((n for n, p in own.items() if p.status != "infeasible"), default=1)
        assert found.cost == own[stretched.taken].cost


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 300), st.integers(0, 4))
def test_several_flexible_stays_share_the_most_nights_that_hold_at_the_least_cost(seed: int, today: int) -> None:
    """Against planning every way to share them: as many nights in all as any, and no dearer than those of as many."""
    whole = trip(seed, 8, 12)
    spans = {1: (1, 4), len(whole.stays): (2, 5)}
    one = replace(whole, today=today, stays=tuple(replace(s, flexible=spans.get(k)) for k, s in enumerate(whole.stays, 1)))
    if len(whole.stays) == 1:
        return
    settled, found, stretched = stretch(one)
    tried = {}
    for first in range(1, 5):
        for last in range(2, 6):
            way = with_nights(with_nights(one, 1, first), len(one.stays), last)
            if first >= min(4, today) and last >= min(5, today - way.first_day(len(way.stays))):
                tried[first, last] = (way.nights, plan(way))
    holding = [(nights, p.cost) for nights, p in tried.values() if p.status != "infeasible"]
    assert all(x.more == 0 and x.cheapest for x in stretched)
    if not holding:
        assert found.status == "infeasible"
        return
    most = max(nights for nights, _ in holding)
    assert settled.nights == most
    assert found.cost == pytest.approx(min(cost for nights, cost in holding if nights == most), abs=0.003)


def test_a_search_cut_short_says_what_it_did_not_rule_out() -> None:
    """Stopped at once, the shortest stays are planned and every night beyond them is named as not ruled out."""
    one = small(stays=(Stay(1, flexible=(1, 8)), Stay(1, flexible=(2, 8))))
    settled, _, stretched = stretch(one, out_of_time=lambda: True)
    assert settled.nights == 3 and [x.more for x in stretched] == [13, 13]


def test_a_flexible_stay_is_never_shorter_than_it_was_already() -> None:
    """On day 9 of a stay begun on day 6 three nights are over."""
    one = small(Place("well", stay=2, services=(Service("fresh"),)), stays=(Stay(6), Stay(1, flexible=(1, 8))), today=9)
    _, _, (stretched,) = stretch(one)
    assert [x.nights for x in stretched.lengths] == list(range(3, 9))


def test_legs_weigh_what_is_aboard() -> None:
    """Worked by hand: 100 L, 6 nights of 10 L, filled up on the way, then 6 nights more; alcohol at 0.789 kg/L."""
    well = Place("well", leg=2, services=(Service("fresh"),))
    fuel = Supply("stove_fuel", 5.0, 4.0, 0.25)
    one = small(well, supplies=(WATER, fuel))
    found = leg_weights(one, plan(one), assumed(one))
    begins = [100 + 4 * ALCOHOL_KG_PER_LITRE, 40 + 2.5 * ALCOHOL_KG_PER_LITRE, 40 + 1 * ALCOHOL_KG_PER_LITRE]
    assert [w.leg for w in found] == [1, 2, 3]
    assert [w.begins for w in found] == pytest.approx(begins)
    assert [w.heaviest for w in found] == pytest.approx([begins[0], begins[1] + 60, begins[2]])


def test_gray_weighs_what_is_in_it() -> None:
    """Gray grows heavier on the way and light again where it is dumped."""
    gray = Supply("grey", 50.0, 5.0, 4.0, fills=True)
    dump = Place("dump", stay=1, when="depart", services=(Service("grey"),))
    one = small(dump, supplies=(gray,), stays=(Stay(10), Stay(6)))
    assert [(w.leg, w.begins) for w in leg_weights(one, plan(one), assumed(one))] == [(1, 5.0), (2, 0.0), (3, 24.0)]


def test_a_start_over_the_rating_is_refused() -> None:
    """The vehicle may carry 90 kg of supplies and holds 100: refused, with the 10 named."""
    with pytest.raises(Refusal, match="leave 10 kg behind"):
        answer(small(payload=90.0))
    assert answer(small(payload=100.0)).plan.status == "infeasible"


def test_bands_are_those_of_an_outside_gamma_law() -> None:
    """Amounts at a stop between p10 and p90 of the use before it (second opinion: scipy's gamma law)."""
    supply = replace(WATER, cv=0.4, cv_rate=0.1, start=90.0)
    one = small(Place("well", leg=2, services=(Service("fresh", fee=2.0, price=0.5),)), supplies=(supply,))
    ((band,),) = expected(one, plan(one), assumed(one))
    mean, var = 60.0, 6 * (0.4 * 10) ** 2 + (0.1 * 60) ** 2
    low, high = gamma.ppf([0.1, 0.9], mean * mean / var, scale=var / mean)
    assert (band.low, band.high) == pytest.approx((10 + low, 10 + high), rel=1e-4)
    assert (band.cost_low, band.cost_high) == pytest.approx((2 + 0.5 * (10 + low), 2 + 0.5 * (10 + high)), rel=1e-4)


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 20), st.floats(1.0, 200.0))
def test_a_rate_that_is_certain_is_the_law_without_rate_error(nights: int, room: float) -> None:
    """One believed rate of 1 is the plain law; two rates are its mixture (second opinion: scipy)."""
    supply = replace(WATER, cv=0.5)
    plain, sure = GammaLaw(supply, [1.0] * nights), BelievedLaw(supply, [1.0] * nights, [(1.0, 1.0)])
    span = Span(0, nights, room, False)
    assert sure.chance(span) == pytest.approx(plain.chance(span), abs=1e-12)
    mixed = BelievedLaw(supply, [1.0] * nights, [(0.8, 0.5), (1.2, 0.5)])
    shape = nights / 0.25
    both = [gamma.cdf(room, shape, scale=10 * nights * rate / shape) for rate in (0.8, 1.2)]
    assert mixed.chance(span) == pytest.approx(sum(both) / 2, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.05, 1.2), st.floats(0.5, 40.0), st.floats(0.0, 120.0),
    st.lists(st.sampled_from([0.03, 0.5, 1.0, 1.9]), min_size=2, max_size=15),
)  # fmt: skip
def test_a_night_more_is_never_surer_however_unsure_the_start(
    cv: float, sd: float, room: float, nights: list[float]
) -> None:
    """With a doubtful level at the start the chance only falls night by night, nobody aboard or many."""
    law = BelievedLaw(replace(WATER, cv=cv, start_sd=sd), nights, [(0.8, 0.5), (1.2, 0.5)], [[0.3 * f for f in nights]])
    chances = [law.chance(Span(0, last, room, True)) for last in range(1, len(nights) + 1)]
    assert all(later <= earlier + 1e-3 for earlier, later in pairwise(chances))


@settings(max_examples=40, deadline=None)
@given(st.floats(0.2, 1.0), st.floats(2.0, 40.0), st.integers(1, 8), st.floats(-2.0, 3.0))
def test_use_from_an_unsure_start_is_the_sum_of_both_doubts(cv: float, sd: float, nights: int, off: float) -> None:
    """Gamma use against a level with a normal error, integrated numerically: the three-moment law is within 0.02."""
    shape = nights / cv**2
    spread = (10.0**2 * nights * cv**2 + sd**2) ** 0.5
    room = 10.0 * nights + off * spread
    law = BelievedLaw(replace(WATER, cv=cv, start_sd=sd), [1.0] * nights, [(1.0, 1.0)])
    off_sd = np.arange(-6.0, 6.005, 0.01)
    holds = gamma.cdf(np.maximum(0.0, room + off_sd * sd), shape, scale=10.0 * nights / shape)
    exact = np.sum(norm.pdf(off_sd) * holds) * 0.01
    assert law.chance(Span(0, nights, room, True)) == pytest.approx(exact, abs=0.02)


def test_what_a_condition_does_is_one_doubt_for_all_its_nights() -> None:
    """A factor unsure by 30 % on every night spreads the use as a rate unsure by 30 % does; on no night not at all."""
    supply = replace(WATER, cv=0.5)
    doubtful = BelievedLaw(supply, [1.0] * 9, [(1.0, 1.0)], [[0.3] * 6 + [0.0] * 3])
    rated, plain = GammaLaw(replace(supply, cv_rate=0.3), [1.0] * 9), GammaLaw(supply, [1.0] * 9)
    assert doubtful.chance(Span(0, 6, 75.0, False)) == pytest.approx(rated.chance(Span(0, 6, 75.0, False)), abs=1e-12)
    assert doubtful.chance(Span(6, 9, 40.0, False)) == pytest.approx(plain.chance(Span(6, 9, 40.0, False)), abs=1e-12)


def test_a_plan_and_its_stops_survive_being_written_down() -> None:
    """What is kept of a plan is read back as it was."""
    whole = trip(5, 10, 20)
    best: Plan = plan(whole)
    kept = remembered(whole, best)
    assert read_kept(kept.text()) == kept and len(kept.stops) == len(best.visits)
