"""All the reading and writing the app does, in one place. No widget here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.rig.model import Rig


@dataclass(frozen=True, slots=True)
class Known:
    """What the log says at one moment: the rig in force (None before set-up) and the entries, oldest first."""

    rig: Rig | None
    entries: tuple[Entry, ...]


class Desk(Protocol):
    """What the screens ask for. `forecast` may be called from another thread; everything else from the app's own."""

    def known(self) -> Known: ...

    def version(self) -> int: ...

    def forecast(self) -> Forecast: ...

    def record(self, entries: tuple[Entry, ...]) -> tuple[Entry, ...]: ...

    def undo(self) -> tuple[Entry, ...]: ...

    def redo(self) -> tuple[Entry, ...]: ...

    def void(self, entry: Entry) -> None: ...

    def mend(self, entry: Entry, by: Entry) -> None: ...

    def settle(self, entry: Entry, answer: str) -> None: ...

    def load_rig(self, text: str) -> Rig: ...

    def close(self) -> None: ...
