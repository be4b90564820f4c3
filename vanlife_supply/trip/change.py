"""Staying with a plan: the one last shown is kept while it holds and costs hardly more than the cheapest there is.

Changing plans every day is a cost of its own (nervousness of rolling schedules: Federgruen & Tzur 1994).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from vanlife_supply.trip.chance import TOLERANCE, Law, enough
from vanlife_supply.trip.days import Opportunity, along_the_way, days_of, visit_cost
from vanlife_supply.trip.model import Interval, Plan, Trip
from vanlife_supply.trip.pricing import Priced, Stop, price

WORTH_A_CHANGE, WORTH_A_CHANGE_SHARE = 1.0, 0.02
"""What a new plan must save, in money or as a share of its cost, before it takes the place of the old one."""
SAME_USE = 0.05
"""Use a night that differs by no more than this share is no reason given for a change."""

StopKey = tuple[str, str]
"""(ISO date, place)"""


@dataclass(frozen=True, slots=True)
class Kept:
    """What is remembered of a plan: the level each stop brought each supply to, and the use a night it reckoned with."""

    stops: Mapping[StopKey, Mapping[str, float]]
    means: Mapping[str, float]

    def text(self) -> str:
        """For keeping."""
        stops = [[day, place, dict(levels)] for (day, place), levels in self.stops.items()]
        return json.dumps({"stops": stops, "means": dict(self.means)}, ensure_ascii=False)


@dataclass(frozen=True, slots=True)
class Followed:
    """How a plan came from the one before. `kept`: it is still the old one, `dearer` than the cheapest by so much.

    Otherwise `dropped` and `added` stops, and why: `gone`, a stop that is not possible any more; `failing`, an interval
    that would not hold, with the use a night reckoned with `before` and `now` where that has changed; else it saves
    `saves`.
    """

    kept: bool
    dearer: float = 0.0
    dropped: tuple[StopKey, ...] = ()
    added: tuple[StopKey, ...] = ()
    gone: StopKey | None = None
    failing: Interval | None = None
    before: float | None = None
    now: float | None = None
    saves: float = 0.0


def remembered(trip: Trip, plan: Plan) -> Kept:
    """What to keep of a plan."""
    stops = {
        (trip.date_of(visit.day).isoformat(), visit.place): {s.supply: s.level for s in visit.services}
        for visit in plan.visits
    }
    return Kept(stops, {s.name: s.mean for s in trip.supplies})


def read_kept(text: str | None) -> Kept | None:
    """What was kept; None where there is nothing that can be read."""
    try:
        told = json.loads(text or "")
        stops = {(str(day), str(place)): _numbers(levels) for day, place, levels in told["stops"]}
        return Kept(stops, _numbers(told["means"]))
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _numbers(told: Mapping[str, float]) -> dict[str, float]:
    return {str(name): float(value) for name, value in told.items()}


def follow(trip: Trip, best: Plan, old: Kept, laws: Mapping[str, Law]) -> tuple[Plan, Followed]:
    """The old plan if it still holds and is hardly dearer than the best one, else the best one and why."""
    today = trip.date_of(trip.today).isoformat()
    ahead = {key: levels for key, levels in old.stops.items() if key[0] >= today}
    later = {key: levels for key, levels in ahead.items() if key[0] > today}
    gone = next((key for key in ahead if _opportunity(trip, key) is None), None)
    failing: Interval | None = None
    saves = 0.0
    if gone is None:
        tried = [_priced(trip, laws, stops) for stops in ((ahead,) if later == ahead else (later, ahead))]
        holding = [one for one in tried if _failing(one, trip) is None]
        cheapest = min(holding, key=lambda one: one.cost, default=None)
        if cheapest is not None and best.status != "infeasible":
            saves = cheapest.cost - best.cost
            if saves <= max(WORTH_A_CHANGE, WORTH_A_CHANGE_SHARE * best.cost):
                return _as_plan(cheapest, best), Followed(True, max(0.0, saves))
        elif cheapest is None:
            failing = _failing(tried[-1], trip)
    new = set(remembered(trip, best).stops)
    was = before = now = None
    if failing is not None:
        was, supply = old.means.get(failing.supply), trip.supply(failing.supply)
        if was is not None and abs(supply.mean - was) > SAME_USE * was:
            before, now = was, supply.mean
    dropped, added = tuple(sorted(set(ahead) - new)), tuple(sorted(new - set(ahead)))
    return best, Followed(False, 0.0, dropped, added, gone, failing, before, now, saves)


def _opportunity(trip: Trip, key: StopKey) -> Opportunity | None:
    place = next((p for p in trip.places if p.id == key[1]), None)
    day = (date.fromisoformat(key[0]) - trip.start).days
    if place is None or day not in days_of(trip, place):
        return None
    return Opportunity(day, place, visit_cost(trip, place))


def _priced(trip: Trip, laws: Mapping[str, Law], ahead: Mapping[StopKey, Mapping[str, float]]) -> Priced:
    """The stops as far as they still serve anything, in order of travel."""
    planned = {s.name for s in trip.supplies}
    stops: Iterable[Stop] = (
        Stop(at, {name: level for name, level in levels.items() if name in planned and at.place.service(name)})
        for key, levels in ahead.items() if (at := _opportunity(trip, key)) is not None
    )  # fmt: skip
    return price(trip, laws, sorted(stops, key=lambda stop: (stop.at.day, *along_the_way(stop.at.place))))


def _failing(found: Priced, trip: Trip) -> Interval | None:
    """The first interval that does not hold, or that ends in a service which would take something away."""
    level = {(s.supply, f"{v.place}@{v.day}"): s.level for v in found.visits for s in v.services}
    for i in found.intervals:
        supply = trip.supply(i.supply)
        full = level.get((i.supply, i.end), 1.0) * supply.usable
        if not enough(i.p, i.demanded) or full - i.stock + i.use < -TOLERANCE:
            return i
    return None


def _as_plan(old: Priced, best: Plan) -> Plan:
    status = best.status if old.cost <= best.cost + TOLERANCE else "feasible"
    return replace(
        best, status=status, cost=old.cost, bound=min(best.bound, old.cost), visits=old.visits, intervals=old.intervals,
        left=old.left,
    )  # fmt: skip
