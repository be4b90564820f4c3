"""What if: a belief changed in one respect, nothing of it ever written. Every function returns a belief of its own.

Amounts are canonical (L or kg), times epoch seconds, `offset` seconds east of UTC.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import inf, log

import numpy as np

from vanlife_supply.entry import model as m
from vanlife_supply.entry.evidence import ADDED, RESET, Evidence
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import TOP_ERROR, Shelf, Vessel
from vanlife_supply.forecast.belief import Belief, learn
from vanlife_supply.forecast.calendar import Span
from vanlife_supply.forecast.factor import Factor
from vanlife_supply.forecast.outlook import usable_floor
from vanlife_supply.forecast.thread import Row
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Arrangement, Container

SLOWEST = 1e-6
"""What is not used at all is used at this share of the usual pace: it lasts beyond what is said."""
FOR_GOOD_DAYS = 1000.0
"""What is supposed without an end holds as long as anything is foreseen; it is not taken for forgotten after a while."""


def with_moved(belief: Belief, supply: str, amount: float, at: Moment) -> Belief:
    """So much came in (negative: went) that teaches no habit. A supply nothing is known of stays unknown."""
    known = belief.copy()
    if known.threads[supply].rows:
        known.threads[supply].add(Row(Evidence(at.epoch, ADDED, after=amount), at.offset))
        known.settle()
    return known


def with_level(belief: Belief, supply: str, level: float, sd: float, at: Moment) -> Belief:
    """The level is known at `at`, later than anything known of the supply, and teaches no habit."""
    known = belief.copy()
    known.threads[supply].add(Row(Evidence(at.epoch, RESET, after=level, after_sd=sd), at.offset))
    known.settle()
    return known


def with_pace(belief: Belief, supply: str, factor: float, at: Moment, until: Moment | None = None) -> Belief:
    """From `at` on it goes `factor` times as fast as usual, until then. Gray follows the pace of the fresh water."""
    known = belief.copy()
    word = f"supposed {supply}"
    known.calendar.spans.append(Span(word, at.epoch, (until or at.plus(FOR_GOOD_DAYS)).epoch))
    pace = Factor(np.array([log(max(factor, SLOWEST))]), np.ones(1))
    known.threads[supply].habit.factors[word] = pace
    return known


def with_container(belief: Belief, spec: Container, level: float, at: Moment) -> Belief:
    """One more container aboard, holding `level`."""
    known = belief.copy()
    shelf = known.replay.shelves[spec.supply]
    shelf.vessels.append(Vessel(spec, level, TOP_ERROR * spec.capacity))
    known.replay.rig = replace(known.rig, containers=(*known.rig.containers, spec))
    return with_moved(known, spec.supply, level, at) if level else known


def with_entries(belief: Belief, entries: Iterable[Entry]) -> Belief:
    """As if these had been noted; none is before the last one known. The rig stays as it stands."""
    since, rig = belief.replay.since, belief.rig
    stands = [Arrangement(-inf, rig), *([Arrangement(since, rig)] if since > -inf else [])]
    return learn(belief, stands, sorted(entries, key=m.order))


def with_one_more(belief: Belief, at: Moment, until: Moment) -> Belief:
    """One person more than is aboard at each time until then: another guest may leave before."""
    known = belief.copy()
    pieces = belief.calendar.pieces(at.epoch, until.epoch)
    known.calendar.spans += [Span("", start, end, belief.calendar.aboard(start) + 1) for start, end in pieces]
    return known


def days_lived(belief: Belief, supply: str, at: Moment, until: Moment) -> float:
    """Days of living as at `at` that lie between the two: half a day counts double while twice as much is used."""
    factors, calendar = belief.factors(supply), belief.calendar
    now = calendar.weight(supply, at.epoch, calendar.conditions(at.epoch), factors)
    return calendar.exposure(supply, at.epoch, until.epoch, at.offset, factors)[0] / now


def without_plans(belief: Belief) -> Belief:
    """Nothing is planned."""
    known = belief.copy()
    known.plans = []
    return known


def with_reserve_released(belief: Belief) -> Belief:
    """Nothing is kept back: down to the last that can be reached."""
    known = belief.copy()
    supplies = tuple(replace(s, reserve=0.0) for s in known.rig.supplies)
    containers = tuple(replace(c, kept_back=False) for c in known.rig.containers)
    known.replay.rig = replace(known.rig, supplies=supplies, containers=containers)
    for supply in supplies:
        shelf = known.replay.shelves[supply.name]
        shelf.supply = supply
        for vessel in shelf.vessels:
            vessel.spec = replace(vessel.spec, kept_back=False)
    return known


def with_only(belief: Belief, *supplies: str) -> Belief:
    """A rig that carries nothing else, for a quick look at one supply."""
    known = belief.copy()
    kept = tuple(s for s in known.rig.supplies if s.name in supplies)
    known.replay.rig = replace(known.rig, supplies=kept)
    known.threads = {name: thread for name, thread in known.threads.items() if name in supplies}
    return known


def level_leaving(shelf: Shelf, room: float) -> float:
    """The level of a supply at which so much may still be used (gray: fits in)."""
    if not shelf.fills:
        return usable_floor(shelf) + room
    aside = [v for v in shelf.vessels if v.aside or v.level is None]
    return shelf.top - sum(v.spec.stop - v.held for v in aside) - room
