"""What an entry says, against the containers of its supply."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf, Vessel
from vanlife_supply.quantity import Amount, parse_amount
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Rig


@dataclass(frozen=True, slots=True)
class Said:
    """What an entry names: containers, and amounts in canonical units (None where none was given or can be made)."""

    rig: Rig
    shelf: Shelf
    entry: Entry

    def vessel(self) -> Vessel | None:
        """The container named, or the only one there is."""
        named = self.shelf.named(self.entry.container) if self.entry.container else None
        return named or (self.shelf.vessels[0] if len(self.shelf.vessels) == 1 else None)

    def into(self) -> Vessel | None:
        return self.shelf.named(self.entry.into) if self.entry.into else None

    def amount(self, vessel: Vessel | None) -> float | None:
        return self._canonical(self.entry.said, vessel)

    def goal(self, vessel: Vessel | None) -> float | None:
        """The level it was brought to, where that is an amount."""
        if self.entry.to in ("", m.FULL, m.EMPTY):
            return None
        try:
            return self._canonical(parse_amount(self.entry.to), vessel)
        except Refusal:
            return None

    def _canonical(self, said: Amount | None, vessel: Vessel | None) -> float | None:
        return None if said is None else self.rig.sized(said, self.entry.supply, vessel.spec.label if vessel else "")
