"""A log to decide by: ten invented weeks, the demonstration's own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.conftest import Runner
from vanlife_supply.demo import build


@pytest.fixture(scope="session")
def ten_weeks(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration log, built once."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    build(str(path))
    return path


@pytest.fixture
def lived(cli: Runner, db: Path, ten_weeks: Path, monkeypatch: pytest.MonkeyPatch) -> Runner:
    """`cli` on a copy of it, at its own now."""
    monkeypatch.delenv("VANLIFE_SUPPLY_NOW")
    shutil.copyfile(ten_weeks, db)
    return cli
