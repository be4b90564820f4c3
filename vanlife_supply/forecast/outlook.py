"""`look_ahead`: a belief and a moment → the one Forecast that everything shows."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import TypeVar

import numpy as np

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry.evidence import IN_AT_DUMP, LEFT_AT_FILL, LOOKED
from vanlife_supply.entry.laden import aboard
from vanlife_supply.entry.shelf import Shelf, Vessel
from vanlife_supply.forecast import first, grid, warn
from vanlife_supply.forecast.ahead import (
    Ahead,
    Flow,
    Room,
    Survival,
    level_band,
    mixed,
    moments,
    not_yet,
    points,
    rate_band,
    survival,
    unsaid,
)
from vanlife_supply.forecast.belief import Belief, draining
from vanlife_supply.forecast.calendar import AWAY
from vanlife_supply.forecast.factor import Factor
from vanlife_supply.forecast.future import Future, Spell, look, spells
from vanlife_supply.forecast.habit import Habit, Lapse
from vanlife_supply.forecast.model import Band, ContainerOutlook, Forecast, SupplyOutlook
from vanlife_supply.forecast.prior import condition
from vanlife_supply.forecast.special import NODE_WEIGHTS, NODES, Floats, quick_normal_cdf
from vanlife_supply.forecast.thread import NO_TIME, Thread
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH, GREY, Supply

Level = TypeVar("Level", float, Floats)
USE_OVER_DAYS = 1.0
"""A day's use is that of the day ahead: what goes under the conditions that hold now."""
SHARE_ATOMS = 15
LEAST_LEARNED = 2
NEGLIGIBLE_SHARE = 0.02
LEAST_UNSURE = 0.1
"""Relative sd of what a condition does from which it widens the days ahead."""


def look_ahead(belief: Belief, as_of: Moment) -> Forecast:
    """What is to be expected after `as_of`, which is not before anything folded into the belief."""
    known = belief.copy()
    known.settle_all()
    ahead = on_their_way(known, as_of)
    supplies = tuple(_outlook(known, supply, ahead.get(supply.name), as_of) for supply in known.rig.supplies)
    limits = warn.limits(known, as_of)
    soonest = first.of_all(ahead, limits)
    return Forecast(
        as_of=as_of,
        supplies=supplies,
        limits=limits,
        first=soonest,
        warnings=warn.all_of(known, supplies, {name: one.possible for name, one in ahead.items()}, limits, as_of),
        people=known.calendar.aboard(as_of.epoch),
        conditions=known.calendar.conditions(as_of.epoch),
        last_entry=known.last,
        load=aboard(known.replay.shelves, as_of.epoch, known.rig),
    )


def on_their_way(known: Belief, as_of: Moment) -> dict[str, Ahead]:
    """Every supply that anything is known of, by name; all that was noted is folded in (`Belief.settle_all`)."""
    found: dict[str, Ahead] = {}
    for supply in known.rig.supplies:
        thread = known.threads[supply.name]
        if thread.rows:
            found[supply.name] = _gray(known, thread, as_of) if known.drains(supply.name) else _plain(known, thread, as_of)
    return found


def _since(thread: Thread) -> float:
    return thread.began if thread.habit.at is None else thread.habit.at


def _plain(known: Belief, thread: Thread, as_of: Moment) -> Ahead:
    """A supply with a rate of its own."""
    name, habit, shelf = thread.supply.name, thread.habit, known.replay.shelves[thread.supply.name]
    since = _since(thread)
    lapse = known.lapse(name, since, as_of.epoch, as_of.offset)
    future = look(known.calendar, name, as_of, known.factors(name), thread.began, habit.unforeseen)
    ways = _ways(known, thread, as_of, future)
    floor = usable_floor(shelf)
    weight, level, var = habit.predicted(lapse)
    now, now_sd = moments(weight, level, var)
    possible = _possible(habit, weight, now, now_sd, _dead(shelf))
    weight, now, now_sd = _idle(habit, shelf, weight, now, now_sd)
    left = _room(shelf, now, floor)
    room = Room(left[:, :, None] + now_sd[:, :, None] * NODES, NODE_WEIGHTS, NO_TIME)
    flow = Flow(habit.rates, habit.evenness, weight, habit.past, habit.manner.restless, habit.returns, lapse.real_days)
    rates = weight.sum(axis=(1, 2))
    typical = float((rates * habit.rates).sum())
    coming, future = _middle(ways), future.with_loss(habit.manner.idle / typical)
    ways = [(chance, way.with_loss(habit.manner.idle / typical)) for chance, way in ways]
    middle = float((weight.sum(axis=-1) * left).sum()) / typical
    times = points(middle, max(float(now_sd.mean()) / typical, 0.3 * lapse.exposure), future)
    wet = weight.sum(axis=-1) * quick_normal_cdf((now - _dead(shelf)) / np.maximum(now_sd, 1e-9))
    kept = float(wet.sum()) if floor > _dead(shelf) and not shelf.fills else 0.0
    lasts = mixed([(chance, survival(flow, room, way, times, kept)) for chance, way in ways], future, 1.0 - unsaid(possible))
    use = rate_band(habit.rates, rates, _per_day(coming, lasts) / habit.unforeseen)
    return Ahead(weight.sum(axis=-1), future, ways, now, now_sd, left, flow, room, lasts, use, possible)


def _ways(known: Belief, thread: Thread, as_of: Moment, expected: Future) -> list[tuple[float, Future]]:
    """The future as it is with the chance of each: by how much the condition that holds does, if that is not quite known,
    else by when the one that matters most will be back."""
    its, habit, factors = thread.supply, thread.habit, known.factors(thread.supply.name)
    words = [word for word in known.calendar.conditions(as_of.epoch) if word != AWAY]
    told = {word: habit.factors.get(word) or Factor.unlearned(*condition(word, its)) for word in words}
    word = max(told, key=lambda each: told[each].sd, default="")

    def way(factors: Mapping[str, float], spell: Spell | None = None) -> Future:
        return look(known.calendar, its.name, as_of, factors, thread.began, habit.unforeseen, spell)

    if word and told[word].sd >= LEAST_UNSURE * told[word].mean:
        return [(chance, way({**factors, word: factor})) for chance, factor in told[word].nodes()]
    coming = spells(known.calendar, as_of.epoch, factors, thread.began)
    return [(chance, way(factors, spell)) for chance, spell in coming] or [(1.0, expected)]


def _middle(ways: list[tuple[float, Future]]) -> Future:
    """The future in the middle of those there may be."""
    passed = 0.0
    for chance, way in sorted(ways, key=lambda each: float(each[1].at(np.array([1.0]))[0][0])):
        passed += chance
        if passed >= 0.5:
            return way
    return ways[-1][1]


def _possible(habit: Habit, weight: Floats, level: Floats, sd: Floats, end: float) -> float:
    """The chance that the level is still on this side of `end`, as the balance alone has it."""
    margin = -habit.sign * (level - end) / np.maximum(sd, 1e-9)
    return float((weight.sum(axis=-1) * quick_normal_cdf(margin)).sum())


def _idle(habit: Habit, shelf: Shelf, weight: Floats, level: Floats, sd: Floats) -> tuple[Floats, Floats, Floats]:
    """The cells given that nobody has filled (dumped) yet."""
    share, spread = habit.usual_share(IN_AT_DUMP if shelf.fills else LEFT_AT_FILL)
    shape = habit.weight.shape
    before = moments(habit.weight, np.broadcast_to(habit.level, shape), np.broadcast_to(habit.var, shape))
    return not_yet(weight, level, sd, before, (share * shelf.top, spread * shelf.top), habit.sign)


def _per_day(future: Future, alive: Survival) -> float:
    """Exposure a day over the next week, or the whole days it will last: beyond its end nothing is used of it."""
    likely = alive.band().p50
    days = USE_OVER_DAYS if likely is None else min(USE_OVER_DAYS, max(1.0, ceil(likely)))
    return float(future.at(np.array([days]))[0][0]) / days


def _gray(known: Belief, thread: Thread, as_of: Moment) -> Ahead:
    """Gray: the share of fresh water that reaches the drain, and the fresh water to come."""
    habit, shelf, water = thread.habit, known.replay.shelves[GREY], known.threads[FRESH]
    since = _since(thread)
    amount, unsure = known.drained(since, as_of.epoch, as_of.offset)
    days = known.process_days(since, as_of.epoch, as_of.offset)
    amount = draining(amount, habit.spared)
    lapse = Lapse(amount, days, (as_of.epoch - since) / SECONDS_PER_DAY, min(amount, unsure))
    weight, level, var = habit.predicted(lapse)
    now, now_sd = moments(weight, level, var)
    possible = _possible(habit, weight, now, now_sd, shelf.brim)
    weight, now, now_sd = _idle(habit, shelf, weight, now, now_sd)
    moved = grid.spread(weight, lapse.real_days, habit.past, habit.manner.restless, habit.returns)
    shares = np.maximum(moved, 0.0).sum(axis=-1)
    left = _room(shelf, now, 0.0)
    rates = habit.rates * habit.reaching
    room = Room(*_thresholds(rates, shares, left, now_sd), NO_TIME)
    fresh = water.habit
    age = (as_of.epoch - (since if fresh.at is None else fresh.at)) / SECONDS_PER_DAY
    evenness = 1.0 / (1.0 / fresh.evenness + habit.uneven)
    flow = Flow(fresh.rates, evenness, fresh.weight, fresh.past, fresh.manner.restless, fresh.returns, age)
    future = look(known.calendar, FRESH, as_of, known.factors(FRESH), thread.began, fresh.unforeseen)
    pace = fresh.weight.sum(axis=(1, 2))
    typical = float((pace * fresh.rates).sum())
    share = float((shares.sum(axis=1) * rates).sum())
    times = points(float(room.amount.mean()) / typical, float(room.amount.std()) / typical, future)
    ways = _ways(known, water, as_of, future)
    alive = mixed([(chance, survival(flow, room, way, times)) for chance, way in ways], future, 1.0 - unsaid(possible))
    use = rate_band(fresh.rates, pace, _per_day(future, alive) * share / fresh.unforeseen)
    return Ahead(weight.sum(axis=-1), future, ways, now, now_sd, left, flow, room, alive, use, possible, lapse.exposure_sd)


def _thresholds(shares: Floats, mass: Floats, mean: Floats, sd: Floats) -> tuple[Floats, Floats]:
    """Litres of fresh water until gray is full, as equally likely atoms: (1, 1, atoms) and their chances (atoms,).

    `shares` (rate,); `mass`, room's `mean` and `sd` (rate, evenness).
    """
    kept = mass > 1e-6
    share = np.broadcast_to(shares[:, None], mass.shape)[kept]
    each = ((mean[kept][:, None] + sd[kept][:, None] * NODES) / share[:, None]).ravel()
    chance = (mass[kept][:, None] * NODE_WEIGHTS).ravel()
    order = np.argsort(each, kind="stable")
    each, chance = each[order], np.cumsum(chance[order]) / chance.sum()
    middles = (np.arange(SHARE_ATOMS) + 0.5) / SHARE_ATOMS
    atoms = np.interp(middles, chance, each)
    return np.maximum(atoms, 0.0)[None, None, :], np.full(SHARE_ATOMS, 1.0 / SHARE_ATOMS)


def usable_floor(shelf: Shelf) -> float:
    """What of the level of a supply may not or cannot be used: dead, reserve, kept back, set aside."""
    if shelf.fills:
        return 0.0
    kept = sum(v.held - min(v.spec.dead, v.held) for v in shelf.vessels if v.aside or v.spec.kept_back)
    return shelf.supply.reserve + kept + _dead(shelf)


def _dead(shelf: Shelf) -> float:
    """What of the level no pump reaches."""
    return sum(min(v.spec.dead, v.held) for v in shelf.vessels)


def _room(shelf: Shelf, level: Level, floor: float) -> Level:
    """What may still be used, or filled in."""
    if not shelf.fills:
        return level - floor
    aside = [v for v in shelf.vessels if v.aside or v.level is None]
    return (shelf.top - sum(v.spec.stop for v in aside)) - (level - sum(v.held for v in aside))


def _usable(shelf: Shelf, level: Band) -> Band:
    """What of a level may be used, or the room above it."""
    floor = usable_floor(shelf)
    rooms = sorted(max(_room(shelf, q or 0.0, floor), 0.0) for q in (level.p10, level.p50, level.p90))
    return Band(*rooms)


def _outlook(known: Belief, supply: Supply, ahead: Ahead | None, as_of: Moment) -> SupplyOutlook:
    shelf = known.replay.shelves[supply.name]
    brim, unit = shelf.brim, supply.canonical
    if ahead is None:
        return SupplyOutlook(
            supply.name, supply.direction, unit, brim, supply.reserve, None, None, None, None,
            containers=_containers(shelf, None),
            planned=warn.next_plan(known, supply.name, as_of, None),
        )  # fmt: skip
    habit = known.threads[supply.name].habit
    level = level_band(ahead.weight, ahead.level, ahead.level_sd, brim, unsaid(ahead.possible), habit.sign)
    usable = _usable(shelf, level)
    return SupplyOutlook(
        supply.name, supply.direction, unit, brim, supply.reserve, level, usable, ahead.use, ahead.survival.band(),
        source=_source(supply, known.threads[supply.name]),
        last_trusted=habit.trusted,
        containers=_containers(shelf, level),
        planned=warn.next_plan(known, supply.name, as_of, ahead),
    )  # fmt: skip


def _source(supply: Supply, thread: Thread) -> str:
    """Where the figure comes from: two levels make a balance, one is a look or an event noted."""
    habit = thread.habit
    if habit.looks >= LEAST_LEARNED:
        return "balance"
    if supply.lasts is not None:
        return "said"
    if not habit.looks:
        return "guess"
    return "looked" if any(row.told.what in LOOKED for row in thread.rows) else "noted"


def _containers(shelf: Shelf, level: Band | None) -> tuple[ContainerOutlook, ...]:
    """Sealed ones are as the log has them, the open one is the rest; what it cannot have given, the next one gave."""
    if level is None:
        return tuple(_container(v, shelf.state(v), None) for v in shelf.vessels)
    low, likely, high = (_contents(shelf, q or 0.0) for q in (level.p10, level.p50, level.p90))
    found = []
    for vessel, *held in zip(shelf.vessels, low, likely, high, strict=True):
        state = shelf.state(vessel)
        drawn, rest = vessel.held - held[1], held[1] - vessel.spec.dead
        if state == "full" and not shelf.fills and drawn > NEGLIGIBLE_SHARE * vessel.spec.capacity:
            state = "open"
        elif vessel is shelf.open and not shelf.fills and rest <= 0.0 < shelf.total(vessel):
            state = "empty"
        found.append(_container(vessel, state, None if state == "unknown" else Band(*held)))
    return tuple(found)


def _contents(shelf: Shelf, total: float) -> list[float]:
    """What each container holds when together they hold `total`, (containers,)."""
    held = [v.held for v in shelf.vessels]
    count = len(held)
    missing = sum(held) - total
    order = sorted(range(count), key=lambda i: (not shelf.serves(i) and i != shelf.in_use, (i - shelf.in_use) % count))
    order = [i for i in order if shelf.vessels[i].level is not None]
    for i, dead in [*((i, shelf.vessels[i].spec.dead) for i in order), *((i, 0.0) for i in order)]:
        room = shelf.vessels[i].spec.capacity - held[i]
        given = max(missing, -room) if missing < 0 else min(missing, max(held[i] - dead, 0.0))
        held[i] -= given
        missing -= given
    return held


def _container(vessel: Vessel, state: str, level: Band | None) -> ContainerOutlook:
    return ContainerOutlook(vessel.spec.letter, vessel.spec.label, state, vessel.spec.capacity, level, vessel.aside)
