"""One short line at the act it belongs to, with the source of what it says beside it."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.entry import model as m
from vanlife_supply.entry.fitting import takes_gross
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.prices import strange
from vanlife_supply.quantity import GROSS
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL, Arrangement, Rig
from vanlife_supply.rig.weight import Load
from vanlife_supply.wording.laden import overload

_SPELLS = {
    # Burning 1 kg of propane takes the oxygen of 13 m3 of air (computed); carbon monoxide: CPSC, a secondary page.
    "heater": "A vent open, the CO alarm tested? Never heat the room with a cooker.",
    "hot": "In heat drinking can double: days left are no reason to drink less.",  # TB MED 507; federal guidance on storage
    # Computed, IAPWS-95 and IAPWS-06; the cooker as above.
    "cold": "Ice needs 9% more room: leave it, or keep jugs and drain warm. Never heat the room with a cooker.",
    "saving": "Save on washing, never on drinking.",  # federal guidance on storage: drinking water is never rationed
}
_FROZEN = {"frozen", "froze", "ice", "iced", "icy", "split", "cracked"}
_CLEANED = ("bleach", "saniti", "disinfect", "chlorin")
# Upright, secured, closed: common practice, no source; tunnels and ferries have rules of their own.
_UNDER_WAY = "Drive with it upright, tied, closed; local rules for tunnels and ferries."


def caution(entry: Entry, rig: Rig, load: Load | None = None, *, strange_tap: bool = False) -> str:
    """What to mind while doing it, and that it is too heavy; "" when there is nothing to say.

    `load`: aboard once done; `strange_tap`: nothing was ever filled at its place before.
    """
    return " ".join(filter(None, (overload(load, rig), _at_the_act(entry, rig, strange_tap))))


def caution_after(entry: Entry, rig: Rig, past: Sequence[Entry], arrangements: Sequence[Arrangement]) -> str:
    """`caution` of what is noted after all of `past`, oldest first."""
    from vanlife_supply.entry.laden import laden  # noting on the command line has it from the log, and pays for no replay

    return caution(entry, rig, laden(past, entry, arrangements), strange_tap=strange(entry, past))


def _at_the_act(entry: Entry, rig: Rig, strange_tap: bool) -> str:
    if entry.kind in (m.NOTE, m.USE) and any(word in f"{entry.note} {entry.word}".lower() for word in _CLEANED):
        # EPA, 40 CFR 141.65: at most 4 mg/L of free chlorine in drinking water.
        return "Bleach by its own label only; rinse until it hardly smells: at most 4 mg/L in what is drunk."
    if entry.kind == m.PEOPLE and not entry.amount:
        return "So nobody is aboard: say people 1 when somebody is back."
    if entry.kind == m.CONDITION and entry.to != m.OFF:
        return _SPELLS.get(entry.word, "")
    if entry.kind == m.ASIDE and not _FROZEN.isdisjoint(entry.word.split()):
        return "Ice needs 9% more room: look for cracks before it carries anything again."  # computed, as above
    its = next((s for s in rig.supplies if s.name == entry.supply), None)
    if its is None:
        return ""
    if its.name == STOVE_FUEL and entry.kind in (m.FILL, m.POUR):
        return _alcohol(entry, rig)
    if its.name == PROPANE:
        return _taken_as_net(entry, rig) or _overfilled(entry, rig) or _propane(entry)
    if its.name == GREY and entry.kind in (m.DUMP, m.SPILL):
        return "Only where it is allowed: local rules decide."  # 36 CFR 261.11(c), (d), and local law beside it
    if its.name == FRESH and entry.kind == m.FILL:
        return _water(entry, rig, strange_tap)
    return ""


def _alcohol(entry: Entry, rig: Rig) -> str:
    from vanlife_supply.entry.shelf import stores

    mine = rig.of(STOVE_FUEL)
    cans = {mine[i].label for i in stores(rig.supply(STOVE_FUEL), mine)}
    if entry.kind == m.FILL and entry.container in cans:
        # Flash point 12.8 °C, NFPA class IB; upright and labelled: common practice, no source.
        return "It lights easily: keep it closed, labelled, upright, away from flame and heat."
    return "Burner out and cool? The flame can be invisible. Close the can, move it away."  # CPSC statement, June 2011


def _taken_as_net(entry: Entry, rig: Rig) -> str:
    """A weight that could as well be that of the cylinder with what is in it says how it was taken."""
    if entry.kind != m.READING or entry.method or entry.said is None:
        return ""
    if entry.said.unit in GROSS or not takes_gross(entry.supply, rig):
        return ""
    net = rig.sized(entry.said, entry.supply, entry.container)
    if net is None or net < min(c.tare for c in rig.of(entry.supply)):
        return ""
    return f"Taken as what is in it. Weighed with its cylinder? Say {entry.said} gross."


def _overfilled(entry: Entry, rig: Rig) -> str:
    if entry.kind not in (m.FILL, m.EXCHANGE, m.READING) or entry.said is None:
        return ""
    mine = [c for c in rig.of(PROPANE) if entry.container in ("", c.label)]
    held = rig.sized(entry.said, PROPANE, entry.container)
    if held is None or held <= sum(c.capacity for c in mine) * (1 + 1e-6):
        return ""
    # 49 CFR 173.304a(d); what to do then: common practice, no source.
    return "More than it may hold? Leave it outdoors, valve shut, and call the supplier."


def _propane(entry: Entry) -> str:
    if entry.kind == m.RAN_OUT and entry.word == m.COLD:
        # Propane boils at −42 °C; a legal fill is liquid-full at 64 °C (computed, reference equation of 2009).
        return "Low flow in the cold is normal. Never warm a cylinder with flame or heater."
    if entry.kind == m.FILL:
        # 49 CFR 173.304a(d): filled to at most 42 % of the stamped water capacity by weight; 180.209: tested by its date.
        return "Never over the 80% mark. Collar date past: a licensed tester first. Smelled for leaks? " + _UNDER_WAY
    if entry.kind == m.SPILL:
        return "Smell gas? No flame, no switch: shut the valve, get out, air it. It collects low."  # OSHA, as below
    if entry.kind == m.EXCHANGE:
        # OSHA chemical data 563: heavier than air, lower limit 2.1 %.
        return "Ask how much is in it; what was left in yours is gone. Smelled for leaks? It collects low. " + _UNDER_WAY
    if entry.kind == m.NEXT:
        return "Upright, tight, smelled for leaks? A leak collects low: no flame, no switch."
    return ""


def _water(entry: Entry, rig: Rig, strange_tap: bool) -> str:
    """Nobody here knows what a tap gives; where drinking and other water are kept apart, which jug got what matters."""
    mine = [c for c in rig.of(FRESH) if entry.container in ("", c.label)]
    if all(c.drinking for c in rig.of(FRESH)):
        return "First fill here: fit to drink? This program cannot know; treat what is not sure." if strange_tap else ""
    if any(c.drinking for c in mine):
        return "Is it fit to drink? This program cannot know; other water only in the jugs for washing."
    return ""
