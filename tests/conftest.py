"""What every test starts from: an empty data folder, a clock that stands still, a plain environment."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable, Generator
from dataclasses import dataclass
from pathlib import Path

import pytest

NOW = "2026-05-07T19:10:00-06:00"
"""The time of every test that does not say another (VANLIFE_SUPPLY_NOW)."""

RIG = """
[rig]
people = 1
pets = ["dog 50 lb"]
units = "us"
timezone = "America/Denver"
currency = "USD"

[[supply]]
name = "fresh"
reserve = "1 gal"

[[container]]
supply = "fresh"
label = "jug"
capacity = "7 gal"
count = 2

[[container]]
supply = "grey"
label = "sink jug"
capacity = "6 gal"
usable = 0.9

[[container]]
supply = "stove_fuel"
label = "canister"
capacity = "1 L"
count = 2

[[container]]
supply = "stove_fuel"
label = "can"
capacity = "1 gal"

[[container]]
supply = "propane"
label = "cylinder"
wc = "47.6 lb"
tare = "17.1 lb"
"""


@dataclass(frozen=True)
class Said:
    """What a command answered."""

    status: int
    out: str
    err: str


Runner = Callable[..., Said]


@pytest.hookimpl(wrapper=True, optionalhook=True)
def pytest_xdist_auto_num_workers() -> Generator[None, int, int]:
    """Tests of screens mostly wait for the app to come to rest: two more workers than cores keep the cores busy."""
    return (yield) + 2


@pytest.fixture(autouse=True)
def plain_world(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No setting of the person who runs the tests reaches them, and no test reaches that person's log."""
    for name in ("NO_COLOR", "TEXTUAL_THEME", "VANLIFE_SUPPLY_DB"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", NOW)


@pytest.fixture
def shared() -> Path:
    """The folder of the papers and cases beside the project."""
    folder = Path(__file__).resolve().parents[2] / "shared"
    if not folder.is_dir():
        pytest.skip("the cases and papers this test reads are not beside the project")
    return folder


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """Where the log of this test will be."""
    return tmp_path / "log.db"


@pytest.fixture
def rig_file(tmp_path: Path) -> Path:
    """A rig.toml of two jugs, a sink jug, canisters with their can, and a cylinder."""
    path = tmp_path / "rig.toml"
    path.write_text(RIG, encoding="utf-8")
    return path


@pytest.fixture
def cli(db: Path, monkeypatch: pytest.MonkeyPatch) -> Runner:
    """Runs a command within this process: `cli("fill", "water", stdin="")`."""
    from vanlife_supply.__main__ import main

    def run(*words: str, stdin: str | bytes = "", log: Path | None = None) -> Said:
        data = stdin.encode("utf-8") if isinstance(stdin, str) else stdin
        out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
        with monkeypatch.context() as patch:
            patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))
            patch.setattr(sys, "stdout", out)
            patch.setattr(sys, "stderr", err)
            status = main(["--db", str(log or db), *words])
        texts = []
        for stream in (out, err):
            stream.flush()
            stream.seek(0)
            texts.append(stream.read())
        return Said(status, *texts)

    return run


@pytest.fixture
def program(db: Path) -> Runner:
    """Runs a command in a process of its own."""

    def run(*words: str, stdin: str = "", log: Path | None = None, env: dict[str, str] | None = None) -> Said:
        command = [sys.executable, "-m", "vanlife_supply", "--db", str(log or db), *words]
        done = subprocess.run(
            command, input=stdin, capture_output=True, text=True, env={**os.environ, **(env or {})}, timeout=60, check=False
        )
        return Said(done.returncode, done.stdout, done.stderr)

    return run


@pytest.fixture
def ready(cli: Runner, rig_file: Path) -> Runner:
    """`cli` on a log that has its rig."""
    assert cli("rig", "load", str(rig_file)).status == 0
    return cli
