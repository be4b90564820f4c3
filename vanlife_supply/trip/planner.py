"""The cheapest plan of a trip, proven: networks → bound → beam → exact search → exact prices."""

from __future__ import annotations

from collections.abc import Callable

from vanlife_supply.trip.bound import Shares
from vanlife_supply.trip.chance import LawMaker, assumed
from vanlife_supply.trip.confident import build
from vanlife_supply.trip.days import Opportunity, opportunities
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.network import FAULTLESS, INF, Net, Ties
from vanlife_supply.trip.pricing import Stop, price
from vanlife_supply.trip.search import Sweep

FIRST_BUDGET, BUDGET = 20_000, 300_000
"""Labels spent on proving ties apart too, then on proving the cost alone."""
ANY_WIDTH = BUDGET
ROUNDS = ((12, 8, BUDGET), (10, ANY_WIDTH, 1000), (20, ANY_WIDTH, 4000), (40, 36, BUDGET))
"""(subgradient steps, widest label set, labels in all): a narrow beam finds a plan, a short search without limit of width
proves it if the bound is good enough by then. Measured on the styles of tests/bench."""
LAST_STEPS, LAST_BEAM = 120, 200
"""Subgradient steps and labels kept once more before the last search, which long stays near many places come to."""
TIES_ALTOGETHER = 0.003
"""No plan's ties add up to more (see `Ties.of`): the proof of a cost may be off by this, less than half a cent."""


def never() -> bool:
    """Time enough."""
    return False


def plan(trip: Trip, laws_of: LawMaker = assumed, out_of_time: Callable[[], bool] = never) -> Plan:
    """The cheapest plan whose every interval holds with the demanded confidence, else the most confident one.

    `out_of_time` is asked now and then; once it says yes the best plan so far is returned with its proven bound.
    """
    laws = laws_of(trip)
    chances = opportunities(trip)
    ties = Ties.of(trip.nights, len(trip.supplies))
    nets = [build(supply, laws[supply.name], chances, trip.nights, ties) for supply in trip.supplies]
    search = _Search(chances, [net for net in nets if not _needs_nothing(net)], ties, out_of_time)
    search.run()
    priced = price(trip, laws, search.stops())
    attainable = {net.supply.name: max(0.0, net.keys[0]) for net in nets if net.keys != FAULTLESS}
    bound = priced.cost if search.proven else max(0.0, min(priced.cost, search.floor - TIES_ALTOGETHER))
    status = "infeasible" if attainable else "optimal" if search.proven else "feasible"
    return Plan(status, priced.cost, bound, priced.visits, priced.intervals, priced.left, attainable)


def _needs_nothing(net: Net) -> bool:
    """Whether the supply lasts the whole trip at no cost, so that no stop is ever made for it."""
    return net.keys == FAULTLESS and net.end[0] < INF and net.supply.end_value == 0.0


class _Search:
    """The rounds of bound and beam, then the exact search; `shares` holds the best plan and the bound."""

    def __init__(self, chances: list[Opportunity], nets: list[Net], ties: Ties, out_of_time: Callable[[], bool]) -> None:
        self._chances, self._nets, self._out_of_time = chances, nets, out_of_time
        self._slack = ties.least / 2
        self.shares = Shares(nets, [chance.visit + ties.visit for chance in chances])
        self.proven = False

    def run(self) -> None:
        """Search until the plan is proven the cheapest, or labels or time are spent."""
        for steps, width, budget in ROUNDS:
            self.shares.improve(steps, self._slack, self._out_of_time)
            self._sweep(width, budget)
            if self.proven or self._out_of_time():
                return
        self._sweep(FIRST_BUDGET, FIRST_BUDGET)
        if not self.proven:
            self._slack = TIES_ALTOGETHER
            self.shares.improve(LAST_STEPS, self._slack, self._out_of_time)
            self._sweep(LAST_BEAM, BUDGET)
        if not self.proven:
            self._sweep(BUDGET, BUDGET)

    @property
    def floor(self) -> float:
        """The proven lower bound on the cost, ties included."""
        return self.shares.floor

    def stops(self) -> list[Stop]:
        """The best plan known, in travelling order."""
        levels: dict[int, dict[str, float]] = {}
        for net, chain in zip(self._nets, self.shares.choice, strict=True):
            for p in chain:
                port = net.ports[p]
                levels.setdefault(port.opportunity, {})[net.supply.name] = port.level
        return [Stop(self._chances[v], levels[v]) for v in sorted(levels)]

    def _sweep(self, width: int, budget: int) -> None:
        """Drop what cannot be cheaper, then search the rest that wide."""
        shares = self.shares
        below = shares.cost - self._slack
        if shares.floor < below:
            shares.fix(self._slack)
        if shares.floor < below:
            found = Sweep(shares).run(width, budget, below, self._out_of_time)
            shares.floor = max(shares.floor, min(found.floor, shares.cost))
            if found.choice is not None and found.cost < shares.cost:
                shares.cost, shares.choice = found.cost, found.choice
                shares.floor = min(shares.floor, found.cost)
        self.proven = shares.floor >= shares.cost - self._slack
