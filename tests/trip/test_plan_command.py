"""`plan` as a person and as a script meet it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.trip.files import GOOD, changed
from vanlife_supply.commands.plan import run
from vanlife_supply.refusal import Refusal

IMPOSSIBLE = changed("start = 50.0", "start = 8.0")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A trip in a file."""
    path = tmp_path / "trip.toml"
    path.write_text(GOOD, encoding="utf-8")
    return path


def test_json_carries_the_keys_scripts_rely_on(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One object with status, cost, visits, supplies and their intervals."""
    assert run([str(file), "--json"], None) == 0
    found = json.loads(capsys.readouterr().out)
    assert {"status", "cost", "bound", "confidence", "attainable", "visits", "supplies"} <= found.keys()
    assert found["status"] == "optimal" and found["cost"] == found["bound"]
    assert {"day", "date", "place", "services"} <= found["visits"][0].keys()
    assert {"supply", "amount"} <= found["visits"][0]["services"][0].keys()
    fresh = found["supplies"][0]
    assert fresh["supply"] == "fresh" and fresh["intervals"][0]["from"] == "start" and fresh["intervals"][-1]["to"] == "end"
    assert {"use", "p", "latest_day"} <= fresh["intervals"][0].keys()


def test_text_is_in_plain_words(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """People read of the cheapest there is, of places and dates, not of optima."""
    assert run([str(file)], None) == 0
    out = capsys.readouterr().out
    assert "the cheapest there is" in out and "shop" in out and "Tightest: " in out and "Least sure stretch" in out
    assert "optimal" not in out and "infeasible" not in out


def test_no_plan_ends_with_status_five_and_the_best_there_is(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """When nothing holds, the surest plan, what can be had and the cures are printed."""
    file.write_text(IMPOSSIBLE, encoding="utf-8")
    assert run([str(file)], None) == 5
    out = capsys.readouterr().out
    assert (
        "No plan is as sure as demanded" in out and "At best: " in out and "% less, washing first" in out
    )
    assert run([str(file), "--json"], None) == 5
    found = json.loads(capsys.readouterr().out)
    assert found["status"] == "infeasible" and 0.0 <= found["attainable"]["fresh"] < 0.9
    assert found["breaks"][0]["supply"] == "fresh" and found["breaks"][0]["less_use_percent"] > 0


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\xff\xfe\x00", "UTF-8"),
        (b"schema = 3", "schema is 3"),
        (b"schema = 1\n[trip]\nstart = 2026-05-04\n[[stay]]\nnights=1", "rig load"),
    ],
)
def test_a_bad_file_is_refused(file: Path, content: bytes, said: str) -> None:
    """Not text, not a trip, not yet: one sentence."""
    file.write_bytes(content)
    with pytest.raises(Refusal, match=said):
        run([str(file)], None)


@pytest.mark.parametrize("argv", [[], ["--jsno"], ["a", "b"]])
def test_wrong_usage_has_its_own_status(argv: list[str]) -> None:
    """No trip, two trips or an unknown option: status 2."""
    with pytest.raises(Refusal) as refused:
        run(argv, None)
    assert refused.value.status == 2


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    """What cannot be read is said by name."""
    with pytest.raises(Refusal, match=r"nowhere\.toml"):
        run([str(tmp_path / "nowhere.toml")], None)


def test_json_loads_nothing_heavy(file: Path) -> None:
    """A script that plans pays for no screen, no database and no numerical library."""
    code = (
        "import sys; from vanlife_supply.commands.plan import run; run([sys.argv[1], '--json'], None);"
        "print(*{m.split('.')[0] for m in sys.modules} & {'textual','rich','numpy','scipy','sqlite3','sqlite_utils'},"
        " file=sys.stderr)"
    )
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run([sys.executable, "-c", code, file], capture_output=True, text=True, check=True, cwd=root)
    assert json.loads(done.stdout)["status"] == "optimal" and done.stderr.strip() == ""
