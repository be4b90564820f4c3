"""The way in: whose file is this, may it be read, may it be written. Nothing is touched before that is known."""

from __future__ import annotations

import os
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import RLock

from vanlife_supply.refusal import BUSY, CANNOT_WRITE, NOT_OURS, Refusal

APPLICATION_ID = 0x764C5331
"""Marks our files (bytes 68–71 of the SQLite header: `vLS1`)."""
LEAST_ROOM = 64 * 1024
"""Bytes that a log needs beside it to be written at all."""
WAIT_S = 5.0
"""How long a command waits for another one that is writing."""

_MAGIC = b"SQLite format 3\x00"
# Result codes of SQLite: busy, locked, protocol; full; perm, readonly, cantopen, auth; error, corrupt, format, notadb.
_BUSY = (5, 6, 15)
_FULL = (13,)
_LOCKED_OUT = (3, 8, 14, 23)
_UNREADABLE = (1, 11, 24, 26)

# POSIX drops all locks of a process on a file when it closes any descriptor of that file. SQLite minds that among its
# own connections; we must not read a log's bytes while this process holds it open, or others would think it free.
_turn = RLock()
_held: Counter[Path] = Counter()


@contextmanager
def opening() -> Iterator[None]:
    """One at a time in this process: between telling whose file it is and holding it."""
    with _turn:
        yield


def hold(path: Path) -> None:
    """This process has a connection to the log at `path`."""
    _held[path.resolve()] += 1


def let_go(path: Path) -> None:
    """That connection is closed."""
    with _turn:
        _held[path.resolve()] -= 1


def identify(path: Path) -> bool:
    """Whether there is a log of ours at `path`; False if there is no file or an empty one.

    Reads the first hundred bytes and nothing else, and not even those of a log held open here.
    Refusal (NOT_OURS) for anything that is not our log, (CANNOT_WRITE) for what may not be read.
    """
    try:
        if path.exists() and not path.is_file():
            raise Refusal(f"{path} is a folder or a device, not a log: name a file after --db.", NOT_OURS)
        with _turn:
            if _held[path.resolve()] > 0:
                return True
            with path.open("rb") as file:
                head = file.read(100)
    except FileNotFoundError:
        return False
    except OSError as fault:
        raise Refusal(f"{path} cannot be read ({fault.strerror}): check its permissions.", CANNOT_WRITE) from None
    if not head:
        return False
    if len(head) < 100 or not head.startswith(_MAGIC):
        raise Refusal(f"{path} is not a log of this program: it was not touched. {_help(path)}", NOT_OURS)
    if int.from_bytes(head[68:72], "big") != APPLICATION_ID:
        raise _foreign(path)
    _refuse_cut_short(path, head)
    return True


def refuse_foreign(path: Path) -> None:
    """Refusal (NOT_OURS) where another program's database, a folder or a device is; a damaged log of ours may be."""
    if path.exists() and not path.is_file():
        raise Refusal(f"{path} is a folder or a device, not a log: name a file after --db.", NOT_OURS)
    if path.exists():
        with _turn, path.open("rb") as file:
            head = file.read(100)
        if head.startswith(_MAGIC) and int.from_bytes(head[68:72], "big") != APPLICATION_ID:
            raise _foreign(path)


def _foreign(path: Path) -> Refusal:
    return Refusal(f"{path} is another program's database: it was not touched. Name your own log after --db, "
                   "and bring a backup of it back with: restore BACKUP", NOT_OURS)  # fmt: skip


def _refuse_cut_short(path: Path, head: bytes) -> None:
    """A file shorter than its header says has lost its end (unless a write-ahead log still holds it)."""
    ahead = path.with_name(path.name + "-wal")
    if ahead.exists() and ahead.stat().st_size:
        return
    page = int.from_bytes(head[16:18], "big")
    size = (65_536 if page == 1 else page) * int.from_bytes(head[28:32], "big")
    if path.stat().st_size < size:
        raise damaged(path)


def damaged(path: Path) -> Refusal:
    """The refusal for a log that SQLite cannot read."""
    return Refusal(f"{path} is damaged: it was left as it is. {_help(path)}", NOT_OURS)


def _help(path: Path) -> str:
    return f"Bring a backup back with: vanlife-supply --db {path} restore BACKUP"


def connect(path: Path) -> sqlite3.Connection:
    """A connection in autocommit mode that waits WAIT_S for others; foreign keys on, every commit on the disk."""
    con = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
    con.execute("PRAGMA foreign_keys=ON")
    con.execute("PRAGMA synchronous=FULL")
    return con


def connect_to_read(path: Path) -> sqlite3.Connection:
    """A connection that only reads, and leaves no file behind where nobody is writing; also from a read-only medium."""
    ahead = path.with_name(path.name + "-wal")
    how = "mode=ro" if ahead.exists() and ahead.stat().st_size else "immutable=1"
    return sqlite3.connect(f"{path.absolute().as_uri()}?{how}", uri=True, timeout=WAIT_S, isolation_level=None)


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """SQLite's errors as refusals with the exit status that belongs to them."""
    try:
        yield
    except sqlite3.IntegrityError:
        raise
    except sqlite3.Error as fault:
        raise refusal(path, fault) from None


def refusal(path: Path, fault: sqlite3.Error) -> Refusal:
    """What to tell a person about an error of SQLite."""
    code = getattr(fault, "sqlite_errorcode", 0) & 0xFF
    if code in _BUSY:
        return Refusal(f"{path} is busy: another command has been writing for over {WAIT_S:g} s; try again.", BUSY)
    if code in _FULL or (code in _LOCKED_OUT and _no_room(path)):
        return Refusal(f"The disk is full: nothing was noted in {path}; make room and try again.", CANNOT_WRITE)
    if code in _LOCKED_OUT:
        return Refusal(f"{path} cannot be written: check the folder and its permissions.", CANNOT_WRITE)
    if code in _UNREADABLE:
        return damaged(path)
    return Refusal(f"The disk under {path} does not answer: nothing was noted; check it and try again.", CANNOT_WRITE)


def _no_room(path: Path) -> bool:
    """Whether not even the smallest file fits beside it: SQLite then says that it cannot open one."""
    from shutil import disk_usage  # only a fault pays for it

    with suppress(OSError):
        return disk_usage(path.absolute().parent).free < LEAST_ROOM
    return False


def copy_verified(con: sqlite3.Connection, path: Path, target: Path) -> None:
    """Copy the open log into a new file, on the disk and found sound before this returns."""
    if target.exists():
        raise Refusal(f"{target} is there already: name a new file.")
    if not target.absolute().parent.is_dir():
        raise Refusal(f"The folder {target.parent} does not exist: make it, or name another file.", CANNOT_WRITE)
    try:
        with translated(target):
            copy = sqlite3.connect(target, isolation_level=None)
            try:
                con.backup(copy)
                copy.execute("PRAGMA journal_mode=DELETE")
                sound = copy.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok"
            finally:
                copy.close()
        if not sound:
            raise damaged(path)
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def which(path: Path) -> tuple[int, int] | None:
    """What tells the file at `path` from any other that may stand there later; None where there is none."""
    try:
        told = os.stat(path)
    except OSError:
        return None
    return told.st_dev, told.st_ino


def stamp(path: Path | str) -> tuple[int, ...]:
    """Sizes and times of the log and of what waits to go into it: as long as they stay, nobody has written."""
    found: list[int] = []
    for each in (path, f"{path}-wal"):
        with suppress(OSError):
            told = os.stat(each)
            found += [told.st_size, told.st_mtime_ns]
    return tuple(found)
