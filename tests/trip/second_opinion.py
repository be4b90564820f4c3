"""The same trip as a mixed-integer program for HiGHS: visits are binary, services flow from one to the next.

min Σ c_v y_v + Σ w x  s.t. one unit flows from start to end for every supply and no service without its visit.
"""

from __future__ import annotations

import importlib
import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tests.trip.judge import Judge, offer, open_days, visit_money
from vanlife_supply.trip.model import Place, Supply, Trip


@dataclass
class Program:
    """Columns (cost, rows, coefficients) and rows (bounds) as they are added; visits come first."""

    costs: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def row(self, low: float, high: float) -> int:
        """A new row; its number."""
        self.low.append(low)
        self.high.append(high)
        return len(self.low) - 1

    def column(self, cost: float, entries: list[tuple[int, float]]) -> None:
        """A new variable from 0 to 1."""
        self.starts.append(len(self.rows))
        self.costs.append(cost)
        self.rows.extend(row for row, _ in entries)
        self.values.extend(value for _, value in entries)


@dataclass
class Node:
    """The start, or one level of a service: what flows in and out, and the link to its visit (row, or -1)."""

    day: int
    stock: float
    balance: int
    link: int
    place: Place | None


def cheapest(trip: Trip) -> float | None:
    """The optimal cost by HiGHS, None when no plan reaches the demanded confidence."""
    spots = sorted(((d, p) for p in trip.places for d in open_days(trip, p)), key=lambda spot: spot[0])
    program, judge = Program(), Judge(trip)
    links: list[list[tuple[int, float]]] = [[] for _ in spots]
    nodes = {s.name: _nodes(program, s, spots, links) for s in trip.supplies}
    for (_, place), entries in zip(spots, links, strict=True):
        program.column(visit_money(trip, place), entries)
    for supply in trip.supplies:
        _arcs(program, judge, supply, nodes[supply.name])
    return solve(program, len(spots))


def _nodes(program: Program, s: Supply, spots: list[tuple[int, Place]], links: list[list[tuple[int, float]]]) -> list[Node]:
    stock = s.usable - s.start if s.name == "grey" else s.start
    nodes = [Node(0, stock, program.row(-1.0, -1.0), -1, None)]
    for (day, place), entries in zip(spots, links, strict=True):
        service = offer(place, s.name)
        for level in service.levels if service else ():
            link = program.row(-math.inf, 0.0)
            entries.append((link, -1.0))
            nodes.append(Node(day, level * s.usable, program.row(0.0, 0.0), link, place))
    return nodes


def _arcs(program: Program, judge: Judge, s: Supply, nodes: list[Node]) -> None:
    nights = judge.nights
    for i, a in enumerate(nodes):
        means: dict[int, float] = {}
        for b in nodes[i + 1 :]:
            if i > 0 and b.day <= a.day:
                continue
            if b.day not in means:
                p = judge.chance(s, a.day, b.day, a.stock, first=i == 0, last=False)
                if p < s.confidence - 1e-9:
                    break
                means[b.day] = judge.mean(s, a.day, b.day)
            missing = means[b.day] - a.stock
            if b.stock + missing >= -1e-9 and b.place is not None:
                money = judge.pay(s, b.place, b.stock + missing, s.usable + missing)
                program.column(money, [(a.balance, -1.0), (b.balance, 1.0), (b.link, 1.0)])
        if judge.chance(s, a.day, nights, a.stock, first=i == 0, last=True) >= s.confidence - 1e-9:
            money = s.end_value * (s.usable - a.stock + judge.mean(s, a.day, nights))
            program.column(money, [(a.balance, -1.0)])


def solve(program: Program, visits: int, gap: float = 0.0) -> float | None:
    """The least cost to within that relative gap, the first columns being whole numbers; None if there is no plan."""
    highspy: Any = importlib.import_module("highspy")
    lp: Any = highspy.HighsLp()
    count, height = len(program.costs), len(program.low)
    lp.num_col_, lp.num_row_ = count, height
    lp.col_cost_ = np.array(program.costs)
    lp.col_lower_, lp.col_upper_ = np.zeros(count), np.ones(count)
    lp.row_lower_, lp.row_upper_ = np.array(program.low), np.array(program.high)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.array([*program.starts, len(program.rows)], dtype=np.int32)
    lp.a_matrix_.index_ = np.array(program.rows, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(program.values)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * visits + [highspy.HighsVarType.kContinuous] * (count - visits)
    solver: Any = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", gap)
    solver.passModel(lp)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return float(solver.getInfo().objective_function_value)
