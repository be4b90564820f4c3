"""A heater nobody noted: the question on the first screen, answered with one key, the same as on the command line."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path

import pytest

from tests.conftest import Runner
from tests.tui.walk import press, screen, settled
from tests.wording.example import NOW
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.logbook import Logbook
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.shell import SupplyApp

RIG = '[rig]\ntimezone = "America/Denver"\n[[container]]\nsupply = "propane"\nlabel = "cylinder"\ncapacity = "20 lb"\n'
WEIGHED = ((4, 1, 20), (4, 8, 18.6), (4, 15, 17.2), (4, 22, 15.8), (4, 29, 14.4), (5, 3, 11.2), (5, 7, 8.0))
"""A fifth of a pound a day, and from 29 April on four times as much."""
SEEN = "since Wed 29 Apr: looks like the heater"


def weighed(path: Path) -> Path:
    """A log of those weighings."""
    said = [Typed("reading", "propane", f"{left} lb", at=f"2026-{month:02}-{day:02}T08:00", method="scale")
            for month, day, left in WEIGHED]  # fmt: skip
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG, NOW)
        keeping.record(book, [keeping.noted(book, typed, NOW) for typed in said], NOW)
    return path


@pytest.mark.parametrize(("key", "noted"), [("y", ("", "2026-04-29")), ("n", ("off", "2026-05-07"))])
def test_one_key_answers(tmp_path: Path, key: str, noted: tuple[str, str]) -> None:
    """`1 y` notes the heater from the day it shows, `1 n` that it is off now; the question is gone, z brings it back."""
    path = weighed(tmp_path / "log.db")

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), lambda: NOW), lambda: NOW)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert SEEN in " ".join(screen(pilot).split())
            await press(pilot, "1")
            assert "Worth asking" in screen(pilot)
            await press(pilot, key)
            assert SEEN not in " ".join(screen(pilot).split()) and "z takes it back" in screen(pilot)
            with Logbook.open(path) as book:
                last = [e for e in book.entries() if e.kind == "condition"]
            assert [(e.word, e.to, e.at.iso()[:10]) for e in last] == [("heater", *noted)]
            await press(pilot, "z")
            assert SEEN in " ".join(screen(pilot).split())

    asyncio.run(steps())


def test_escape_answers_nothing(tmp_path: Path) -> None:
    """Leaving the question notes nothing."""
    path = weighed(tmp_path / "log.db")

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), lambda: NOW), lambda: NOW)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            await press(pilot, "1 escape")

    asyncio.run(steps())
    with Logbook.open(path) as book:
        assert {e.kind for e in book.entries()} == {"reading"}


def test_the_command_line_says_what_to_type(cli: Runner, db: Path) -> None:
    """`days` asks and names both answers; either command typed as it stands ends the question."""
    weighed(db)
    assert SEEN in cli("days").out
    asked = json.loads(cli("days", "--json").out)["question"]
    shown = asked["supply"], asked["condition"], asked["on"], asked["since"][:10]
    assert shown == ("propane", "heater", True, "2026-04-29")
    assert 0.8 <= asked["chance"] <= 1.0
    for answer in asked["answers"].removeprefix("Yes: ").split("  No: "):
        assert answer in cli("days").out
        assert cli(*answer.split()).status == 0
        assert json.loads(cli("days", "--json").out)["question"] is None
        cli("undo")
