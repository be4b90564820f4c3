"""Road distances: along the person's own line, by the odometer, else the straight line with a range."""

from __future__ import annotations

import math
from itertools import pairwise

import gpxpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.place.samples import read_sample, sample, steady
from vanlife_supply.place.distance import (
    Detour,
    OdometerLeg,
    between,
    great_circle_km,
    lay,
    learn_detour,
    locate,
    road_along,
)
from vanlife_supply.place.model import Point

points = st.tuples(st.floats(-85, 85), st.floats(-180, 180))


def test_great_circle_against_a_published_value() -> None:
    """Nashville airport to Los Angeles airport: 2887.26 km on a sphere of 6372.8 km (Rosetta Code, Haversine formula)."""
    ours = great_circle_km((36.12, -86.67), (33.94, -118.40))
    assert ours * 6372.8 / 6371.0088 == pytest.approx(2887.2599506, abs=1e-6)


def test_quarter_of_the_globe() -> None:
    """From the equator to the pole is a quarter of the circumference; opposite points are half of it apart."""
    assert great_circle_km((0, 10), (90, 50)) == pytest.approx(math.pi / 2 * 6371.0088)
    assert great_circle_km((0, 0), (0, 180)) == pytest.approx(math.pi * 6371.0088)


@settings(steady, max_examples=100)
@given(points, points)
def test_great_circle_against_osmium(a: Point, b: Point) -> None:
    """A second implementation agrees (on osmium's own sphere of 6372.797 km)."""
    geom = pytest.importorskip("osmium.geom")
    osm = pytest.importorskip("osmium.osm")
    theirs = geom.haversine_distance(osm.Location(a[1], a[0]), osm.Location(b[1], b[0])) / 1000
    assert great_circle_km(a, b) == pytest.approx(theirs * 6371.0088 / 6372.797560856, rel=1e-6, abs=0.0001)


@pytest.mark.parametrize("name", ["gpx/route.gpx", "gpx/synthetic-road.gpx"])
def test_length_of_a_line_against_gpxpy(name: str) -> None:
    """The straight sum through a line's points is what a second library finds (it uses an earth of 6378.137 km)."""
    theirs = gpxpy.parse(sample(name).decode())
    length = theirs.tracks[0].length_2d() if theirs.tracks else theirs.routes[0].length()
    ours = lay(read_sample(name).tracks[-1].points).from_start[-1]
    assert ours == pytest.approx(length / 1000 * 6371.0088 / 6378.137, rel=2e-3)


def test_prior_of_the_detour() -> None:
    """Before any leg is known: 10, 50 and 90 % are 1.14, 1.35 and 1.85 (the surveys collected in places.md 3.2)."""
    assert Detour().factors() == pytest.approx((1.14, 1.35, 1.85), abs=0.006)
    assert learn_detour([]).factors() == pytest.approx(Detour().factors())


NORTH: Point = (41.0, -110.0)
SOUTH: Point = (40.0, -110.0)
STRAIGHT = great_circle_km(NORTH, SOUTH)


def _leg(factor: float) -> OdometerLeg:
    return OdometerLeg(NORTH, SOUTH, STRAIGHT * factor)


def test_three_legs_weigh_as_much_as_the_prior() -> None:
    """After three legs at 1.70 the middle lies halfway, on the log scale, between 0.35 and 0.70."""
    learned = learn_detour([_leg(1.7)] * 3)
    assert learned.factors()[1] == pytest.approx(1 + math.sqrt(0.35 * 0.70))
    assert learned.over(10).how == "from the straight line, measured on your own 3 legs"


@steady
@given(st.lists(st.floats(1.02, 3.0), max_size=30), st.booleans())
def test_detour_is_always_a_range_above_one(factors: list[float], mountains: bool) -> None:
    """The factor is never below 1, its range is ordered, and more legs never widen it."""
    learned = learn_detour([_leg(factor) for factor in factors], mountains=mountains)
    low, likely, high = learned.factors()
    assert 1 < low < likely < high
    assert learned.sigma <= Detour().sigma + 1e-12
    assert learned.legs == len(factors)


def test_many_legs_find_their_own_factor() -> None:
    """A person whose legs are all 1.2 ends up at 1.2."""
    assert learn_detour([_leg(1.2)] * 500).factors()[1] == pytest.approx(1.2, abs=0.002)


def test_legs_that_teach_nothing() -> None:
    """Short legs and legs shorter than the straight line are passed over."""
    near = OdometerLeg(NORTH, (41.05, -110.0), 30.0)
    assert learn_detour([near, _leg(0.5)]).legs == 0


def test_mountains_until_five_legs() -> None:
    """The mountain switch makes the excess half as large again until five legs are known."""
    assert learn_detour([], mountains=True).factors()[1] == pytest.approx(1 + 1.5 * 0.35)
    five = [_leg(1.3)] * 5
    assert learn_detour(five, mountains=True) == learn_detour(five)


def _road(spacing_km: float, count: int = 400) -> list[Point]:
    """A straight road north from the equator."""
    step = math.degrees(spacing_km / 6371.0088)
    return [(index * step, 9.0) for index in range(count)]


@pytest.mark.parametrize(
    ("spacing", "factor", "how"),
    [
        (0.02, 1.04, "from your track"),
        (0.14, 1.04, "from your track"),
        (0.25, 1.08, "from a coarse route"),
        (0.5, 1.12, "from a coarse route"),
        (0.75, 1.145, "from a coarse route"),
        (2.0, 1.24, "from a coarse route"),
        (5.0, 1.34, "from a coarse route"),
        (12.0, 1.35, "from a very coarse route"),
    ],
)
def test_coarse_lines_are_shorter_than_the_road(spacing: float, factor: float, how: str) -> None:
    """A line's length is raised by its point spacing (means of two whole road networks, places.md 3.2)."""
    road = road_along(lay(_road(spacing)), 100.0, Detour())
    assert road.likely == pytest.approx(100 * factor, rel=1e-3)
    assert 100 <= road.low < road.likely < road.high
    assert road.how == how


def test_spacing_decides_not_standing_still() -> None:
    """Points noted while standing still do not make a coarse line look fine."""
    stood = [point for point in _road(1.0, 50) for _ in range(9)]
    assert lay(stood).spacing_km == pytest.approx(1.0)


@settings(steady, max_examples=60)
@given(
    st.lists(st.tuples(st.floats(39.9, 40.1), st.floats(-110.2, -109.8)), min_size=2, max_size=120),
    st.tuples(st.floats(39.8, 40.2), st.floats(-110.3, -109.7)),
)
def test_nearest_spot_of_a_line(line: list[Point], place: Point) -> None:
    """No sampled spot of the line is nearer to the place than the one found, and its offset is true."""
    found = locate(lay(line), place)
    nearest = min(
        great_circle_km((a[0] + share / 40 * (b[0] - a[0]), a[1] + share / 40 * (b[1] - a[1])), place)
        for a, b in pairwise(line)
        for share in range(41)
    )
    assert found.off_km <= nearest * 1.002 + 0.001
    assert -1e-9 <= found.along_km <= lay(line).from_start[-1] + 1e-9


def test_far_pieces_are_passed_over_rightly() -> None:
    """On a long spiral far north, looking at the near pieces only finds what looking at every piece finds."""
    turns = [index / 40 for index in range(2000)]
    spiral = [(60 + 0.02 * t * math.sin(t), 10 + 0.04 * t * math.cos(t)) for t in turns]
    line, pieces = lay(spiral), [lay(pair) for pair in pairwise(spiral)]
    for step in range(0, 2000, 97):
        place = (spiral[step][0] + 0.011, spiral[step][1] - 0.017)
        assert locate(line, place).off_km == pytest.approx(min(locate(piece, place).off_km for piece in pieces), rel=1e-6)


def test_places_along_the_invented_road() -> None:
    """Places lie along the road in their own order, less than a kilometre and a half off it."""
    read = read_sample("gpx/synthetic-road.gpx")
    line = lay(read.tracks[-1].points)
    found = [locate(line, place.point or (0, 0)) for place in read.places]
    assert [spot.along_km for spot in found] == sorted(spot.along_km for spot in found)
    assert max(spot.off_km for spot in found) < 1.5


def test_line_across_the_date_line() -> None:
    """A line from 179.95 to -179.95 is 10.6 km long at 16.8° south, and a place on 180° lies in its middle."""
    line = lay(read_sample("gpx_bad/syn-antimeridian-track.gpx").tracks[0].points)
    assert line.from_start[-1] == pytest.approx(math.cos(math.radians(16.8)) * math.radians(0.1) * 6371.0088, rel=1e-4)
    for lon in (180.0, -180.0):
        spot = locate(line, (-16.8, lon))
        assert spot.along_km == pytest.approx(line.from_start[-1] / 2, rel=1e-6) and spot.off_km < 1e-3


def test_order_of_trust() -> None:
    """Along the own line first, then the odometer, then the straight line; each says so."""
    line = lay(_road(0.05, 1000))
    a, b = (0.05, 9.0), (0.25, 9.0)
    legs = [OdometerLeg(b, a, 31.0), OdometerLeg(a, b, 30.0), OdometerLeg(a, b, 33.0)]
    assert between(a, b, line=line, legs=legs).how == "from your track"
    assert between(a, b, line=line).likely == pytest.approx(great_circle_km(a, b) * 1.04)
    driven = between(a, b, legs=legs)
    assert (driven.low, driven.likely, driven.high, driven.how) == (30.0, 31.0, 33.0, "by your odometer, 3 times")
    far = (0.25, 9.5)
    assert between(a, far, line=line).how == "from the straight line"
    assert between(a, b).likely == pytest.approx(great_circle_km(a, b) * 1.35)
