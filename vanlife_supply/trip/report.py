"""An answer as the JSON object scripts rely on (schema 1): keys are added, never renamed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.bands import Expected, expected
from vanlife_supply.trip.change import Followed, StopKey
from vanlife_supply.trip.cures import Break
from vanlife_supply.trip.explain import whole_trip_chance
from vanlife_supply.trip.flexible import Stretched
from vanlife_supply.trip.model import Interval, Stay, Trip, Visit
from vanlife_supply.trip.weight import leg_weights

_DIGITS = 6


def as_object(answer: Answer, breaks: Sequence[Break] = ()) -> dict[str, Any]:
    """The answer in plain lists, texts and numbers; amounts in L or kg, weights in kg, money without unit."""
    trip, plan, laws = answer.trip, answer.plan, answer.laws
    return {
        "status": plan.status,
        "cost": _short(plan.cost),
        "bound": _short(plan.bound),
        "confidence": _short(plan.confidence),
        "attainable": {name: _short(p) for name, p in plan.attainable.items()},
        "visits": [
            _visit(trip, visit, services) for visit, services in zip(plan.visits, expected(trip, plan, laws), strict=True)
        ],
        "supplies": [
            {
                "supply": s.name,
                "intervals": [_interval(i) for i in plan.intervals if i.supply == s.name],
                "use_per_night": _short(s.mean),
                "start": _short(s.start),
            }
            for s in trip.supplies
        ],
        "name": trip.name,
        "cost_after_trip": _short(plan.left),
        "breaks": [_break(one) for one in breaks],
        "whole_trip": _short(whole_trip_chance(trip, plan, answer.laws_of)),
        "today": trip.today,
        "nights": [stay.nights for stay in trip.stays],
        "legs": [_leg(stay) for stay in trip.stays],
        "flexible": [_stretched(one) for one in answer.stretched],
        "weights": [
            {"leg": w.leg, "begins": _short(w.begins), "heaviest": _short(w.heaviest)} for w in leg_weights(trip, plan, laws)
        ],
        "followed": None if answer.followed is None else _followed(answer.followed),
    }


def _visit(trip: Trip, visit: Visit, services: Sequence[Expected]) -> dict[str, Any]:
    return {
        "day": visit.day,
        "date": trip.date_of(visit.day).isoformat(),
        "place": visit.place,
        "cost": _short(visit.cost),
        "services": [_service(one) for one in services],
    }


def _service(one: Expected) -> dict[str, Any]:
    found: dict[str, Any] = {
        "supply": one.served.supply,
        "amount": _short(one.served.amount),
        "level": one.served.level,
        "cost": _short(one.served.cost),
        "amount_band": [_short(one.low), _short(one.high)],
        "cost_band": [_short(one.cost_low), _short(one.cost_high)],
    }
    if one.served.containers:
        found["containers"] = one.served.containers
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


def _leg(stay: Stay) -> dict[str, Any]:
    """Kilometres as typed, else as measured with the range and how that is known; null where nothing is known."""
    if stay.km is not None or stay.road is None:
        return {"km": stay.km, "km_band": None, "how": None if stay.km is None else "as typed"}
    return {"km": _short(stay.road.likely), "km_band": [_short(stay.road.low), _short(stay.road.high)], "how": stay.road.how}


def _stretched(one: Stretched) -> dict[str, Any]:
    lengths = [{"nights": x.nights, "cost": None if x.cost is None else _short(x.cost)} for x in one.lengths]
    return {
        "stay": one.stay, "taken": one.taken, "lengths": lengths, "more_not_ruled_out": one.more, "cheapest": one.cheapest,
    }  # fmt: skip


def _followed(one: Followed) -> dict[str, Any]:
    return {"kept": one.kept, "dropped": [_stop(key) for key in one.dropped], "added": [_stop(key) for key in one.added]}


def _stop(key: StopKey) -> dict[str, str]:
    return {"date": key[0], "place": key[1]}


def _short(value: float) -> float:
    return round(value, _DIGITS)
