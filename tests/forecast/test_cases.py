"""Invented lives with their truth: the forecasts of a few must beat the mean rate of their own past, and be honest.

The whole judgement is `forecast/score.py` beside the project; this is the part of it that is quick enough for every run.
"""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from vanlife_supply.entry.model import Entry, order
from vanlife_supply.forecast import Belief, learn, look_ahead
from vanlife_supply.moment import Moment, read_iso
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement, Rig

QUANTILES = np.array([0.1, 0.5, 0.9])


def read_log(path: Path, rig: Rig) -> list[Entry]:
    """The rows of a log.csv as entries, in order."""
    found = []
    with path.open(encoding="utf-8-sig", newline="") as lines:
        for row in csv.DictReader(lines):
            at = read_iso(row["time"], rig.zone).moment
            until = row.get("until") or ""
            found.append(Entry(
                row["id"], row["kind"], at, row["supply"], float(row["amount"]) if row["amount"] else None, row["unit"],
                row["to"], row["method"], row.get("container") or "", row.get("into") or "",
                read_iso(until, rig.zone).moment if until else None, row.get("word") or "", recorded=at.epoch,
            ))  # fmt: skip
    return sorted(found, key=order)


def judged(case: Path) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """(truths (n,), quantiles (n, 3)) of every as-of moment and supply of a case."""
    rig = read_rig((case / "rig.toml").read_text(encoding="utf-8"))
    log, stands = read_log(case / "log.csv", rig), [Arrangement(float("-inf"), rig)]
    asked = json.loads((case / "truth.json").read_text(encoding="utf-8"))["origins"]
    belief: Belief | None = None
    start, truths, told = 0, [], []
    for origin in sorted(asked, key=lambda o: read_iso(o["as_of"], rig.zone).moment.epoch):
        as_of: Moment = read_iso(origin["as_of"], rig.zone).moment
        end = sum(e.at.epoch <= as_of.epoch for e in log)
        belief = learn(belief, stands, log[start:end])
        start = end
        ahead = look_ahead(belief, as_of)
        for name, days in origin["days_left"].items():
            band = getattr(ahead.supply(name), "days_left", None)
            if days is not None:
                assert band is not None, f"{case.name} {name} {as_of.iso()}: left out"
                truths.append(days)
                told.append([365.0 if q is None else q for q in (band.p10, band.p50, band.p90)])
    return np.array(truths), np.array(told)


@pytest.mark.parametrize("group", ["jugs_open/jug00*", "jugs_open/jug09*", "open/dev/dev05*", "open/tune/tune03*"])
def test_bands_hold_what_they_say(group: str, shared: Path) -> None:
    """Of the truths about four fifths lie in the band, and its middle is not far off on the whole."""
    (case,) = (shared / "forecast").glob(group)
    truths, told = judged(case)
    inside = np.mean((truths >= told[:, 0]) & (truths <= told[:, 2]))
    assert 0.65 <= inside <= 0.99
    assert 0.75 <= np.median(told[:, 1] / np.maximum(truths, 0.1)) <= 1.3
    off = truths[:, None] - told
    loss = np.maximum(QUANTILES * off, (QUANTILES - 1) * off)
    assert loss.mean() / truths.mean() < 0.16


def test_the_same_thing_said_twice_is_no_use_twice(shared: Path) -> None:
    """A jug opened, and right after it looked at and full: said twice, it is no use twice."""
    (case,) = (shared / "forecast").glob("jugs_open/jug09*")
    rig = read_rig((case / "rig.toml").read_text(encoding="utf-8"))
    log, stands = read_log(case / "log.csv", rig), [Arrangement(float("-inf"), rig)]
    last = max(i for i, e in enumerate(log) if e.kind == "next")
    looked = replace(log[last], id="again", kind="reading", amount=100.0, unit="%", method="sight")
    twice = [*log[: last + 1], looked, *log[last + 1 :]]
    as_of = log[-1].at
    once, again = (look_ahead(learn(None, stands, each), as_of).supply("fresh") for each in (log, twice))
    assert once is not None and again is not None and once.days_left is not None and again.days_left is not None
    assert again.days_left.p50 == pytest.approx(once.days_left.p50, rel=0.1)
