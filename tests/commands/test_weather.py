"""Temperatures from the command line: taken in whole or not at all, taken back, scored, never read ahead of time."""

from __future__ import annotations

import json
import math
from datetime import date, timedelta
from pathlib import Path

from tests.conftest import Runner

FIRST = date(2025, 5, 1)


def temperatures(path: Path, days: int = 371, warmer: float = 0.0) -> str:
    """A file of days up to 6 May 2026, as cold in winter as on high plains."""
    lines = ["date,mean C"]
    for i in range(days):
        day = FIRST + timedelta(i)
        lines.append(f"{day},{9 + warmer - 13 * math.cos((day.timetuple().tm_yday - 15) / 365 * 2 * math.pi):.1f}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return str(path)


def heated(cli: Runner) -> None:
    """A winter and spring of weighings, taken in as a file: written down when they were made."""
    left, lines = 20.0, ["time,kind,supply,amount,unit,to,method,paid,place,note,id"]
    for week in range(24):
        day = date(2025, 11, 20) + timedelta(7 * week)
        left -= 7 * (0.1 + 0.07 * max(0.0, 7 + 13 * math.cos((week - 8) / 52 * 2 * math.pi)) / 10) if week else 0.0
        if left < 4:
            lines.append(f"{day}T07:00:00-06:00,fill,propane,,,full,,,,,fill-{week}")
            left = 20.0
        lines.append(f"{day}T08:00:00-06:00,reading,propane,{left:.1f},lb,,scale,,,,look-{week}")
    assert cli("import", "-", stdin="\n".join(lines) + "\n").status == 0


def test_import_changes_the_forecast_and_undo_takes_it_back(ready: Runner, tmp_path: Path) -> None:
    """Days taken in are told, move the figures of propane, are replaced by a second file, and go with undo."""
    heated(ready)
    before = ready("days", "--json").out
    done = ready("weather", "import", temperatures(tmp_path / "a.csv"))
    assert done.status == 0 and "371 days from 2025-05-01 to 2026-05-06" in done.out
    told = ready("days", "--json").out
    assert told != before
    assert ready("weather", "import", str(tmp_path / "a.csv")).status == 1
    assert ready("weather", "import", temperatures(tmp_path / "b.csv", warmer=4.0)).status == 0
    assert ready("days", "--json").out not in (told, before)
    assert "mean 13 °C" in ready("weather", "show").out
    assert ready("undo").status == 0
    assert ready("days", "--json").out == told
    assert ready("undo").status == 0
    assert ready("days", "--json").out == before
    assert "No temperatures" in ready("weather").out


def test_a_bad_line_keeps_all_of_it_out(ready: Runner, tmp_path: Path) -> None:
    """The line is named, nothing of the file is kept."""
    path = tmp_path / "bad.csv"
    path.write_text("date,mean C\n2026-05-01,10\n2026-05-02,cold\n", encoding="utf-8")
    said = ready("weather", "import", str(path))
    assert said.status == 1 and "line 3: 'cold' is no temperature" in said.err and said.out == ""
    assert "No temperatures" in ready("weather", "show").out
    assert ready("weather", "import").status == 2 and ready("weather", "melt").status == 2


def test_the_past_knows_no_later_temperatures(ready: Runner, tmp_path: Path) -> None:
    """As of a day, temperatures of later days count for nothing, whenever they were taken in."""
    heated(ready)
    ready("weather", "import", temperatures(tmp_path / "a.csv", days=280))
    asked = ("days", "--json", "--as-of", "2026-02-01T12:00")
    then = ready(*asked).out
    ready("weather", "import", temperatures(tmp_path / "b.csv"))
    assert ready(*asked).out == then


def test_hindsight_says_whether_they_helped(ready: Runner, tmp_path: Path) -> None:
    """`off by 21% of the days it lasted, without them 26%`, in words and as numbers; nothing of it without temperatures."""
    heated(ready)
    assert json.loads(ready("hindsight", "--json").out)["temperatures"] == []
    ready("weather", "import", temperatures(tmp_path / "a.csv"))
    (score,) = json.loads(ready("hindsight", "--json").out)["temperatures"]
    assert score["supply"] == "propane" and score["count"] > 10
    told = f"off by {score['with']:.0%} of the days it lasted, without them {score['without']:.0%}"
    assert f"Propane with temperatures: {told}." in ready("hindsight").out
