"""The demonstration log is what demo.py says, and tells what it was invented to tell."""

from __future__ import annotations

import sqlite3
from itertools import pairwise
from pathlib import Path

from vanlife_supply import demo
from vanlife_supply.entry import model as m
from vanlife_supply.logbook import Logbook

SHIPPED = Path(__file__).resolve().parents[1] / "demo.db"


def content(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table but the kept beliefs, which are derived."""
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as con:
        names = [r[0] for r in con.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
        kept = [n for n in names if n != "belief" and not n.startswith(("sqlite_", "_"))]
        rows = {n: con.execute(f"SELECT * FROM {n} ORDER BY 1, 2").fetchall() for n in kept}
    con.close()
    return rows


def test_building_it_again_gives_the_file_shipped(tmp_path: Path) -> None:
    """demo.py builds demo.db, row for row, on any day."""
    demo.build(str(tmp_path / "again.db"))
    assert content(tmp_path / "again.db") == content(SHIPPED)


def test_nothing_derived_is_shipped() -> None:
    """A belief kept in the file would be one of some earlier code, learned anew and thrown away at every start."""
    with sqlite3.connect(f"file:{SHIPPED}?mode=ro", uri=True) as con:
        assert con.execute("SELECT count(*) FROM belief").fetchone() == (0,)
    con.close()


def test_the_ten_weeks_have_what_a_messy_life_has(tmp_path: Path) -> None:
    """Silent days, unknown amounts, a guest, a cold spell, a leak, a zone crossed, a trade, a pour, frost, an undo."""
    demo.build(str(tmp_path / "again.db"))
    with Logbook.open(tmp_path / "again.db", create=False) as book:
        entries = book.entries()
        history = book.history()
    kinds = {e.kind for e in entries}
    assert {m.FILL, m.DUMP, m.NEXT, m.READING, m.USE, m.POUR, m.EXCHANGE, m.SPILL, m.ASIDE} <= kinds
    assert {m.PEOPLE, m.CONDITION, m.LIMIT, m.PLANNED, m.NOTE} <= kinds
    assert any(e.kind == m.FILL and e.amount is None and not e.to for e in entries), "a fill of unknown amount"
    assert len({e.at.zone for e in entries}) == 2
    times = [e.at.epoch for e in entries]
    assert max(b - a for a, b in pairwise(times)) > 3 * 86_400, "silent days"
    assert len(history) >= len(entries)
    assert not any(e.amount == 6 and e.kind == m.FILL for e in entries), "the wrong entry was taken back"
