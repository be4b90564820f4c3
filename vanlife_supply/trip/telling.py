"""A plan in plain lines of text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from vanlife_supply.trip.cures import Break
from vanlife_supply.trip.explain import WithoutPlace
from vanlife_supply.trip.model import Interval, Plan, Served, Supply, Trip, Visit

_WORDS = {"fresh": "water", "grey": "gray", "stove_fuel": "alcohol", "propane": "propane"}
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def told(trip: Trip, plan: Plan) -> list[str]:
    """The heading and a line for each stop."""
    head = f"{trip.name or 'Trip'}: {_count(trip.nights, 'night')} from {_date(trip, 0)} {trip.start.year}"
    stops = f"{_count(len(plan.visits), 'stop')}, {plan.cost:.2f} in all"
    verdict = {
        "optimal": f"{stops}: the cheapest there is.",
        "feasible": f"{stops}. There may be one cheaper by {plan.cost - plan.bound:.2f} at most: the search was cut short.",
        "infeasible": f"No plan is as sure as demanded. The surest there is, {stops}:",
    }[plan.status]
    width = max((len(visit.place) for visit in plan.visits), default=0)
    lines = [head, verdict, *(_visit(trip, visit, width) for visit in plan.visits)]
    if plan.left > 0.0:
        lines.append(f"Of the cost, {plan.left:.2f} is for refilling after the trip what is missing at its end.")
    return lines


def told_sureness(trip: Trip, plan: Plan, whole: float, tightest: Interval | None, longer: float | None) -> list[str]:
    """How sure it is: the least sure interval, all together, the tightest and what a night longer would do."""
    lines = [f"Least sure stretch {percent(plan.confidence)}, the whole trip {percent(whole)}."]
    if tightest is not None:
        more = "" if longer is None else f"; a night longer {percent(longer)}"
        ends = f"from {_mark(trip, tightest.start, tightest.first_day)} to {_mark(trip, tightest.end, tightest.last_day)}"
        lines.append(f"Tightest: {_word(tightest.supply)} {ends}, {percent(tightest.p)}{more}.")
    return lines


def told_stops(trip: Trip, reasons: Iterable[WithoutPlace]) -> list[str]:
    """Why each stop: what the trip costs without it."""
    lines = []
    for reason in reasons:
        if reason.extra is None:
            lines.append(f"{reason.place} cannot be done without.")
        else:
            instead = ", ".join(f"{place} on {_date(trip, day)}" for day, place in reason.instead)
            lines.append(f"Without {reason.place}: {reason.extra:.2f} more{f' ({instead} instead)' if instead else ''}.")
    return lines


def told_break(trip: Trip, found: Break) -> list[str]:
    """Where a supply breaks and what would mend it, each cure by itself."""
    supply = trip.supply(found.supply)
    cures = list(_cures(trip, supply, found))
    head = f"{_word(found.supply).capitalize()} holds until {_date(trip, found.reaches)}; "
    return [
        f"{head}the best that can be had is {percent(found.attainable)} of the demanded {percent(supply.confidence)}. "
        "Any one of these mends it:",
        *(f"  {cure}" for cure in cures),
    ]


def _cures(trip: Trip, supply: Supply, found: Break) -> Iterable[str]:
    if found.reading:
        yield "look how much is in it: the level at the start is too uncertain"
    if found.less_use is not None:
        how = ", washing first, never the drinking" if supply.name == "fresh" else ""
        yield f"use {found.less_use} % less{how}"
    if found.containers is not None:
        state = "empty" if supply.fills else "full"
        more = _count(found.containers, "more container")
        yield f"carry {more} of {_amount(supply.name, found.size)}, {state} at the start"
    if found.stop_days:
        yield f"one more place for it on {_either([_date(trip, day) for day in found.stop_days])}"
    if found.attainable > 0.0:
        yield f"be content with {percent(found.attainable)}"


def percent(p: float) -> str:
    """A chance in whole percent, never rounded up to a certainty it is not."""
    if 0.0 < p < 0.01:
        return "under 1 %"
    return f"{math.floor(p * 100.0 + 1e-6)} %"


def _visit(trip: Trip, visit: Visit, width: int) -> str:
    done = ", ".join(_served(trip, service) for service in visit.services)
    money = visit.cost + sum(service.cost for service in visit.services)
    return f"  {_date(trip, visit.day):10}  {visit.place:{width}}  {money:7.2f}  {done}"


def _served(trip: Trip, service: Served) -> str:
    amount = _amount(service.supply, service.amount)
    if trip.supply(service.supply).fills:
        return f"dump {_word(service.supply)} {amount}"
    if service.containers:
        return f"exchange {_word(service.supply)} ×{service.containers}"
    level = "" if service.level >= 1.0 else f" (to {percent(service.level)})"
    return f"{_word(service.supply)} +{amount}{level}"


def _mark(trip: Trip, label: str, day: int) -> str:
    return f"{label.rpartition('@')[0] or f'the {label}'} ({_date(trip, day)})"


def _either(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _amount(supply: str, amount: float) -> str:
    return f"{amount:.1f} {'kg' if supply == 'propane' else 'L'}"


def _word(supply: str) -> str:
    return _WORDS.get(supply, supply)


def _date(trip: Trip, day: int) -> str:
    """Weekday, day and month in fixed English, whatever the locale."""
    date = trip.date_of(day)
    return f"{_WEEKDAYS[date.weekday()]} {date.day} {_MONTHS[date.month - 1]}"
