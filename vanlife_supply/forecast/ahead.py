"""First passage: the time at which a supply runs out, or the gray is full, as a distribution."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vanlife_supply.forecast import grid
from vanlife_supply.forecast.future import Future
from vanlife_supply.forecast.habit import LEAST_DAYS, Lapse
from vanlife_supply.forecast.model import Band
from vanlife_supply.forecast.special import Floats, gamma_cdf, quick_normal_cdf

LONGEST_DAYS = 365.0
POINTS = 32
UNSAID = 0.01
"""Of the times when something ran out or was filled, so many are never written down: common practice, no source. More
would cost those who write down little."""
_REACH: Floats = np.concatenate([[0.0], np.exp(np.linspace(-3.4, 2.4, POINTS - 1))])
_FINE, _FINE_WEIGHTS = np.polynomial.hermite_e.hermegauss(7)
_FINE_WEIGHTS = _FINE_WEIGHTS / _FINE_WEIGHTS.sum()
NEGLIGIBLE = 1e-5
DRIFT_SHARE = 1 / 3
"""The mean of a random walk over [0, t] has a third of its variance at t."""
LAGS_DAYS = 3.0
"""A rate is less sure than its levels say, as if they were so much older: people change their ways in more manners than
are reckoned with. Chosen on invented cases with harder switches than the open ones, where it costs nothing to speak of."""


@dataclass(frozen=True, slots=True)
class Survival:
    """Chance `alive` that it still lasts at `times` (days from now), both (points,)."""

    times: Floats
    alive: Floats
    lived: Floats
    future: Future

    def quantile(self, chance: float) -> float | None:
        """The time by which it is over with that chance; None beyond a year."""
        over = 1.0 - self.alive
        i = int(np.searchsorted(over, chance))
        if i >= len(over):
            return None
        if i == 0:
            return 0.0
        low, high = over[i - 1], over[i]
        part = (chance - low) / max(high - low, 1e-12)
        lived = self.lived[i - 1] + part * (self.lived[i] - self.lived[i - 1])
        days = float(self.future.when(np.array([lived]))[0])
        return days if days <= LONGEST_DAYS else None

    def band(self) -> Band:
        """p10, p50, p90 of the days left."""
        return Band(self.quantile(0.1), self.quantile(0.5), self.quantile(0.9))

    def over_by(self, days: float | Floats) -> Floats:
        """Chance that it is over by then."""
        lived = self.future.at(np.asarray(days, dtype=float))[0]
        return 1.0 - np.interp(lived, self.lived, self.alive)


@dataclass(frozen=True, slots=True)
class Flow:
    """A drifting rate and how evenly it goes: what room is used up by.

    `rates` (rate,), `evenness` (evenness,), `weight` (rate, evenness, drift); `past` rates lived with (rate,);
    `restless` multiplies the drifts; `returns` to the past a day; `age` real days since it was learned.
    """

    rates: Floats
    evenness: Floats
    weight: Floats
    past: Floats
    restless: float
    returns: float
    age: float

    def at(self, times: Floats) -> Floats:
        """Weights (points, rate, evenness) of the mean rate from now to each time."""
        older = self.age + LAGS_DAYS + DRIFT_SHARE * times
        return grid.spread_marginal(self.weight, older, self.past, self.restless, self.returns)


@dataclass(frozen=True, slots=True)
class Room:
    """What may still be used, as atoms: `amount` (rate, evenness, atoms) or broadcastable, `chance` (atoms,).

    `lapse`: what already went by since then.
    """

    amount: Floats
    chance: Floats
    lapse: Lapse


@dataclass(frozen=True, slots=True)
class Ahead:
    """One supply on its way. `ways` the futures there may be, each with its chance, `future` what they come to.

    Cells (rate, evenness): their `weight`, the `level` now and its sd, what is `left` of it to use or fill in;
    `use` canonical units a day; `possible`: the chance, by the balance alone, that it is not over yet; `shared`, of gray:
    sd of the fresh water used since its last level, which came out of the one and went into the other.
    """

    weight: Floats
    future: Future
    ways: Sequence[tuple[float, Future]]
    level: Floats
    level_sd: Floats
    left: Floats
    flow: Flow
    room: Room
    survival: Survival
    use: Band
    possible: float
    shared: float = 0.0


def points(middle: float, spread: float, future: Future) -> Floats:
    """Times worth computing about the exposure `middle` ± `spread` by which it is likely over."""
    scale = max(middle, spread, 0.2 * future.exposure[8])
    lived = np.minimum(_REACH * scale, future.exposure[-1])
    return future.when(lived)


def survival(flow: Flow, room: Room, future: Future, times: Floats, unnoticed: float = 0.0) -> Survival:
    """The distribution of the time until the room is used up, given that nobody noticed it to be over.

    `unnoticed`: the chance of all that nobody would notice: a jug that runs dry is, a reserve that is begun need not be.
    """
    lived, days = future.at(times)
    mass, under = _passage(flow, room, lived, days, flow.at(times))
    alive = (mass * (under @ room.chance)).sum(axis=1)
    return Survival(times, np.minimum.accumulate(alive / max(alive[0], unnoticed, 1e-9)), lived, future)


def mixed(ways: Sequence[tuple[float, Survival]], future: Future, still: float) -> Survival:
    """Several survivals at the same times as one, each with its chance; told by the living of `future`.

    `still`: the chance that it is not over already, unsaid.
    """
    times = ways[0][1].times
    alive = sum((chance * way.alive for chance, way in ways), np.zeros(len(times)))
    return Survival(times, still * alive, future.at(times)[0], future)


def unsaid(possible: float) -> float:
    """The chance that it is over and nobody said so, where the balance gives it the chance `possible` not to be."""
    over = UNSAID * (1.0 - possible)
    return over / (over + possible)


def _passage(flow: Flow, room: Room, lived: Floats, days: Floats, weights: Floats) -> tuple[Floats, Floats]:
    """Weights (points, cells) and P(use < room) (points, cells, atoms) of the cells that count."""
    kept = weights.max(axis=0) > NEGLIGIBLE
    rate = np.broadcast_to(flow.rates[:, None], kept.shape)[kept]
    even = np.broadcast_to(flow.evenness, kept.shape)[kept]
    amount = np.broadcast_to(room.amount, (*kept.shape, room.amount.shape[-1]))[kept]
    shape = even * np.maximum(room.lapse.days + days, LEAST_DAYS)[:, None]
    mean = rate * np.maximum(room.lapse.exposure + lived, 1e-9)[:, None]
    return weights[:, kept], gamma_cdf(shape, shape / mean, np.maximum(amount, 0.0))


def passed(flow: Flow, amount: Floats, chance: Floats, future: Future, times: Floats) -> Floats:
    """Chance that atoms of room have been used up by each time, (points,).

    `amount`, `chance` (rate, evenness, atoms) or broadcastable; chances of a cell need not sum to 1.
    """
    lived, days = future.at(times)
    weights = flow.at(times)
    mass, under = _passage(flow, Room(amount, chance, Lapse(0.0, 0.0, 0.0)), lived, days, weights)
    kept = weights.max(axis=0) > NEGLIGIBLE
    each = np.broadcast_to(chance, (*kept.shape, amount.shape[-1]))[kept]
    gone: Floats = np.einsum("pn,pna,na->p", mass, 1.0 - under, each, optimize=True)
    return np.maximum.accumulate(gone)


def moments(weight: Floats, mean: Floats, var: Floats) -> tuple[Floats, Floats]:
    """Mean and sd over the drift axis, (rate, evenness)."""
    mass = weight.sum(axis=-1) + 1e-30
    first = (weight * mean).sum(axis=-1) / mass
    second = (weight * (var + mean**2)).sum(axis=-1) / mass
    return first, np.sqrt(np.maximum(second - first**2, 0.0))


def not_yet(
    weight: Floats, mean: Floats, sd: Floats, before: tuple[Floats, Floats], usual: tuple[float, float], sign: float
) -> tuple[Floats, Floats, Floats]:
    """Cells (rate, evenness, drift), their level's mean and sd (rate, evenness), given that nobody has acted yet.

    People fill when about `usual` (mean, sd) is left, dump when about so much is in: since nobody did, the level has
    not come so far (`sign` −1 for what empties), nor is it back behind what it was `before` (mean, sd). Seven-point
    Gauss–Hermite.
    """
    each = mean[:, :, None] + sd[:, :, None] * _FINE
    start = before[0][:, :, None] + before[1][:, :, None] * _FINE
    each = sign * np.maximum(sign * each, sign * start)
    idle = quick_normal_cdf(-sign * (each - usual[0]) / usual[1]) * _FINE_WEIGHTS + 1e-6
    mass = idle.sum(axis=-1)
    first = (idle * each).sum(axis=-1) / mass
    second = (idle * each**2).sum(axis=-1) / mass
    tilted = weight * mass[:, :, None]
    return tilted / tilted.sum(), first, np.sqrt(np.maximum(second - first**2, (0.05 * sd) ** 2))


def rate_band(rates: Floats, weight: Floats, scale: float) -> Band:
    """p10, p50, p90 of a rate, from weights (rate,)."""
    chance = np.cumsum(weight) - 0.5 * weight
    points = np.exp(np.interp((0.1, 0.5, 0.9), chance, np.log(rates)))
    return Band(*(float(p) * scale for p in points))


def level_band(weight: Floats, mean: Floats, sd: Floats, high: float, over: float, sign: float) -> Band:
    """p10, p50, p90 of a level between 0 and `high`: a mixture of Gaussians (rate, evenness), clipped, and the chance
    `over` that it is at its end: 0, or `high` for what fills (`sign` +1)."""
    kept = weight > NEGLIGIBLE
    weight, mean, sd = weight[kept] / weight[kept].sum(), mean[kept], np.maximum(sd[kept], 1e-9)
    axis = np.linspace(0.0, high, 81)
    chance = quick_normal_cdf((axis[:, None] - mean) / sd) @ weight
    chance = (1.0 - over) * chance + (over if sign < 0 else 0.0)
    chance[-1] = 1.0
    points = np.interp((0.1, 0.5, 0.9), np.maximum.accumulate(chance), axis)
    return Band(*(float(p) for p in points))
