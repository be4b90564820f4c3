"""Reading one TOML table strictly: every key is taken with its check, and what is left over is refused by name."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from vanlife_supply.refusal import Refusal, nearest

MOST = 1e9
"""No amount, price or distance of a trip is larger; it keeps slips of the keyboard out."""


class Table:
    """A table and its name as a person finds it, for instance `[assume.fresh]` or `[[place]] 3 (p003)`."""

    def __init__(self, values: object, where: str) -> None:
        if not isinstance(values, dict):
            raise Refusal(f"{where} must be a table with keys, not {_said(values)}.")
        self._values: dict[str, object] = dict(values)
        self._known: list[str] = []
        self.where = where

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def says(self, key: str, word: str) -> bool:
        """Whether the value of a key is that word."""
        return self._values.get(key) == word

    def refuse(self, key: str, must: str) -> Refusal:
        """The error of a key whose value will not do."""
        return Refusal(f"{self.where}: {key} is {_said(self._values.get(key))}; {must}.")

    def number(self, key: str, default: float | None = 0.0, *, least: float = 0.0, most: float = MOST) -> float:
        """A finite number from least to most; `default` None: the key must be there."""
        value = self._take(key)
        if value is None:
            if default is None:
                raise Refusal(f"{self.where}: {key} is missing; add {key} = a number.")
            return default
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.refuse(key, "it must be a number")
        if not least <= value <= most:  # neither is nan
            bounds = f"from {least:g} to {most:g}" if most < MOST or value > most else f"{least:g} or more"
            raise self.refuse(key, f"it must be {bounds}")
        return float(value)

    def share(self, key: str, default: float) -> float:
        """A number above 0 and below 1."""
        value = self.number(key, default, most=1.0)
        if not 0.0 < value < 1.0:
            raise self.refuse(key, "it must be above 0 and below 1, like 0.9")
        return value

    def positive(self, key: str) -> float:
        """A number above 0 that must be there."""
        value = self.number(key, None)
        if value <= 0.0:
            raise self.refuse(key, "it must be above 0")
        return value

    def whole(self, key: str, least: int, most: int) -> int:
        """A whole number from least to most that must be there."""
        value = self._take(key)
        if value is None:
            raise Refusal(f"{self.where}: {key} is missing; add {key} = a whole number.")
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise self.refuse(key, f"it must be a whole number from {least} to {most}")
        return value

    def text(self, key: str, default: str | None = "") -> str:
        """Printable text; `default` None: it must be there and not be empty."""
        value = self._take(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, str) or not value.isprintable() or (default is None and not value.strip()):
            raise self.refuse(key, "it must be printable text in quotes")
        return value

    def choice(self, key: str, words: Sequence[str], default: str) -> str:
        """One of a few words."""
        value = self._take(key)
        if value is None:
            return default
        if value not in words:
            hint = nearest(value, list(words)) if isinstance(value, str) else ""
            raise self.refuse(key, f"it must be {' or '.join(words)}{hint}")
        return str(value)

    def day(self, key: str) -> date:
        """A date that must be there: a TOML date, a date-time, or text that begins with one."""
        found = as_date(self._take(key))
        if found is None:
            raise self.refuse(key, "it must be a date like 2026-05-04")
        return found

    def sequence(self, key: str) -> list[object] | None:
        """A list, or None when the key is absent."""
        value = self._take(key)
        if value is not None and not isinstance(value, list):
            raise self.refuse(key, "it must be a list in square brackets")
        return value

    def table(self, key: str, where: str) -> Table:
        """A table within, empty when absent."""
        value = self._take(key)
        return Table({} if value is None else value, where)

    def tables(self, key: str, where: str) -> list[Table]:
        """A list of tables within, numbered from 1 in their names."""
        return [Table(value, f"{where} {i}") for i, value in enumerate(self.sequence(key) or [], start=1)]

    def names(self) -> list[str]:
        """The keys as they stand in the file, for a table whose keys are names."""
        return list(self._values)

    def know(self, *keys: str) -> None:
        """Keys that may stand there though nothing asked for them."""
        self._known.extend(key for key in keys if key not in self._known)

    def close(self) -> None:
        """Refuse the first key that nobody took, naming the nearest that is known."""
        for key in self._values:
            if key not in self._known:
                known = ", ".join(self._known)
                raise Refusal(f"{self.where}: {_said(key)} is not known here{nearest(key, self._known)}; known: {known}.")

    def _take(self, key: str) -> object:
        self.know(key)
        return self._values.get(key)


def as_date(value: object) -> date | None:
    """The date a TOML value means, or None."""
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, str):
        try:
            return date.fromisoformat(value[:10])
        except ValueError:
            return None
    return None


def _said(value: object) -> str:
    """A value short enough, and safe, to stand in a sentence."""
    if value is None:
        return "missing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) > MOST:  # Python refuses to spell out very long ones
        return "a huge number"
    shown = value if isinstance(value, str) else str(value)
    shown = ascii(shown)[1:-1] if not shown.isprintable() else shown
    shown = shown if len(shown) <= 40 else shown[:37] + "..."
    return f"'{shown}'" if isinstance(value, str) else shown
