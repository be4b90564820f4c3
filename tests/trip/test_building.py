"""A trip built: files written and read back, lines that read back as they are said, stays put in and out, roads measured."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trip.files import GOOD
from tests.trip.instances import STYLES, trip
from tests.trips_flow.files import PINNED
from vanlife_supply.place.distance import Distance, great_circle_km
from vanlife_supply.place.model import Point
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.trip import edit, phrase
from vanlife_supply.trip.days import along_the_way, visit_cost
from vanlife_supply.trip.load import load
from vanlife_supply.trip.measure import Ways, measured
from vanlife_supply.trip.model import Costs, Place, Service, Stay, Trip
from vanlife_supply.trip.write import to_toml

RIG = read_rig("""\
[rig]
units = "us"
[[container]]
supply = "fresh"
label = "jug"
capacity = "7 gal"
[[container]]
supply = "grey"
label = "gray jug"
capacity = "6 gal"
[[container]]
supply = "propane"
label = "cylinder"
capacity = "20 lb"
""")
FIRST = date(2026, 5, 11)
WORDS = ("heater", "hot", "cold", "away", "saving")


# --- files


@pytest.mark.parametrize("text", [GOOD, PINNED])
def test_a_file_written_reads_back_as_the_same_trip(text: str) -> None:
    """Everything a file can say survives being written anew."""
    one = load(text)
    assert load(to_toml(one)) == one


names = st.text(st.characters(categories=("L", "N", "P", "S"), include_characters=" "), max_size=12).filter(str.isprintable)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(STYLES), st.booleans(), names)
def test_any_trip_survives_being_written(seed: int, style: str, log: bool, name: str) -> None:
    """Also names with quotes and backslashes, levels, seasons, flexible stays, points."""
    rng = Random(seed)
    one = trip(seed, 10, 12, style)
    stays = tuple(
        replace(s, name=name, flexible=(s.nights, s.nights + 3) if rng.random() < 0.4 else None, point=(1.5, -109.25))
        for s in one.stays
    )
    places = tuple(
        replace(p, name=name, season=((5, 1), (10, 31)), closed=frozenset({date(2026, 5, 9)}), hours=0.5, entry=2.0,
                services=tuple(replace(s, exchange=True) if s.supply == "propane" else replace(s, levels=(0.5, 1.0))
                               for s in p.services))
        for p in one.places
    )  # fmt: skip
    one = replace(one, stays=stays, places=places, payload=250.0)
    if log:
        one = replace(one, use="log", supplies=(), overrides={"fresh": {"mean": 9.5}})
        one = replace(one, stays=tuple(replace(s, people=2.0, conditions=("heater", name or "x")) for s in one.stays))
        one = replace(one, stays=tuple(replace(s, conditions=("heater",)) for s in one.stays))
    assert load(to_toml(one)) == one


# --- lines


@pytest.mark.parametrize(
    ("said", "stay"),
    [
        ("the rim, 4 nights, 50 mi", Stay(4, 80.4672, name="the rim")),
        ("4 nights", Stay(4)),
        ("the rim, 80 km, until fri, alone", Stay(4, 80.0, name="the rim", people=1.0)),
        ("the rim, until 2026-05-20, heater, cold", Stay(9, name="the rim", conditions=("heater", "cold"))),
        ("The Lake, as long as we can, 2 people", Stay(1, name="The Lake", flexible=(1, 14), people=2.0)),
        ("lake, as long as we can 3 to 9", Stay(3, name="lake", flexible=(3, 9))),
        ("lake, 3-9 nights", Stay(3, name="lake", flexible=(3, 9))),
        ("the rim 4 nights, 50 mi", Stay(4, 80.4672, name="the rim")),
        ("The Lake as long as we can 3 to 9", Stay(3, name="The Lake", flexible=(3, 9))),
    ],
)
def test_a_stay_is_read_as_people_say_it(said: str, stay: Stay) -> None:
    """Mon 11 May is its first day; km are canonical; a flexible stay ends at the usual limit where none is said."""
    found = phrase.read_stay(said, RIG, FIRST, WORDS)
    assert replace(found, km=None) == replace(stay, km=None)
    assert found.km == pytest.approx(stay.km)


@pytest.mark.parametrize(
    ("said", "name", "day"),
    [
        ("north loop, from thu", "north loop", 14), ("north loop from thu", "north loop", 14),
        ("north loop", "north loop", 11), ("home from the hills", "home from the hills", 11),
    ],
)  # fmt: skip
def test_a_new_trip_is_read_with_and_without_its_comma(said: str, name: str, day: int) -> None:
    """Mon 11 May is today; what is no date belongs to the name."""
    assert phrase.read_new(said, FIRST) == phrase.NewTrip(name, date(2026, 5, day))


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("the rim", "How many nights"),
        ("Camp 4", "How many nights"),
        ("the rim, until 2026-05-01", "lies before"),
        ("the rim, 4 nights, with a view", "is not clear"),
        ("the rim, 9 to 3 nights", "the smaller number first"),
        ("the rim, 4 nights, 50 people", "too many"),
    ],
)
def test_an_unclear_stay_is_refused(said: str, why: str) -> None:
    """One sentence says what would do."""
    with pytest.raises(Refusal, match=why):
        phrase.read_stay(said, RIG, FIRST, WORDS)


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("Old Mill, water", Place("", stay=2, name="Old Mill", services=(Service("fresh"),))),
        ("Old Mill, on the way, 16.09344 km extra, w, gray $5",
         Place("", leg=2, detour_km=16.09344, name="Old Mill", services=(Service("fresh"), Service("grey", fee=5.0)))),
        ("Shop, on leaving, propane exchange $22, open mon-fri",
         Place("", stay=2, when="depart", name="Shop", open=frozenset(range(5)),
               services=(Service("propane", exchange=True, price=22.0),))),
        ("Tap, on the way home, water 38c/gal",
         Place("", leg=3, name="Tap", services=(Service("fresh", price=0.38 / 3.785411784),))),
    ],
)  # fmt: skip
def test_a_place_is_read_as_people_say_it(said: str, place: Place) -> None:
    """A fee, a price a unit or a container, where it lies, when it is open."""
    found = phrase.read_place(said, RIG, 2)
    assert replace(found, services=()) == replace(place, services=())
    for one, other in zip(found.services, place.services, strict=True):
        assert replace(one, price=0.0) == replace(other, price=0.0)
        assert one.price == pytest.approx(other.price)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("Old Mill", "What is to be had there"),
        ("", "What is the place called"),
        ("Old Mill, water, fresh $2", "stands there twice"),
        ("Old Mill, water, far off", "is not clear"),
        ("Old Mill, water, open someday", "no day of the week"),
    ],
)
def test_an_unclear_place_is_refused(said: str, why: str) -> None:
    """One sentence says what would do."""
    with pytest.raises(Refusal, match=why):
        phrase.read_place(said, RIG, 1)


def test_a_known_place_brings_what_it_gives() -> None:
    """Its name alone is enough; what is typed goes before."""
    known = Place("", stay=1, services=(Service("fresh", price=0.1),), name="Old Mill", point=(38.0, -109.0))
    assert phrase.read_place("Old Mill, on the way", RIG, 1, None, known).services == known.services
    assert phrase.read_place("Old Mill, gray", RIG, 1, None, known).services == (Service("grey"),)


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(STYLES))
def test_a_line_unchanged_changes_nothing(seed: int, style: str) -> None:
    """What is said of a stay, a place, a head reads back as exactly that, prices that do not round well included."""
    one = trip(seed, 12, 12, style)
    rig = RIG
    for k, stay in enumerate(one.stays, start=1):
        full = replace(stay, name="Rim, the upper", factor={"fresh": 1.3}, point=(1.0, 2.0), people=2.0)
        first = one.date_of(one.first_day(k))
        assert phrase.read_stay(phrase.said_stay(full, rig), rig, first, WORDS, full) == full
    for place in one.places:
        stay_of = place.stay or min(place.leg or 1, len(one.stays))
        carried = tuple(s for s in place.services if s.supply != "stove_fuel") or (Service("fresh", fee=1.0, price=0.0123),)
        tap = replace(place, name="Tap, behind the shed", services=carried)
        assert phrase.read_place(phrase.said_place(tap, rig, stay_of), rig, stay_of, tap) == tap
    costly = replace(one, costs=Costs(0.333, 4.125, 10.0), payload=181.0)
    assert phrase.read_head(phrase.said_head(costly, rig), rig, FIRST, costly) == costly


def test_the_head_says_start_and_costs() -> None:
    """Miles become kilometres, pounds kilograms; what is left out costs nothing."""
    old = Trip(FIRST, stays=(Stay(1),), costs=Costs(1.0, 1.0, 1.0))
    found = phrase.read_head("from thu, 30c a mile, $3 a stop, carry 400 lb", RIG, FIRST, old)
    assert found.start == date(2026, 5, 14) and found.payload == pytest.approx(181.44, abs=0.01)
    assert found.costs.per_km == pytest.approx(0.3 / 1.609344) and (found.costs.stop, found.costs.per_hour) == (3.0, 0.0)
    with pytest.raises(Refusal, match="When does it start"):
        phrase.read_head("$3 a stop", RIG, FIRST, old)


# --- stays and places


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 10_000), st.data())
def test_a_stay_put_in_and_taken_out_again_leaves_the_trip_as_it_was(seed: int, data: st.DataObject) -> None:
    """Places keep to their stays and legs, and what is on the way home stays on the way home."""
    one = trip(seed, 10, 20)
    after = data.draw(st.integers(0, len(one.stays)))
    longer = edit.with_stay(one, after, Stay(2))
    home = {p.id for p in one.places if p.leg == len(one.stays) + 1}
    assert {p.id for p in longer.places if p.leg == len(longer.stays) + 1} == home
    assert load(to_toml(longer)) == longer
    assert edit.without_stay(longer, after + 1) == one


def test_a_stay_takes_its_places_with_it_and_the_last_one_stays() -> None:
    """Those at it and on the leg to it."""
    one = load(GOOD)
    assert [p.id for p in edit.without_stay(one, 2).places] == []
    with pytest.raises(Refusal, match="at least one stay"):
        edit.without_stay(edit.without_stay(one, 2), 1)


def test_places_get_ids_of_their_own() -> None:
    """Twice the same name makes two."""
    one = edit.with_place(load(GOOD), Place("", stay=1, name="Old Mill", services=(Service("fresh"),)))
    two = edit.with_place(one, Place("", leg=1, name="old mill!", services=(Service("fresh"),)))
    assert [p.id for p in two.places] == ["spring", "shop", "old-mill", "old-mill-2"]
    assert edit.without_place(edit.without_place(two, "old-mill"), "old-mill-2") == load(GOOD)


# --- roads


def double(start: Point, end: Point) -> Distance:
    """Roads twice as long as the straight line, half as much again at most."""
    straight = great_circle_km(start, end)
    return Distance(1.5 * straight, 2.0 * straight, 3.0 * straight, "from the straight line")


def test_roads_nobody_typed_are_measured_and_typed_ones_are_not() -> None:
    """A leg from stay to stay, a detour beyond the leg's own road, there and back from a stay; a point may come by name."""
    here, lake, rim, tap = (38.0, -109.0), (38.5, -109.0), (39.0, -109.0), (38.75, -109.0)
    mill = (38.75, -109.5)
    one = Trip(
        FIRST, stays=(Stay(2, name="lake"), Stay(3, 33.0, point=rim)),
        places=(Place("mill", leg=2, point=mill), Place("tap", leg=2, name="tap"), Place("near", stay=2, point=tap),
                Place("typed", leg=2, point=mill, detour_km=1.0), Place("nowhere", leg=2)),
        costs=Costs(per_km=1.0),
    )  # fmt: skip
    found = measured(one, Ways(one, double, {"lake": lake, "tap": tap}.get, here))
    places = {p.id: p for p in found.places}
    assert found.stays[0].road == double(here, lake) and found.stays[1].road is None
    assert [s.drive_km for s in found.stays] == pytest.approx([double(here, lake).likely, 33.0])
    by_way = double(lake, mill).likely + double(mill, rim).likely
    assert visit_cost(found, places["mill"]) == pytest.approx(by_way - double(lake, rim).likely)
    assert places["tap"].extra_km == pytest.approx(0.0, abs=1e-6)  # it lies on the way
    assert places["near"].extra_km == pytest.approx(2 * double(rim, tap).likely)
    assert (places["typed"].extra_km, places["nowhere"].extra_km) == (1.0, 0.0)
    road = places["mill"].road
    assert road is not None and road.low < road.likely < road.high
    assert along_the_way(places["nowhere"]) < along_the_way(places["tap"])


def test_as_long_as_we_can_ends_with_the_stay_limit_of_the_place() -> None:
    """A limit typed for a place of that name goes before the usual one; what is typed for the stay before both."""
    limits = {"the lake": 6}
    assert phrase.read_stay("The lake, as long as we can", RIG, FIRST, WORDS, None, limits).flexible == (1, 6)
    assert phrase.read_stay("the pond, as long as we can", RIG, FIRST, WORDS, None, limits).flexible == (1, 14)
    assert phrase.read_stay("the lake, as long as we can 2 to 9", RIG, FIRST, WORDS, None, limits).flexible == (2, 9)


pieces = st.lists(
    st.sampled_from([
        "water", "gray $5", "propane exchange", "on the way", "4 mi extra", "1/0 km", "99999999999999 nights", "until",
        "until 31 feb", "0 to 3 nights", "carry", "carry much lb", "30c a mile", "$ a stop", "open", "open mon-",
        "open sun-tue", "from", "from 9999-12-31", "water /gal", "water 1,2,3/gal", "-5 people", "flexible 3 to", "²³",
    ])
    | st.text(max_size=8), max_size=5,
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(pieces)
def test_whatever_is_typed_is_understood_or_refused_in_a_sentence(parts: list[str]) -> None:
    """No line of a stay, a place, a head or a new trip ends in anything but a value or a Refusal."""
    text = ", ".join(parts)
    for read in (
        lambda: phrase.read_stay(text, RIG, FIRST, WORDS),
        lambda: phrase.read_place(text, RIG, 1),
        lambda: phrase.read_head(text, RIG, FIRST, Trip(FIRST, stays=(Stay(1),))),
        lambda: phrase.read_new(text, FIRST),
    ):
        try:
            read()
        except Refusal as fault:
            assert str(fault).strip()


def test_a_day_after_the_place_is_until_when() -> None:
    """`creek, sun` stays till Sunday, as `creek, until sun` does; what is no day is refused."""
    assert phrase.read_stay("creek, sun", RIG, FIRST, WORDS) == phrase.read_stay("creek, until sun", RIG, FIRST, WORDS)
    with pytest.raises(Refusal, match="until when"):
        phrase.read_stay("creek, soonish", RIG, FIRST, WORDS)
