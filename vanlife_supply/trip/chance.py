"""How likely a supply holds over some nights: the gamma law of use, in plain Python.

Two-moment gamma (Welch-Satterthwaite) for the sum of unlike nights; exact for like nights without `cv_rate`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from itertools import accumulate
from typing import NamedTuple, Protocol

from vanlife_supply.trip.model import Supply, Trip

TOLERANCE = 1e-9
"""Slack on chances and stocks, so that rounding cannot decide (trip.toml, schema 1)."""
_CERTAIN = 1e-12
"""A spread below this share of the mean is none."""
_LARGE_SHAPE = 1e5
_NEAR = 1e-3
_HARDLY_SKEWED = 0.1
"""Below, one Edgeworth term to the normal law leaves less than 1e-3."""
_RATE_CELLS = 64
_RATE_REACH_SD = 6.0


def gamma_cdf(shape: float, x: float) -> float:
    """P(X ≤ x) for a gamma variable of that shape and scale 1: the regularised lower incomplete gamma function.

    Series below shape + 1, continued fraction (modified Lentz) above: Abramowitz & Stegun 6.5.29 and 6.5.31; for large
    shapes, where those lose digits, Temme's uniform expansion (DLMF 8.12.3-8.12.4, first term).
    """
    if x <= 0.0:
        return 0.0
    if shape > _LARGE_SHAPE:
        return _nearly_normal(shape, x / shape)
    front = math.exp(shape * math.log(x) - x - math.lgamma(shape))
    if x < shape + 1.0:
        return min(1.0, front * _series(shape, x))
    return max(0.0, 1.0 - front * _fraction(shape, x))


def _nearly_normal(shape: float, ratio: float) -> float:
    """P(X ≤ ratio · shape) for a shape so large that one correction to the normal law leaves less than 1e-10."""
    if math.isinf(ratio) or math.isinf(shape):
        return 1.0 if ratio >= 1.0 else 0.0
    off = ratio - 1.0
    if abs(off) < _NEAR:
        eta = off * (1.0 - off / 3.0 + 7.0 * off * off / 36.0 - 73.0 * off**3 / 540.0)
        correction = -1.0 / 3.0 + eta / 12.0 - 2.0 * eta * eta / 135.0
    else:
        eta = math.copysign(math.sqrt(2.0 * (off - math.log(ratio))), off)
        correction = 1.0 / off - 1.0 / eta
    bell = math.exp(-0.5 * shape * eta * eta) / math.sqrt(2.0 * math.pi * shape)
    return min(1.0, max(0.0, 0.5 * math.erfc(-eta * math.sqrt(shape / 2.0)) - bell * correction))


def _series(shape: float, x: float) -> float:
    term = total = 1.0 / shape
    n = shape
    while term > total * 1e-17:
        n += 1.0
        term *= x / n
        total += term
    return total


def _fraction(shape: float, x: float) -> float:
    b = x + 1.0 - shape
    c = 1e300
    d = value = 1.0 / b
    step = i = 0.0
    while abs(step - 1.0) > 1e-15:
        i += 1.0
        a = -i * (i - shape)
        b += 2.0
        d = 1.0 / (a * d + b or 1e-300)
        c = b + a / c or 1e-300
        step = c * d
        value *= step
    return value


class Span(NamedTuple):
    """Nights `first`..`last` − 1 of one supply with `room` to use; `opening` when they begin at the trip's start."""

    first: int
    last: int
    room: float
    opening: bool


class Law(Protocol):
    """How one supply is used. Its chance must fall as the last day grows; nothing else is asked of it."""

    def mean(self, first: int, last: int) -> float:
        """Expected use over nights first..last − 1."""
        ...

    def chance(self, span: Span) -> float:
        """P(use ≤ room)."""
        ...

    def joint(self, spans: Sequence[Span]) -> float:
        """P(every span holds), the rate being one and the same throughout the trip."""
        ...


LawMaker = Callable[[Trip], Mapping[str, Law]]
"""The one seam for other forecasts: a trip (its stays may be varied) → the law of each supply by name."""


Rates = Sequence[tuple[float, float]]
"""(rate relative to the mean, its probability): what is believed of the long-run rate."""


class GammaLaw:
    """Use a night: mean and coefficient of variation, times the night's factor; `cv_rate` is shared by all nights.

    The law of trip.toml, schema 1, to the letter: an uncertain start is folded into the one gamma of its interval, so that
    a night more may look surer by a hair when next to nothing is used. `BelievedLaw` does without.
    """

    def __init__(self, supply: Supply, factors: Iterable[float]) -> None:
        nights = list(factors)
        self._supply = supply
        self._sum = list(accumulate(nights, initial=0.0))
        self._squares = list(accumulate((f * f for f in nights), initial=0.0))
        self._known: dict[tuple[float, float, float, bool], float] = {}

    def mean(self, first: int, last: int) -> float:
        """Expected use over nights first..last − 1."""
        return self._supply.mean * round(self._sum[last] - self._sum[first], 12)

    def chance(self, span: Span) -> float:
        """P(use ≤ room); computed once for like spans."""
        first, last, room, opening = span
        factors = round(self._sum[last] - self._sum[first], 12)
        squares = round(self._squares[last] - self._squares[first], 12)
        key = (factors, squares, room, opening)
        if key not in self._known:
            mu = self._supply.mean * factors
            self._known[key] = _holds(mu, self._variance(mu, squares, opening, self._supply.cv_rate), room)
        return self._known[key]

    def joint(self, spans: Sequence[Span]) -> float:
        """P(every span holds): spans are independent once the rate is known, so integrate over the rate."""
        return sum(weight * math.prod(self._at_rate(span, rate) for span in spans) for rate, weight in self._rates)

    def _variance(self, mu: float, squares: float, opening: bool, cv_rate: float) -> float:
        s = self._supply
        start = s.start_sd**2 if opening else 0.0
        return float((s.cv * s.mean) ** 2 * squares + (cv_rate * mu) ** 2 + start)

    def _at_rate(self, span: Span, rate: float) -> float:
        mu = self.mean(span.first, span.last)
        if mu <= 0.0:
            return 1.0
        squares = self._squares[span.last] - self._squares[span.first]
        spread = self._variance(0.0, squares * rate * rate, span.opening, 0.0)
        return _holds(mu * rate, spread, span.room)

    @cached_property
    def _rates(self) -> Rates:
        """Cells of a gamma of mean 1 and sd `cv_rate`."""
        cv = self._supply.cv_rate
        if cv <= 0.0:
            return [(1.0, 1.0)]
        low, high = max(0.0, 1.0 - _RATE_REACH_SD * cv), 1.0 + _RATE_REACH_SD * cv
        edges = [low + (high - low) * i / _RATE_CELLS for i in range(_RATE_CELLS + 1)]
        below = [gamma_cdf(1 / cv**2, edge / cv**2) for edge in edges]
        below[0], below[-1] = 0.0, 1.0
        return [((edges[i] + edges[i + 1]) / 2, below[i + 1] - below[i]) for i in range(_RATE_CELLS)]


class BelievedLaw(GammaLaw):
    """The same where a log says more: how the long-run rate may be off (`rates`), and the level at the start, taken apart.

    `unsure`: for every condition the sd of each night's factor; what a condition does is one and the same for its nights.
    """

    def __init__(
        self, supply: Supply, factors: Iterable[float], rates: Rates = (), unsure: Iterable[Iterable[float]] = ()
    ) -> None:
        super().__init__(supply, factors)
        self._given = list(rates)
        self._doubts = [list(accumulate(nights, initial=0.0)) for nights in unsure]
        self._seen: dict[Span, float] = {}

    def chance(self, span: Span) -> float:
        """P(use ≤ room), over all that the rate and the level at the start may be."""
        if span not in self._seen:
            self._seen[span] = self.joint([span])
        return self._seen[span]

    def _at_rate(self, span: Span, rate: float) -> float:
        mu = self.mean(span.first, span.last)
        if mu <= 0.0:
            return 1.0
        its = self._supply
        shared = sum((nights[span.last] - nights[span.first]) ** 2 for nights in self._doubts)
        squares = self._squares[span.last] - self._squares[span.first]
        variance = (rate * its.mean) ** 2 * (its.cv**2 * squares + shared)
        if span.opening and its.start_sd > 0.0:
            return _holds_from(its.start_sd, mu * rate, variance, span.room)
        return _holds(mu * rate, variance, span.room)

    @cached_property
    def _rates(self) -> Rates:
        return self._given or super()._rates


def _holds(mu: float, variance: float, room: float) -> float:
    if room < 0.0:
        return 0.0
    if variance <= (_CERTAIN * mu) ** 2:
        return 1.0 if mu <= room else 0.0
    return gamma_cdf(mu * mu / variance, room * mu / variance)


def _holds_from(start_sd: float, mu: float, variance: float, room: float) -> float:
    """P(gamma use ≤ room + a normal error of the start): the shifted gamma of the same three moments."""
    spread = math.sqrt(variance + start_sd**2)
    off = (room - mu) / spread
    skewness = 2.0 * variance**2 / (mu * spread**3)
    if skewness < _HARDLY_SKEWED:
        bell = math.exp(-0.5 * off * off) / math.sqrt(2.0 * math.pi)
        return min(1.0, max(0.0, 0.5 * math.erfc(-off / math.sqrt(2.0)) - skewness / 6.0 * (off * off - 1.0) * bell))
    shape = 4.0 / skewness**2
    return gamma_cdf(shape, shape + off * math.sqrt(shape))


def assumed(trip: Trip) -> dict[str, Law]:
    """The laws of a trip whose numbers all stand in its file."""
    return {s.name: GammaLaw(s, trip.factors(s.name)) for s in trip.supplies}


def span_of(supply: Supply, first: int, last: int, stock: float, *, opening: bool, closing: bool) -> Span:
    """The span between two services: what must stay in reserve is taken off the stock."""
    return Span(first, last, stock - (supply.last_reserve if closing else supply.reserve), opening)


def interval_chance(law: Law, span: Span, *, closing: bool) -> float:
    """P of the interval rule: nothing to use always holds, unless the trip ends below what must be left then."""
    if law.mean(span.first, span.last) <= 0.0:
        return 1.0 if not closing or span.room >= -TOLERANCE else 0.0
    return law.chance(span)


def enough(p: float, demanded: float) -> bool:
    """Whether a chance reaches the demanded confidence, rounding apart."""
    return p >= demanded - TOLERANCE
