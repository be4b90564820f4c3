"""The logbook: acts, entries, rigs, settings and kept beliefs in one SQLite file."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import gate
from vanlife_supply.logbook.rows import COLUMNS, PLACES, STANDS, entries_of, entry_of, row_of
from vanlife_supply.refusal import CANNOT_WRITE, NOT_OURS, Refusal
from vanlife_supply.rig.model import Arrangement, Rig

VERSION = 5
"""The newest form of the tables this program knows (`user_version` of the file): the number of migrations."""

_BEGIN = "start vanlife-supply without a word, it asks seven things; or describe your vehicle in rig.toml: rig load rig.toml"


@dataclass(frozen=True, slots=True)
class Act:
    """One thing a person did: `record` entries or a rig, `undo` or `redo` an earlier act (`target`)."""

    id: str
    recorded: float
    device: str
    kind: str = "record"
    target: str | None = None


class Logbook:
    """An open log. Every write is one transaction and is on the disk when the call returns.

    Refusal with NOT_OURS, BUSY or CANNOT_WRITE where the file does not allow what is asked.
    """

    def __init__(self, path: Path, con: sqlite3.Connection, *, writable: bool = True) -> None:
        self.path = path
        self.writable = writable
        self._con = con
        self._file = gate.which(path)
        self._closed = False
        gate.hold(path)
        self._rigs: tuple[list[tuple[Any, ...]], tuple[Arrangement, ...]] | None = None

    @classmethod
    def open(cls, path: Path | str, *, create: bool = True) -> Logbook:
        """Open the log at `path`; a missing or empty file becomes a new log, or a Refusal if `create` is false."""
        with gate.opening():
            return cls._opened(Path(path), create=create)

    @classmethod
    def _opened(cls, path: Path, *, create: bool) -> Logbook:
        known = gate.identify(path)
        if not known and not create:
            raise Refusal(f"There is no log at {path} yet: {_BEGIN}")
        if not known and not path.absolute().parent.is_dir():
            raise Refusal(f"The folder {path.parent} does not exist: make it, or name another file.", CANNOT_WRITE)
        with gate.translated(path):
            try:
                return cls._ready(path, gate.connect(path), fresh=not known)
            except sqlite3.OperationalError as fault:
                if not known or gate.refusal(path, fault).status != CANNOT_WRITE:
                    raise
                return cls(path, gate.connect_to_read(path), writable=False)

    @classmethod
    def _ready(cls, path: Path, con: sqlite3.Connection, *, fresh: bool) -> Logbook:
        try:
            version = _version(path, con)
            if version < VERSION:
                if not fresh and version:
                    _keep_before_upgrade(path, con, version)
                from vanlife_supply.logbook import schema  # only a new or older log pays for sqlite-utils

                schema.build(con, VERSION)
            if con.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                with suppress(sqlite3.OperationalError):  # another command is just doing the same
                    con.execute("PRAGMA journal_mode=WAL")
            con.execute("SELECT max(id) FROM act").fetchone()
        except BaseException:
            con.close()
            raise
        return cls(path, con)

    def __enter__(self) -> Logbook:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        if self._closed:
            return
        with suppress(sqlite3.Error):
            self._con.close()
        self._closed = True
        gate.let_go(self.path)

    def is_elsewhere(self) -> bool:
        """Whether another file, or none, stands now where this log was opened: restored, moved or deleted meanwhile."""
        return gate.which(self.path) != self._file

    # reading

    def _read(self, sql: str, *values: Any) -> list[tuple[Any, ...]]:
        with gate.translated(self.path):
            return self._con.execute(sql, values).fetchall()

    def entries(
        self, until: float | None = None, since: float | None = None, supply: str | None = None, most: int = -1
    ) -> tuple[Entry, ...]:
        """Those in force with since < time ≤ until (epoch seconds), or the last `most` of them, in `entry.model.order`."""
        bounds = (("epoch <= ?", until), ("epoch > ?", since), ("supply = ?", supply))
        asked = {clause: value for clause, value in bounds if value is not None}
        where = "".join(f" AND {clause}" for clause in asked)
        sql = f"SELECT {COLUMNS} FROM standing WHERE 1{where} ORDER BY epoch DESC, recorded DESC, id DESC LIMIT ?"
        return entries_of(self._read(sql, *asked.values(), most)[::-1])

    def history(self) -> list[tuple[Entry, bool]]:
        """Every entry not taken back, each with whether it is in force (else a later one replaced or voided it)."""
        standing = set(self._read("SELECT act, id FROM standing"))
        rows = self._read(f"SELECT {COLUMNS} FROM told WHERE kind <> 'void' ORDER BY epoch, recorded, id")
        return [(entry_of(row), (row[-1], row[0]) in standing) for row in rows]

    def entry(self, ident: str) -> Entry | None:
        """What is in force of the entry with that id, under whatever id a correction gave it; None if nothing is."""
        rows = self._read(f"SELECT {COLUMNS} FROM standing WHERE root IN (SELECT root FROM told WHERE id = ?)", ident)
        return entry_of(rows[0]) if rows else None

    def version(self, ident: str) -> Entry | None:
        """The entry of exactly that id, in force or not; None if it was taken back."""
        rows = self._read(f"SELECT {COLUMNS} FROM told WHERE id = ? AND kind <> 'void' LIMIT 1", ident)
        return entry_of(rows[0]) if rows else None

    def ids_ending(self, tail: str) -> list[str]:
        """The ids not taken back that are `tail` or end with it."""
        exact = self._read("SELECT DISTINCT id FROM told WHERE id = ? AND kind <> 'void'", tail)
        found = exact or self._read(
            "SELECT DISTINCT id FROM told WHERE kind <> 'void' AND substr(id, -length(?1)) = ?1 LIMIT 9", tail
        )
        return [row[0] for row in found]

    def entries_of_act(self, act: str) -> tuple[Entry, ...]:
        """What was recorded with an act, corrections and voids among it."""
        return entries_of(self._read(f"SELECT {COLUMNS} FROM entry WHERE act = ? ORDER BY epoch, recorded, id", act))

    def arrangements(self) -> tuple[Arrangement, ...]:
        """The rigs in force, oldest first; empty when none was loaded."""
        rows = self._read(f"SELECT since, toml FROM rig WHERE {STANDS}")
        if self._rigs is None or self._rigs[0] != rows:
            self._rigs = rows, _arranged(rows)
        return self._rigs[1]

    def rig(self, epoch: float | None = None) -> Rig:
        """The rig of now, or the one of an earlier time; Refusal naming `rig load` when none was loaded."""
        loaded = self.arrangements()
        if not loaded:
            raise Refusal(f"No rig is loaded yet: {_BEGIN}")
        if epoch is None:
            return loaded[-1].rig
        return rig_of(loaded, epoch)

    def rig_text(self) -> str | None:
        """The rig.toml of the last load in force."""
        rows = self._read(f"SELECT toml FROM rig WHERE {STANDS} DESC LIMIT 1")
        return rows[0][0] if rows else None

    def rig_loads(self) -> list[str]:
        """The acts in force that loaded a rig, oldest first."""
        return [row[0] for row in self._read(f"SELECT act FROM rig WHERE {STANDS}")]

    def last_act_id(self) -> str:
        """The greatest id of an act, "" in a new log."""
        return str(self._read("SELECT coalesce(max(id), '') FROM act")[0][0])

    def last_recorded(self) -> float:
        """When the newest act was recorded (epoch seconds), 0 in a new log."""
        latest = self._read("SELECT coalesce(max(recorded), 0.0) FROM act")[0][0]
        if not isinstance(latest, float):
            raise gate.damaged(self.path)
        return latest

    def acts(self, device: str) -> Iterator[Act]:
        """The acts of a device, newest first, read as far as they are asked for."""
        sql = "SELECT id, recorded, device, kind, target FROM act WHERE device = ? ORDER BY id DESC"
        with gate.translated(self.path):
            yield from (Act(*row) for row in self._con.execute(sql, (device,)))

    def is_undone(self, act: str) -> bool:
        """Whether an act stands taken back."""
        return self._read("SELECT kind FROM act WHERE target = ? ORDER BY id DESC LIMIT 1", act) == [("undo",)]

    def setting(self, name: str) -> str | None:
        """A setting of this log."""
        rows = self._read("SELECT value FROM setting WHERE name = ?", name)
        return rows[0][0] if rows else None

    def has_places(self) -> bool:
        """Whether any place was ever noted, brought in or named in an entry."""
        return self.has("place") and bool(
            self._read("SELECT 1 FROM place UNION ALL SELECT 1 FROM entry WHERE place <> '' LIMIT 1")
        )

    def has(self, table: str) -> bool:
        """Whether this log has that table: an older one on a medium that cannot be written lacks the newer ones."""
        return bool(self._read("SELECT 1 FROM sqlite_master WHERE name = ?", table))

    def data_version(self) -> int:
        """A number that changes when another process has written."""
        return int(self._read("PRAGMA data_version")[0][0])

    # writing

    @contextmanager
    def _writing(self) -> Iterator[None]:
        if not self.writable:
            raise Refusal(f"{self.path} cannot be written: check the folder and its permissions.", CANNOT_WRITE)
        if self.is_elsewhere():
            told = f"{self.path} is not the file it was, it was moved, deleted or restored: nothing was noted; start anew."
            raise Refusal(told, CANNOT_WRITE)
        with gate.translated(self.path):
            self._con.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._con.execute("COMMIT")
            except BaseException:
                if self._con.in_transaction:
                    self._con.execute("ROLLBACK")
                raise

    def record(self, act: Act, entries: Sequence[Entry] = ()) -> None:
        """Write one act with its entries; what was believed of the time after the earliest of them is forgotten."""
        with self._writing():
            self._insert_act(act)
            self._insert_entries(act, entries)
            self._forget_since(act.target or act.id)

    def record_rig(self, act: Act, toml: str, since: float | None, entries: Sequence[Entry] = ()) -> None:
        """Write the act of loading a rig, with the entries that came with it: for all times, or from `since` on."""
        with self._writing():
            self._insert_act(act)
            self._insert_entries(act, entries)
            self._con.execute("INSERT INTO rig (act, since, toml) VALUES (?, ?, ?)", (act.id, since, toml))
            self._con.execute("DELETE FROM belief")

    def set(self, name: str, value: str) -> None:
        """Keep a setting."""
        with self._writing():
            self._con.execute("INSERT OR REPLACE INTO setting (name, value) VALUES (?, ?)", (name, value))

    def settings(self, prefix: str) -> list[str]:
        """The names of the settings that begin so."""
        return [r[0] for r in self._read("SELECT name FROM setting WHERE substr(name, 1, ?) = ?", len(prefix), prefix)]

    def unset(self, name: str) -> None:
        """Forget a setting."""
        with self._writing():
            self._con.execute("DELETE FROM setting WHERE name = ?", (name,))

    def _insert_act(self, act: Act) -> None:
        row = (act.id, act.recorded, act.device, act.kind, act.target)
        self._con.execute("INSERT INTO act (id, recorded, device, kind, target) VALUES (?, ?, ?, ?, ?)", row)

    def _insert_entries(self, act: Act, entries: Sequence[Entry]) -> None:
        roots = [self._root(entry) for entry in entries]
        rows = [(*row_of(entry, act.id), root) for entry, root in zip(entries, roots, strict=True)]
        self._con.executemany(f"INSERT INTO entry ({COLUMNS}, root) VALUES ({PLACES}, ?)", rows)

    def _root(self, entry: Entry) -> str:
        if not entry.replaces:
            return entry.id
        found = self._con.execute("SELECT root FROM entry WHERE id = ? LIMIT 1", (entry.replaces,)).fetchone()
        return found[0] if found else entry.replaces

    def _forget_since(self, act: str) -> None:
        """Drop what was believed from the earliest time on that an act speaks of; all of it for a rig."""
        if not self._con.execute("SELECT 1 FROM belief LIMIT 1").fetchone():
            return
        earliest = (
            "SELECT min(epoch) FROM entry WHERE act = ?1 "
            "OR id IN (SELECT replaces FROM entry WHERE act = ?1 AND replaces <> '')"
        )
        first = self._con.execute(earliest, (act,)).fetchone()[0]
        self._con.execute("DELETE FROM belief WHERE epoch >= ?", (float("-inf") if first is None else first,))

    # beliefs: derived, droppable, best effort

    def belief(self, before: float, version: str) -> tuple[float, bytes] | None:
        """The newest kept belief of that version at or before an epoch."""
        sql = "SELECT epoch, state FROM belief WHERE version = ? AND epoch <= ? ORDER BY epoch DESC LIMIT 1"
        rows = self._read(sql, version, before)
        return (rows[0][0], rows[0][1]) if rows else None

    def keep_belief(self, epoch: float, version: str, state: bytes) -> None:
        """Keep a belief, the newest dozen of them; those of other versions go. Not kept where the log cannot be written."""
        if not self.writable:
            return
        with suppress(Refusal), self._writing():
            self._con.execute("DELETE FROM belief WHERE version <> ?", (version,))
            self._con.execute("INSERT OR REPLACE INTO belief VALUES (?, ?, ?)", (epoch, version, state))
            newest = "SELECT epoch FROM belief ORDER BY epoch DESC LIMIT 12"
            self._con.execute(f"DELETE FROM belief WHERE epoch NOT IN ({newest})")

    # whole files

    def backup(self, target: Path) -> None:
        """A verified copy at `target`, which must not exist yet."""
        gate.copy_verified(self._con, self.path, target)

    def seal(self) -> None:
        """Everything into the one file, ready to be copied."""
        with gate.translated(self.path):
            self._con.execute("PRAGMA journal_mode=DELETE")
            self._con.execute("VACUUM")

    def check(self) -> list[str]:
        """What is wrong with the file, one line each; empty when it is sound."""
        found = [f"SQLite: {row[0]}" for row in self._read("PRAGMA integrity_check(20)") if row[0] != "ok"]
        found += [f"{row[0]} row {row[1]} names a missing {row[2]}" for row in self._read("PRAGMA foreign_key_check")]
        orphans = "SELECT id, replaces FROM entry WHERE replaces <> '' AND replaces NOT IN (SELECT id FROM entry)"
        return found + [f"entry {a} corrects {b}, which is missing" for a, b in self._read(orphans)]

    def absorb(self, other: Logbook, check: Callable[[], None]) -> int:
        """Take over what another log has and this one lacks → entries added. One transaction.

        `check` sees both together and may refuse; then nothing is taken.
        """
        tables = ("act", "rig", "entry", "place", "finding", "whereabouts", "track", "trip", "trip_place", "stay_rule",
                  "temperature")  # fmt: skip
        held = {row[0] for row in other._read("SELECT name FROM sqlite_master")}  # an older log lacks the newer tables
        rows = {table: other._read(f"SELECT * FROM {table}") if table in held else [] for table in tables}
        rows["act"].sort()
        added = {}
        with self._writing():
            for table in tables:
                before = self._con.total_changes
                if rows[table]:
                    marks = ", ".join("?" for _ in rows[table][0])
                    self._con.executemany(f"INSERT OR IGNORE INTO {table} VALUES ({marks})", rows[table])
                added[table] = self._con.total_changes - before
            self._con.execute("DELETE FROM belief")
            check()
        return added["entry"]


def rig_of(loaded: Sequence[Arrangement], epoch: float) -> Rig:
    """The rig that stood at that time; the first one holds for all times before."""
    return next((a.rig for a in reversed(loaded) if a.since <= epoch), loaded[0].rig)


def _version(path: Path, con: sqlite3.Connection) -> int:
    """The form of the tables in a log; Refusal when a newer program wrote it."""
    version = int(con.execute("PRAGMA user_version").fetchone()[0])
    if version > VERSION:
        newer = f"{path} was written by a newer version of this program: it was not touched; install that one."
        raise Refusal(newer, NOT_OURS)
    return version


def copy_log(source: Path, target: Path) -> None:
    """A verified copy of a log that stays as it is. Refusal when there is none, or none of ours."""
    if not gate.identify(source):
        raise Refusal(f"There is no log at {source}: check its name and folder.")
    with gate.translated(source):
        con = gate.connect_to_read(source)
        try:
            _version(source, con)
            gate.copy_verified(con, source, target)
        finally:
            con.close()


def _arranged(rows: Iterable[tuple[Any, ...]]) -> tuple[Arrangement, ...]:
    """Later loads over earlier ones: each holds from its time on, one without a time for all times."""
    from vanlife_supply.rig.load import read_rig

    kept: list[tuple[float, str]] = []
    for since, toml in rows:
        start = float("-inf") if since is None else since
        kept = [*(k for k in kept if k[0] < start), (start, toml)]
    return tuple(Arrangement(0.0 if i == 0 else since, read_rig(toml)) for i, (since, toml) in enumerate(kept))


def _keep_before_upgrade(path: Path, con: sqlite3.Connection, version: int) -> None:
    target = path.with_name(f"{path.stem}-before-upgrade-from-{version}{path.suffix}")
    if not target.exists():
        gate.copy_verified(con, path, target)
