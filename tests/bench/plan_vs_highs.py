"""Our time beside the solver's on the same trips; run by hand: `python -m tests.bench.plan_vs_highs [seeds]`.

Both build, solve and prove; interpreter and import time are left out. Only trips that have a plan count. To be fair to the
solver it gets our own smaller networks (hubs, no dominated opportunity) and its usual gap of 1e-4.
"""

from __future__ import annotations

import sys
from statistics import median
from time import perf_counter

from tests.trip.instances import STYLES, long_stays, trip
from tests.trip.second_opinion import Program, solve
from vanlife_supply.trip.chance import assumed
from vanlife_supply.trip.confident import build
from vanlife_supply.trip.days import opportunities
from vanlife_supply.trip.model import Trip
from vanlife_supply.trip.network import INF, NO_TIES, Net
from vanlife_supply.trip.planner import plan

SIZES = ((30, 100, 0.7), (60, 200, 0.7), (180, 500, 1.0))
ANY_DAY, LONGEST_ANY_DAY = "any day", 60
"""Long stays whose places can be used on any day; beyond so many nights both take minutes, and ours shows its gap."""
REPEATS = 3
USUAL_GAP = 1e-4


def main(seeds: int) -> None:
    """Print a line a size and style, and the median ratio a size beside its bar."""
    cheapest(trip(1, 7, 20))
    for nights, places, bar in SIZES:
        medians = []
        for style in (*STYLES, *([ANY_DAY] if nights <= LONGEST_ANY_DAY else [])):
            rows = [row for seed in range(seeds) if (row := _both(seed, nights, places, style))]
            if not rows:
                print(f"{nights:4} × {places:3} {style:8} no feasible trip among {seeds}")
                continue
            ours, theirs = median(r[0] for r in rows), median(r[1] for r in rows)
            medians.append(ours / theirs)
            slowest = max(r[0] for r in rows)
            print(
                f"{nights:4} × {places:3} {style:8} ours {ours:7.1f} ms (slowest {slowest:6.1f})  HiGHS {theirs:7.1f} ms  "
                f"ratio {ours / theirs:5.2f}  trips {len(rows)}",
                flush=True,
            )
        print(f"{nights:4} × {places:3} median ratio {median(medians):.2f}, worst {max(medians):.2f}, bar {bar}\n")


def _both(seed: int, nights: int, places: int, style: str) -> tuple[float, float] | None:
    """(our ms, the solver's ms), each the best of a few; None when there is no plan."""
    one = long_stays(seed, nights, places) if style == ANY_DAY else trip(seed, nights, places, style)
    found = plan(one)
    if found.status == "infeasible":
        return None
    ours = theirs = float("inf")
    for _ in range(REPEATS):
        begun = perf_counter()
        found = plan(one)
        ours = min(ours, perf_counter() - begun)
        begun = perf_counter()
        other = cheapest(one)
        theirs = min(theirs, perf_counter() - begun)
    assert other is not None and abs(found.cost - other) < 0.005 + USUAL_GAP * other, (found.cost, other)
    return ours * 1e3, theirs * 1e3


def cheapest(trip: Trip) -> float | None:
    """The solver's optimum on the networks our own search uses."""
    laws, chances = assumed(trip), opportunities(trip)
    nets = [build(s, laws[s.name], chances, trip.nights, NO_TIES) for s in trip.supplies]
    program = Program()
    links: list[list[tuple[int, float]]] = [[] for _ in chances]
    rows = [_rows(program, net, links) for net in nets]
    for chance, entries in zip(chances, links, strict=True):
        program.column(chance.visit, entries)
    for net, (hubs, ports) in zip(nets, rows, strict=True):
        _arcs(program, net, hubs, ports)
    return solve(program, len(chances), USUAL_GAP)


def _rows(program: Program, net: Net, links: list[list[tuple[int, float]]]) -> tuple[list[int], list[int]]:
    """A balance for each hub, a link to its visit for each port."""
    hubs = [program.row(-float(h == 0), -float(h == 0)) for h in range(len(net.days))]
    ports = [program.row(-INF, 0.0) for _ in net.ports]
    for port, link in zip(net.ports, ports, strict=True):
        links[port.opportunity].append((link, -1.0))
    return hubs, ports


def _arcs(program: Program, net: Net, hubs: list[int], ports: list[int]) -> None:
    for h, (low, row, end) in enumerate(zip(net.low, net.rows, net.end, strict=True)):
        for p, weight in enumerate(row, start=low):
            if weight < INF:
                program.column(weight, [(hubs[h], -1.0), (hubs[net.ports[p].hub], 1.0), (ports[p], 1.0)])
        if end < INF:
            program.column(end, [(hubs[h], -1.0)])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
