"""The README shows what the program is: its own screens, its own keys, commands that stand alone."""

from __future__ import annotations

import re
from pathlib import Path

from vanlife_supply.actions import key_table

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_pictures_are_the_golden_screens() -> None:
    """Every picture is one of the screens the tests compare, line for line."""
    pictures = re.findall(r"<!-- picture: (\S+) -->\n```text\n(.*?)```", README, re.DOTALL)
    assert pictures
    for name, shown in pictures:
        golden = (ROOT / name).read_text(encoding="utf-8")
        assert [line.rstrip() for line in shown.splitlines()] == [line.rstrip() for line in golden.splitlines()]


def test_the_key_table_is_the_registry() -> None:
    """The table between the marks is what the registry of actions says."""
    assert key_table() in README


def test_commands_stand_alone() -> None:
    """The two commands make their own environment; the second ends in pytest."""
    commands = re.findall(r"```sh\n(python3 -m venv .*?)\n```", README)
    assert len(commands) == 2
    assert commands[0].endswith("vanlife-supply demo")
    assert "pytest" in commands[1]


def test_nothing_else_stands_at_the_top() -> None:
    """README, guide, pyproject, package, tests, demo log; besides them only dot-files and what tools leave behind."""
    wanted = {"README.md", "DEVELOPERS.md", "pyproject.toml", "vanlife_supply", "tests", "demo.db"}
    made = {"build", "dist", "demo.db-wal", "demo.db-shm", "vanlife_supply.egg-info"}
    there = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
    assert wanted <= there
    assert there - wanted <= made
