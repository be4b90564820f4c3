"""How far it is by road: along the person's own line, by the odometer, else the straight line with a range.

Distances are kilometres. Every answer says how it is known. Straight lines are great circles on a sphere of the
earth's mean radius (at most 0.56 % from the ellipsoid).
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from vanlife_supply.place.model import Point

_EARTH_KM = 6371.0088  # mean radius R1, IUGG
_Z90 = 1.2815515655446004  # 90 % quantile of the standard normal

# Excess of a road over the straight line, as 1 + LogNormal: surveys and two whole road networks, 10-90 % 1.14 to 1.85.
_PRIOR_MU, _PRIOR_SIGMA, _PRIOR_LEGS = math.log(0.35), 0.69, 3
_LEG_KM = 10.0
_SMALLEST_EXCESS = 0.01  # an odometer leg as long as the straight line, within its reading
_MOUNTAINS, _MOUNTAINS_UNTIL = 1.5, 5

# True road length over the length of a line with points kept every so many km: the mean over two road networks of
# the median, and of the 90 % value.
_SPACING_KM = (0.1, 0.25, 0.5, 1.0, 2.0, 5.0)
_COARSE_MEDIAN = (1.04, 1.08, 1.12, 1.17, 1.24, 1.34)
_COARSE_HIGH = (1.085, 1.20, 1.30, 1.455, 1.60, 1.815)
_FINE_KM = 0.150


@dataclass(frozen=True, slots=True)
class Distance:
    """Kilometres by road (9 in 10 it is at least `low`, likely `likely`, 9 in 10 at most `high`) and how that is known."""

    low: float
    likely: float
    high: float
    how: str


def great_circle_km(a: Point, b: Point) -> float:
    """Kilometres on the great circle between two points."""
    north_a, north_b = math.radians(a[0]), math.radians(b[0])
    half_north = (north_b - north_a) / 2
    half_east = math.radians(b[1] - a[1]) / 2
    chord = math.sin(half_north) ** 2 + math.cos(north_a) * math.cos(north_b) * math.sin(half_east) ** 2
    return 2 * _EARTH_KM * math.asin(min(1.0, math.sqrt(chord)))


@dataclass(frozen=True, slots=True)
class OdometerLeg:
    """A driven leg: from `start` to `end`, and the kilometres the odometer counted."""

    start: Point
    end: Point
    km: float


@dataclass(frozen=True, slots=True)
class Detour:
    """What is known of roads against straight lines: 1 + LogNormal(`mu`, `sigma`), learned from `legs` legs."""

    mu: float = _PRIOR_MU
    sigma: float = _PRIOR_SIGMA
    legs: int = 0

    def factors(self) -> tuple[float, float, float]:
        """Road over straight line: 10 %, 50 % and 90 %. Never below 1."""
        low, likely, high = (math.exp(self.mu + z * self.sigma) for z in (-_Z90, 0.0, _Z90))
        return 1 + low, 1 + likely, 1 + high

    def over(self, straight_km: float) -> Distance:
        """The road that goes with a straight line."""
        low, likely, high = (straight_km * factor for factor in self.factors())
        learned = f", measured on your own {_legs(self.legs)}" if self.legs else ""
        return Distance(low, likely, high, f"from the straight line{learned}")


def learn_detour(legs: Iterable[OdometerLeg], *, mountains: bool = False) -> Detour:
    """The detour after the person's odometer legs of at least 10 km straight.

    Normal-normal update of ln(odometer / straight − 1), the prior worth 3 legs. A leg shorter than the straight line
    by more than 2 % is a slip of the pen and is passed over. `mountains` makes the excess 1.5 times as large until
    5 legs are known.
    """
    logs = []
    for leg in legs:
        straight = great_circle_km(leg.start, leg.end)
        if straight >= _LEG_KM and leg.km >= 0.98 * straight:
            logs.append(math.log(max(leg.km / straight - 1, _SMALLEST_EXCESS)))
    worth = _PRIOR_LEGS + len(logs)
    mu = (_PRIOR_LEGS * _PRIOR_MU + sum(logs)) / worth
    one_leg = _PRIOR_SIGMA**2 / (1 + 1 / _PRIOR_LEGS)
    sigma = math.sqrt(one_leg * (1 + 1 / worth))
    if mountains and len(logs) < _MOUNTAINS_UNTIL:
        mu += math.log(_MOUNTAINS)
    return Detour(mu, sigma, len(logs))


@dataclass(frozen=True, slots=True)
class OnLine:
    """Where a place lies along a line: straight kilometres from its start, and off it to the side."""

    along_km: float
    off_km: float


_BLOCK = 32


@dataclass(frozen=True, slots=True)
class Line:
    """A line made ready for measuring: points with longitudes run on across 180°, kilometres from the start to each.

    `blocks` are (first segment, south, north, west, east) of runs of segments: far ones need not be looked at.
    """

    points: tuple[Point, ...]
    from_start: tuple[float, ...]
    spacing_km: float
    blocks: tuple[tuple[int, float, float, float, float], ...]


def lay(points: Sequence[Point]) -> Line:
    """The line through at least two points (latitude, longitude, degrees)."""
    run_on: list[Point] = [points[0]]
    total, from_start, gaps = 0.0, [0.0], []
    for north, east in points[1:]:
        east += round((run_on[-1][1] - east) / 360) * 360
        gap = great_circle_km(run_on[-1], (north, east))
        total += gap
        run_on.append((north, east))
        from_start.append(total)
        gaps.append(gap)
    moved = sorted(gap for gap in gaps if gap > 0) or [0.0]
    return Line(tuple(run_on), tuple(from_start), moved[len(moved) // 2], tuple(_blocks(run_on)))


def _blocks(points: Sequence[Point]) -> Iterable[tuple[int, float, float, float, float]]:
    for first in range(0, len(points) - 1, _BLOCK):
        norths = [north for north, _ in points[first : first + _BLOCK + 1]]
        easts = [east for _, east in points[first : first + _BLOCK + 1]]
        yield first, min(norths), max(norths), min(easts), max(easts)


def locate(line: Line, point: Point) -> OnLine:
    """The spot of the line nearest to a point: how far along it lies and how far off.

    Plane geometry around the point, good for offsets that one would drive; blocks of segments that cannot hold a
    nearer spot are passed over.
    """
    north = point[0]
    squeeze = math.cos(math.radians(north))
    ranked = sorted((_box_gap(block, north, point[1], squeeze), block[0]) for block in line.blocks)
    best, segment, share = math.inf, 0, 0.0
    for least, first in ranked:
        if least >= best:
            break
        east = point[1] + round((line.points[first][1] - point[1]) / 360) * 360
        window = line.points[first : first + _BLOCK + 1]
        y0, x0 = window[0][0] - north, (window[0][1] - east) * squeeze
        for index, (to_north, to_east) in enumerate(window[1:], first):
            y1, x1 = to_north - north, (to_east - east) * squeeze
            dy, dx = y1 - y0, x1 - x0
            square = dx * dx + dy * dy
            along = min(1.0, max(0.0, -(x0 * dx + y0 * dy) / square)) if square else 0.0
            gap = (x0 + along * dx) ** 2 + (y0 + along * dy) ** 2
            if gap < best:
                best, segment, share = gap, index, along
            y0, x0 = y1, x1
    start, end = line.points[segment], line.points[segment + 1]
    spot = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
    reached = line.from_start[segment] + share * (line.from_start[segment + 1] - line.from_start[segment])
    return OnLine(reached, great_circle_km(spot, point))


def _box_gap(block: tuple[int, float, float, float, float], north: float, east: float, squeeze: float) -> float:
    """Least squared plane distance (degrees) from a point to a block's box."""
    _, south, top, west, right = block
    east += round(((west + right) / 2 - east) / 360) * 360
    dy = max(south - north, 0.0, north - top)
    dx = max(west - east, 0.0, east - right) * squeeze
    return dx * dx + dy * dy


def road_along(line: Line, along_km: float, detour: Detour) -> Distance:
    """Road kilometres of a piece of a line, by the spacing of its points: a line of few points is shorter than the road."""
    spacing = line.spacing_km
    if spacing > _SPACING_KM[-1]:
        low, likely, high = (along_km * factor for factor in detour.factors())
        return Distance(low, likely, high, "from a very coarse route")
    if spacing < _FINE_KM:
        likely, high, how = _COARSE_MEDIAN[0], _COARSE_HIGH[0], "from your track"
    else:
        likely, high = _between(spacing, _COARSE_MEDIAN), _between(spacing, _COARSE_HIGH)
        how = "from a coarse route"
    low = 1 + (likely - 1) ** 2 / (high - 1)  # the excess spreads alike both ways on a log scale
    return Distance(along_km * low, along_km * likely, along_km * high, how)


def _between(spacing: float, values: Sequence[float]) -> float:
    right = min(max(bisect_right(_SPACING_KM, spacing), 1), len(_SPACING_KM) - 1)
    share = (spacing - _SPACING_KM[right - 1]) / (_SPACING_KM[right] - _SPACING_KM[right - 1])
    return values[right - 1] + share * (values[right] - values[right - 1])


ON_THE_WAY_KM = 10.0
"""A place farther off a line than this is not on it."""
SAME_END_KM = 1.0
"""An odometer leg counts for two places if its ends are this near them."""


def between(
    a: Point, b: Point, *, line: Line | None = None, legs: Sequence[OdometerLeg] = (), detour: Detour | None = None
) -> Distance:
    """Road kilometres from `a` to `b`: along the person's own line, else by the odometer, else the straight line."""
    detour = detour or learn_detour(legs)
    if line is not None:
        at_a, at_b = locate(line, a), locate(line, b)
        if max(at_a.off_km, at_b.off_km) <= ON_THE_WAY_KM:
            way = road_along(line, abs(at_b.along_km - at_a.along_km), detour)
            off = detour.over(at_a.off_km + at_b.off_km)
            return Distance(way.low + off.low, way.likely + off.likely, way.high + off.high, way.how)
    driven = [leg.km for leg in legs if _same_ends(leg, a, b)]
    if driven:
        ordered = sorted(driven)
        times = "once" if len(driven) == 1 else f"{len(driven)} times"
        return Distance(ordered[0], ordered[len(ordered) // 2], ordered[-1], f"by your odometer, {times}")
    return detour.over(great_circle_km(a, b))


def _same_ends(leg: OdometerLeg, a: Point, b: Point) -> bool:
    return any(
        great_circle_km(leg.start, start) <= SAME_END_KM and great_circle_km(leg.end, end) <= SAME_END_KM
        for start, end in ((a, b), (b, a))
    )


def _legs(count: int) -> str:
    return f"{count} leg{'s' if count > 1 else ''}"
