"""What only a process of its own can show: what is loaded, pipes, kills, the place of the log."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import Runner

LOGGING = ["fill water 5 gal", "use water 1 gal", "use shower", "reading water half", "dump", "next water", "people 2",
           "condition heater", "note hello", "undo"]  # fmt: skip
PROBE = (
    "import sys; from vanlife_supply.__main__ import main; status = main(sys.argv[1:]); "
    "heavy = {'textual', 'numpy', 'rich', 'sqlite_utils', 'pendulum', 'vanlife_supply.entry.phrase', "
    "'vanlife_supply.wording.days'}; "
    "print(status, sorted(heavy & set(sys.modules)), file=sys.stderr)"
)


@pytest.fixture
def here(program: Runner, rig_file: Path) -> Runner:
    """`program` on a log that has its rig."""
    assert program("rig", "load", str(rig_file)).status == 0
    return program


def test_logging_commands_load_nothing_heavy(here: Runner, db: Path) -> None:
    """No command a person runs at the pump loads Textual, numpy, rich, sqlite-utils or pendulum; where a supply and an
    amount say all, nor the reader of phrases, which takes as long as the rest, nor the words of the answer."""
    for line in LOGGING:
        command = [sys.executable, "-c", PROBE, "--db", str(db), *line.split()]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert done.stderr.splitlines()[-1] == "0 []", line


def test_days_loads_no_textual(here: Runner, db: Path) -> None:
    """The answer comes without the app's library."""
    here("fill", "water")
    done = subprocess.run([sys.executable, "-c", PROBE, "--db", str(db), "days"], capture_output=True, text=True, check=True)
    assert done.stderr.splitlines()[-1].startswith("0 ") and "textual" not in done.stderr


def test_without_a_word_and_terminal_days_is_printed(here: Runner) -> None:
    """No word, no terminal: the answer of `days`."""
    here("fill", "water")
    assert here().out == here("days").out != ""


def test_the_demonstration_prints_its_days(program: Runner, tmp_path: Path) -> None:
    """`demo` without a terminal prints the answer at the scenario's own now and makes no log."""
    env = {"VANLIFE_SUPPLY_NOW": ""}
    said = program("demo", env=env)
    assert said.status == 0 and said.out.startswith("Count on ") and program("demo", env=env) == said
    assert not (tmp_path / "data").exists() and not (tmp_path / "log.db").exists()


def test_the_log_of_a_user(rig_file: Path, tmp_path: Path) -> None:
    """Without --db the log is in $VANLIFE_SUPPLY_DB, else in the user's data folder, which is made."""
    base = [sys.executable, "-m", "vanlife_supply"]
    subprocess.run([*base, "rig", "load", str(rig_file)], check=True, capture_output=True)
    assert [p.name for p in tmp_path.rglob("*.db")] == ["log.db"]
    env = {**os.environ, "VANLIFE_SUPPLY_DB": str(tmp_path / "mine.db")}
    subprocess.run([*base, "rig", "load", str(rig_file)], check=True, capture_output=True, env=env)
    assert (tmp_path / "mine.db").exists()


def test_a_closed_pipe_is_quiet(here: Runner, db: Path) -> None:
    """`entries | head` ends without a word on stderr."""
    head = "time,kind,supply,amount,unit,to,method,paid,place,note,id\n"
    rows = "".join(f"2026-05-01T08:{i % 60:02}:00-06:00,use,fresh,0.1,gal,,,,,,r{i}\n" for i in range(4000))
    assert here("import", "-", stdin=head + rows).status == 0
    command = f'"{sys.executable}" -m vanlife_supply --db "{db}" entries | head -1'
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=True)
    assert done.stderr == "" and done.stdout.count("\n") == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_full_output_is_said(here: Runner, db: Path) -> None:
    """An answer that cannot be written ends in a sentence and status 6."""
    here("fill", "water")
    with open("/dev/full", "w") as full:
        command = [sys.executable, "-m", "vanlife_supply", "--db", str(db), "days"]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 6 and "Traceback" not in done.stderr and done.stderr.count("\n") == 1


def test_interrupted_is_130(here: Runner, db: Path) -> None:
    """Ctrl-C while input is awaited ends with 130, without a traceback, and nothing is noted."""
    script = (
        "import os, signal, sys, time\n"
        "from vanlife_supply.__main__ import main\n"
        "class Waiting:\n"
        "    buffer = property(lambda self: self)\n"
        "    def isatty(self): return False\n"
        "    def read(self, most=-1): os.kill(os.getpid(), signal.SIGINT); time.sleep(9)\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "sys.stdin = Waiting()\n"
        "sys.exit(main(sys.argv[1:]))\n"
    )
    command = [sys.executable, "-c", script, "--db", str(db), "import", "-"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 130 and "Traceback" not in done.stderr
    assert here("entries").out == ""


def test_an_acknowledged_command_survives_a_kill(here: Runner, db: Path) -> None:
    """Killed right after it said `Noted`, the entry is there."""
    script = ("import os, sys; from vanlife_supply.__main__ import run; run(sys.argv[1:]); sys.stdout.flush(); "
              "os.kill(os.getpid(), 9)")  # fmt: skip
    command = [sys.executable, "-c", script, "--db", str(db), "use", "water", "1", "gal"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == -9 and done.stdout.startswith("Noted")
    assert here("check").out == "Sound: 1 entries.\n"


def test_a_locked_log_is_status_four(here: Runner, db: Path) -> None:
    """Another program holds the log for longer than five seconds: status 4, nothing noted."""
    con = sqlite3.connect(db, isolation_level=None)
    con.execute("BEGIN IMMEDIATE")
    try:
        said = here("use", "water", "1", "gal")
    finally:
        con.execute("ROLLBACK")
        con.close()
    assert said.status == 4 and "busy" in said.err and said.out == ""
    assert json.loads(here("entries", "--json").out) == []


def test_two_writers_lose_nothing(here: Runner, db: Path) -> None:
    """Commands that run at the same time all keep their entry."""
    command = [sys.executable, "-m", "vanlife_supply", "--db", str(db), "use", "water", "1", "gal"]
    running = [subprocess.Popen(command, stdout=subprocess.DEVNULL) for _ in range(6)]
    assert [process.wait() for process in running] == [0] * 6
    assert len(json.loads(here("entries", "--json").out)) == 6


def test_two_first_loads_at_once(rig_file: Path, db: Path, program: Runner) -> None:
    """Two processes that make the same log at the same time end with one sound log."""
    command = [sys.executable, "-m", "vanlife_supply", "--db", str(db), "rig", "load", str(rig_file)]
    running = [subprocess.Popen(command, stdout=subprocess.DEVNULL) for _ in range(2)]
    assert [process.wait() for process in running] == [0, 0]
    assert program("check").out == "Sound: 0 entries.\n"


def test_a_plain_terminal_gets_plain_signs(here: Runner) -> None:
    """Where the output cannot carry a half sign, the answer comes with a stand-in, not with an error."""
    here("fill", "water")
    assert here("days", env={"PYTHONIOENCODING": "ascii"}).status == 0
