"""The README shows what the program is: its own screens, its own keys, commands that stand alone."""

from __future__ import annotations

import os
import re
from pathlib import Path

from tests.tui.walk import UPDATE
from vanlife_supply.actions import key_table

ROOT = Path(__file__).resolve().parents[1]
PICTURE = re.compile(r"<!-- picture: (\S+) -->\n```text\n(.*?)```", re.DOTALL)
KEYS = re.compile(r"(?<=<!-- keys -->\n)(?:\|.*\n)+")


def golden(name: str) -> str:
    """A golden screen without what trails at the ends of its lines."""
    lines = (ROOT / name).read_text(encoding="utf-8").splitlines()
    return "\n".join(line.rstrip() for line in lines) + "\n"


def readme() -> str:
    """The README as it stands; with the switch that renews golden screens, renewed from them and the registry first."""
    path = ROOT / "README.md"
    text = path.read_text(encoding="utf-8")
    if os.environ.get(UPDATE):
        text = PICTURE.sub(lambda m: f"<!-- picture: {m[1]} -->\n```text\n{golden(m[1])}```", text)
        text = KEYS.sub(lambda _: key_table(), text)
        path.write_text(text, encoding="utf-8")
    return text


def test_pictures_are_the_golden_screens() -> None:
    """Every picture is one of the screens the tests compare, line for line."""
    pictures = PICTURE.findall(readme())
    assert pictures
    for name, shown in pictures:
        assert shown == golden(name)


def test_the_key_table_is_the_registry() -> None:
    """The table between the marks is what the registry of actions says."""
    assert key_table() in readme()


def test_commands_stand_alone() -> None:
    """The two commands make their own environment; the second ends in pytest."""
    commands = re.findall(r"```sh\n(python3 -m venv .*?)\n```", readme())
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
