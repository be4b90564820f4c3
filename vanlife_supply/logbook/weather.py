"""Daily temperatures as they were taken in. Rows belong to acts: the newest file that stands counts for its days."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.logbook.book import Act, Logbook
from vanlife_supply.logbook.rows import STANDS


def record_weather(book: Logbook, act: Act, days: Sequence[tuple[int, float]]) -> None:
    """Write the act of taking in (days since 1970, mean °C). On the disk when this returns."""
    with book._writing():
        book._insert_act(act)
        book._con.executemany("INSERT INTO temperature VALUES (?, ?, ?)", ((act.id, *day) for day in days))
        book._con.execute("DELETE FROM belief")


def temperatures(book: Logbook) -> tuple[tuple[int, float], ...]:
    """(days since 1970, mean °C) in order; a day told again counts as told last."""
    rows = book._read(f"SELECT day, mean_c FROM temperature WHERE {STANDS}") if book.has("temperature") else []
    return tuple(sorted({int(day): float(mean) for day, mean in rows}.items()))
