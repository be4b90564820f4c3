"""A file of daily temperatures: a date and the mean, or the least and the most, a line."""

from __future__ import annotations

import csv
import io
import re
from datetime import date

from vanlife_supply.refusal import Refusal

_EPOCH = date(1970, 1, 1).toordinal()
_DAY = ("date", "day", "time", "datetime")
_MEAN = ("mean", "avg", "average", "temp", "temperature", "tmean", "tavg", "tas")
_LEAST, _MOST = ("min", "tmin", "low", "minimum"), ("max", "tmax", "high", "maximum")
COLDEST, HOTTEST = -70.0, 60.0
MOST_FAULTS = 20
_LONGEST = 20_000
"""Days in a file: more than fifty years."""


def read_temperatures(text: str, unit: str = "") -> tuple[tuple[int, float], ...]:
    """(days since 1970, mean °C) in order. `unit` "C" or "F" where no column says it.

    Refusal naming each line that does not fit; then nothing of the file counts.
    """
    try:
        rows = [row for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"))) if any(cell.strip() for cell in row)]
    except csv.Error as fault:
        raise Refusal(f"This is not the text of a table ({fault}): save it as CSV, a day a line.") from None
    if len(rows) < 2:
        raise Refusal("There is nothing to take in: a first line like 'date,mean C', then a day a line.")
    columns = [_column(cell) for cell in rows[0]]
    names = [name for name, _ in columns]
    if "day" not in names or not ("mean" in names or {"least", "most"} <= set(names)):
        raise Refusal("The first line must name a date and a mean, or min and max: 'date,mean C', 'date,tmin F,tmax F'.")
    units = {said for _, said in columns if said} or ({unit.upper()} if unit else set())
    if units not in ({"C"}, {"F"}):
        raise Refusal("Are these degrees C or F? Say it once in the first line, 'date,mean C', or with --unit C.")
    return _days(rows[1:], names, fahrenheit=units == {"F"})


def _column(cell: str) -> tuple[str, str]:
    """What a column is ("" none of ours) and the unit it says."""
    words = re.findall(r"[a-z]+", cell.lower())
    unit = next((word[0].upper() for word in words[1:] if word in ("c", "f", "celsius", "fahrenheit")), "")
    kinds = {"day": _DAY, "least": _LEAST, "most": _MOST, "mean": _MEAN}
    for kind, known in kinds.items():
        if any(word in known for word in words):
            return kind, unit
    return "", ""


def _days(rows: list[list[str]], names: list[str], *, fahrenheit: bool) -> tuple[tuple[int, float], ...]:
    found: dict[int, float] = {}
    faults: list[str] = []
    for number, row in enumerate(rows, 2):
        try:
            day, mean = _day(dict(zip(names, row, strict=False)), fahrenheit=fahrenheit)
            if day in found:
                raise Refusal("this day stands twice")
            found[day] = mean
        except Refusal as fault:
            faults.append(f"line {number}: {fault}")
    if faults:
        more = f"; and {len(faults) - MOST_FAULTS} more" if len(faults) > MOST_FAULTS else ""
        raise Refusal(f"Nothing was taken in: {'; '.join(faults[:MOST_FAULTS])}{more}.")
    if len(found) > _LONGEST:
        raise Refusal(f"That is {len(found)} days: {_LONGEST} at most.")
    return tuple(sorted(found.items()))


def _day(cells: dict[str, str], *, fahrenheit: bool) -> tuple[int, float]:
    said = cells.get("day", "").strip()[:10]
    try:
        day = date.fromisoformat(said).toordinal() - _EPOCH
    except ValueError:
        raise Refusal(f"'{said}' is no date like 2026-05-07") from None
    if cells.get("mean", "").strip():
        mean = _degrees(cells["mean"])
    else:
        mean = (_degrees(cells.get("least", "")) + _degrees(cells.get("most", ""))) / 2
    mean = (mean - 32.0) / 1.8 if fahrenheit else mean
    if not COLDEST <= mean <= HOTTEST:
        raise Refusal(f"{mean:.0f} °C is no mean of a day on Earth: C and F may be mixed up")
    return day, mean


def _degrees(cell: str) -> float:
    try:
        return float(cell.strip())
    except ValueError:
        raise Refusal(f"'{cell.strip()}' is no temperature") from None
