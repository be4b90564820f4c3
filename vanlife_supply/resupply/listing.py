"""The places in the order a person wants them: those that help with what runs out first at the top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanlife_supply.forecast.model import Forecast
from vanlife_supply.place.answers import Answer
from vanlife_supply.place.distance import Distance, great_circle_km
from vanlife_supply.place.model import WHATS, Place, What
from vanlife_supply.resupply.atlas import Atlas, what_of_supply
from vanlife_supply.resupply.stop import SOMEWHERE_KM, grade, may_be

_MEASURED = 60
"""Roads are worked out for so many places; farther down nobody looks for the minute."""


@dataclass(frozen=True, slots=True)
class Row:
    """A place of the list: what is the matter there (`what`), all its answers, how far by road if known."""

    place: Place
    what: What
    said: dict[What, Answer]
    road: Distance | None


def needed(forecast: Forecast) -> tuple[What, ...]:
    """What places help with, the first to run out first; what is not known last."""
    days = {s.supply: s.days_left.p10 if s.days_left else None for s in forecast.supplies}
    ordered = sorted(days, key=lambda name: (days[name] is None, days[name] or 0.0))
    return tuple(dict.fromkeys(what for name in ordered if (what := what_of_supply(name))))


def rows(known: Atlas, needs: Sequence[What], only: What | None = None) -> list[Row]:
    """All places, or those where `only` may be had; those that serve the first of `needs` first, best and nearest first."""
    here = known.position.place.point if known.position else None
    wanted = (only,) if only else (*needs, *(what for what in WHATS if what not in needs))

    def served(said: dict[What, Answer]) -> int:
        return next((i for i, what in enumerate(wanted) if may_be(said[what])), len(wanted))

    def key(row: tuple[Place, dict[What, Answer], int]) -> tuple[int, int, float, str]:
        place, said, first = row
        km = SOMEWHERE_KM if here is None or place.point is None else great_circle_km(here, place.point)
        return first, grade(said[wanted[first]]) if first < len(wanted) else 0, km, place.name or "~"

    answered = [(place, said, served(said)) for place in known.places for said in [known.answers(place)]]
    shown = sorted((row for row in answered if only is None or row[2] == 0), key=key)
    return [
        Row(place, wanted[min(first, len(wanted) - 1)], said, known.from_here(place) if i < _MEASURED else None)
        for i, (place, said, first) in enumerate(shown)
    ]
