"""The tables, as migrations. Only creating and upgrading a log imports this (and sqlite-utils)."""

from __future__ import annotations

import sqlite3

from sqlite_utils import Database, Migrations

from vanlife_supply.entry.model import LOG_KINDS, PLANNED
from vanlife_supply.logbook.gate import APPLICATION_ID
from vanlife_supply.place.model import WHATS

MIGRATIONS = Migrations("logbook")

_WHATS = ", ".join(f"'{what}'" for what in WHATS)
_KINDS = ", ".join(f"'{kind}'" for kind in (*LOG_KINDS, PLANNED, "void"))

_TABLES = f"""
CREATE TABLE act (
  id TEXT PRIMARY KEY CHECK (length(id) > 0),
  recorded REAL NOT NULL,
  device TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('record', 'undo', 'redo')),
  target TEXT REFERENCES act(id),
  CHECK ((kind = 'record') = (target IS NULL))
) STRICT;
CREATE INDEX act_target ON act(target, id) WHERE target IS NOT NULL;

CREATE TABLE entry (
  act TEXT NOT NULL REFERENCES act(id),
  id TEXT NOT NULL CHECK (length(id) > 0),
  kind TEXT NOT NULL CHECK (kind IN ({_KINDS})),
  epoch REAL NOT NULL,
  utc_offset INTEGER NOT NULL,
  zone TEXT NOT NULL,
  supply TEXT NOT NULL,
  amount REAL CHECK (amount >= 0),
  unit TEXT NOT NULL,
  to_level TEXT NOT NULL,
  method TEXT NOT NULL,
  container TEXT NOT NULL,
  into_container TEXT NOT NULL,
  until_epoch REAL,
  until_offset INTEGER,
  until_zone TEXT,
  word TEXT NOT NULL,
  pets TEXT NOT NULL,
  paid INTEGER CHECK (paid >= 0),
  place TEXT NOT NULL,
  note TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  typed TEXT NOT NULL,
  slack_h REAL NOT NULL CHECK (slack_h >= 0),
  recorded REAL NOT NULL,
  questioned TEXT NOT NULL,
  settled TEXT NOT NULL CHECK (settled IN ('', 'real')),
  replaces TEXT NOT NULL,
  root TEXT NOT NULL,
  PRIMARY KEY (act, id),
  CHECK ((until_epoch IS NULL) = (until_offset IS NULL) AND (until_epoch IS NULL) = (until_zone IS NULL)),
  CHECK (kind <> 'void' OR replaces <> '')
) STRICT;
CREATE INDEX entry_time ON entry(epoch, recorded, id);
CREATE INDEX entry_root ON entry(root, act);
CREATE INDEX entry_id ON entry(id);

CREATE TABLE rig (
  act TEXT PRIMARY KEY REFERENCES act(id),
  since REAL,
  toml TEXT NOT NULL
) STRICT;
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE belief (epoch REAL NOT NULL, version TEXT NOT NULL, state BLOB NOT NULL, PRIMARY KEY (epoch, version)) STRICT;

CREATE VIEW undone AS
  SELECT target AS act FROM act AS last WHERE kind = 'undo'
  AND NOT EXISTS (SELECT 1 FROM act AS later WHERE later.target = last.target AND later.id > last.id);
CREATE VIEW told AS SELECT * FROM entry WHERE act NOT IN (SELECT act FROM undone);
CREATE VIEW standing AS
  SELECT * FROM told WHERE kind <> 'void'
  AND NOT EXISTS (SELECT 1 FROM told AS newer WHERE newer.root = told.root AND newer.act > told.act);
"""

_PLACES = f"""
CREATE TABLE place (
  act TEXT NOT NULL REFERENCES act(id),
  id TEXT NOT NULL CHECK (length(id) > 0),
  name TEXT,
  lat REAL CHECK (lat BETWEEN -90 AND 90),
  lon REAL CHECK (lon BETWEEN -180 AND 180),
  tags TEXT NOT NULL,
  note TEXT NOT NULL,
  source TEXT NOT NULL,
  source_ref TEXT NOT NULL,
  licence TEXT NOT NULL,
  PRIMARY KEY (act, id),
  CHECK ((lat IS NULL) = (lon IS NULL))
) STRICT;
CREATE TABLE finding (
  act TEXT NOT NULL REFERENCES act(id),
  place TEXT NOT NULL,
  what TEXT NOT NULL CHECK (what IN ({_WHATS})),
  answer TEXT NOT NULL CHECK (answer IN ('yes', 'no')),
  epoch REAL NOT NULL,
  by_whom TEXT NOT NULL,
  remark TEXT NOT NULL,
  paid INTEGER CHECK (paid >= 0),
  PRIMARY KEY (act, place, what)
) STRICT;
CREATE TABLE whereabouts (
  act TEXT PRIMARY KEY REFERENCES act(id),
  place TEXT NOT NULL,
  epoch REAL NOT NULL,
  odometer_km REAL CHECK (odometer_km >= 0)
) STRICT;
CREATE TABLE track (
  act TEXT NOT NULL REFERENCES act(id),
  id TEXT NOT NULL CHECK (length(id) > 0),
  name TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('track', 'route')),
  points TEXT NOT NULL,
  names TEXT NOT NULL,
  PRIMARY KEY (act, id)
) STRICT
"""

_TRIPS = """
CREATE TABLE trip (
  act TEXT PRIMARY KEY REFERENCES act(id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  toml TEXT NOT NULL
) STRICT;
CREATE TABLE trip_place (
  act TEXT PRIMARY KEY REFERENCES act(id),
  trip TEXT NOT NULL,
  place TEXT NOT NULL,
  works INTEGER NOT NULL CHECK (works IN (0, 1))
) STRICT
"""

_STAYS = """
CREATE TABLE stay_rule (
  act TEXT NOT NULL REFERENCES act(id),
  place TEXT NOT NULL CHECK (length(place) > 0),
  said TEXT NOT NULL,
  PRIMARY KEY (act, place)
) STRICT
"""

_WEATHER = """
CREATE TABLE temperature (
  act TEXT NOT NULL REFERENCES act(id),
  day INTEGER NOT NULL,
  mean_c REAL NOT NULL,
  PRIMARY KEY (act, day)
) STRICT
"""


@MIGRATIONS()
def acts_entries_rigs(db: Database) -> None:
    """The first form of the log."""
    _create(db, _TABLES, ("act", "entry", "rig"))


@MIGRATIONS()
def places(db: Database) -> None:
    """Places and what was found there. A row belongs to an act; the newest one that stands counts."""
    _create(db, _PLACES, ("place", "finding", "whereabouts", "track"))


@MIGRATIONS()
def trips(db: Database) -> None:
    """Trips as they were loaded, and their places that turned out not to work. The newest row that stands counts."""
    _create(db, _TRIPS, ("trip", "trip_place"))


@MIGRATIONS()
def stays(db: Database) -> None:
    """How long one may stay at a place, as typed ("" no limit any more). The newest row of a place that stands counts."""
    _create(db, _STAYS, ("stay_rule",))


@MIGRATIONS()
def weather(db: Database) -> None:
    """Daily mean temperatures, days since 1970 by local date. The newest row of a day that stands counts."""
    _create(db, _WEATHER, ("temperature",))


def _create(db: Database, statements: str, kept: tuple[str, ...]) -> None:
    """Run the statements; the tables in `kept` are only ever added to."""
    for statement in statements.split(";\n"):
        if statement.strip():
            db.execute(statement)
    for table in kept:
        for verb in ("UPDATE", "DELETE"):
            db.execute(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, 'what was noted is never changed or deleted'); END"
            )


def build(con: sqlite3.Connection, version: int) -> None:
    """Apply what is pending to `con` in one transaction, and mark the file as ours."""
    db = Database(con, recursive_triggers=False, execute_plugins=False)
    con.execute("BEGIN IMMEDIATE")
    try:
        MIGRATIONS.apply(db)
        con.execute(f"PRAGMA application_id={APPLICATION_ID}")
        con.execute(f"PRAGMA user_version={version}")
        con.execute("COMMIT")
    except BaseException:
        if con.in_transaction:
            con.execute("ROLLBACK")
        raise
