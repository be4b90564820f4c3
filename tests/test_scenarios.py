"""Worked scenarios, typed through the command line. The arithmetic stands beside each; nothing is taken from our own output.

A learned forecast need not equal a sum by hand, but the hand's value must lie between count-on and at-best, and the
inequalities that follow from the facts must hold.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Runner

GAL, LB = 3.785411784, 0.45359237
COLUMNS = [
    "time",
    "kind",
    "supply",
    "amount",
    "unit",
    "to",
    "method",
    "paid",
    "place",
    "note",
    "id",
    "container",
    "into",
    "word",
]


def rig(zone: str = "America/Denver", **containers: list[str]) -> str:
    """A rig of containers, each given as the lines of its TOML."""
    rows = [f'[[container]]\nsupply = "{s}"\n{line}\n' for s, lines in containers.items() for line in lines]
    return f'[rig]\ntimezone = "{zone}"\n' + "\n".join(rows)


def row(time: str, kind: str, supply: str, amount: object = "", unit: str = "", **more: str) -> str:
    """One line of log.csv; the id is its time and kind."""
    told = {
        "time": time,
        "kind": kind,
        "supply": supply,
        "amount": str(amount),
        "unit": unit,
        "id": time + kind + supply,
        **more,
    }
    return ",".join(told.get(column, "") for column in COLUMNS) + "\n"


def outlook(cli: Runner, tmp_path: Path, toml: str, rows: list[str], as_of: str) -> dict[str, Any]:
    """Load, import, ask: the JSON object of `days`."""
    (tmp_path / "r.toml").write_text(toml, encoding="utf-8")
    (tmp_path / "l.csv").write_text(",".join(COLUMNS) + "\n" + "".join(rows), encoding="utf-8")
    for words in (["rig", "load", str(tmp_path / "r.toml")], ["import", str(tmp_path / "l.csv")]):
        said = cli(*words)
        assert said.status == 0, said.err
    said = cli("days", "--json", "--as-of", as_of)
    assert said.status == 0, said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


def supply(found: dict[str, Any], name: str) -> dict[str, Any]:
    """One supply of the answer."""
    its: dict[str, Any] = next(s for s in found["supplies"] if s["supply"] == name)
    return its


def within(band: dict[str, float], value: float) -> bool:
    """Whether the hand's value lies between count-on and at-best."""
    return band["p10"] <= value <= band["p90"]


def test_first_week_one_jug(cli: Runner, tmp_path: Path) -> None:
    """7 gal brim-full Monday, 4.6 and 3.0 by the sight marks: (7 − 3)/5 d = 0.80 gal/d; reserve reached in 2.50 d.

    Level and rate come from the same reading: the slope 35/16 d/gal makes ± 0.25 gal into ± 0.55 d, so the band must be
    wider than the ± 0.39 d of two independent errors.
    """
    toml = rig(fresh=['label = "jug"\ncapacity = "7 gal"']) + '[[supply]]\nname = "fresh"\nreserve = "1 gal"\n'
    rows = [
        row("2026-05-04T08:00", "fill", "fresh", to="full"),
        row("2026-05-07T08:00", "reading", "fresh", 4.6, "gal", method="sight"),
        row("2026-05-09T08:00", "reading", "fresh", 3.0, "gal", method="sight"),
    ]
    its = supply(outlook(cli, tmp_path, toml, rows, "2026-05-09T08:00-06:00"), "fresh")
    assert within(its["days_left"], 2.50)
    assert within(its["use_per_day"], 0.80 * GAL)
    assert within(its["level"], 3.0 * GAL)
    assert its["days_left"]["p90"] - its["days_left"]["p10"] > 2 * 0.39


def test_missed_entries(cli: Runner, tmp_path: Path) -> None:
    """45 L + 10 L − 27 L = 28 L in 5 d = 5.6 L/d, 4.82 d left; 6.43 d from the logged 21 L must not be the forecast."""
    toml = rig(fresh=['label = "tank"\ncapacity = "45 L"'])
    rows = [
        row("2026-05-04T08:00", "fill", "fresh", to="full"),
        row("2026-05-06T12:00", "fill", "fresh", 10, "L"),
        *(row(f"2026-05-0{day}T19:00", "use", "fresh", 4.2, "L") for day in range(4, 9)),
        row("2026-05-09T08:00", "reading", "fresh", 27, "L", method="stick"),
    ]
    days = supply(outlook(cli, tmp_path, toml, rows, "2026-05-09T08:00-06:00"), "fresh")["days_left"]
    assert within(days, 27 / 5.6)
    assert days["p50"] < 27 / 4.2


def test_unknown_start_brim_to_brim(cli: Runner, tmp_path: Path) -> None:
    """3.2, 5.4 and 5.0 gal to the brim on days 0, 6, 11: 10.4 gal/11 d; on day 14 there are 4.16 gal, dry on day 18.40."""
    toml = rig(fresh=['label = "tank"\ncapacity = "7 gal"'])
    brims = ((1, 3.2), (7, 5.4), (12, 5.0))
    rows = [row(f"2026-05-{day:02d}T08:00", "fill", "fresh", amount, "gal", to="full") for day, amount in brims]
    its = supply(outlook(cli, tmp_path, toml, rows, "2026-05-15T08:00-06:00"), "fresh")
    assert within(its["level"], 4.164 * GAL)
    assert within(its["days_left"], 18.404 - 14)
    assert within(its["use_per_day"], 10.4 / 11 * GAL)


def test_gray_before_the_planned_dump(cli: Runner, tmp_path: Path) -> None:
    """Three cycles give a drain share of 11.3/15.6; at 1.3 gal/d fresh, gray is full (4.5 gal) 4.78 d after the dump."""
    toml = rig(fresh=['label = "tank"\ncapacity = "10 gal"'], grey=['label = "gray"\ncapacity = "5 gal"\nusable = 0.9'])
    rows = [row("2026-04-20T09:00", "fill", "fresh", to="full"), row("2026-04-20T09:01", "dump", "grey", to="empty")]
    dates = ("2026-04-24T09:00", "2026-04-29T09:00", "2026-05-02T09:00")  # 5.2, 6.5, 3.9 gal at 1.3 gal/d
    for date, fresh, grey in zip(dates, (5.2, 6.5, 3.9), (3.9, 4.6, 2.8), strict=True):
        rows.append(row(date, "dump", "grey", grey, "gal", to="empty"))
        rows.append(row(date, "fill", "fresh", fresh, "gal", to="full"))
    its = supply(outlook(cli, tmp_path, toml, rows, "2026-05-02T09:00-06:00"), "grey")
    assert within(its["days_left"], 4.5 / (1.3 * 11.3 / 15.6))
    assert within(its["use_per_day"], 1.3 * 11.3 / 15.6 * GAL)


def test_propane_by_weight(cli: Runner, tmp_path: Path) -> None:
    """24.3 lb on the scale with a tare of 17.1 lb is 7.2 lb; at 0.22 lb/d learned by the scale that lasts 32.7 d."""
    toml = rig(propane=['label = "cylinder"\ncapacity = "20 lb"\ntare = "17.1 lb"'])
    dates = ("2026-03-01", "2026-03-15", "2026-03-29", "2026-04-12", "2026-04-28")
    weights = (37.1, 34.0, 30.9, 27.9, 24.3)  # 0.22 lb a day
    rows = [
        row(f"{date}T12:00", "reading", "propane", weight, "lb gross", method="scale")
        for date, weight in zip(dates, weights, strict=True)
    ]
    its = supply(outlook(cli, tmp_path, toml, rows, "2026-04-28T16:00-06:00"), "propane")
    assert its["unit"] == "kg"
    assert within(its["level"], 7.2 * LB)
    assert within(its["days_left"], 7.2 / 0.22)


def test_canisters_and_can(cli: Runner, tmp_path: Path) -> None:
    """Two full 1.0 L canisters and a full can hold 5.785 L; a week later one is empty and refilled: 4.785 L, 1 L a week."""
    toml = rig(stove_fuel=['label = "canister"\ncount = 2\ncapacity = "1 L"', 'label = "can"\ncapacity = "1 gal"'])
    rows = [
        row("2026-05-01T08:00", "fill", "stove_fuel", to="full"),
        row("2026-05-08T08:00", "next", "stove_fuel", container="canister 1"),
        row("2026-05-08T08:05", "pour", "stove_fuel", 1, "L", container="can", into="canister 1"),
    ]
    full = supply(outlook(cli, tmp_path, toml, rows, "2026-05-01T08:00-06:00"), "stove_fuel")
    assert full["level"]["p50"] == pytest.approx(2 + GAL, rel=0.02)
    after = supply(json.loads(cli("days", "--json", "--as-of", "2026-05-08T08:05-06:00").out), "stove_fuel")
    assert after["level"]["p50"] == pytest.approx(1 + GAL, rel=0.03)
    assert within(after["use_per_day"], 1 / 7)


def test_two_loggers_and_the_clock_change(cli: Runner, tmp_path: Path) -> None:
    """One fill noted twice across the spring change: 47 h, 1.2 gal/d, 3.83 d; summing both would say 1.23 d. It is asked."""
    toml = rig(fresh=['label = "jug"\ncapacity = "7 gal"'])
    rows = [
        row("2026-03-07T17:00", "fill", "fresh", 5.0, "gal"),
        row("2026-03-07T17:05", "reading", "fresh", 6.95, "gal", method="stick"),
        row("2026-03-07T17:10", "fill", "fresh", 18.9, "L"),
        row("2026-03-09T17:00", "reading", "fresh", 4.6, "gal", method="stick"),
    ]
    found = outlook(cli, tmp_path, toml, rows, "2026-03-09T17:00-06:00")
    its = supply(found, "fresh")
    assert within(its["days_left"], 4.6 / 1.2)
    assert its["days_left"]["p50"] > 1.23
    assert any(w["code"] in ("questioned", "impossible-level") for w in found["warnings"]), "asks: same fill?"


SMALL_AND_BIG = rig(fresh=['label = "small"\ncount = 6\ncapacity = "1 gal"', 'label = "big"\ncapacity = "5 gal"'])


def test_counting_jugs(cli: Runner, tmp_path: Path) -> None:
    """Six 1-gal jugs and a 5-gal one; on day 6 the last gallon jug is opened: 5.0 used exactly, 6.0 left, 7.20 d."""
    times = ("04T11:24", "05T14:48", "06T18:18", "08T03:00", "09T08:00")
    rows = [row("2026-05-03T08:00", "fill", "fresh", to="full")]
    rows += [row(f"2026-05-{time}", "next", "fresh", container=f"small {i}") for i, time in enumerate(times, 1)]
    its = supply(outlook(cli, tmp_path, SMALL_AND_BIG, rows, "2026-05-09T08:00-06:00"), "fresh")
    assert its["level"]["p50"] == pytest.approx(6 * GAL, rel=0.03)
    assert within(its["days_left"], 7.2)
    assert within(its["use_per_day"], 5 / 6 * GAL)
    states = {c["label"]: c["state"] for c in its["containers"]}
    assert states == {**{f"small {i}": "empty" for i in range(1, 6)}, "small 6": "open", "big": "full"}


def test_a_wrong_key_is_refused(cli: Runner, tmp_path: Path) -> None:
    """50 for the 5-gal jug is refused with nothing kept."""
    outlook(cli, tmp_path, SMALL_AND_BIG, [row("2026-05-03T08:00", "fill", "fresh", to="full")], "2026-05-03T09:00-06:00")
    said = cli("reading", "water", "50", "gal", "--container", "big")
    assert said.status == 1
    assert "more than big holds" in said.err
    assert len(json.loads(cli("entries", "--json").out)) == 1
