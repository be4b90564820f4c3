"""The planner against proven instances, simple rules, and its own promises."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trip.files import GOOD
from tests.trip.instances import STYLES, long_stays, trip
from tests.trip.judge import ALL_HOLD, Judge, Visits, open_days, visits_of
from vanlife_supply.trip import planner
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.bands import expected
from vanlife_supply.trip.chance import assumed
from vanlife_supply.trip.load import load
from vanlife_supply.trip.model import Costs, Place, Plan, Service, Stay, Supply, Trip
from vanlife_supply.trip.planner import plan
from vanlife_supply.wording.trips import Voice, told

SHARED = Path(__file__).resolve().parents[3] / "shared" / "planner"
ROOT = Path(__file__).resolve().parents[2]
RUN = "import sys; from vanlife_supply.commands.plan import run; sys.exit(run(sys.argv[1:], None))"


@pytest.mark.parametrize("folder", ["dev", "external"])
def test_proven_instances_are_met(folder: str, tmp_path: Path) -> None:
    """The instances with proven or published optima all pass their own judge, through the command line."""
    if not (SHARED / folder).is_dir():
        pytest.skip("the proven instances are not beside the project")
    runner = tmp_path / "run.py"
    runner.write_text(f"import sys; sys.path.insert(0, {str(ROOT)!r})\n{RUN}\n", encoding="utf-8")
    judged = subprocess.run(
        [
            sys.executable,
            SHARED / "score.py",
            "--cmd",
            f"{sys.executable} {runner} {{trip}} --json",
            "--dir",
            SHARED / folder,
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert judged.returncode == 0, judged.stdout + judged.stderr


def every_supply_alone(whole: Trip, *, visits_free: bool) -> list[Visits]:
    """Each supply planned by itself, then all stops united: a simple rule a careful person might follow."""
    united: Visits = {}
    for supply in whole.supplies:
        alone = replace(whole, supplies=(supply,))
        if visits_free:
            places = tuple(replace(p, stop=0.0, detour_km=0.0, entry=0.0, hours=0.0) for p in whole.places)
            alone = replace(alone, costs=Costs(), places=places)
        for spot, levels in visits_of(plan(alone)).items():
            united.setdefault(spot, {}).update(levels)
    return [united]


def last_place_possible(whole: Trip) -> list[Visits]:
    """Drive to the last place all supplies hold out for, take all it offers, go on; nothing if that gets stuck."""
    judge = Judge(whole)
    spots = sorted(((d, p) for p in whole.places for d in open_days(whole, p)), key=lambda spot: spot[0])
    visits: Visits = {}
    for _ in range(len(spots) + 1):
        if all(keys == ALL_HOLD for keys in judge.cost(visits)[1].values()):
            return [visits]
        step = [extended for spot in reversed(spots) if (extended := _extended(judge, visits, *spot))]
        if not step:
            return []
        visits = step[0]
    return []


def _extended(judge: Judge, visits: Visits, day: int, place: Place) -> Visits | None:
    if visits and day < max(d for d, _ in visits):
        return None
    served_today = {name for (d, _), levels in visits.items() if d == day for name in levels}
    names = {s.supply for s in place.services} - served_today
    for supply in judge.trip.supplies:
        done = [(d, levels) for (d, _), levels in visits.items() if supply.name in levels]
        begun = max((d for d, _ in done), default=0)
        stock = supply.usable if done else supply.stock
        if judge.chance(supply, begun, day, stock, first=not done, last=False) < supply.confidence:
            return None
    levels = {s.name: 1.0 for s in judge.trip.supplies if s.name in names}
    return {**visits, (day, place.id): levels} if levels else None


@pytest.mark.parametrize("style", STYLES)
def test_never_dearer_than_a_simple_rule(style: str) -> None:
    """On every feasible trip the plan costs no more than three rules of thumb, and less than each at least once."""
    beaten = [0, 0, 0]
    for seed in range(15):
        one = trip(seed, 14, 40, style)
        found = plan(one)
        if found.status == "infeasible":
            continue
        rules = (
            every_supply_alone(one, visits_free=True),
            every_supply_alone(one, visits_free=False),
            last_place_possible(one),
        )
        for i, plans in enumerate(rules):
            for visits in plans:
                cost, keys = Judge(one).cost(visits)
                assert all(k == ALL_HOLD for k in keys.values()), (seed, i)
                assert found.cost <= cost + 1e-6, (seed, i)
                beaten[i] += found.cost < cost - 0.01
    assert all(beaten), beaten


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(STYLES))
def test_what_is_reported_is_what_the_plan_does(seed: int, style: str) -> None:
    """Cost, chances and keys of a plan are those an independent reader works out from its visits."""
    one = trip(seed, 10, 30, style)
    found = plan(one)
    cost, keys = Judge(one).cost(visits_of(found))
    assert found.cost == pytest.approx(cost, abs=1e-6)
    failing = {name for name, k in keys.items() if k != ALL_HOLD}
    assert failing == set(found.attainable)
    assert found.bound <= found.cost + 1e-9
    for i in found.intervals:
        if i.supply not in failing:
            assert i.p >= i.demanded - 1e-9 and i.latest_day is not None and i.latest_day >= i.last_day


def fresh_only(places: tuple[Place, ...], nights: int = 6, stop: float = 4.0) -> Trip:
    """Water for certain: 4 L a night, 16 L aboard of 20."""
    base = load(GOOD)
    supply = Supply("fresh", 20.0, 16.0, 4.0)
    return replace(base, costs=Costs(stop=stop), supplies=(supply,), stays=(Stay(nights),), places=places)


def spring(name: str, service: Service | None = None, day: str = "any") -> Place:
    """A place at the only stay."""
    return Place(name, stay=1, when=day, services=(service or Service("fresh"),))


def test_of_equal_costs_the_later_stop_is_taken() -> None:
    """When any day will do, the last one that holds is chosen: nobody drives to town sooner than need be."""
    found = plan(fresh_only((spring("well"),)))
    assert [v.day for v in found.visits] == [4]


def test_of_equal_costs_fewer_visits_are_made() -> None:
    """When stops are free, one that serves is still better than two."""
    found = plan(fresh_only((spring("well"),), nights=9, stop=0.0))
    assert len(found.visits) == 1 and found.cost == 0.0


def test_a_partial_fill_is_chosen_where_the_rest_is_cheaper_elsewhere() -> None:
    """With levels to choose from, just enough is bought at the dear place and the rest at the cheap one."""
    dear = replace(spring("dear", Service("fresh", price=1.0, levels=(0.25, 0.5, 1.0)), "arrive"), stay=2)
    cheap = replace(spring("cheap", Service("fresh", price=0.1), "arrive"), stay=3)
    base = fresh_only((dear, cheap), stop=0.0)
    found = plan(replace(base, stays=(Stay(4), Stay(1), Stay(4))))
    assert [(v.place, v.services[0].level) for v in found.visits] == [("dear", 0.25), ("cheap", 1.0)]
    assert found.cost == pytest.approx(5.0 * 1.0 + 19.0 * 0.1)


def test_exchange_hands_over_every_container_that_is_not_full() -> None:
    """Two 6 kg cylinders, 3 kg left of 12: both go, each at its price."""
    found = plan(load(GOOD))
    served = {s.supply: s for v in found.visits for s in v.services}
    assert served["propane"].containers == 2 and served["propane"].cost == 40.0


def test_what_is_missing_at_the_end_is_priced() -> None:
    """`end_value` charges for what must be refilled after the trip, and can make a last stop worth while."""
    priced = fresh_only((spring("well"),), nights=3)
    valued = replace(priced, supplies=(replace(priced.supplies[0], end_value=2.0),))
    assert plan(priced).cost == 0.0
    found = plan(valued)
    assert (found.cost, found.left, [v.day for v in found.visits]) == (4.0, 0.0, [3])


def test_out_of_time_still_gives_a_plan_and_an_honest_bound() -> None:
    """Stopped at once, the plan is allowed, called feasible, and its bound lies at or below the true optimum."""
    one = trip(3, 60, 200, "allserv")
    best = plan(one)
    hurried = plan(one, out_of_time=lambda: True)
    assert hurried.status == "feasible" and best.status == "optimal"
    assert hurried.bound <= best.cost + 1e-9 <= hurried.cost + 2e-9
    assert all(keys == ALL_HOLD for keys in Judge(one).cost(visits_of(hurried))[1].values())


def test_a_search_that_may_hold_few_labels_shows_its_gap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Places usable on any day of long stays, the cap on labels lowered until it is hit: feasible, with a proven gap."""
    one = long_stays(1, 40, 80)
    best = plan(one)
    for name in ("BUDGET", "FIRST_BUDGET"):
        monkeypatch.setattr(planner, name, 200)
    monkeypatch.setattr(planner, "ROUNDS", ((12, 8, 200),))
    monkeypatch.setattr(planner, "LAST_STEPS", 5)
    capped = plan(one)
    assert best.status == "optimal" and capped.status == "feasible"
    assert capped.bound <= best.cost + 1e-6 <= capped.cost + 2e-6 and capped.bound < capped.cost - 0.01
    said = " ".join(told(Answer(one, capped, assumed), expected(one, capped, assumed(one)), Voice()))
    assert f"There may be one cheaper by {capped.cost - capped.bound:.2f} at most" in said


def test_the_same_trip_always_gives_the_same_plan() -> None:
    """Planning has no chance of its own, nor does the order of places in the file matter to the cost."""
    one = trip(7, 30, 100, "uniform")
    found = plan(one)
    assert found == plan(one)
    assert plan(replace(one, places=one.places[::-1])).cost == pytest.approx(found.cost)


def test_another_law_can_be_plugged_in() -> None:
    """Any law with mean, chance and joint serves: a law of certain use plans as cv = 0 does."""

    class Certain:
        def __init__(self, nightly: float) -> None:
            self.nightly = nightly

        def mean(self, first: int, last: int) -> float:
            return self.nightly * (last - first)

        def chance(self, span: tuple[int, int, float, bool]) -> float:
            return float(self.mean(span[0], span[1]) <= span[2])

        def joint(self, spans: object) -> float:
            return 1.0

    one = trip(1, 14, 40, "mixed")
    certain = replace(one, supplies=tuple(replace(s, cv=0.0, cv_rate=0.0) for s in one.supplies))
    other: Plan = plan(one, lambda t: {s.name: Certain(s.mean) for s in t.supplies})
    assert other.cost == pytest.approx(plan(certain).cost)
