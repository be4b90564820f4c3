"""One short line at the act it belongs to. Sources: facts.md section B, by the ids beside each."""

from __future__ import annotations

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import FILLS, GREY, PROPANE, STOVE_FUEL, Rig


def caution(entry: Entry, rig: Rig) -> str:
    """What to mind while doing it; `` when there is nothing to say."""
    its = next((s for s in rig.supplies if s.name == entry.supply), None)
    if its is None:
        return ""
    if its.name == STOVE_FUEL and entry.kind in (m.FILL, m.POUR):
        return "Burner out and cool? The flame can be invisible. Close the can, move it away."  # X10 A15 A16
    if its.name == PROPANE and entry.kind == m.RAN_OUT and entry.word == m.COLD:
        return "Low flow in the cold is normal. Never warm a cylinder with flame or heater."  # P20 P33 P46 P47
    if its.name == PROPANE and entry.kind in (m.FILL, m.EXCHANGE, m.NEXT):
        return "Upright, tight, smelled for leaks? A leak collects low: no flame, no switch."  # X01-X04 X13
    if its.direction == FILLS and its.name == GREY and entry.kind == m.DUMP:
        return "Only where it is allowed: local rules decide."  # D01-D05
    return ""
