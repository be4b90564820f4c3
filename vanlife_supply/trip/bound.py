"""A lower bound on any plan: split the cost of each visit among the supplies it may serve, let each plan alone.

Lagrangian bound L = Σ_k shortest path_k(w + share_k) with Σ_k share_kv = visit cost of v; the shares are improved by
subgradient steps of Polyak's length (Held, Wolfe & Crowder 1974, from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import accumulate
from operator import add

from vanlife_supply.trip.network import INF, Net

_STALL = 5
"""Steps without a better bound after which the steps are halved."""

Chain = list[tuple[int, float]]
"""(port, weight of the arc into it) of one supply, in order; a last pair (-1, weight) is the end."""
Choice = list[list[int]]
"""The ports served, by supply, in order."""


class Shares:
    """Visit costs split among supplies, the bound they give, and the cheapest plan seen on the way."""

    def __init__(self, nets: list[Net], visits: list[float]) -> None:
        self.nets, self.visits = nets, visits
        self.floor = -INF
        self.cost = INF
        self.choice: Choice = [[] for _ in nets]
        self._offering: list[list[int]] = [[] for _ in visits]
        for k, net in enumerate(nets):
            for v in sorted({port.opportunity for port in net.ports}):
                self._offering[v].append(k)
        self._shares = [[0.0] * len(visits) for _ in nets]
        self._owners = [[port.opportunity for port in net.ports] for net in nets]
        for v, ks in enumerate(self._offering):
            for k in ks:
                self._shares[k][v] = visits[v] / len(ks)
        self._best = [list(share) for share in self._shares]
        self.values: list[list[float]] = []
        self.to_go: list[list[float]] = []

    def improve(self, steps: int, slack: float, out_of_time: Callable[[], bool]) -> None:
        """Raise the bound by at most `steps` steps; stop when the gap is below `slack`."""
        length, stalled, highest = 1.0, 0, -INF
        for _ in range(steps):
            floor = self._solve()
            chains = [_chain(*parts) for parts in zip(self.nets, self.values, self.to_go, strict=True)]
            if floor > highest:
                stalled, highest = 0, floor
                self.floor = max(self.floor, floor)
                self._best = [list(share) for share in self._shares]
            else:
                stalled += 1
            if stalled == _STALL:
                length, stalled = length / 2, 0
            used = self._together(chains)
            if self.cost - self.floor < slack or out_of_time():
                break
            if not self._step(used, length, floor):
                break
        self._shares = [list(share) for share in self._best]
        self._solve()

    def _solve(self) -> float:
        """The bound the shares give; infinite when dropped arcs leave no plan."""
        self.values, self.to_go = [], []
        for net, share, owners in zip(self.nets, self._shares, self._owners, strict=True):
            values, to_go = _costs_to_go(net, [share[v] for v in owners])
            self.values.append(values)
            self.to_go.append(to_go)
        return sum(to_go[0] for to_go in self.to_go)

    def _together(self, chains: list[Chain]) -> dict[int, list[int]]:
        """Unite the chains into a plan and keep it if it is the cheapest so far; supplies using each opportunity."""
        used: dict[int, list[int]] = {}
        cost = 0.0
        for k, (net, chain) in enumerate(zip(self.nets, chains, strict=True)):
            for port, weight in chain:
                cost += weight
                if port >= 0:
                    used.setdefault(net.ports[port].opportunity, []).append(k)
        cost += sum(self.visits[v] for v in used)
        if cost < self.cost:
            self.cost = cost
            self.choice = [[port for port, _ in chain if port >= 0] for chain in chains]
        return used

    def _step(self, used: dict[int, list[int]], length: float, floor: float) -> bool:
        """One subgradient step; False when every visit is shared by all or none: then the bound is the cost."""
        split = {v: ks for v, ks in used.items() if len(ks) < len(self._offering[v]) and self.visits[v] > 0.0}
        norm = sum(len(ks) * (1.0 - len(ks) / len(self._offering[v])) for v, ks in split.items())
        if norm == 0.0:
            return False
        step = length * (self.cost - floor) / norm
        for v, ks in split.items():
            offering = self._offering[v]
            even = step * len(ks) / len(offering)
            moved = [self._shares[k][v] + (step if k in ks else 0.0) - even for k in offering]
            for k, share in zip(offering, _onto_simplex(moved, self.visits[v]), strict=True):
                self._shares[k][v] = share
        return True

    def fix(self, slack: float) -> None:
        """Drop every arc that no plan cheaper than the best can use (reduced costs), ports and hubs with them."""
        level = sum(to_go[0] for to_go in self.to_go)  # of these shares: a search may have proven a higher floor
        for k, net in enumerate(self.nets):
            spare = self.cost - slack - level + self.to_go[k][0]
            _drop_dear(net, self._shares[k], self.values[k], spare)
        self.floor = max(self.floor, self._solve())

    def suffixes(self, k: int) -> list[list[float]]:
        """For each hub of supply k the least cost to go if its first i ports are let pass, i = 0 … all."""
        values = self.values[k]
        net = self.nets[k]
        found = []
        for low, row, end in zip(net.low, net.rows, net.end, strict=True):
            costs = list(map(add, row, values[low : low + len(row)]))
            costs.append(end)
            costs.reverse()
            costs = list(accumulate(costs, min))
            costs.reverse()
            found.append(costs)
        return found


def _costs_to_go(net: Net, share: list[float]) -> tuple[list[float], list[float]]:
    """(share + cost to go behind each port, cost to go from each hub), backwards through the days."""
    values = [INF] * len(net.ports)
    to_go = list(net.end)
    low, rows, into = net.low, net.rows, net.into
    for h in range(len(to_go) - 1, -1, -1):
        row, best = rows[h], to_go[h]
        if row:
            first = low[h]
            least = min(map(add, row, values[first : first + len(row)]))
            if least < best:
                to_go[h] = best = least
        if best < INF:
            for p in into[h]:
                values[p] = share[p] + best
    return values, to_go


def _chain(net: Net, values: list[float], to_go: list[float]) -> Chain:
    chain: Chain = []
    h = 0
    while True:
        row, low = net.rows[h], net.low[h]
        if to_go[h] == net.end[h]:
            chain.append((-1, net.end[h]))
            return chain
        i = list(map(add, row, values[low : low + len(row)])).index(to_go[h])
        chain.append((low + i, row[i]))
        h = net.ports[low + i].hub


def _drop_dear(net: Net, share: list[float], values: list[float], spare: float) -> None:
    """Arcs whose best chain costs `spare` or more become infinite; one pass forwards through the days."""
    so_far = [INF] * len(net.days)
    so_far[0] = 0.0
    reach = [INF] * len(net.ports)
    for h, row in enumerate(net.rows):
        if h:
            so_far[h] = min(reach[p] + share[net.ports[p].opportunity] for p in net.into[h])
        here, low = so_far[h], net.low[h]
        left = spare - here
        if net.end[h] >= left:
            net.end[h] = INF
        for i, weight in enumerate(row):
            if weight + values[low + i] < left:
                if here + weight < reach[low + i]:
                    reach[low + i] = here + weight
            else:
                row[i] = INF
    net.trim()


def _onto_simplex(shares: list[float], total: float) -> list[float]:
    """The nearest shares that are not negative and sum to `total` (Duchi et al. 2008, from memory)."""
    running = 0.0
    level = 0.0
    for i, share in enumerate(sorted(shares, reverse=True), start=1):
        running += share
        if share - (running - total) / i > 0.0:
            level = (running - total) / i
    return [max(0.0, share - level) for share in shares]
