"""What happened: one frozen record per thing a person noted."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.moment import Moment
from vanlife_supply.quantity import Amount

FILL, USE, READING, DUMP, NEXT, RAN_OUT = "fill", "use", "reading", "dump", "next", "ran-out"
EXCHANGE, POUR, SPILL, ASIDE = "exchange", "pour", "spill", "aside"
PEOPLE, CONDITION, LIMIT, NOTE = "people", "condition", "limit", "note"
PLANNED = "planned"

SUPPLY_KINDS = (FILL, USE, READING, DUMP, NEXT, RAN_OUT, EXCHANGE, POUR, SPILL, ASIDE)
"""Kinds that name a supply."""
LOG_KINDS = (*SUPPLY_KINDS, PEOPLE, CONDITION, LIMIT, NOTE)
"""Kinds that log.csv knows; `planned` is kept in the log too but is a wish, not an event."""
CONDITIONS = ("heater", "hot", "cold", "away", "saving")
"""Those known by name; a person may note others in words of their own."""
METHODS = ("sight", "stick", "scale", "probe", "count")
FULL, EMPTY = "full", "empty"
BACK, OFF, COLD, DROP = "back", "off", "cold", "drop"
GUEST = "guest"
"""The word of a people entry that counts who lives there and guests on top."""
ALL = "all"
"""The word of a condition entry with `to` = "off" that ends every condition."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log, as typed; what an amount is in litres or kilograms follows from the rig (`Rig.canonical`).

    - `at`: when it happened, `slack_h` ± hours of it; `recorded`: when it was written down (epoch seconds).
    - `to`: "full", "empty", an amount with unit, or "" (see the contract: fill, dump).
      limit, planned: "every 5 days", "every fri", or "drop".
    - `word`: condition and limit: its name; use: what for; aside: why, or "back"; ran-out: "cold";
      people: "guest"; condition: its name, with `to` = "off" when it is switched off; planned: "dump" or "fill".
    - `until`: end of people and condition spans; the date of limit and planned.
    - `container`, `into`: labels.  `paid`: minor units of the rig's currency.
    - `questioned`: implausible, waits for an answer.  `settled`: "" or "real".
    """

    id: str
    kind: str
    at: Moment
    supply: str = ""
    amount: float | None = None
    unit: str = ""
    to: str = ""
    method: str = ""
    container: str = ""
    into: str = ""
    until: Moment | None = None
    word: str = ""
    pets: str = ""
    paid: int | None = None
    place: str = ""
    note: str = ""
    by: str = ""
    typed: str = ""
    slack_h: float = 0.0
    recorded: float = 0.0
    questioned: str = ""
    settled: str = ""
    replaces: str = ""

    @property
    def said(self) -> Amount | None:
        """The amount as typed, or None."""
        return None if self.amount is None else Amount(self.amount, self.unit)


def order(entry: Entry) -> tuple[float, float, str]:
    """Sort key of a log: when it happened, then when it was written, then its id."""
    return entry.at.epoch, entry.recorded, entry.id
