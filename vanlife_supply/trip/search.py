"""The search itself: labels (last hub of every supply → cheapest cost) pushed through the opportunities in order.

A label is cut when its cost and the bound on what is still to come reach the best plan known. With a narrow width it
is a beam; when nothing was dropped for width, what it finds is proven the cheapest.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from heapq import nsmallest
from operator import itemgetter
from typing import TypeAlias

from vanlife_supply.trip.bound import Choice, Shares
from vanlife_supply.trip.network import INF

State = tuple[int, ...]
"""The last hub of every supply."""
Served = tuple[tuple[int, int], ...]
"""The (supply, port) pairs of one visit."""
Trail: TypeAlias = "tuple[Trail, Served] | None"
"""The visits so far, linked backwards."""
Label = tuple[float, float, Trail]
"""(lower bound on any plan through here, cost so far, how it came about)."""
Way = tuple[int, int, int]
"""(supply, its first port at an opportunity, one past the last)."""
Option = tuple[int, int, int, float, float]
"""(supply, port, hub it leads to, weight, least cost to go from there)."""
Aside = tuple[float, list[Option]]
"""For one supply at an opportunity: the least cost to go when passed by, and the ways to be served."""

_Branch: TypeAlias = tuple[float, Aside] | None


@dataclass(frozen=True, slots=True)
class Found:
    """The cheapest plan of a sweep (None: none below the given cost), and the bound on all that was dropped."""

    cost: float
    choice: Choice | None
    floor: float


class Sweep:
    """One pass over a set of networks whose shares are settled."""

    def __init__(self, shares: Shares) -> None:
        self._shares = shares
        self._nets = shares.nets
        self._suffixes = [shares.suffixes(k) for k in range(len(self._nets))]
        self._live = self._live_ports()

    def run(self, width: int, budget: int, below: float, out_of_time: Callable[[], bool]) -> Found:
        """Search for a plan cheaper than `below`, at most `width` labels wide; give up when `budget` labels or the
        time are spent."""
        start: State = (0,) * len(self._nets)
        labels: dict[State, Label] = {start: (sum(s[0][0] for s in self._suffixes), 0.0, None)}
        dropped = INF
        for v, ways in enumerate(self._live):
            if not ways:
                continue
            labels = self._visit(v, ways, labels, below)
            budget -= len(labels)
            if budget < 0 or out_of_time():
                return Found(INF, None, min([dropped, *(label[0] for label in labels.values())]))
            if len(labels) > width:
                kept = nsmallest(width, labels.items(), key=_rank)
                dropped = min(dropped, _least_without(labels, kept))
                labels = dict(kept)
        best = min(labels.values(), key=itemgetter(0), default=None)
        if best is None:
            return Found(INF, None, dropped)
        return Found(best[0], self._choice(best[2]), dropped)

    def _live_ports(self) -> list[list[Way]]:
        """For each opportunity the (supply, first port, one past the last) that some arc still reaches."""
        live: list[list[Way]] = [[] for _ in self._shares.visits]
        for k, net in enumerate(self._nets):
            reached = bytearray(len(net.ports))
            for low, row in zip(net.low, net.rows, strict=True):
                for i, weight in enumerate(row, start=low):
                    if weight < INF:
                        reached[i] = 1
            for v in {port.opportunity for port in net.ports}:
                first, last = net.before[v], net.before[v + 1]
                if any(reached[first:last]):
                    live[v].append((k, first, last))
        return live

    def _visit(self, v: int, ways: list[Way], labels: dict[State, Label], below: float) -> dict[State, Label]:
        """Every label goes on without stopping, and with every non-empty set of services it can have here."""
        visit = self._shares.visits[v]
        after: dict[State, Label] = {}
        known: list[tuple[Way, dict[int, _Branch]]] = [(way, {}) for way in ways]
        for state, label in labels.items():
            rest, cost, trail = label
            asides: list[Aside] = []
            passing = 0.0
            for way, branches in known:
                h = state[way[0]]
                if h not in branches:
                    branches[h] = self._branch(way, h)
                branch = branches[h]
                if branch is not None:
                    rest -= branch[0]
                    passing += branch[1][0]
                    asides.append(branch[1])
            if rest + passing < below:
                _keep(after, state, (rest + passing, cost, trail))
            if rest + visit < below:
                _stop(after, state, (rest + visit, cost + visit, trail), asides, below)
        return after

    def _branch(self, way: Way, h: int) -> _Branch:
        """From hub h: its least cost to go so far, and what can be done here; None where nothing changes for it."""
        k, first, last = way
        net = self._nets[k]
        low, row, ahead = net.low[h], net.rows[h], self._suffixes[k][h]
        high = low + len(row)
        if high <= first or last <= low:
            return None
        skip = ahead[last - low if last < high else len(row)]
        options: list[Option] = []
        for p in range(max(first, low), min(last, high)):
            weight = row[p - low]
            if weight < INF:
                hub = net.ports[p].hub
                options.append((k, p, hub, weight, self._suffixes[k][hub][0]))
        return ahead[first - low if first > low else 0], (skip, options)

    def _choice(self, trail: Trail) -> Choice:
        choice: Choice = [[] for _ in self._nets]
        while trail is not None:
            trail, served = trail
            for k, port in served:
                choice[k].insert(0, port)
        return choice


def _stop(after: dict[State, Label], state: State, label: Label, asides: list[Aside], below: float) -> None:
    """Add the labels of a stop, whose visit is paid: one supply after the other is served or passed by."""
    bound, cost, trail = label
    partial: list[tuple[float, float, State, Served]] = [(bound, cost, state, ())]
    for skip, options in asides:
        grown = []
        for low, spent, hubs, served in partial:
            if low + skip < below:
                grown.append((low + skip, spent, hubs, served))
            for k, port, hub, weight, ahead in options:
                if low + weight + ahead < below:
                    moved = (*hubs[:k], hub, *hubs[k + 1 :])
                    grown.append((low + weight + ahead, spent + weight, moved, (*served, (k, port))))
        partial = grown
    for low, spent, hubs, served in partial:
        if served:
            _keep(after, hubs, (low, spent, (trail, served)))


def _keep(labels: dict[State, Label], state: State, label: Label) -> None:
    known = labels.get(state)
    if known is None or label[1] < known[1]:
        labels[state] = label


def _rank(entry: tuple[State, Label]) -> tuple[float, float]:
    """Bound, then cost; trails have no order."""
    return entry[1][0], entry[1][1]


def _least_without(labels: dict[State, Label], kept: list[tuple[State, Label]]) -> float:
    staying = {state for state, _ in kept}
    return min(label[0] for state, label in labels.items() if state not in staying)
