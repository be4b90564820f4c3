"""What must hold of every decision, whatever the levels and rates."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.deciding.pinned import GAL, pinned
from tests.deciding.test_scenarios import SINK, moment, two_weeks
from vanlife_supply.deciding import arithmetic, needs
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.holding import chances
from vanlife_supply.deciding.lasting import make_it_last
from vanlife_supply.deciding.looking import best_looks
from vanlife_supply.deciding.supposing import Supposed, what_if
from vanlife_supply.deciding.wishing import can_i
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import look_ahead, to_bytes
from vanlife_supply.forecast.model import Band
from vanlife_supply.forecast.suppose import FOR_GOOD_DAYS, with_entries, with_pace
from vanlife_supply.refusal import Refusal

FEW = settings(max_examples=12, deadline=None)
RANKS = {"yes": 3, "tight": 2, "likely": 1, "no": 0}
gallons = st.floats(1.0, 19.0)


def at_home(water: float = 10.0, gray: float = 2.0, sd: float = 1.0) -> Ground:
    """A tank and a sink jug on a Thursday morning."""
    levels = {"fresh": water * GAL, "grey": gray * GAL}
    return pinned(SINK, moment("2026-05-07T08:00"), levels, {"fresh": 1.2 * GAL, "grey": 0.6}, sd=sd)


def ends(band: Band | None) -> tuple[float, float, float]:
    """Three numbers, a year and more as 400."""
    assert band is not None
    low, mid, high = (400.0 if q is None else q for q in (band.p10, band.p50, band.p90))
    return low, mid, high


@FEW
@given(gallons, st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_a_cut_never_shortens(water: float, one: float, other: float) -> None:
    """Going slower, water and the gray that follows it last at least as long, at every chance."""
    known = at_home(water)
    slow, fast = (look_ahead(with_pace(known.belief, "fresh", f, known.now), known.now) for f in sorted((one, other)))
    for supply in ("fresh", "grey"):
        a, b = slow.supply(supply), fast.supply(supply)
        assert a is not None and b is not None
        assert all(x >= y - 0.02 * y - 0.02 for x, y in zip(ends(a.days_left), ends(b.days_left), strict=True))


@FEW
@given(gallons, st.floats(0.5, 10.0))
def test_a_full_jug_never_makes_water_shorter(water: float, size: float) -> None:
    """One more jug and water lasts longer, at every chance; gray stays as it was."""
    told = what_if(at_home(water), Supposed(containers=(f"{size:.2f} gal",)))
    before, after = told.before.supply("fresh"), told.after.supply("fresh")
    assert before is not None and after is not None
    assert all(x >= y - 1e-6 for x, y in zip(ends(after.days_left), ends(before.days_left), strict=True))
    assert told.before.supply("grey") == told.after.supply("grey")


@FEW
@given(gallons, st.floats(1.0, 20.0), st.floats(1.0, 20.0))
def test_a_later_date_leaves_less_a_day(water: float, one: float, other: float) -> None:
    """The further the date, the smaller the allowance; what is likely is never less than what is sure."""
    known = at_home(water)
    near, far = (make_it_last(known, "fresh", known.now.plus(days)) for days in sorted((one, other)))
    assert far.sure.per_day <= near.sure.per_day and far.chance_as_usual <= near.chance_as_usual + 0.005
    for told in (near, far):
        assert told.sure.per_day <= told.likely.per_day and told.sure.cut >= told.likely.cut
        assert told.drinking is not None and told.sure.washing is not None
        assert told.sure.washing == pytest.approx(max(0.0, told.sure.per_day - told.drinking))
        assert told.sure.drinks == (told.sure.per_day >= told.drinking)


@FEW
@given(gallons, st.floats(0.1, 4.5))
def test_chances_fall_with_time_and_together_is_the_least(water: float, gray: float) -> None:
    """The longer it must hold, the less likely; all together never likelier than one alone."""
    known = at_home(water, gray)
    days = [chances(known, known.belief, known.now.plus(d)) for d in (0.5, 2.0, 5.0, 12.0)]
    for sooner, later in pairwise(days):
        assert later.together <= sooner.together + 0.005
        assert all(later.each[name] <= sooner.each[name] + 0.005 for name in later.each)
    assert all(day.together <= min(day.each.values()) for day in days)


@FEW
@given(st.floats(0.1, 8.0), st.floats(0.1, 8.0))
def test_asking_for_more_is_never_easier(one: float, other: float) -> None:
    """If the larger amount is possible, so is the smaller; outside is never harder than into the sink."""
    known = at_home(7.0, 3.0)
    small, large = (can_i(known, f"{amount:.2f} gal") for amount in sorted((one, other)))
    assert RANKS[small.verdict] >= RANKS[large.verdict]
    assert RANKS[can_i(known, f"{one:.2f} gal", outside=True).verdict] >= RANKS[can_i(known, f"{one:.2f} gal").verdict]


def test_supposing_leaves_the_belief_alone() -> None:
    """Whatever is supposed, what is known stays byte for byte as it was."""
    known = two_weeks()
    before = to_bytes(known.belief)
    what_if(known, Supposed(people=3, uses=("1 gal",), containers=("5 gal", "6 gal gray"), on=("hot",), without="alcohol"))
    make_it_last(known, "fresh", known.now.plus(9))
    can_i(known, "guest")
    best_looks(known)
    assert to_bytes(known.belief) == before


def test_more_people_drink_and_use_more() -> None:
    """A second person shortens water and gray, fuel is left as it was."""
    told = what_if(two_weeks(), Supposed(people=2))
    likely = {s.supply: (s.days_left.p50, told.before.supply(s.supply)) for s in told.after.supplies if s.days_left}
    for supply, (then, one) in likely.items():
        assert one is not None and one.days_left is not None and then is not None and one.days_left.p50 is not None
        assert (then < one.days_left.p50) == (supply in ("fresh", "grey"))


def test_a_condition_that_is_on_does_not_count_twice() -> None:
    """Supposing hot while it is hot changes nothing; supposing it off makes water last longer."""
    known = two_weeks()
    hot = what_if(known, Supposed(on=("hot",)))
    entry = Entry("", m.CONDITION, known.now, word="hot", until=known.now.plus(FOR_GOOD_DAYS))
    already = Ground(with_entries(known.belief, [entry]), known.now, known.rig, (entry,))
    assert what_if(already, Supposed(on=("hot",))).after.supplies == already.outlook.supplies == hot.after.supplies
    cooler, water = what_if(already, Supposed(off=("hot",))).after.supply("fresh"), already.outlook.supply("fresh")
    assert cooler is not None and water is not None and ends(cooler.days_left)[1] > ends(water.days_left)[1]


def test_water_used_into_the_sink_is_counted_twice() -> None:
    """So much used is so much less water and so much less room; outside the room stays."""
    known = two_weeks()
    inside, outside = (what_if(known, Supposed(uses=("2 gal",), outside=o)).after for o in (False, True))
    for then, room in ((inside, 8.8), (outside, 10.8)):
        water, gray = then.supply("fresh"), then.supply("grey")
        assert water is not None and water.usable is not None and water.usable.p50 == pytest.approx(16 * GAL, abs=0.3)
        assert gray is not None and gray.usable is not None and gray.usable.p50 == pytest.approx(room * GAL, abs=0.3)


def test_the_best_look_is_the_one_at_what_is_unsure() -> None:
    """Where water is known to the cup and gray hardly at all, a look at the gray would help most."""
    known = at_home(15.0, 2.0, sd=0.05)
    known.belief.threads["grey"].habit.var = known.belief.threads["grey"].habit.var + (1.0 * GAL) ** 2
    looks = best_looks(known)
    assert looks[0].supply == "grey" and looks[0].narrows_first > looks[-1].narrows_first
    assert all(0.0 <= look.narrows_own <= 1.0 for look in looks)


@given(st.floats(0, 100), st.floats(0.1, 50), st.floats(0.1, 10), st.floats(0, 100))
def test_sums_agree_with_each_other(level: float, days: float, per_day: float, stop: float) -> None:
    """What is kept out brings the level just to its mark; an allowance used every day uses it all; nothing is negative."""
    kept = arithmetic.to_keep_out(level, per_day, days, stop)
    assert kept >= 0 and (kept == 0 or level + per_day * days - kept == pytest.approx(stop, abs=1e-6))
    assert arithmetic.allowance(level, days) * days == pytest.approx(level)
    assert arithmetic.short_of(level, per_day, days) == pytest.approx(max(0.0, per_day * days - level))


@pytest.mark.parametrize(("pet", "kg"), [("dog 50 lb", 22.68), ("2 cats 4 kg", 8.0), ("cat", 4.5), ("Dog 12,5 kg", 12.5),
                                         ("???", 4.5), ("dog", 20.0)])  # fmt: skip
def test_pets_weigh_what_is_said(pet: str, kg: float) -> None:
    """A pet's words give its weight; common practice stands in where nothing is said."""
    assert needs.pet_weight(pet) == pytest.approx(kg, abs=0.01)


def test_drinking_follows_published_figures() -> None:
    """3.0 L of beverages a day for an adult (National Academies 2005); an ounce a pound for pets; a gallon in heat."""
    assert needs.drinking(1, (), False) == pytest.approx(3.0)
    assert needs.drinking(0, ("dog 50 lb",), False) / (GAL / 128) == pytest.approx(50, rel=0.005)
    assert needs.drinking(1, ("dog 50 lb",), True) / GAL == pytest.approx(1 + 100 / 128, rel=0.005)


def test_dates_that_make_no_sense_are_refused() -> None:
    """Past dates and those beyond a year end in a sentence."""
    known = at_home()
    for days in (-1.0, 400.0):
        with pytest.raises(Refusal):
            make_it_last(known, "fresh", known.now.plus(days))
        with pytest.raises(Refusal):
            what_if(known, Supposed(people=2, until=known.now.plus(days)))
