"""The places in the order a person wants them: those that help with what runs out first at the top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanlife_supply.forecast.model import Forecast
from vanlife_supply.place.distance import great_circle_km
from vanlife_supply.place.model import WHATS, Place, What
from vanlife_supply.resupply.atlas import Atlas, what_of_supply
from vanlife_supply.resupply.stop import SOMEWHERE_KM, grade, may_be


@dataclass(frozen=True, slots=True)
class Row:
    """A place of the list and what is the matter there (`what`): its answers and the road to it are asked of the atlas.

    Where nothing wanted may be had, `what` is the first of it that the place says no to, else the first need.
    """

    place: Place
    what: What


def needed(forecast: Forecast) -> tuple[What, ...]:
    """What places help with, the first to run out first; what is not known last."""
    days = {s.supply: s.days_left.p10 if s.days_left else None for s in forecast.supplies}
    ordered = sorted(days, key=lambda name: (days[name] is None, days[name] or 0.0))
    return tuple(dict.fromkeys(what for name in ordered if (what := what_of_supply(name))))


def rows(known: Atlas, needs: Sequence[What], only: What | None = None) -> list[Row]:
    """All places, or those where `only` may be had; those that serve the first of `needs` first, best and nearest first."""
    here = known.position.place.point if known.position else None
    wanted = (only,) if only else (*needs, *(what for what in WHATS if what not in needs))
    ranked: list[tuple[int, int, float, str, int]] = []
    for i, place in enumerate(known.places):
        first, rank = next(
            ((n, grade(said)) for n, what in enumerate(wanted) if may_be(said := known.glance(place, what))),
            (len(wanted), 0),
        )
        if only is None or first == 0:
            km = SOMEWHERE_KM if here is None or place.point is None else great_circle_km(here, place.point)
            ranked.append((first, rank, km, place.name or "~", i))
    return [
        Row(known.places[i], wanted[first] if first < len(wanted) else _refused(known, known.places[i], wanted))
        for first, _, _, _, i in sorted(ranked)
    ]


def _refused(known: Atlas, place: Place, wanted: Sequence[What]) -> What:
    return next((what for what in wanted if known.glance(place, what).hinted), wanted[0])


def names(known: Atlas) -> tuple[str, ...]:
    """The names of places in the order a person may mean them: where they are, where they were, then the nearest."""
    here = known.position.place if known.position else None
    last = {id_: max(e.at.epoch for e in visits) for id_, visits in known.visits.items() if visits}

    def key(place: Place) -> tuple[bool, float, float]:
        point = here.point if here else None
        km = SOMEWHERE_KM if point is None or place.point is None else great_circle_km(point, place.point)
        return place is not here, -last.get(place.id, 0.0), km

    ranked = sorted((place for place in known.places if place.name), key=key)
    return tuple(dict.fromkeys(place.name for place in ranked if place.name))
