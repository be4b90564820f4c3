"""What a belief says of the nights of a trip: how much is aboard, how much goes a night, how sure both are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.shelf import Shelf, Vessel
from vanlife_supply.forecast.ahead import Ahead
from vanlife_supply.forecast.belief import Belief
from vanlife_supply.forecast.calendar import PEOPLE_POWER, Span
from vanlife_supply.forecast.factor import Factor
from vanlife_supply.forecast.future import HORIZON_DAYS, Future, look, usual_people
from vanlife_supply.forecast.outlook import on_their_way
from vanlife_supply.forecast.prior import condition
from vanlife_supply.forecast.special import Floats
from vanlife_supply.moment import Moment, occurrences
from vanlife_supply.rig.model import FRESH, GREY

RATE_CELLS = 24
_NEGLIGIBLE = 1e-4
_LEAST_PROCESS = 1e-6


@dataclass(frozen=True, slots=True)
class Living:
    """Who is aboard and under which conditions between two instants (epoch seconds); None: as the calendar has it."""

    start: float
    end: float
    people: float | None
    conditions: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Nightly:
    """One supply, canonical units. `level` and its sd are those of the first night's beginning; gray: what is in it.

    `usable`: what may be filled in and reached; `mean` a night of the usual people under no condition; `cv` of one
    night; `rates`: (rate relative to the mean, its probability); `factors`: each night's use relative to the mean;
    `unsure`: by condition, the sd of each night's factor, for nobody knows quite what a condition does to use.
    """

    usable: float
    reserve: float
    level: float
    level_sd: float
    mean: float
    cv: float
    rates: tuple[tuple[float, float], ...]
    factors: tuple[float, ...]
    unsure: Mapping[str, tuple[float, ...]]

    @property
    def cv_rate(self) -> float:
        """Coefficient of variation of the long-run rate."""
        return float(sum(p * (r - 1.0) ** 2 for r, p in self.rates) ** 0.5)


def nightly(belief: Belief, as_of: Moment, bounds: Sequence[Moment], living: Sequence[Living] = ()) -> dict[str, Nightly]:
    """Each supply that anything is known of, by name. `bounds`: where the nights begin and the last one ends (≥ 2)."""
    usual = max(usual_people(belief.calendar, as_of.epoch), 1.0)
    known = belief.copy()
    known.settle_all()
    for one in living:
        _live(known, one)
    days = np.array([(bound.epoch - as_of.epoch) / SECONDS_PER_DAY for bound in bounds])
    ways = on_their_way(known, as_of)
    return {name: _night(known, name, ahead, as_of, days, usual) for name, ahead in ways.items()}


def _live(known: Belief, one: Living) -> None:
    """Put people and conditions into the calendar, conditions in the place of those that were there."""
    spans = known.calendar.spans
    if one.conditions is not None:
        kept = [piece for span in spans for piece in (_without(span, one) if span.word else [span])]
        spans[:] = [*kept, *(Span(word, one.start, one.end) for word in one.conditions)]
    if one.people is not None:
        spans.append(Span("", one.start, one.end, one.people))


def _without(span: Span, one: Living) -> list[Span]:
    """What is left of a span outside that time."""
    before = replace(span, until=one.start if span.until is None else min(span.until, one.start))
    after = replace(span, start=max(span.start, one.end))
    return [s for s in (before, after) if s.until is None or s.until > s.start]


def _night(known: Belief, name: str, ahead: Ahead, as_of: Moment, days: Floats, usual: float) -> Nightly:
    base = usual**PEOPLE_POWER if name in (FRESH, GREY) else 1.0
    rates, weight = _rates(known, name, ahead, float(days[-1]))
    typical = float(weight @ rates)
    cv = float((ahead.flow.at(days[-1:])[0].sum(axis=0) / ahead.flow.evenness).sum() ** 0.5)
    shelf = known.replay.shelves[name]
    usable = sum(v.spec.stop - (0.0 if shelf.fills else v.spec.dead) for v in _counted(shelf))
    pace = _Pace(ahead.future, typical, float(weight @ (rates / typical - 1.0) ** 2), cv)
    room, room_sd = _at_start(known, name, pace, _left(ahead), usable - _reserve(shelf), as_of, float(days[0]))
    return Nightly(
        usable,
        _reserve(shelf),
        max(0.0, usable - room if shelf.fills else room + _reserve(shelf)),
        room_sd,
        typical * base,
        cv,
        tuple((float(r / typical), float(p)) for r, p in zip(rates, weight, strict=True)),
        _factors(ahead.future, days, base),
        _unsure(known, name, as_of, days, base),
    )


def _reserve(shelf: Shelf) -> float:
    return 0.0 if shelf.fills else shelf.supply.reserve


@dataclass(frozen=True, slots=True)
class _Pace:
    """How a supply goes by until the trip starts: `typical` use of one person's day, relative variance of the rate, cv."""

    future: Future
    typical: float
    rate_var: float
    cv: float

    def after(self, room: float, sd: float, start: float, end: float) -> tuple[float, float]:
        """What is left of a room from day to day, mean and sd."""
        lived, process = (float(x[1] - x[0]) for x in self.future.at(np.array([start, end])))
        if lived <= 0.0:
            return room, sd
        gone = self.typical * lived
        spread = self.rate_var + self.cv**2 / max(process, _LEAST_PROCESS)
        return room - gone, float((sd**2 + gone**2 * spread) ** 0.5)


def _at_start(
    known: Belief, name: str, pace: _Pace, left: tuple[float, float], whole: float, as_of: Moment, start: float
) -> tuple[float, float]:
    """Mean and sd of what may be used (gray: filled in) when the first night begins, planned fills and dumps done."""
    day, (room, sd) = 0.0, left
    for at, works in _plans(known, name, as_of, start):
        (room, sd), day = pace.after(room, sd, day, at), at
        undone = 1.0 - works
        mean = works * whole + undone * room
        sd = (undone * (sd**2 + (room - mean) ** 2) + works * (whole - mean) ** 2) ** 0.5
        room = mean
    return pace.after(room, sd, day, start)


def _plans(known: Belief, name: str, as_of: Moment, until: float) -> list[tuple[float, float]]:
    """(day, chance that it can be done) of every planned fill, or dump of gray, before that day."""
    kind = m.DUMP if known.replay.shelves[name].fills else m.FILL
    found = []
    for entry in known.plans:
        if entry.supply != name or entry.word != kind or entry.until is None:
            continue
        last = as_of.epoch + until * SECONDS_PER_DAY
        dates = occurrences(entry.until, entry.to, as_of.epoch, last) if entry.to.startswith("every") else [entry.until]
        days = ((when.epoch - as_of.epoch) / SECONDS_PER_DAY for when in dates)
        found += [(day, known.works.get(entry.id, 1.0)) for day in days if 0.0 < day < until]
    return sorted(found)


def _counted(shelf: Shelf) -> list[Vessel]:
    return [v for v in shelf.vessels if not v.aside and not v.spec.kept_back]


def _left(ahead: Ahead) -> tuple[float, float]:
    """Mean and sd of what may still be used, or filled in."""
    weight = ahead.weight / ahead.weight.sum()
    mean = float((weight * ahead.left).sum())
    return mean, float((weight * (ahead.level_sd**2 + (ahead.left - mean) ** 2)).sum()) ** 0.5


def _rates(known: Belief, name: str, ahead: Ahead, until: float) -> tuple[Floats, Floats]:
    """The mean rate until then, use a day of one person, and how likely each is; gray: water times its share."""
    rates, weight = ahead.flow.rates, ahead.flow.at(np.array([until]))[0].sum(axis=-1)
    if known.drains(name):
        shares, likely = known.threads[GREY].habit.rates, ahead.weight.sum(axis=1)
        rates = np.multiply.outer(rates, shares).ravel()
        weight = np.multiply.outer(weight, likely).ravel()
    return _binned(rates, weight)


def _binned(rates: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """At most RATE_CELLS rates, evenly apart on the log scale; the mean is kept."""
    kept = weight > _NEGLIGIBLE * weight.max()
    rates, weight = rates[kept], weight[kept] / weight[kept].sum()
    logs = np.log(rates)
    width = max(float(logs.max() - logs.min()), 1e-9) / RATE_CELLS
    cell = np.minimum(((logs - logs.min()) / width).astype(int), RATE_CELLS - 1)
    mass: Floats = np.bincount(cell, weight).astype(float)
    first: Floats = np.bincount(cell, weight * rates).astype(float)
    return first[mass > 0] / mass[mass > 0], mass[mass > 0]


def _unsure(known: Belief, name: str, as_of: Moment, days: Floats, base: float) -> dict[str, tuple[float, ...]]:
    """By condition, how much each night's factor changes when the condition does one sd more than is expected of it."""
    source = FRESH if known.drains(name) else name
    thread, habit = known.threads[name], known.threads[source].habit
    factors = known.factors(source)

    def lived(changed: Mapping[str, float]) -> Floats:
        return np.array(_factors(look(known.calendar, source, as_of, changed, thread.began, habit.unforeseen), days, base))

    expected = lived(factors)
    found = {}
    for word, factor in factors.items():
        told = habit.factors.get(word) or Factor.unlearned(*condition(word, known.rig.supply(source)))
        change = np.abs(lived({**factors, word: factor + told.sd}) - expected)
        if change.max(initial=0.0) > _NEGLIGIBLE:
            found[word] = tuple(float(x) for x in change)
    return found


def _factors(future: Future, days: Floats, base: float) -> tuple[float, ...]:
    """Each night's living relative to the usual; nights beyond the horizon are like the last before it."""
    within = np.minimum(days, HORIZON_DAYS)
    lived = np.diff(future.at(within)[0]) / base
    last = lived[np.diff(within) > 0.5]
    lived = np.where(np.diff(within) > 0.5, lived, last[-1] if len(last) else 1.0) if within[-1] < days[-1] else lived
    return tuple(float(x) for x in lived)
