"""The app on a real log: what it writes is on the disk, what others write it sees, what it shows is freshly worked out."""

from __future__ import annotations

import asyncio
import os
import subprocess
import sys
from pathlib import Path
from typing import NoReturn

import pytest

from tests.tui.walk import press, screen, settled, type_in
from tests.wording.example import NOW, RIG_TOML
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.keeping import files
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import NOT_OURS, Refusal
from vanlife_supply.tui.app import run
from vanlife_supply.tui.asking import todo
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.shell import SupplyApp


def clock() -> Moment:
    """The invented now."""
    return NOW


def note(path: Path, *said: Typed) -> None:
    """What the command line would write, through a connection of its own."""
    with Logbook.open(path) as book:
        keeping.record(book, [keeping.noted(book, typed, NOW) for typed in said], NOW)


def test_from_nothing_to_a_forecast_and_back(tmp_path: Path) -> None:
    """Set-up, the first forecast, a fill that changes it, an undo that restores it."""
    path = tmp_path / "log.db"

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), clock), clock)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            for answer in ("1", "7 gal half, 5 gal full", "sunday", "10", "6 gal, 2 in it", "", "20 lb TW 17.1 weighs 24.3"):
                await type_in(pilot, answer)
                await press(pilot, "enter")
            assert "alias vs=vanlife-supply" in screen(pilot)
            await press(pilot, "escape")
            before = screen(pilot)
            assert "alias" not in before
            assert "Count on" in before and "7.2 lb" in before
            await press(pilot, "d enter")
            assert "Noted: dumped gray empty" in screen(pilot)
            assert app.forecast is not None and app.forecast.first is not None
            await press(pilot, "z escape")
            assert screen(pilot) == before

    asyncio.run(steps())
    with Logbook.open(path) as book:
        assert [e.kind for e in book.entries()] == ["fill", *["reading"] * 4]


def test_sees_the_command_line(tmp_path: Path) -> None:
    """What another connection writes while the app is open is shown; nothing is read again when nothing was written."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), clock), clock)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert "Nothing is known yet" in screen(pilot)
            note(path, Typed("fill", "water"), Typed("dump", "gray"))
            await pilot.pause(1.2)
            await settled(pilot)
            assert "Count on" in screen(pilot)
            turn = app._turn
            await pilot.pause(2.0)
            assert app._turn == turn

    asyncio.run(steps())


def test_two_windows_take_back_what_they_mean(tmp_path: Path) -> None:
    """An undo that would take back what another window noted since says so first; pressed again it does."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
    mine, other = LogDesk(str(path), clock), LogDesk(str(path), clock)
    mine.record([Typed("fill", "water")])
    other.record([Typed("dump", "gray")])
    with pytest.raises(Refusal, match="another window"):
        mine.undo()
    assert [e.kind for e in mine.undo().entries] == ["dump"]
    assert [e.kind for e in mine.undo().entries] == ["fill"]
    with pytest.raises(Refusal, match="another window"):
        other.undo()


def test_a_backup_brought_back_meanwhile_is_followed(tmp_path: Path) -> None:
    """The log is restored by another command while the app is open: it shows that one, and notes go there."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
    desk = LogDesk(str(path), clock)
    desk.record([Typed("fill", "water")])
    with Logbook.open(path) as book:
        saved = files.backup(book, None, NOW)
    desk.record([Typed("use", "water", "1 gal")])
    seen = desk.version()
    files.restore(path, saved, NOW)
    assert desk.version() != seen
    assert [e.kind for e in desk.known().entries] == ["fill"]
    desk.record([Typed("dump", "gray")])
    desk.close()
    with Logbook.open(path) as book:
        assert [e.kind for e in book.entries()] == ["fill", "dump"] and book.check() == []


def test_a_fault_in_the_forecast_keeps_what_was_noted_in_sight(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The log cannot be read again after a note: both are said, and no effect is made up."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
    note(path, Typed("fill", "water"), Typed("dump", "gray"))
    desk = LogDesk(str(path), clock)

    def refuse() -> NoReturn:
        raise Refusal("The log cannot be read.")

    async def steps() -> None:
        async with SupplyApp(desk, clock).run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            monkeypatch.setattr(desk, "forecast", refuse)
            await press(pilot, "d enter")
            told = screen(pilot)
            assert "Noted: dumped gray empty" in told and "The log cannot be read." in told and "as before" not in told

    asyncio.run(steps())


def test_a_plan_gone_by_is_asked_about_once(tmp_path: Path) -> None:
    """A dump planned for the day before yesterday, nothing noted of it: a question, a key, and it stands at its time."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
        earlier = NOW.plus(-4.0)
        plan = Typed("planned", "gray", word="dump", at="2026-05-05T19:10")
        for said in (Typed("fill", "water"), Typed("dump", "gray"), plan):
            keeping.record(book, [keeping.noted(book, said, earlier)], earlier)

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), clock), clock)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert "was it dumped on Tue 5 May, as planned?" in " ".join(screen(pilot).split())
            asked = next(i for i, thing in enumerate(todo(app)) if thing.asks == "plan")
            await press(pilot, f"{asked + 1} y enter")
            await settled(pilot)
            assert app.known.entries[-1].kind == "dump" and app.known.entries[-1].at == NOW.plus(-2.0)
            assert "as planned" not in screen(pilot)

    asyncio.run(steps())


BESIDE = """
import sys
from vanlife_supply.keeping import ids
from vanlife_supply.tui import app, desk
now = lambda: ids.now("America/Denver", "2026-05-07T19:10:00-06:00")
beside = app._begin(sys.argv[1], now)()
print("numpy" in sys.modules, beside == desk.LogDesk(sys.argv[1], now).forecast() if beside else None)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork; the app works the forecast out itself")
@pytest.mark.parametrize(("known", "said"), [(True, "False True"), (False, "False None")])
def test_first_forecast_beside(tmp_path: Path, known: bool, said: str) -> None:
    """The child's forecast is the one made here, without loading numpy here; where there is no rig it is simply none."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        if known:
            keeping.load_rig(book, RIG_TOML, NOW)
    if known:
        note(path, Typed("fill", "water", at="2026-05-01T08:00"), Typed("reading", "water", "half", container="B"))
    done = subprocess.run([sys.executable, "-c", BESIDE, str(path)], capture_output=True, text=True, timeout=60, check=True)
    assert (done.stdout.strip(), done.stderr) == (said, "")


def test_not_our_file_is_refused_before_any_screen(tmp_path: Path) -> None:
    """Another file is left alone and named in a sentence."""
    path = tmp_path / "other.db"
    path.write_text("not a log", encoding="utf-8")
    with pytest.raises(Refusal) as refused:
        run(str(path), clock)
    assert refused.value.status == NOT_OURS
    assert path.read_text(encoding="utf-8") == "not a log"
