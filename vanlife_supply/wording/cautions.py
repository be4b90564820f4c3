"""One short line at the act it belongs to, with the source of what it says beside it."""

from __future__ import annotations

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import FILLS, GREY, PROPANE, STOVE_FUEL, Rig


def caution(entry: Entry, rig: Rig) -> str:
    """What to mind while doing it; `` when there is nothing to say."""
    if entry.kind == m.PEOPLE and not entry.amount:
        return "So nobody is aboard: say people 1 when somebody is back."
    its = next((s for s in rig.supplies if s.name == entry.supply), None)
    if its is None:
        return ""
    if its.name == STOVE_FUEL and entry.kind in (m.FILL, m.POUR):
        return "Burner out and cool? The flame can be invisible. Close the can, move it away."  # CPSC statement, June 2011
    if its.name == PROPANE and entry.kind == m.RAN_OUT and entry.word == m.COLD:
        # Propane boils at −42 °C; a legal fill is liquid-full at 64 °C (computed, reference equation of 2009).
        return "Low flow in the cold is normal. Never warm a cylinder with flame or heater."
    if its.name == PROPANE and entry.kind in (m.FILL, m.EXCHANGE, m.NEXT):
        # OSHA chemical data 563: heavier than air, lower limit 2.1 %.
        return "Upright, tight, smelled for leaks? A leak collects low: no flame, no switch."
    if its.direction == FILLS and its.name == GREY and entry.kind == m.DUMP:
        return "Only where it is allowed: local rules decide."  # 36 CFR 261.11(c), (d), and local law beside it
    return ""
