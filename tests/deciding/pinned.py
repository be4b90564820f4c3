"""Grounds whose levels and rates are given, so that answers can be worked out by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import log

import numpy as np

from vanlife_supply.deciding.ground import Ground
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief, learn
from vanlife_supply.forecast.suppose import with_entries, with_level
from vanlife_supply.moment import Moment
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import GREY, Arrangement

STEADY = 1e9
"""Evenness (gamma shape a day) beyond what the filter knows: the evenest it has."""
GAL, LB = 3.785411784, 0.45359237


def pinned(
    toml: str, now: Moment, levels: Mapping[str, float], rates: Mapping[str, float], *,
    sd: float = 1e-3, even: float = STEADY, noted: Sequence[Entry] = (),
) -> Ground:  # fmt: skip
    """Supplies holding `levels` ± `sd` at `now`, used at `rates` a day (gray: share of the fresh); canonical units.

    `even`: the gamma shape of a day's use, met in the mean of its inverse by two cells of the filter.
    """
    rig = read_rig(toml)
    belief = learn(None, [Arrangement(float("-inf"), rig)], [])
    for supply in sorted(levels, key=lambda name: name == GREY):
        belief = with_level(belief, supply, levels[supply], sd, now)
        _spread_out(belief, supply, levels[supply])
        _pin(belief, supply, rates[supply], even)
    belief.settle_all()
    for supply, rate in rates.items():
        _pin(belief, supply, rate, even)
    return Ground(with_entries(belief, noted) if noted else belief, now, rig, tuple(noted))


def _spread_out(belief: Belief, supply: str, level: float) -> None:
    """The containers hold it in rig order, the last one with some in it being the open one."""
    shelf = belief.replay.shelves[supply]
    rest = level
    for index, vessel in enumerate(shelf.vessels):
        held = min(rest, vessel.spec.stop)
        vessel.set(held, 0.0)
        rest -= held
        if held > 0:
            shelf.in_use = index


def _pin(belief: Belief, supply: str, rate: float, even: float) -> None:
    habit = belief.threads[supply].habit
    weight = np.zeros(habit.weight.shape)
    middle = int(np.argmin(np.abs(habit.rates / np.exp(habit.centre) - 1.0)))
    shapes = list(habit.evenness)
    above = next((i for i, shape in enumerate(shapes) if shape >= even), len(shapes) - 1)
    below = max(above - 1, 0)
    gap = 1 / shapes[below] - 1 / shapes[above]
    share = float(np.clip((1 / even - 1 / shapes[above]) / gap, 0.0, 1.0)) if gap else 0.0
    weight[middle, above, 0] += 1.0 - share
    weight[middle, below, 0] += share
    habit.weight, habit.lived, habit.centre = weight, weight.sum(axis=(1, 2)), log(rate)
