"""Daily temperatures as they were taken in. Rows belong to acts: the newest file that stands counts for its days."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.logbook.book import Act, Logbook


def record_weather(book: Logbook, act: Act, days: Sequence[tuple[int, float]]) -> None:
    """Write the act of taking in (days since 1970, mean °C). On the disk when this returns."""
    with book._writing():
        book._insert_act(act)
        book._con.executemany("INSERT INTO temperature VALUES (?, ?, ?)", ((act.id, *day) for day in days))
        book._con.execute("DELETE FROM belief")


def temperatures(book: Logbook) -> tuple[tuple[int, float], ...]:
    """(days since 1970, mean °C) in order; a day told again counts as told last."""
    if not book._read("SELECT 1 FROM sqlite_master WHERE name = 'temperature'"):
        return ()
    rows = book._read("SELECT day, mean_c FROM temperature WHERE act NOT IN (SELECT act FROM undone) ORDER BY act")
    return tuple(sorted({int(day): float(mean) for day, mean in rows}.items()))
