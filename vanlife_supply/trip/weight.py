"""What the supplies weigh on the way: expected kilograms aboard on every leg, beside what the vehicle may carry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.weight import kg_each_called
from vanlife_supply.trip.chance import Law
from vanlife_supply.trip.days import along_the_way
from vanlife_supply.trip.model import Plan, Trip, Visit


@dataclass(frozen=True, slots=True)
class LegWeight:
    """Expected kg of supplies on a leg: when it begins, and at its heaviest, after a stop on it."""

    leg: int
    begins: float
    heaviest: float


def refuse_overweight(trip: Trip) -> None:
    """Refusal when the supplies weigh more at the start than the vehicle may carry."""
    if trip.payload is None:
        return
    aboard = sum(s.start * kg_each_called(s.name) for s in trip.supplies)
    if aboard > trip.payload:
        raise Refusal(
            f"The supplies weigh {aboard:.0f} kg at the start and the vehicle may carry {trip.payload:.0f} kg of them "
            f"(payload): leave {aboard - trip.payload:.0f} kg behind or dump before you go."
        )


def leg_weights(trip: Trip, plan: Plan, laws: Mapping[str, Law]) -> tuple[LegWeight, ...]:
    """Every leg that is still ahead, the way home last."""
    reached_in = {place.id: along_the_way(place)[0] for place in trip.places}
    stock = {s.name: s.stock for s in trip.supplies}
    day = {s.name: 0 for s in trip.supplies}
    visits = list(plan.visits)
    found = []
    for leg in range(1, len(trip.stays) + 2):
        reached = trip.first_day(leg)
        on_leg = 2 * leg - 1
        while visits and reached_in[visits[0].place] < on_leg:
            _serve(trip, visits.pop(0), stock, day)
        begins = heaviest = _weigh(trip, laws, stock, day, reached)
        while visits and reached_in[visits[0].place] == on_leg:
            _serve(trip, visits.pop(0), stock, day)
            heaviest = max(heaviest, _weigh(trip, laws, stock, day, reached))
        if reached >= trip.today:
            found.append(LegWeight(leg, begins, heaviest))
    return tuple(found)


def _serve(trip: Trip, visit: Visit, stock: dict[str, float], day: dict[str, int]) -> None:
    for service in visit.services:
        stock[service.supply] = service.level * trip.supply(service.supply).usable
        day[service.supply] = visit.day


def _weigh(trip: Trip, laws: Mapping[str, Law], stock: Mapping[str, float], day: Mapping[str, int], on: int) -> float:
    total = 0.0
    for supply in trip.supplies:
        left = max(0.0, stock[supply.name] - laws[supply.name].mean(day[supply.name], on))
        total += kg_each_called(supply.name) * (supply.usable - left if supply.fills else left)
    return total
