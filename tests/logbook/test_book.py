"""The log's file: whose it is, what survives, what is never changed."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlite_utils import Database, Migrations

from tests.conftest import RIG, Runner
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Act, Logbook, book, gate, places, schema, trips, weather
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import BUSY, CANNOT_WRITE, NOT_OURS, Refusal

NOW = Moment(1_778_000_000.0)


def use(ident: str, epoch: float, amount: float = 1.0, **more: str) -> Entry:
    """An entry of a litre used."""
    return Entry(ident, "use", Moment(epoch), "fresh", amount, "L", recorded=epoch, **more)  # type: ignore[arg-type]  # any field, by name


@pytest.fixture
def log(db: Path) -> Logbook:
    """A log with the usual rig."""
    made = Logbook.open(db)
    keeping.load_rig(made, RIG, NOW)
    return made


def refused(path: Path) -> Refusal:
    """The refusal that opening `path` ends in."""
    with pytest.raises(Refusal) as caught:
        Logbook.open(path, create=False)
    return caught.value


def test_the_newest_version_is_the_number_of_migrations() -> None:
    """`VERSION`, which the fast path compares with, counts the migrations."""
    names = [m.name for m in schema.MIGRATIONS.pending(Database(memory=True))]
    assert len(names) == book.VERSION


def test_a_new_log_is_marked_and_durable(log: Logbook, db: Path) -> None:
    """application_id, user_version, WAL, FULL, foreign keys are set; our tables are STRICT."""
    pragma = {name: log._read(f"PRAGMA {name}")[0][0] for name in ("application_id", "user_version", "journal_mode",
                                                                   "synchronous", "foreign_keys")}  # fmt: skip
    assert pragma == {"application_id": gate.APPLICATION_ID, "user_version": book.VERSION, "journal_mode": "wal",
                      "synchronous": 2, "foreign_keys": 1}  # fmt: skip
    tables = [row for row in log._read("PRAGMA table_list") if row[2] == "table" and not row[1].startswith(("_", "sq"))]
    assert {row[1]: row[5] for row in tables} == dict.fromkeys(
        ("act", "entry", "rig", "setting", "belief", "place", "finding", "whereabouts", "track", "trip", "trip_place",
         "stay_rule", "temperature"), 1
    )


@pytest.mark.parametrize("table", ["act", "entry", "rig"])
@pytest.mark.parametrize("deed", ["DELETE FROM {}", "UPDATE {} SET rowid = rowid + 100"])
def test_what_was_noted_is_never_changed(log: Logbook, table: str, deed: str) -> None:
    """The database itself forbids changing and deleting acts, entries and rigs."""
    keeping.record(log, [use("a", 1.0)], NOW)
    with pytest.raises(sqlite3.IntegrityError, match="never changed"):
        log._con.execute(deed.format(table))


@pytest.mark.parametrize("content", [b"", None])
def test_a_missing_or_empty_file_is_a_new_log(db: Path, content: bytes | None) -> None:
    """Both become a log; without `create` they are refused and stay as they are."""
    if content is not None:
        db.write_bytes(content)
    assert "rig load" in str(refused(db))
    assert db.exists() == (content is not None)
    with Logbook.open(db) as made:
        assert made.entries() == ()


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"hello, this is no log", "not a log"), (b"SQLite format 3\x00", "not a log"), (b"\x00" * 4096, "not a log")],
)
def test_a_file_that_is_no_database_is_left_alone(db: Path, content: bytes, says: str) -> None:
    """Exit status 3, `restore` named, not a byte changed, no file beside it."""
    db.write_bytes(content)
    fault = refused(db)
    assert fault.status == NOT_OURS and says in str(fault) and "restore" in str(fault)
    assert db.read_bytes() == content and list(db.parent.iterdir()) == [db]


@pytest.mark.parametrize("mode", ["delete", "wal"])
def test_another_programs_database_is_left_alone(db: Path, mode: str) -> None:
    """Somebody else's SQLite file is recognised by its application_id before anything is opened."""
    con = sqlite3.connect(db)
    con.execute(f"PRAGMA journal_mode={mode}")
    con.execute("CREATE TABLE entry (id TEXT)")
    con.commit()
    con.close()
    before = db.read_bytes()
    fault = refused(db)
    assert fault.status == NOT_OURS and "another program" in str(fault)
    assert db.read_bytes() == before and list(db.parent.iterdir()) == [db]


def test_a_newer_log_is_left_alone(log: Logbook, db: Path) -> None:
    """A log of a later version of the program is refused in a sentence and not written to."""
    log._con.execute("PRAGMA user_version=99")
    log.seal()
    log.close()
    before = db.read_bytes()
    fault = refused(db)
    assert fault.status == NOT_OURS and "newer version" in str(fault)
    assert db.read_bytes() == before


def test_a_log_cut_short_is_left_alone(log: Logbook, db: Path) -> None:
    """A log that lost its end is damaged: refused before anything is opened."""
    log.seal()
    log.close()
    whole = db.read_bytes()
    db.write_bytes(whole[: len(whole) // 2])
    fault = refused(db)
    assert fault.status == NOT_OURS and "damaged" in str(fault) and "restore" in str(fault)
    assert db.read_bytes() == whole[: len(whole) // 2]


def test_a_scrambled_log_is_refused(log: Logbook, db: Path) -> None:
    """A log whose pages were overwritten is damaged, not a traceback."""
    log.seal()
    log.close()
    whole = bytearray(db.read_bytes())
    whole[100:4096] = b"\xa5" * 3996
    db.write_bytes(whole)
    assert refused(db).status == NOT_OURS
    assert db.read_bytes() == whole


def test_an_upgrade_keeps_a_verified_copy_first(log: Logbook, db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration runs once, keeps what was noted, and the log as it was before lies beside it."""
    keeping.record(log, [use("a", 1.0)], NOW)
    log.close()

    def one_more(db: Database) -> None:
        db.execute("CREATE TABLE extra (x TEXT) STRICT")

    more = Migrations("logbook")
    more._migrations = list(schema.MIGRATIONS._migrations)
    more(name="second")(one_more)
    monkeypatch.setattr(schema, "MIGRATIONS", more)
    newest = book.VERSION
    monkeypatch.setattr(book, "VERSION", newest + 1)
    with Logbook.open(db) as upgraded:
        assert [e.id for e in upgraded.entries()] == ["a"]
        assert upgraded._read("PRAGMA user_version") == [(newest + 1,)]
    kept = db.with_name(f"log-before-upgrade-from-{newest}.db")
    monkeypatch.setattr(book, "VERSION", newest)
    with Logbook.open(kept) as old:
        assert [e.id for e in old.entries()] == ["a"]


def test_a_failed_upgrade_changes_nothing(log: Logbook, db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration that breaks halfway leaves the old form and all entries."""
    keeping.record(log, [use("a", 1.0)], NOW)
    log.close()

    def broken(db: Database) -> None:
        db.execute("CREATE TABLE extra (x TEXT) STRICT")
        db.execute("CREATE TABLE extra (x TEXT) STRICT")

    more = Migrations("logbook")
    more._migrations = list(schema.MIGRATIONS._migrations)
    more(name="second")(broken)
    monkeypatch.setattr(schema, "MIGRATIONS", more)
    newest = book.VERSION
    monkeypatch.setattr(book, "VERSION", newest + 1)
    with pytest.raises(Refusal):
        Logbook.open(db)
    monkeypatch.setattr(book, "VERSION", newest)
    with Logbook.open(db) as same:
        assert [e.id for e in same.entries()] == ["a"]
        assert same._read("SELECT count(*) FROM sqlite_master WHERE name = 'extra'") == [(0,)]


def test_a_log_that_stays_locked_is_busy(log: Logbook, db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another writer that does not let go ends in status 4, and nothing is noted."""
    monkeypatch.setattr(gate, "WAIT_S", 0.1)
    with Logbook.open(db) as other:
        other._con.execute("BEGIN IMMEDIATE")
        with Logbook.open(db) as mine, pytest.raises(Refusal) as caught:
            keeping.record(mine, [use("a", 1.0)], NOW)
        other._con.execute("ROLLBACK")
    assert caught.value.status == BUSY
    assert log.entries() == ()


def test_a_full_disk_is_said_and_nothing_is_noted(log: Logbook) -> None:
    """No room for another page: status 6, and the log is as it was."""
    pages = log._read("PRAGMA page_count")[0][0]
    log._con.execute(f"PRAGMA max_page_count={pages}")
    many = [use(f"e{i}", float(i), typed="x" * 200) for i in range(500)]
    with pytest.raises(Refusal) as caught:
        keeping.record(log, many, NOW)
    assert caught.value.status == CANNOT_WRITE
    assert log.entries() == ()


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_read_only_folder_can_be_read(log: Logbook, db: Path) -> None:
    """From a read-only medium the log is read as it stands; noting ends in status 6."""
    keeping.record(log, [use("a", 1.0)], NOW)
    log.seal()
    log.close()
    db.chmod(0o444)
    db.parent.chmod(0o555)
    try:
        with Logbook.open(db) as only:
            assert [e.id for e in only.entries()] == ["a"]
            with pytest.raises(Refusal) as caught:
                keeping.record(only, [use("b", 2.0)], NOW)
        assert caught.value.status == CANNOT_WRITE
    finally:
        db.parent.chmod(0o755)


def test_what_cannot_be_written_is_still_read(log: Logbook, db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where SQLite says the log cannot be opened for writing, it is read as it stands; noting ends in status 6."""
    keeping.record(log, [use("a", 1.0)], NOW)
    log.seal()
    log.close()
    monkeypatch.setattr(gate, "connect", lambda path: sqlite3.connect("/nonexistent/folder/log.db"))
    with Logbook.open(db) as only:
        assert [e.id for e in only.entries()] == ["a"] and len(only.arrangements()) == 1
        only.keep_belief(1.0, "v1", b"x")
        with pytest.raises(Refusal) as caught:
            keeping.record(only, [use("b", 2.0)], NOW)
    assert caught.value.status == CANNOT_WRITE and list(db.parent.iterdir()) == [db]


def test_a_missing_folder_is_said(tmp_path: Path) -> None:
    """A log in a folder that is not there: status 6, nothing made."""
    with pytest.raises(Refusal) as caught:
        Logbook.open(tmp_path / "no" / "log.db")
    assert caught.value.status == CANNOT_WRITE and not (tmp_path / "no").exists()


@pytest.mark.parametrize("gone", [False, True])
def test_a_log_moved_away_takes_no_more_notes(log: Logbook, db: Path, gone: bool) -> None:
    """Where another file, or none, stands in the place of an open log, noting ends in status 6 and touches neither."""
    keeping.record(log, [use("a", 1.0)], NOW)
    db.rename(db.with_name("aside.db"))
    if not gone:
        db.write_bytes(b"other")
    with pytest.raises(Refusal, match="not the file it was") as caught:
        keeping.record(log, [use("b", 2.0)], NOW)
    assert caught.value.status == CANNOT_WRITE and [e.id for e in log.entries()] == ["a"]
    assert db.exists() is not gone


def test_no_room_for_the_smallest_file_is_a_full_disk(db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite cannot open what it needs beside the log: with no room left that is a full disk, else permissions."""
    fault = sqlite3.OperationalError("unable to open database file")
    fault.sqlite_errorcode = sqlite3.SQLITE_CANTOPEN
    assert "permissions" in str(gate.refusal(db, fault))
    monkeypatch.setattr("shutil.disk_usage", lambda folder: SimpleNamespace(free=0))
    assert "disk is full" in str(gate.refusal(db, fault)) and gate.refusal(db, fault).status == CANNOT_WRITE


def test_an_acknowledged_entry_survives_a_kill(log: Logbook, db: Path) -> None:
    """A process that is killed the moment it says `noted` has its entry on the disk, and the log is sound."""
    log.close()
    script = (
        "import sys, time\nfrom vanlife_supply import keeping\nfrom vanlife_supply.entry.model import Entry\n"
        "from vanlife_supply.logbook import Logbook\nfrom vanlife_supply.moment import Moment\n"
        "book = Logbook.open(sys.argv[1])\nat = Moment(1.0)\n"
        "while True:\n"
        "    done = keeping.record(book, [Entry('', 'use', at, 'fresh', 1.0, 'L')], at)\n"
        "    print(done[0].id, flush=True)\n"
    )
    acknowledged: list[str] = []
    for _ in range(3):
        with subprocess.Popen([sys.executable, "-c", script, str(db)], stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            acknowledged += [process.stdout.readline().strip() for _ in range(5)]
            process.kill()
            acknowledged += [line for line in process.stdout.read().splitlines() if len(line) == 36]
    with Logbook.open(db) as after:
        assert set(acknowledged) <= {e.id for e in after.entries()}
        assert after.check() == []


def test_entries_are_in_the_order_of_their_time(log: Logbook) -> None:
    """By when it happened, then by when it was written, whatever the order of noting; bounds are since < t ≤ until."""
    keeping.record(log, [use("late", 30.0)], NOW)
    keeping.record(log, [use("early", 10.0), use("mid", 20.0)], NOW)
    assert [e.id for e in log.entries()] == ["early", "mid", "late"]
    assert [e.id for e in log.entries(until=20.0)] == ["early", "mid"]
    assert [e.id for e in log.entries(until=20.0, since=10.0)] == ["mid"]


def test_a_correction_of_a_correction_leaves_one_in_force(log: Logbook) -> None:
    """However often it is mended, one entry counts, and any of its ids leads to it."""
    keeping.record(log, [use("a", 1.0, 1.0)], NOW)
    keeping.record(log, [use("b", 1.0, 2.0, replaces="a")], NOW)
    keeping.record(log, [use("c", 1.0, 3.0, replaces="b")], NOW)
    assert [(e.id, e.amount) for e in log.entries()] == [("c", 3.0)]
    assert [found.id for found in map(log.entry, "abc") if found] == ["c", "c", "c"]
    assert [(e.id, standing) for e, standing in log.history()] == [("a", False), ("b", False), ("c", True)]


def test_two_corrections_of_one_entry_leave_the_later(log: Logbook) -> None:
    """Mended on two devices, merged: the later one counts."""
    keeping.record(log, [use("a", 1.0, 1.0)], NOW)
    keeping.record(log, [use("b", 1.0, 2.0, replaces="a")], NOW)
    keeping.record(log, [use("c", 1.0, 3.0, replaces="a")], NOW)
    assert [e.id for e in log.entries()] == ["c"]


def test_a_late_entry_drops_later_beliefs(log: Logbook) -> None:
    """What was believed at or after the time of an entry goes in the same transaction; earlier beliefs stay."""
    for epoch in (10.0, 20.0, 30.0):
        log.keep_belief(epoch, "v1", b"x")
    keeping.record(log, [use("a", 20.0)], NOW)
    assert log.belief(99.0, "v1") == (10.0, b"x")
    assert log.belief(9.0, "v1") is None and log.belief(99.0, "v2") is None


def test_correcting_or_undoing_drops_beliefs_from_the_old_time(log: Logbook) -> None:
    """Moving an entry forward, voiding it or undoing it forgets what followed from where it stood."""
    keeping.record(log, [use("a-20", 20.0)], NOW)
    deeds: tuple[Callable[[], object], ...] = (
        lambda: keeping.record(log, [use("moved", 50.0, replaces="a-20")], NOW),
        lambda: keeping.undo(log, NOW),
        lambda: keeping.void(log, "a-20", NOW),
        lambda: keeping.undo(log, NOW),
        lambda: keeping.undo(log, NOW, again=True),
    )
    for deed in deeds:
        log.keep_belief(10.0, "v1", b"x")
        log.keep_belief(40.0, "v1", b"x")
        deed()
        assert log.belief(99.0, "v1") == (10.0, b"x")


def test_beliefs_of_another_version_make_room(log: Logbook) -> None:
    """Keeping a belief of a new version drops those of the old one."""
    log.keep_belief(10.0, "v1", b"old")
    log.keep_belief(10.0, "v2", b"new")
    assert log.belief(10.0, "v1") is None and log.belief(10.0, "v2") == (10.0, b"new")


def test_a_belief_that_cannot_be_kept_is_no_error(log: Logbook, db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Looking never fails because somebody else is writing."""
    monkeypatch.setattr(gate, "WAIT_S", 0.05)
    with Logbook.open(db) as other:
        log._con.execute("BEGIN IMMEDIATE")
        other.keep_belief(1.0, "v1", b"x")
        log._con.execute("ROLLBACK")
        assert other.belief(2.0, "v1") is None


def test_outside_changes_are_seen(log: Logbook, db: Path) -> None:
    """data_version changes when another connection wrote, and not when this one did."""
    first = log.data_version()
    keeping.record(log, [use("a", 1.0)], NOW)
    assert log.data_version() == first
    with Logbook.open(db) as other:
        keeping.record(other, [use("b", 1.0)], NOW)
    assert log.data_version() != first


def test_a_refused_act_leaves_nothing(log: Logbook) -> None:
    """An act whose second entry the database refuses leaves neither the act nor the first entry."""
    before = log.last_act_id()
    with pytest.raises(sqlite3.IntegrityError):
        log.record(Act("z", 1.0, "d"), [use("a", 1.0), use("b", 1.0, amount=-1.0)])
    assert log.last_act_id() == before and log.entries() == ()


def test_rigs_of_different_times(log: Logbook) -> None:
    """A rig loaded from a time on leaves the past alone; one loaded without a time replaces them all."""
    bigger = RIG.replace('capacity = "7 gal"', 'capacity = "5 gal"', 1)
    keeping.load_rig(log, bigger, NOW, since=1000.0)
    assert [a.since for a in log.arrangements()] == [0.0, 1000.0]
    sizes = [round(log.rig(epoch).of("fresh")[0].capacity / 3.785411784) for epoch in (999.0, 1000.0)]
    assert sizes == [7, 5]
    keeping.load_rig(log, RIG, NOW)
    assert len(log.arrangements()) == 1 and round(log.rig().of("fresh")[0].capacity / 3.785411784) == 7


def test_a_large_log_is_read_whole(log: Logbook) -> None:
    """Ten thousand entries come back as they went in."""
    many = [use(f"e{i:05}", float(i), i / 7) for i in range(10_000)]
    keeping.record(log, many, NOW)
    read = log.entries()
    assert [(e.id, e.amount) for e in read] == [(e.id, e.amount) for e in many]


def test_another_window_never_unlinks_what_this_one_writes(db: Path, rig_file: Path, program: Runner) -> None:
    """A log held open here, opened and closed here again, still counts as in use for another process; both entries stay."""
    assert program("rig", "load", str(rig_file)).status == 0
    with Logbook.open(db) as held:
        Logbook.open(db).close()
        assert program("use", "water", "1", "gal").status == 0
        assert program("days").status == 0
        rig, now = held.rig(), keeping.now_of(held)
        keeping.record(held, [build(Typed("dump"), rig, now)], now)
        assert {e["kind"] for e in json.loads(program("entries", "--json").out)} == {"use", "dump"}
    assert {e["kind"] for e in json.loads(program("entries", "--json").out)} == {"use", "dump"}


def test_an_undo_reads_only_what_it_takes_back(log: Logbook) -> None:
    """The acts of a device are read one by one, and the last entries of a supply from their end."""
    for i in range(40):
        keeping.record(log, [use("", NOW.epoch + i, i + 1.0)], NOW)
    steps: list[int] = []
    log._con.set_progress_handler(lambda: steps.append(1), 1)
    device = log.setting("device") or ""
    before = len(steps)
    next(log.acts(device))
    few = len(steps) - before
    assert len(list(log.acts(device))) == 41
    assert len(steps) - before > 3 * few
    assert [e.amount for e in log.entries(supply="fresh", most=2)] == [39.0, 40.0]
    assert log.entries(supply="grey", most=2) == ()


def test_an_older_log_that_cannot_be_written_has_no_places_or_trips(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a read-only medium a log from before there were places, trips or temperatures is read as one without any."""
    first, newest = Migrations("logbook"), book.VERSION
    first._migrations = list(schema.MIGRATIONS._migrations[:1])
    path = tmp_path / "old.db"
    with monkeypatch.context() as then:
        then.setattr(schema, "MIGRATIONS", first)
        then.setattr(book, "VERSION", 1)
        with Logbook.open(path) as old:
            old.seal()
    monkeypatch.setattr(gate, "connect", lambda path: sqlite3.connect("/nonexistent/folder/log.db"))
    with Logbook.open(path) as only:
        assert only._read("PRAGMA user_version") == [(1,)] and newest > 1
        read = (places.places, places.tracks, places.stay_rules, trips.trips, weather.temperatures)
        assert not any(each(only) for each in read) and not only.has_places() and not places.is_kept(only, "a")
        assert not places.findings(only, NOW.epoch) and not places.whereabouts(only, NOW.epoch)
