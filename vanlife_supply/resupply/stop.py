"""The next stop: which place, by when, what to do there, and where else if it fails.

Only the person's own yes is certain; what the map leaves open is "ask" and shown as such.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Forecast, SupplyOutlook
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.place.answers import Answer
from vanlife_supply.place.distance import Distance, great_circle_km
from vanlife_supply.place.hours import Opening, open_at
from vanlife_supply.place.model import Place, What, Word, place_id
from vanlife_supply.resupply.atlas import Atlas, Cost, Position, atlas, named, what_of_supply
from vanlife_supply.rig.model import EMPTIES, Rig

# Common practice, no source: what one drives for certainty, what a stop saved is worth, a place whose point is unknown.
FAR_KM = 160.0
SAVED_STOP_KM = 25.0
SOMEWHERE_KM = 50.0
SAME_STOP_DAYS = 7.0
"""What runs out within so many days after the first is seen to at the same stop: common practice, no source."""
ROAD_KM_AN_HOUR = 60.0
"""How fast one comes along, for when one would be there: common practice, no source."""
TRIVIAL_SHARE = 0.05
"""So little of the capacity missing by then is no task for a stop: common practice, no source."""
_MEASURED = 30
_BOATS = "boats"
_SEASONED = ("opening_hours", "seasonal")


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do at a place. `amount`: canonical, to dump or to get, None if not known; `days` to count on.

    `due`: it runs out so soon that another stop would be needed for it.
    """

    what: What
    supply: str
    answer: Answer
    days: float
    amount: float | None
    due: bool
    cost: Cost

    @property
    def certain(self) -> bool:
        """The person found out themselves that it may be had."""
        return self.answer.word == "yes" and self.answer.own


@dataclass(frozen=True, slots=True)
class Option:
    """A place to go to, what to do there (what may go first), how far by road if known.

    `opening`: whether it is open at `arrival`, when one is there going now; None where nothing is said of its hours.
    `size`: why it is not sure that the vehicle gets in, "" if it is.
    """

    place: Place
    tasks: tuple[Task, ...]
    arrival: Moment
    distance: Distance | None = None
    opening: Opening | None = None
    size: str = ""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A dump or fill planned at a place that is not known to take or give it."""

    plan: Entry
    place: Place
    answer: Answer


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """A need the place does not serve though it is due, until when one may count on, and the best place for it if any."""

    what: What
    by: Moment
    place: Place | None


@dataclass(frozen=True, slots=True)
class Stop:
    """The next stop: `for_what` is the need that calls for it, `by` the time one may count on.

    `option` None: no place known serves anything that is needed. `onward`: from it to the runner-up.
    """

    for_what: What
    supply: str
    by: Moment
    option: Option | None
    runner_up: Option | None
    onward: Distance | None
    missing: tuple[Elsewhere, ...]
    doubts: tuple[Doubt, ...]
    position: Position | None


def stop_in(book: Logbook, forecast: Forecast, plans: Iterable[Entry]) -> Stop | None:
    """The next stop as of a forecast, from the places of the log; None where none is known or nothing calls for one."""
    if not book.has_places():
        return None
    known = atlas(book, forecast.as_of)
    return next_stop(forecast, book.rig(forecast.as_of.epoch), known, plans) if known.places else None


def next_stop(forecast: Forecast, rig: Rig, known: Atlas, plans: Iterable[Entry] = ()) -> Stop | None:
    """Where to go next and by when; None when nothing that a place gives or takes will run out within a year.

    The place serves the need that comes first and for which any place is known. Among those the person's own yes
    comes before the map's, the map's before "ask"; then how far it is, a need more served counting as a detour saved.
    """
    needs = _needs(forecast, rig)
    if not needs:
        return None
    for need in needs:
        good = _serving(need, known)
        if good:
            break
    else:
        need, good = needs[0], []
    ranked = _ranked(good, need, needs, known, frost="cold" in forecast.conditions)
    first, second = (*ranked[:2], None, None)[:2]
    served = {task.what for task in first.tasks} if first else set()
    missing = tuple(
        Elsewhere(n.what, forecast.as_of.plus(n.days), _best(n, needs, known))
        for n in needs if n.due and n.what not in served
    )  # fmt: skip
    return Stop(
        need.what, need.supply, forecast.as_of.plus(need.days), first, second, _onward(first, second, known),
        missing, tuple(_doubts(plans, known)), known.position,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Need:
    what: What
    supply: str
    days: float
    amount: float | None
    due: bool


def _needs(forecast: Forecast, rig: Rig) -> list[_Need]:
    """What places can help with, the first to run out first; at equal times what may go before what must come."""
    known = [(s.days_left.p10, s) for s in forecast.supplies if s.days_left and s.days_left.p10 is not None]
    ranked = sorted(known, key=lambda pair: (pair[0], pair[1].direction == EMPTIES))
    first = ranked[0][0] if ranked else 0.0
    needs = [(what_of_supply(s.supply), days, s) for days, s in ranked]
    return [
        _Need(what, s.supply, days, _to_move(s, rig), days <= first + SAME_STOP_DAYS)
        for what, days, s in needs if what and (days == first or not _trivial(s, rig, first))
    ]  # fmt: skip


def _trivial(outlook: SupplyOutlook, rig: Rig, days: float) -> bool:
    """Whether so little will be to dump or to get when one has to go that it is not worth a word."""
    amount = _to_move(outlook, rig)
    pace = outlook.use_per_day.p50 if outlook.use_per_day else None
    return amount is not None and amount + (pace or 0.0) * days <= TRIVIAL_SHARE * outlook.capacity


def _to_move(outlook: SupplyOutlook, rig: Rig) -> float | None:
    """How much there is to dump, or how much more can be filled in."""
    if outlook.level is None or outlook.level.p50 is None:
        return None
    if outlook.direction != EMPTIES:
        return outlook.level.p50
    return max(0.0, sum(c.stop for c in rig.of(outlook.supply)) - outlook.level.p50)


def may_be(said: Answer) -> bool:
    """Whether it may be had: yes, or ask where something at the place speaks of it."""
    return said.word == "yes" or (said.word == "ask" and said.hinted)


def grade(said: Answer) -> int:
    """0 the person's own yes, 1 the map's, 2 ask; a point for boats is no better than that."""
    if said.word != "yes" or said.limited == _BOATS:
        return 2
    return 0 if said.own else 1


def _serving(need: _Need, known: Atlas) -> list[Place]:
    return [p for p in known.places if may_be(known.glance(p, need.what)) and known.fits(p)[0] != "no"]


def _ranked(
    places: Sequence[Place], need: _Need, needs: Sequence[_Need], known: Atlas, *, frost: bool = False
) -> list[Option]:
    """The two best, best first. Roads are worked out for the likeliest only; a straight line is enough to leave the rest."""

    def key(place: Place, km: float | None, saved: float) -> tuple[bool, int, float, float, str]:
        away, said = SOMEWHERE_KM if km is None else km, known.answer(place, need.what)
        return away > FAR_KM, grade(said), away - saved, -(said.since or 0.0), place.name or "~"

    likely = _likeliest(places, need, needs, known)
    roads = {place.id: known.from_here(place) for place, _ in likely}
    best = sorted(
        (key(place, road.likely if (road := roads[place.id]) else None, saved), i) for i, (place, saved) in enumerate(likely)
    )
    return [_option(likely[i][0], needs, known, roads[likely[i][0].id], frost) for _, i in best[:2]]


def _likeliest(
    places: Sequence[Place], need: _Need, needs: Sequence[_Need], known: Atlas
) -> list[tuple[Place, float]]:
    """The places that may be among the best by the straight line, and the kilometres a stop saved there is worth."""
    here = known.position.place.point if known.position else None
    others = [n.what for n in needs if n.due and n.what != need.what]

    def away(place: Place) -> float:
        return SOMEWHERE_KM if here is None or place.point is None else great_circle_km(here, place.point)

    def saved(place: Place) -> float:
        return SAVED_STOP_KM * sum(known.glance(place, what).word == "yes" for what in others)

    rough = sorted((km > FAR_KM, grade(known.glance(p, need.what)), km, i) for i, p in enumerate(places) for km in [away(p)])
    likely: list[tuple[Place, float]] = []
    for _, alike in groupby(rough, key=lambda one: one[:2]):
        ranked = list(alike)
        # What lies farther than this cannot make up for it with everything else it may have.
        reach = ranked[min(len(ranked), _MEASURED) - 1][2] + SAVED_STOP_KM * len(others)
        near = [(km, places[i], saved(places[i])) for _, _, km, i in ranked if km <= reach]
        near.sort(key=lambda one: one[0] - one[2])
        likely += [(place, worth) for _, place, worth in near[:_MEASURED]]
        if len(likely) >= _MEASURED:
            break
    return likely


def _best(need: _Need, needs: Sequence[_Need], known: Atlas) -> Place | None:
    ranked = _ranked(_serving(need, known), need, needs, known)
    return ranked[0].place if ranked else None


def _option(place: Place, needs: Sequence[_Need], known: Atlas, road: Distance | None, frost: bool) -> Option:
    tasks = [
        Task(n.what, n.supply, said, n.days, n.amount, n.due, known.cost(place, n.what))
        for n in needs if may_be(said := known.answer(place, n.what))
    ]  # fmt: skip
    tasks.sort(key=lambda task: (_ORDER.index(task.what)))
    frozen = frost and any(task.what == "fresh" for task in tasks)
    seasoned = frozen or any(key in place.tags for key in _SEASONED)
    arrival = known.as_of.plus((road.likely if road else 0.0) / ROAD_KM_AN_HOUR / 24)
    opening = open_at(place, arrival, country=known.vehicle.country, frost=frozen) if seasoned else None
    return Option(place, tuple(tasks), arrival, road, opening, known.fits(place)[1])


_ORDER: tuple[What, ...] = ("grey", "toilet", "fresh", "propane", "stove_fuel")
"""Dump first, then water, then fuels."""


def _onward(first: Option | None, second: Option | None, known: Atlas) -> Distance | None:
    if first is None or second is None or first.place.point is None or second.place.point is None:
        return None
    return known.distance(first.place.point, second.place.point)


def _doubts(plans: Iterable[Entry], known: Atlas) -> Iterable[Doubt]:
    for plan in plans:
        what = what_of_supply(plan.supply)
        if not plan.place or what is None:
            continue
        found = named(known.places, plan.place)
        place = found[0] if len(found) == 1 else Place(place_id("", plan.place, None, None), plan.place)
        said = known.answer(place, what)
        if not (said.own and said.word == "yes"):
            yield Doubt(plan, place, said)


def works(plans: Iterable[Entry], known: Atlas) -> dict[str, float]:
    """Plan (its id) → the chance that it can be done where it is planned, for those the person has not found out."""
    return {doubt.plan.id: _WORKS[doubt.answer.word] for doubt in _doubts(plans, known)}


_WORKS: dict[Word, float] = {"yes": 0.8, "ask": 0.5, "no": 0.0}
"""How often what the map says turns out so; "ask" is a coin's toss: common practice, no source."""
