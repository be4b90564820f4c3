"""The program in a terminal of its own: what is sent to it, and keys of one's own from a file."""

from __future__ import annotations

import os
import pty
import select
import signal
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from tests.wording.example import NOW, RIG_TOML
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.logbook import Logbook

PATIENCE_S = 40.0


def see(terminal: int, words: bytes, seen: bytes = b"") -> bytes:
    """Everything sent until these words came."""
    until = time.monotonic() + PATIENCE_S
    while words not in seen and time.monotonic() < until:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                seen += os.read(terminal, 65536)
            except OSError:  # the other end is gone
                break
    assert words in seen, seen[-2000:]
    return seen


def started(db: Path, *words: str, unheard: bool = False) -> tuple[int, int]:
    """The program in a new terminal → its process and the terminal. `unheard`: nobody tells it when that is closed."""
    child, terminal = pty.fork()
    if child == 0:
        signal.signal(signal.SIGHUP, signal.SIG_IGN if unheard else signal.SIG_DFL)
        env = {**os.environ, "TERM": "xterm-256color", "VANLIFE_SUPPLY_NOW": NOW.iso(), "COLUMNS": "80", "LINES": "24"}
        os.execve(sys.executable, [sys.executable, "-m", "vanlife_supply", "--db", str(db), *words], env)
    return child, terminal


def finished(child: int, terminal: int | None) -> int:
    """Its exit status. `terminal`: None when that is closed already."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        if terminal is None:
            time.sleep(0.05)
        elif select.select([terminal], [], [], 0.1)[0]:
            with suppress(OSError):  # the other end is gone
                os.read(terminal, 65536)
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            if terminal is not None:
                os.close(terminal)
            return os.waitstatus_to_exitcode(status)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    raise AssertionError("it does not end")


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """A log that has its rig."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
    return path


MOUSE = b"\x1b[?1000h"
"""What asks a terminal to report the mouse (xterm control sequences, private mode 1000)."""


@pytest.mark.parametrize("words", [(), ("--no-mouse",)])
def test_the_mouse_is_left_to_the_terminal_when_asked(db: Path, words: tuple[str, ...]) -> None:
    """With --no-mouse nothing asks for the mouse; without it something does; keys work either way."""
    child, terminal = started(db, *words)
    seen = see(terminal, b"filled")
    os.write(terminal, b"d\r")
    seen = see(terminal, b"Noted:", seen)
    assert (MOUSE in seen) is not bool(words)
    os.write(terminal, b"q")
    assert finished(child, terminal) == 0
    with Logbook.open(db) as book:
        assert [e.kind for e in book.entries()] == ["dump"]


def test_keys_of_ones_own(db: Path) -> None:
    """keys.toml beside the log is in force from the start: the new key notes, the old one does not, the new one leaves."""
    db.with_name("keys.toml").write_text('filled = "5"\nquit = "0"\n', encoding="utf-8")
    child, terminal = started(db)
    see(terminal, b"undo")
    os.write(terminal, b"f")
    see(terminal, b"means nothing here")
    os.write(terminal, b"5wb\r")
    see(terminal, b"Noted:")
    os.write(terminal, b"0")
    assert finished(child, terminal) == 0
    with Logbook.open(db) as book:
        assert [(e.kind, e.container) for e in book.entries()] == [("fill", "jug B")]


def test_a_terminal_that_is_gone_ends_the_app(db: Path) -> None:
    """The terminal closed and no signal came: the app ends by itself, and what was noted is in the log."""
    child, terminal = started(db, unheard=True)
    see(terminal, b"filled")
    os.write(terminal, b"d\r")
    see(terminal, b"Noted:")
    os.close(terminal)
    assert finished(child, None) == 0
    with Logbook.open(db) as book:
        assert [e.kind for e in book.entries()] == ["dump"]


def test_what_is_typed_before_the_app_is_there_is_not_lost(tmp_path: Path) -> None:
    """A first answer and its Enter typed while the program still loads are the first answer."""
    child, terminal = started(tmp_path / "log.db")
    os.write(terminal, b"2 people and a cat\r")
    seen = see(terminal, b"2 of 7")
    os.write(terminal, b"\x1b")
    see(terminal, b"2 aboard, cat", seen)
    os.kill(child, signal.SIGKILL)
    finished(child, terminal)


def test_a_set_up_that_was_killed_goes_on(tmp_path: Path) -> None:
    """After a kill -9 the answers given are offered; Enter goes on with the next one, and the end of it is kept as ever."""
    path = tmp_path / "log.db"
    child, terminal = started(path)
    see(terminal, b"1 of 7")
    os.write(terminal, b"me\r")
    see(terminal, b"2 of 7")
    os.write(terminal, b"7 gal half\r")
    see(terminal, b"3 of 7")
    os.kill(child, signal.SIGKILL)
    finished(child, terminal)
    child, terminal = started(path)
    seen = see(terminal, b"begins anew")
    assert b"You had begun" in seen and b"7 gal half" in seen
    os.write(terminal, b"\r")
    see(terminal, b"3 of 7")
    for number in range(4, 8):
        os.write(terminal, b"\r")
        see(terminal, f"{number} of 7".encode())
    os.write(terminal, b"\r")
    see(terminal, b"filled")
    os.write(terminal, b"q")
    assert finished(child, terminal) == 0
    with Logbook.open(path) as book:
        assert [(e.kind, e.container, e.amount) for e in book.entries()] == [("reading", "jug", 50.0)]
        assert not book.setting("set-up")


def test_a_clock_set_back_is_said_at_the_start(db: Path) -> None:
    """Entries recorded after now: the app says that the clock is behind."""
    with Logbook.open(db) as book:
        later = NOW.plus(3.0)
        keeping.record(book, [keeping.noted(book, Typed("dump", "gray"), later)], later)
    child, terminal = started(db)
    see(terminal, b"clock is behind the last entry")
    os.write(terminal, b"q")
    assert finished(child, terminal) == 0
