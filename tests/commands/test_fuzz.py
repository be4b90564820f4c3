"""Whatever is typed or fed in: a status of the contract, no traceback, no report of a fault in the program."""

from __future__ import annotations

import json
import os
import random
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conftest import Runner
from tests.keeping.test_trade import rows
from vanlife_supply.__main__ import COMMANDS
from vanlife_supply.entry import csvform
from vanlife_supply.entry.model import Entry

NEEDS_FILE = {"plan", "demo"}
OPTIONS = [
    "--at", "--container", "--paid", "--note", "--json", "--as-of", "--by", "--into", "--from", "--until", "--off", "--back",
    "--drop", "--every", "--cold", "--again", "--since", "--down-to", "--price-per", "--pets", "--list", "--for", "--why",
    "--questioned", "--", "--check",
]  # fmt: skip
WORDS = [
    "water", "gray", "alcohol", "propane", "jug 1", "A", "can", "canister 1", "5", "5 gal", "half", "1,234", "0",
    "-1", "1e9", "40%", "24.3 lb gross", "some", "almost", "full", "", " ", "fri", "last night", "now",
    "2026-05-01T08:00", "9999-12-31", "0001-01-01", "heater", "food", "dump", "fill", "real", "mistake", "show",
    "zone", "UTC", "½", "\x00", "\ud800", "💧", "'", "=1+1", "x" * 600, "3.50", "35c/gal", "every 5 days", "2",
    "9" * 20, "nan", "inf", "--", "00", "../x", "a b",
]  # fmt: skip
STATUSES = {0, 1, 2, 3, 6}


def sane(run: Runner, *words: str, stdin: str | bytes = "") -> None:
    """The command ends as the contract says it may."""
    said = run(*words, stdin=stdin)
    assert said.status in STATUSES, (words, said)
    assert "Traceback" not in said.err and "went wrong" not in said.err, (words, said)
    assert (said.status == 0) or said.err.strip(), words


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    command=st.sampled_from(sorted(set(COMMANDS) - NEEDS_FILE - {"backup", "restore", "export", "merge"})),
    rest=st.lists(st.sampled_from(WORDS) | st.sampled_from(OPTIONS) | st.text(max_size=5), max_size=5),
)
def test_no_words_break_a_command(
    ready: Runner, command: str, rest: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Any words in any order are taken or refused."""
    monkeypatch.chdir(tmp_path)
    sane(ready, command, *rest)


SUPPLIES, BOXES = ["water", "gray", "alcohol", "propane", "w"], ["A", "B", "jug 2", "can", "canister 1", "cylinder", "Z"]
AMOUNTS = ["1 gal", "half", "full", "5", "12 gal", "2 L", "4 lb", "24.3 lb gross", "some", "", "0", "3 gal full"]
TIMES = ["2h ago", "yesterday", "3 days ago", "mon", "tomorrow", "40 days ago"]
NOTED = ["fill", "use", "reading", "dump", "next", "ran-out", "exchange", "spill", "pour", "aside", "people", "condition",
         "undo", "mend", "void", "settle"]  # fmt: skip


def likely(draw: random.Random, ids: list[str]) -> list[str]:
    """A command as a person might type it, right or nearly right."""
    kind = draw.choice(NOTED)
    words = {
        "pour": [draw.choice(SUPPLIES), "--from", draw.choice(BOXES), "--into", draw.choice(BOXES)],
        "aside": [draw.choice(BOXES), *draw.choice([["--back"], ["--why", "frozen"], []])],
        "people": [draw.choice(["1", "3", "+1", "x"])],
        "condition": [draw.choice(["heater", "away", "heatr"]), *draw.choice([["--off"], [], ["--until", "in 3 days"]])],
        "undo": draw.choice([["--again"], []]),
        "void": [draw.choice(ids)[-6:]],
        "settle": [draw.choice(ids)[-6:], draw.choice(["real", "mistake", "3 gal", "x"])],
        "mend": [draw.choice(ids)[-6:], *draw.choice(AMOUNTS).split()],
    }.get(kind, [draw.choice(SUPPLIES), *(draw.choice(AMOUNTS).split() if kind not in ("next", "ran-out") else [])])
    box = ["--container", draw.choice(BOXES)] if kind in NOTED[:8] and draw.random() < 0.2 else []
    return [kind, *words, *box, *(["--at", draw.choice(TIMES)] if kind in NOTED[:12] and draw.random() < 0.4 else [])]


def kept(db: Path) -> list[int]:
    """How many acts, entries and rigs the log has."""
    with sqlite3.connect(f"file:{db}?mode=ro", uri=True) as con:
        return [con.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in ("act", "entry", "rig")]


@pytest.mark.parametrize("seed", [1, 2])
def test_done_is_kept_and_refused_leaves_nothing(
    ready: Runner, db: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    """A walk of commands: with status 0 something more is in the log, with any other nothing is; it stays sound."""
    draw, now = random.Random(seed), datetime(2026, 5, 7, 19, tzinfo=UTC)
    ids = ["abcdef"]
    for _ in range(50):
        now += timedelta(hours=draw.choice([0.1, 2, 9, 26]))
        monkeypatch.setenv("VANLIFE_SUPPLY_NOW", now.isoformat())
        words, before = likely(draw, ids), kept(db)
        said = ready(*words)
        assert said.status in STATUSES and "went wrong" not in said.err and (said.status == 0 or said.err.strip()), words
        assert (kept(db) != before) is (said.status == 0), (words, said)
        ids = [entry["id"] for entry in json.loads(ready("entries", "--json").out)] or ids
    assert ready("check").out.startswith("Sound")
    assert ready("days").status == 0


HEAD = "time,kind,supply,amount,unit,to,method,paid,place,note,id,container,into,until,word,pets,zone,by,typed"
CELLS = [
    "", "2026-05-01T08:00", "2026-05-01T08:00Z", "0001-01-01T00:00", "9999-12-31T23:59+14:00", "fill", "dump",
    "reading", "use", "limit", "people", "condition", "note", "fresh", "propane", "grey", "5", "0", "1,5", "%", "gal",
    "lb gross", "full", "empty", "1 gal", "every fri", "drop", "off", "jug 1", "A", "food", "America/Denver", "3.50",
    "x", "'", "\x00", '"', "\n", "½",
]  # fmt: skip


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(st.sampled_from(CELLS), min_size=18, max_size=20), max_size=4))
def test_no_rows_break_an_import(ready: Runner, table: list[list[str]]) -> None:
    """Any cells are taken or named as faults; what was taken can be looked at, listed, given out and taken back."""
    text = "\n".join([HEAD, *(",".join(row) for row in table)])
    sane(ready, "import", "-", stdin=text)
    for line in ("entries", "entries --json", "export -", "days"):
        assert ready(*line.split()).status == 0, line
    ready("undo")


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(rows(), min_size=1, max_size=8))
def test_what_was_taken_in_can_be_asked_about(ready: Runner, entries: list[Entry]) -> None:
    """Whatever an import takes, `days` answers; one undo takes all of it back."""
    done = ready("import", "-", stdin=csvform.write(entries, "USD"))
    assert done.status == 0, done
    for line in ("days", "days --json --as-of 2026-05-01T08:00 --as-of 2020-01-01"):
        sane(ready, *line.split())
    assert ready("undo").status == 0 and ready("entries").out == ""


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=400))
def test_no_bytes_break_an_import(ready: Runner, data: bytes) -> None:
    """Any bytes after a sound header are taken or refused."""
    sane(ready, "import", "-", stdin=HEAD.encode() + b"\n" + data)
    sane(ready, "import", "-", stdin=data)


def test_no_damage_ends_in_a_traceback(ready: Runner, db: Path, tmp_path: Path) -> None:
    """A log with bytes overwritten anywhere is read, or refused with status 3."""
    for i in range(60):
        ready("use", "water", "1", "gal", "--at", f"{i + 1}h ago")
    sealed = tmp_path / "sealed.db"
    ready("backup", str(sealed))
    whole, draw = sealed.read_bytes(), random.Random(7)
    for _ in range(40):
        hurt = bytearray(whole)
        start = draw.randrange(100, len(hurt))
        hurt[start : start + draw.choice([1, 16, 4096])] = os.urandom(draw.choice([1, 16]))
        for tail in ("", "-wal", "-shm"):
            db.with_name(db.name + tail).unlink(missing_ok=True)
        db.write_bytes(hurt)
        for line in ("entries", "use water 1 gal", "undo", "check", "rig show"):
            sane(ready, *line.split())


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=200) | st.sampled_from(["[rig]\npeople = 1e999", "[[container]]\nsupply = 3", "a = " + "[" * 3000]))
def test_no_text_breaks_rig_load(cli: Runner, tmp_path: Path, text: str) -> None:
    """Any text is loaded or refused."""
    path = tmp_path / "fuzz.toml"
    path.write_text(text, encoding="utf-8", errors="replace")
    sane(cli, "rig", "load", str(path))
