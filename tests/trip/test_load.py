"""trip.toml is read as written and refused in one sentence that names the place."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trip.files import GOOD, changed
from vanlife_supply.refusal import Refusal
from vanlife_supply.trip.load import complete, load
from vanlife_supply.trip.model import Supply


def test_every_field_arrives() -> None:
    """A good file becomes the trip it describes."""
    trip = load(GOOD)
    assert (trip.name, trip.start, trip.use, trip.nights) == ("two valleys", date(2026, 5, 4), "assume", 10)
    fresh, propane = trip.supplies
    assert (fresh.usable, fresh.reserve, fresh.confidence, fresh.cv) == (60.0, 6.0, 0.9, 0.4)
    assert (propane.unit, propane.last_reserve, propane.fills) == (6.0, 0.0, False)
    spring, shop = trip.places
    assert spring.open == frozenset({0, 4}) and spring.season == ((10, 1), (6, 15))
    assert spring.closed == frozenset({date(2026, 7, 4), date(2026, 7, 5)})
    assert spring.services[0].levels == (0.5, 1.0)
    assert shop.services[0].exchange and shop.stay == 2
    assert trip.factors("fresh") == [1.2] * 4 + [1.0] * 6


@pytest.mark.parametrize("start", ['"2026-05-04"', "2026-05-04T18:00:00", "2026-05-04T23:30:00-06:00"])
def test_a_date_may_be_text_or_an_instant(start: str) -> None:
    """The date of the start counts, however it is written."""
    assert load(changed("start = 2026-05-04", f"start = {start}")).start == date(2026, 5, 4)


def test_a_log_trip_keeps_the_single_numbers_it_sets() -> None:
    """With use = "log" an [assume.X] table need not be complete; its numbers override single ones."""
    text = "schema = 1\n[trip]\nstart = 2026-05-04\n[assume.fresh]\nmean = 9.0\nconfidence = 0.8\n[[stay]]\nnights = 3\n"
    trip = load(text)
    assert trip.use == "log" and trip.supplies == () and trip.confidence is None
    assert trip.overrides == {"fresh": {"mean": 9.0, "confidence": 0.8}}
    rig = (Supply("fresh", 60.0, 40.0, 7.0), Supply("grey", 20.0, 3.0, 2.0, confidence=0.95, fills=True))
    fresh, grey = complete(trip, rig).supplies
    assert (fresh.mean, fresh.usable, fresh.confidence) == (9.0, 60.0, 0.8)
    assert grey == rig[1]


def test_a_log_trip_that_exchanges_needs_the_size_of_a_container() -> None:
    """When rig and log do not say what one container holds, the trip is refused as a complete file would be."""
    trip = load(changed('use = "assume"', 'use = "log"').replace("unit = 6.0\n", ""))
    with pytest.raises(Refusal, match="has no unit"):
        complete(trip, [Supply("propane", 12.0, 3.0, 0.5)])


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("schema = 1", "schema = 2", "schema is 2"),
        ("schema = 1", "", "schema is missing"),
        ("schema = 1", "schema = = 1", "not valid TOML"),
        ("start = 2026-05-04", "", "[trip]: start is missing"),
        ("start = 2026-05-04", 'start = "2026-13-04"', "[trip]: start is '2026-13-04'"),
        ("start = 2026-05-04", "start = 9999-12-30", "[trip]: start is 9999-12-30"),
        ("confidence = 0.9", "confidence = 1.0", "[trip]: confidence is 1.0"),
        ("confidence = 0.9", "confidence = true", "[trip]: confidence is true"),
        ('use = "assume"', 'use = "assumed"', "did you mean 'assume'?"),
        ('name = "two valleys"', 'name = "a\\u001b[31m"', "printable"),
        ("per_km", "per_mile", "[costs]: 'per_mile' is not known here (did you mean 'per_km'?)"),
        ("[assume.fresh]", "[assume.fersh]", "[assume.fersh]: 'fersh' is no supply (did you mean 'fresh'?)"),
        ("usable = 60.0", "usable = 0", "[assume.fresh]: usable is 0"),
        ("usable = 60.0", "", "[assume.fresh]: usable is missing"),
        ("usable = 60.0", 'usable = "60"', "[assume.fresh]: usable is '60'; it must be a number"),
        ("mean = 7.0", "mean = nan", "[assume.fresh]: mean is nan"),
        ("mean = 7.0", "mean = inf", "[assume.fresh]: mean is inf"),
        ("mean = 7.0", "mean = -7.0", "[assume.fresh]: mean is -7.0"),
        ("mean = 7.0", "", "[assume.fresh]: mean is missing"),
        ("reserve = 6.0", "reserve = 61.0", "[assume.fresh]: reserve is 61.0; it must be from 0 to 60"),
        ("start = 50.0", "start = 500.0", "[assume.fresh]: start is 500.0"),
        ("cv = 0.4", "cv_night = 0.4", "'cv_night' is not known here"),
        ("unit = 6.0", "", "exchanges propane, but [assume.propane] has no unit"),
        ("unit = 6.0", "unit = 0.0", "[assume.propane]: unit is 0.0"),
        ("nights = 4", "nights = 4.5", "[[stay]] 1: nights is 4.5"),
        ("nights = 4", "nights = -1", "[[stay]] 1: nights is -1"),
        ("nights = 4", "nights = 5000", "[[stay]] 1: nights is 5000"),
        ("nights = 4", "nights = 0x1" + "0" * 5000, "[[stay]] 1: nights is a huge number"),
        ("km = 80", "km = 1" + "0" * 400, "[[stay]] 1: km is a huge number"),
        ("nights = 4", "nigths = 4", "[[stay]] 1: nights is missing"),
        ("factor = { fresh = 1.2 }", "factor = { fresh = -1 }", "[[stay]] 1: factor: fresh is -1"),
        ("factor = { fresh = 1.2 }", "factor = 2", "[[stay]] 1: factor must be a table"),
        ('id = "shop"', 'id = "spring"', "'spring' stands there twice"),
        ('id = "shop"', "", "[[place]] 2: id is missing"),
        ('id = "shop"', "id = 7", "[[place]] 2: id is 7"),
        ("leg = 2", "leg = 4", "[[place]] 1 (spring): leg is 4; it must be a whole number from 1 to 3"),
        ("leg = 2", "leg = 2\nstay = 1", "either leg = ... or stay = ..."),
        ("leg = 2", "", "either leg = ... or stay = ..."),
        ("leg = 2", 'leg = 2\nwhen = "any"', "when belongs to a place at a stay"),
        ("stay = 2", "stay = 3", "[[place]] 2 (shop): stay is 3"),
        ('when = "any"', 'when = "arriving"', "did you mean 'arrive'?"),
        ("detour_km = 2.0", "detour_km = -2.0", "[[place]] 1 (spring): detour_km is -2.0; it must be 0 or more"),
        ("detour_km = 2.0", "detour = 2.0", "did you mean 'detour_km'?"),
        ('"mon", "fri"', '"Monday"', "each day must be one of mon, tue"),
        ('"mon", "fri"', "1", "[[place]] 1 (spring): open"),
        ('open = ["mon", "fri"]', 'open = "mon"', "it must be a list"),
        ('"10-01", "06-15"', '"10-01"', "first and last day"),
        ('"10-01", "06-15"', '"10-01", "02-30"', "first and last day"),
        ('"2026-07-04"', '"4 July"', "closed"),
        ("levels = [0.5, 1.0]", "levels = [0.0]", "levels"),
        ("levels = [0.5, 1.0]", "levels = [1.0, 1.0]", "levels"),
        ("levels = [0.5, 1.0]", "levels = [1.0]\nto = 1.0", "not both"),
        ("levels = [0.5, 1.0]", "to = 1.5", "service 1 (fresh): to is 1.5"),
        ('mode = "exchange"', 'mode = "swap"', "it must be refill or exchange"),
        ('supply = "propane"\nmode', 'supply = "propene"\nmode', "did you mean 'propane'?"),
        ("fee = 3.0", "fee = 3.0\n[[place.service]]\nsupply = 'fresh'", "'fresh' stands there twice"),
        ("fee = 3.0", "fee = 1e300", "fee is 1e+300"),
        ("[costs]", "[cost]", "did you mean 'costs'?"),
    ],
)
def test_bad_input_is_refused_by_name(old: str, new: str, said: str) -> None:
    """What cannot be is refused in one sentence that names table, key and value."""
    with pytest.raises(Refusal) as refused:
        load(changed(old, new))
    sentence = str(refused.value)
    assert said in sentence
    assert sentence.endswith(".") and "\n" not in sentence and sentence.isprintable()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "schema is missing"),
        ('schema = 1\n[trip]\nstart = 2026-05-04\nuse = "assume"\n[[stay]]\nnights = 1\n', "no [assume.X]"),
        ("schema = 1\n[trip]\nstart = 2026-05-04\n", "no [[stay]]"),
        ("schema = 1\nstay = 3\n[trip]\nstart = 2026-05-04\n", "must be a list"),
        ("schema = 1\ntrip = 3\n", "[trip] must be a table"),
        ("[" * 5000, "not valid TOML"),
        ("schema = 1\n[trip]\nstart = 2026-05-04\n" + "[[stay]]\nnights = 700\n" * 2, "at most 730"),
    ],
)
def test_a_file_that_is_no_trip_is_refused(text: str, said: str) -> None:
    """Empty, truncated, absurd: one sentence each."""
    with pytest.raises(Refusal, match=said.replace("[", r"\[")):
        load(text)


@given(st.data())
def test_damage_never_raises_anything_else(data: st.DataObject) -> None:
    """However a line is damaged, the file loads or is refused; nothing else is raised."""
    lines = GOOD.splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    line = lines[at]
    damaged = ["", line.replace("=", "= -"), line[:-1], line.replace("0", "9" * 400)]
    lines[at] = data.draw(st.sampled_from(damaged) | st.text(max_size=12))
    try:
        load("\n".join(lines))
    except Refusal as refused:
        assert str(refused)


def test_a_flexible_stay_names_its_fewest_and_most_nights() -> None:
    """From min (1 where absent) to max or the stay limit, whichever is less."""
    (first, second) = load(changed("nights = 6", 'nights = "flexible"\nmin = 2\nmax = 20\nlimit = 14')).stays
    assert first.flexible is None and (second.nights, second.flexible) == (2, (2, 14))
    assert load(changed("nights = 6", 'nights = "flexible"\nlimit = 14')).stays[1].flexible == (1, 14)


def test_names_points_and_the_rating_arrive() -> None:
    """A place and a stay may have a name and a point, the trip a rating in kg."""
    trip = load(
        changed('id = "spring"\n', 'id = "spring"\nname = "Spring"\nlat = -33.5\nlon = 151\n')
        .replace("km = 80\n", 'km = 80\nname = "the lake"\nlat = 38.5\nlon = -109.5\n')
        .replace("[costs]", "payload = 250\n[costs]")
    )
    assert (trip.places[0].name, trip.places[0].point, trip.places[1].point) == ("Spring", (-33.5, 151.0), None)
    assert (trip.stays[0].name, trip.stays[0].point, trip.payload) == ("the lake", (38.5, -109.5), 250.0)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("nights = 6", 'nights = "flexible"', "add max"),
        ("nights = 6", 'nights = "flexible"\nmin = 5\nmax = 3', "max is 3"),
        ("nights = 6", 'nights = "flexible"\nmax = 800', "max is 800"),
        ("nights = 6", 'nights = "flexibel"', "whole number"),
        ("nights = 6", "nights = 6\nmax = 9", "'max' is not known here"),
        ("nights = 6", "nights = 6\nlat = 38.5", "lon is missing"),
        ("nights = 6", "nights = 6\nlat = 91\nlon = 0", "lat is 91"),
        ("nights = 6", "nights = 6\npeople = 21", "people is 21"),
        ("nights = 6", 'nights = 6\nconditions = "heater"', "conditions is 'heater'"),
        ("nights = 6", "nights = 6\nconditions = [3]", "conditions"),
        ("nights = 6", 'nights = 6\nconditions = ["heater"]', "need rig and log"),
        ("[costs]", "payload = 0\n[costs]", "payload is 0"),
    ],
)
def test_slips_in_what_a_stay_may_say_are_named(old: str, new: str, said: str) -> None:
    """One sentence with the key that is wrong."""
    with pytest.raises(Refusal, match=said):
        load(changed(old, new))
