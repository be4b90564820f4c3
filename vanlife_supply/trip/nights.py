"""Night by night: the chance that a supply still holds since it was last seen to. What a strip of days is drawn from."""

from __future__ import annotations

from collections.abc import Mapping

from vanlife_supply.trip.chance import Law, span_of
from vanlife_supply.trip.model import Plan, Trip

Held = tuple[float | None, ...]
"""For every night of a trip the chance that the supply lasts through it; None where no plan says (nights gone by)."""


def held(trip: Trip, plan: Plan, laws: Mapping[str, Law]) -> dict[str, Held]:
    """By supply, the chance that use since the service before stays within what is above the reserve."""
    found: dict[str, list[float | None]] = {s.name: [None] * trip.nights for s in trip.supplies}
    for i in plan.intervals:
        supply = trip.supply(i.supply)
        for night in range(max(i.first_day, trip.today), min(i.last_day, trip.nights)):
            closing = i.end == "end" and night + 1 == i.last_day
            span = span_of(supply, i.first_day, night + 1, i.stock, opening=i.start == "start", closing=closing)
            found[i.supply][night] = laws[i.supply].chance(span) if span.room > 0.0 else 0.0
    return {name: tuple(nights) for name, nights in found.items()}
