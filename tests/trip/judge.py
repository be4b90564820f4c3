"""An independent reading of the trip rules: own calendar and arithmetic, SciPy's gamma, no line of the planner's."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import product

from scipy.special import gammainc

from vanlife_supply.trip.model import Place, Plan, Service, Supply, Trip

Chain = tuple[tuple[int, str, float], ...]
"""(day, place, level) of the services of one supply."""
Visits = dict[tuple[int, str], dict[str, float]]
"""(day, place) → level by supply."""
ALL_HOLD = (math.inf,)


def open_days(trip: Trip, place: Place) -> list[int]:
    """Days of the trip on which the place can be used."""
    begins = [0]
    for stay in trip.stays:
        begins.append(begins[-1] + stay.nights)
    if place.stay is None:
        assert place.leg is not None
        days = {begins[place.leg - 1]}
    else:
        arrive, depart = begins[place.stay - 1], begins[place.stay]
        days = {"arrive": {arrive}, "depart": {depart}, "any": set(range(arrive, depart + 1))}[place.when]
    return [d for d in sorted(days) if _opened(place, trip.start + timedelta(days=d))]


def _opened(place: Place, day: date) -> bool:
    text = f"{day:%m-%d}"
    if place.season is not None:
        a, b = (f"{m:02}-{d:02}" for m, d in place.season)
        if (a <= b and not a <= text <= b) or (a > b and b < text < a):
            return False
    return (place.open is None or day.weekday() in place.open) and day not in place.closed


def offer(place: Place, name: str) -> Service | None:
    """The service of that supply, or None."""
    for service in place.services:
        if service.supply == name:
            return service
    return None


def visit_money(trip: Trip, place: Place) -> float:
    """Cost of going there."""
    c = trip.costs
    stop = c.stop if place.stop is None else place.stop
    return stop + (place.detour_km or 0.0) * c.per_km + place.hours * c.per_hour + place.entry


class Judge:
    """Follows chains of services through a trip."""

    def __init__(self, trip: Trip) -> None:
        self.trip = trip
        self.places = {p.id: p for p in trip.places}
        self.factors = {
            s.name: [x.factor.get(s.name, 1.0) for x in trip.stays for _ in range(x.nights)] for s in trip.supplies
        }
        self.nights = sum(x.nights for x in trip.stays)
        self._chances: dict[tuple[float, float, float], float] = {}

    def mean(self, s: Supply, a: int, b: int) -> float:
        """Expected use from day a to day b."""
        return math.fsum(s.mean * f for f in self.factors[s.name][a:b])

    def chance(self, s: Supply, a: int, b: int, stock: float, *, first: bool, last: bool) -> float:
        """P that the supply holds from day a to day b."""
        floor = max(s.reserve, s.end_reserve or 0.0) if last else s.reserve
        room, mu = stock - floor, self.mean(s, a, b)
        if mu <= 0:
            return 1.0 if not last or room >= -1e-9 else 0.0
        var = math.fsum((s.cv * s.mean * f) ** 2 for f in self.factors[s.name][a:b]) + (s.cv_rate * mu) ** 2
        var += s.start_sd**2 if first else 0.0
        if room < 0:
            return 0.0
        if var <= 0:
            return float(mu <= room)
        key = (round(mu, 10), round(var, 10), round(room, 10))
        if key not in self._chances:
            self._chances[key] = float(gammainc(mu * mu / var, room * mu / var))
        return self._chances[key]

    def follow(self, s: Supply, chain: Chain) -> tuple[float, tuple[float, ...]] | None:
        """(money without visits, keys of the failing intervals and infinity) of one supply; None if not allowed."""
        day, stock, cost, keys = 0, (s.usable - s.start if s.name == "grey" else s.start), 0.0, []
        for i, (then, place, level) in enumerate((*chain, (self.nights, "", 0.0))):
            last = i == len(chain)
            p, mu = self.chance(s, day, then, stock, first=i == 0, last=last), self.mean(s, day, then)
            if p < s.confidence - 1e-9:
                keys.append(round(p, 6) if p >= 1e-6 else round(-mu / s.usable, 6))
            if last:
                cost += s.end_value * (s.usable - stock + mu)
                break
            amount = level * s.usable - stock + mu
            if amount < -1e-9 or (i > 0 and then <= day):
                return None
            cost += self.pay(s, self.places[place], amount, s.usable - stock + mu)
            day, stock = then, level * s.usable
        return cost, (*sorted(keys), math.inf)

    def pay(self, s: Supply, place: Place, amount: float, missing: float) -> float:
        """Money of one service that takes that amount when so much is missing to the full."""
        service = offer(place, s.name)
        assert service is not None
        if not service.exchange:
            return service.fee + service.price * max(0.0, amount)
        assert s.unit is not None
        return service.fee + service.price * max(1, math.ceil(missing / s.unit - 1e-9))

    def cost(self, visits: Visits) -> tuple[float, dict[str, tuple[float, ...]]]:
        """(cost, keys by supply) of a plan that is allowed."""
        total = sum(visit_money(self.trip, self.places[place]) for _, place in visits)
        keys = {}
        for s in self.trip.supplies:
            chain = tuple((d, p, levels[s.name]) for (d, p), levels in sorted(visits.items()) if s.name in levels)
            followed = self.follow(s, chain)
            assert followed is not None, (s.name, chain)
            total += followed[0]
            keys[s.name] = followed[1]
        return total, keys

    def cheapest(self) -> tuple[float, dict[str, tuple[float, ...]]]:
        """By trying every combination: the least cost among the most confident plans, and their keys."""
        spots = [(d, p) for p in self.trip.places for d in open_days(self.trip, p)]
        chains = {s.name: list(self._chains(s, spots)) for s in self.trip.supplies}
        best = {name: max(keys for _, _, keys in found) for name, found in chains.items()}
        top = [[(c, used) for c, used, keys in found if keys == best[name]] for name, found in chains.items()]
        price = {spot: visit_money(self.trip, spot[1]) for spot in spots}
        least = min(
            sum(c for c, _ in some) + sum(price[spot] for spot in frozenset().union(*(used for _, used in some)))
            for some in product(*top)
        )
        return least, best

    def _chains(
        self, s: Supply, spots: list[tuple[int, Place]]
    ) -> Iterator[tuple[float, frozenset[tuple[int, Place]], tuple[float, ...]]]:
        choices: list[list[tuple[int, Place, float] | None]] = []
        for day, place in sorted(spots, key=lambda spot: spot[0]):
            service = offer(place, s.name)
            if service is not None:
                choices.append([None, *((day, place, level) for level in service.levels)])
        for picked in product(*choices):
            taken = [one for one in picked if one is not None]
            followed = self.follow(s, tuple((d, p.id, level) for d, p, level in taken))
            if followed is not None:
                yield followed[0], frozenset((d, p) for d, p, _ in taken), followed[1]


def visits_of(plan: Plan) -> Visits:
    """The plan as the judge reads it."""
    return {(v.day, v.place): {s.supply: s.level for s in v.services} for v in plan.visits}
