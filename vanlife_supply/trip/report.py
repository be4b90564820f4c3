"""A plan as the JSON object scripts rely on (schema 1): keys are added, never renamed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vanlife_supply.trip.cures import Break
from vanlife_supply.trip.model import Interval, Plan, Served, Trip, Visit

_DIGITS = 6


def as_object(trip: Trip, plan: Plan, breaks: Sequence[Break] = ()) -> dict[str, Any]:
    """The plan in plain lists, texts and numbers; amounts in L or kg, money without unit."""
    return {
        "status": plan.status,
        "cost": _short(plan.cost),
        "bound": _short(plan.bound),
        "confidence": _short(plan.confidence),
        "attainable": {name: _short(p) for name, p in plan.attainable.items()},
        "visits": [_visit(trip, visit) for visit in plan.visits],
        "supplies": [
            {"supply": s.name, "intervals": [_interval(i) for i in plan.intervals if i.supply == s.name]}
            for s in trip.supplies
        ],
        "name": trip.name,
        "cost_after_trip": _short(plan.left),
        "breaks": [_break(one) for one in breaks],
    }


def _visit(trip: Trip, visit: Visit) -> dict[str, Any]:
    return {
        "day": visit.day,
        "date": trip.date_of(visit.day).isoformat(),
        "place": visit.place,
        "cost": _short(visit.cost),
        "services": [_service(service) for service in visit.services],
    }


def _service(service: Served) -> dict[str, Any]:
    found: dict[str, Any] = {
        "supply": service.supply,
        "amount": _short(service.amount),
        "level": service.level,
        "cost": _short(service.cost),
    }
    if service.containers:
        found["containers"] = service.containers
    return found


def _interval(interval: Interval) -> dict[str, Any]:
    return {
        "from": interval.start,
        "to": interval.end,
        "use": _short(interval.use),
        "p": _short(interval.p),
        "latest_day": interval.latest_day,
    }


def _break(one: Break) -> dict[str, Any]:
    return {
        "supply": one.supply,
        "reaches_day": one.reaches,
        "less_use_percent": one.less_use,
        "more_containers": one.containers,
        "container": _short(one.size),
        "stop_days": list(one.stop_days),
        "reading_helps": one.reading,
    }


def _short(value: float) -> float:
    return round(value, _DIGITS)
