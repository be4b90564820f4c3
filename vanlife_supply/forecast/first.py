"""What stops you first: the earliest of all supplies and dated limits, and the chance of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from vanlife_supply.forecast.ahead import LONGEST_DAYS, Ahead, passed
from vanlife_supply.forecast.model import Band, First, LimitOutlook
from vanlife_supply.forecast.special import Floats, quick_normal_cdf
from vanlife_supply.rig.model import FRESH, GREY

_TIMES: Floats = np.concatenate([[0.0], np.exp(np.linspace(np.log(0.04), np.log(LONGEST_DAYS), 240))])
INSTANT = 1e-6
MOST_ALIKE = 0.98
"""How alike what is not known of the two may be, as a correlation: each has doubts of its own."""
ALIVE = 0.99
"""Where one of the two may be over now, fresh and gray are looked at apart."""
Cause = tuple[str, Floats]
"""What stops you and the chance that it has, before any rival of its group, by each time of the mesh."""


def of_all(ahead: Mapping[str, Ahead], dated: Sequence[LimitOutlook]) -> First | None:
    """The likeliest first, the distribution of the first time over everything, each one's chance (they sum to 1).

    None while nothing is known that could stop you within a year.
    """
    times = _mesh(dated)
    groups = _groups(ahead, dated, times)
    alive = [1.0 - np.sum([over for _, over in group], axis=0) for group in groups]
    chances: dict[str, float] = {}
    for i, group in enumerate(groups):
        rivals = np.prod([a for j, a in enumerate(alive) if j != i], axis=0) if len(groups) > 1 else np.ones_like(times)
        for name, over in group:
            chances[name] = chances.get(name, 0.0) + float((np.diff(over, prepend=0.0) * _middle(rivals)).sum())
    total = sum(chances.values())
    if total <= 1e-9:
        return None
    chances = {name: chance / total for name, chance in chances.items()}
    what = max(chances, key=lambda name: (chances[name], name))
    return First(what, _band(times, np.prod(alive, axis=0)), chances)


def _mesh(dated: Sequence[LimitOutlook]) -> Floats:
    """The times reckoned at, with a step at every dated limit."""
    steps = [edge for limit in dated for edge in (max(limit.days_left - INSTANT, 0.0), limit.days_left)]
    return np.union1d(_TIMES, np.array([step for step in steps if step <= LONGEST_DAYS]))


def _middle(values: Floats) -> Floats:
    """Each value averaged with the one before."""
    middle: Floats = 0.5 * (values + np.concatenate([values[:1], values[:-1]]))
    return middle


def _groups(ahead: Mapping[str, Ahead], dated: Sequence[LimitOutlook], times: Floats) -> list[list[Cause]]:
    """Independent of each other; within a group only one can come first."""
    groups: list[list[Cause]] = []
    flows = FRESH in ahead and GREY in ahead and all(ahead[n].survival.alive[0] > ALIVE for n in (FRESH, GREY))
    for name, one in ahead.items():
        if name not in (FRESH, GREY) or not flows:
            groups.append([(name, one.survival.over_by(times))])
    if flows:
        groups.append(_water(ahead[FRESH], ahead[GREY], times))
    groups.extend([(limit.word, (times >= limit.days_left).astype(float))] for limit in dated)
    return groups


def _water(fresh: Ahead, gray: Ahead, asked: Floats) -> list[Cause]:
    """One flow of water empties the jugs and fills the gray: whichever needs less of it comes first.

    Fresh is used up at X litres, gray is full at Y litres of fresh use; both are crossed by the same use U(t), so
    the first is the smaller of X and Y whatever the pace, in each of the futures there may be.
    """
    times = np.union1d(fresh.survival.times[::2], gray.survival.times[::2])
    gray_later, fresh_later = _later(fresh, gray)
    dry, full = np.zeros(len(times)), np.zeros(len(times))
    for (chance, ours), (_, theirs) in zip(fresh.ways, gray.ways, strict=True):
        dry += chance * passed(fresh.flow, fresh.room.amount, fresh.room.chance * gray_later, ours, times)
        full += chance * passed(gray.flow, gray.room.amount, gray.room.chance * fresh_later, theirs, times)
    scale = 1.0 / max(1.0 - dry[0] - full[0], 1e-9)
    over = [np.interp(asked, times, (each - each[0]) * scale) for each in (dry, full)]
    return _no_later(over, [one.survival.over_by(asked) for one in (fresh, gray)])


def _later(fresh: Ahead, gray: Ahead) -> tuple[Floats, Floats]:
    """The chance that gray still has room when fresh is used up, (rate, evenness, nodes), and the other way round,
    (rate, evenness, atoms).

    What was used since both were known came out of the one and into the other: more room than thought in the one is more
    room in the other too.
    """
    left, sd, drained = fresh.left[..., None], np.maximum(fresh.level_sd, 1e-6)[..., None], gray.room.amount
    mass = fresh.weight / fresh.weight.sum()
    mean = float((mass * fresh.left).sum())
    spread = max(float((mass * ((fresh.left - mean) ** 2 + fresh.level_sd**2)).sum()) ** 0.5, 1e-6)
    middle, width = float(drained.mean()), max(float(drained.std()), 1e-6)
    alike = min(gray.shared**2 / (spread * width), MOST_ALIKE)
    own = (1.0 - alike**2) ** 0.5
    x = np.maximum(fresh.room.amount, 0.0)[..., None]
    room = middle + own * (drained - middle) + alike * width / spread * (x - mean)
    water = mean + own * (left - mean) + alike * spread / width * (drained - middle)
    return (room > x).mean(axis=-1), quick_normal_cdf((water - drained) / (own * sd))


def _no_later(over: Sequence[Floats], alone: Sequence[Floats]) -> list[Cause]:
    """The causes with what they lack so that nothing ends alone before the first of them has come."""
    lacking = np.maximum(np.max(alone, axis=0) - np.sum(over, axis=0), 0.0)
    soonest = np.argmax(alone, axis=0)
    found = [np.maximum.accumulate(each + lacking * (soonest == i)) for i, each in enumerate(over)]
    most = np.maximum(np.sum(found, axis=0), 1.0)
    return [(name, each / most) for name, each in zip((FRESH, GREY), found, strict=True)]


def _band(times: Floats, alive: Floats) -> Band:
    over = np.maximum.accumulate(1.0 - alive)
    return Band(*(_crossing(times, over, chance) for chance in (0.1, 0.5, 0.9)))


def _crossing(times: Floats, over: Floats, chance: float) -> float | None:
    i = int(np.searchsorted(over, chance))
    if i >= len(over):
        return None
    if i == 0:
        return 0.0
    part = (chance - over[i - 1]) / max(over[i] - over[i - 1], 1e-12)
    return float(times[i - 1] + part * (times[i] - times[i - 1]))
