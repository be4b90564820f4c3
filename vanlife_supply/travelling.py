"""Trips with the person's own numbers: rig and log → supplies and their laws; the plan of before, kept while it holds."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from vanlife_supply import advising
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.nightly import Living, Nightly, nightly
from vanlife_supply.logbook import Logbook, rig_of, trips
from vanlife_supply.moment import Moment, at, read_iso
from vanlife_supply.refusal import Refusal
from vanlife_supply.resupply.along import paid_per_unit, ways_of
from vanlife_supply.resupply.atlas import atlas
from vanlife_supply.rig.model import FILLS, Arrangement, Rig
from vanlife_supply.trip.answer import Answer, answer
from vanlife_supply.trip.chance import BelievedLaw, Law, LawMaker, Rates
from vanlife_supply.trip.change import read_kept, remembered
from vanlife_supply.trip.load import complete
from vanlife_supply.trip.measure import measured
from vanlife_supply.trip.model import Stay, Supply, Trip

_ENOUGH = ("start", "mean")
"""Numbers of a file that make up for a log that says nothing of a supply."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A trip answered with what the log knows. `left_out`: supplies of the rig that nothing is known of.

    `closed`: the names of places left out because they did not work. `rig` None: the trip has numbers of its own.
    """

    answer: Answer
    rig: Rig | None
    left_out: tuple[str, ...] = ()
    closed: tuple[str, ...] = ()


def plan_loaded(
    book: Logbook, name: str, trip: Trip, spared: Collection[str], now: Moment, out_of_time: Callable[[], bool]
) -> Planned:
    """The plan of a loaded trip from today on; the plan of before is kept while it holds, and what is shown is kept.

    With `spared` places it is a question only: nothing is kept.
    """
    closed = trips.closed_places(book, name)
    names = tuple(sorted(place.name or place.id for place in trip.places if place.id in closed))
    trip = _without(trip, {*closed, *spared})
    old = read_kept(trips.kept_plan(book, name))
    left_out: tuple[str, ...] = ()
    if trip.use == "log":
        trip, laws_of, left_out = known(book, trip, now)
        found = answer(trip, laws_of, old, out_of_time)
    else:
        found = answer(trip, old=old, out_of_time=out_of_time)
    if found.plan.status != "infeasible" and not spared:
        trips.keep_plan(book, name, remembered(found.trip, found.plan).text())
    rig = book.rig() if trip.use == "log" else None
    return Planned(found, rig, left_out, names)


def _without(trip: Trip, closed: Collection[str]) -> Trip:
    return replace(trip, places=tuple(place for place in trip.places if place.id not in closed))


def plan_file(book: Logbook, trip: Trip, now: Moment, out_of_time: Callable[[], bool]) -> Planned:
    """The plan of a trip in a file, from today on, with the numbers of rig and log."""
    trip, laws_of, left_out = known(book, trip, now)
    return Planned(answer(trip, laws_of, None, out_of_time), book.rig(), left_out)


def known(book: Logbook, trip: Trip, now: Moment) -> tuple[Trip, LawMaker, tuple[str, ...]]:
    """A `use = "log"` trip, complete and from today on; its laws; the supplies of the rig nothing is known of."""
    rig = book.rig()
    trip = replace(trip, today=_today(trip, now, rig.zone))
    nights = _nights(book, trip, now, rig.zone)
    entries, loaded = book.entries(until=now.epoch), book.arrangements()
    supplies, left_out = [], []
    for its in rig.supplies:
        own = trip.overrides.get(its.name, {})
        value = _usual_price(entries, loaded, its.name, trip)
        if its.name in nights:
            supplies.append(_supply(nights[its.name], rig, its.name, value))
        elif all(key in own for key in _ENOUGH):
            supplies.append(_unlogged(rig, its.name, value))
        else:
            left_out.append(its.name)
    if not supplies:
        raise Refusal('Nothing is known of any supply yet: note what is aboard, like: fill water; or write use = "assume".')
    _refuse_foreign(trip, rig)
    trip = on_the_road(book, _with_factors(complete(trip, supplies), nights), now)
    rates = {name: n.rates for name, n in nights.items() if "cv_rate" not in trip.overrides.get(name, {})}
    return trip, believed(rates), tuple(left_out)


def on_the_road(book: Logbook, trip: Trip, now: Moment) -> Trip:
    """The trip with the roads measured that nobody typed."""
    return measured(trip, ways_of(atlas(book, now), trip))


def believed(rates: Mapping[str, Rates]) -> LawMaker:
    """Laws whose long-run rate is uncertain as believed."""

    def laws_of(trip: Trip) -> dict[str, Law]:
        return {
            s.name: BelievedLaw(s, trip.factors(s.name), rates.get(s.name, ()), trip.unsure(s.name)) for s in trip.supplies
        }

    return laws_of


def _today(trip: Trip, now: Moment, zone: str) -> int:
    """The day of the trip it is, 0 before its start. Refusal once it is over."""
    day = (_date(now, zone) - trip.start).days
    last = _longest(trip).nights
    if day > last:
        raise Refusal(f"The trip ended on {trip.date_of(last)}: set its start to a later date to plan it again.")
    return max(0, day)


def _date(now: Moment, zone: str) -> date:
    return at(now.epoch, zone).local().date()


def _longest(trip: Trip) -> Trip:
    """Every stay at its longest."""
    return replace(trip, stays=tuple(replace(s, nights=s.flexible[1] if s.flexible else s.nights) for s in trip.stays))


def _nights(book: Logbook, trip: Trip, now: Moment, zone: str) -> dict[str, Nightly]:
    """What the belief says of every night from today (or the start) on."""
    longest = _longest(trip)

    def noon(day: int) -> Moment:
        return read_iso(f"{longest.date_of(day)}T12:00", zone).moment

    first = now if longest.date_of(trip.today) <= _date(now, zone) else noon(trip.today)
    bounds = [first, *(noon(day) for day in range(trip.today + 1, max(longest.nights, trip.today + 1) + 1))]
    # Those aboard at the end stay a day longer, so that the forecast's coarse steps do not cut into the last night.
    last = [noon(longest.first_day(k)) for k in range(2, len(longest.stays) + 1)] + [noon(longest.nights + 1)]
    living = [
        Living(noon(longest.first_day(k)).epoch, last[k - 1].epoch, stay.people, stay.conditions)
        for k, stay in enumerate(longest.stays, start=1)
        if stay.people is not None or stay.conditions is not None
    ]
    return nightly(advising.believed(book, now), now, bounds, living)


def _supply(n: Nightly, rig: Rig, name: str, value: float) -> Supply:
    return Supply(
        name, n.usable, n.level, n.mean, min(n.reserve, n.usable), n.level_sd, n.cv, n.cv_rate, rig.confidence,
        end_value=value, unit=_one_container(rig, name), fills=_fills(rig, name),
    )  # fmt: skip


def _unlogged(rig: Rig, name: str, value: float) -> Supply:
    """A supply the log says nothing of: its size from the rig, the rest stands in the file."""
    usable = sum(c.stop - (0.0 if _fills(rig, name) else c.dead) for c in rig.of(name) if not c.kept_back)
    reserve = 0.0 if _fills(rig, name) else min(rig.supply(name).reserve, usable)
    return Supply(
        name, usable, 0.0, 0.0, reserve, confidence=rig.confidence, end_value=value, unit=_one_container(rig, name),
        fills=_fills(rig, name),
    )  # fmt: skip


def _fills(rig: Rig, name: str) -> bool:
    return rig.supply(name).direction == FILLS


def _one_container(rig: Rig, name: str) -> float | None:
    """The contents of one container handed over in an exchange."""
    portable = [c.stop for c in rig.of(name) if c.portable]
    return min(portable, default=None)


def _refuse_foreign(trip: Trip, rig: Rig) -> None:
    """An [assume.X] of something the rig does not carry is a slip."""
    for name in trip.overrides:
        rig.supply(name)


def _with_factors(trip: Trip, nights: Mapping[str, Nightly]) -> Trip:
    """Each stay with the use the belief expects of its nights; the factors of the file go before."""
    longest = _longest(trip)
    found: list[Stay] = []
    for k, stay in enumerate(trip.stays, start=1):
        first, last = longest.first_day(k), longest.first_day(k + 1)
        span = slice(max(0, first - trip.today), max(0, last - trip.today))
        expected = {name: _mean(n.factors[span]) for name, n in nights.items()}
        unsure = {
            name: {word: _mean(each[span]) for word, each in n.unsure.items() if any(each[span])}
            for name, n in nights.items() if name not in stay.factor
        }  # fmt: skip
        found.append(replace(stay, factor={**expected, **stay.factor}, unsure=unsure))
    return replace(trip, stays=tuple(found))


def _mean(values: tuple[float, ...]) -> float:
    return sum(values) / len(values) if values else 1.0


def _usual_price(entries: Sequence[Entry], loaded: Sequence[Arrangement], name: str, trip: Trip) -> float:
    """Money for one unit: the median of what the person paid, else of what the places of the trip ask."""
    paid = [price for e in entries if e.supply == name and (price := paid_per_unit(e, rig_of(loaded, e.at.epoch)))]
    asked = [s.price for place in trip.places if (s := place.service(name)) and not s.exchange and s.price > 0.0]
    return float(median(paid or asked or [0.0]))
