"""A desk in memory: what the app reads and writes, without a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from tests.wording.example import NOW, forecast, rig
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.sizes import sized
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.resupply import town
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement, Rig
from vanlife_supply.tui.decide import Answered
from vanlife_supply.tui.desk import Known, Undone, WhereTo
from vanlife_supply.wording.entries import redone, undone
from vanlife_supply.wording.town import short_list

T = TypeVar("T")


class FakeDesk:
    """Keeps entries in a list; every forecast is the same invented one."""

    def __init__(self, its_rig: Rig | None) -> None:
        self.rig = its_rig
        self.kept: list[Entry] = []
        self.taken: list[Entry] = []
        self.changes = 0
        self.settings: dict[str, str] = {}

    def known(self) -> Known:
        """The rig and what was recorded."""
        stood = (Arrangement(0.0, self.rig),) if self.rig else ()
        return Known(self.rig, tuple(self.kept), stood)

    def version(self) -> str:
        """Changes with `outside`."""
        return str(self.changes)

    def forecast(self) -> Forecast:
        """The invented forecast, of what the rig carries."""
        carried = {s.name for s in self.rig.supplies} if self.rig else set()
        return replace(forecast(), supplies=tuple(s for s in forecast().supplies if s.supply in carried))

    def where_to(self, forecast: Forecast) -> WhereTo:
        """No place is known."""
        return WhereTo(in_town=short_list(town(forecast, self.rig), self.rig) if self.rig else ())

    def decide(self, asked: str) -> Answered:
        """One answer that is an act, one that is none, and a refusal."""
        if asked == "nonsense":
            raise Refusal("'nonsense' is nothing I can answer.")
        return Answered(f"Answer to {asked}.\n", "used shower" if asked == "s" else "")

    def on_log(self, act: Callable[[Logbook, Moment], T]) -> T:
        """There is no file to do anything with."""
        raise Refusal("There is no log here.")

    def outside(self, entry: Entry) -> None:
        """Another program writes."""
        self.kept.append(entry)
        self.changes += 1

    def record(self, said: Sequence[Typed]) -> tuple[Entry, ...]:
        """Keeps entries under a number."""
        assert self.rig is not None
        built = [build(sized(typed, self.kept, self.rig), self.rig, NOW) for typed in said]
        made = tuple(replace(e, id=f"e{len(self.kept) + i}") for i, e in enumerate(built))
        self.kept += made
        return made

    def undo(self, *, again: bool = False) -> Undone:
        """Takes the last entry back, or keeps the last taken one again."""
        source, target = (self.taken, self.kept) if again else (self.kept, self.taken)
        if not source:
            raise Refusal(f"There is nothing to {'note again' if again else 'take back'}.")
        target.append(source.pop())
        assert self.rig is not None
        return Undone((target[-1],), (redone if again else undone)((target[-1],), self.rig, NOW))

    def void(self, entry: Entry) -> None:
        """Takes one entry out."""
        self.kept = [e for e in self.kept if e.id != entry.id]

    def mend(self, entry: Entry, changes: dict[str, str]) -> None:
        """Puts another in its place."""
        assert self.rig is not None
        by = build(Typed(**{"kind": entry.kind, "supply": entry.supply, **changes}), self.rig, NOW)
        self.kept = [replace(by, id=entry.id) if e.id == entry.id else e for e in self.kept]

    def settle(self, entry: Entry, answer: str) -> None:
        """An odd entry is answered."""
        self.kept = [replace(e, questioned="", settled=answer) if e.id == entry.id else e for e in self.kept]

    def set_up(self, text: str, said: Sequence[Typed]) -> Rig:
        """Reads a rig.toml and what is in it."""
        its = read_rig(text)
        self.kept = [build(typed, its, NOW) for typed in said]
        self.rig = its
        return its

    def keep_files(self, name: str, texts: Mapping[str, str]) -> str:
        """Remembers them under their names."""
        self.settings.update({f"{name}.{ending}": text for ending, text in texts.items()})
        return f"/van/{name}"

    def setting(self, name: str) -> str | None:
        """What was remembered."""
        return self.settings.get(name)

    def remember(self, name: str, value: str) -> None:
        """Remembers it."""
        self.settings[name] = value

    def close(self) -> None:
        """Nothing is open."""


def fake() -> FakeDesk:
    """A desk with the invented rig and nothing noted."""
    return FakeDesk(rig())


def clock() -> Moment:
    """The invented now."""
    return NOW
