"""What a change of the rig does, a sentence each: said before it is kept, when it is taken back, and on the command line."""

from __future__ import annotations

from collections.abc import Iterator

from vanlife_supply.quantity import MASS
from vanlife_supply.rig.model import FILLS, Container, Rig
from vanlife_supply.wording.amounts import amount
from vanlife_supply.wording.entries import raised
from vanlife_supply.wording.laden import weight
from vanlife_supply.wording.names import supply_name

HOLDS = "From now on; what was noted before keeps the rig it had."


def rig_change(before: Rig, after: Rig, level: str = "") -> str:
    """`Jug B holds 6 gal, not 5 gal. Water: 1 gal kept back.`; `level`: how full what is new is, where it was said."""
    return " ".join([*_head(before, after), *_supplies(before, after), *_containers(before, after, level)])


def _head(before: Rig, after: Rig) -> Iterator[str]:
    if after.zone != before.zone:
        yield f"Times are told in {after.zone}, not {before.zone}."
    if after.units != before.units:
        yield f"Units: {after.units}."
    if after.currency != before.currency:
        yield f"Money in {after.currency}."
    if after.payload != before.payload:
        told = "no most is given" if after.payload is None else f"{weight(after.payload, after)} together at most"
        yield f"Water, waste and fuel: {told}."


def _supplies(before: Rig, after: Rig) -> Iterator[str]:
    was = {s.name: s for s in before.supplies}
    for its in after.supplies:
        name, old = supply_name(its.name, after), was.get(its.name)
        if old is None:
            yield f"{name} is new: it {'fills up' if its.direction == FILLS else 'runs out'}."
            continue
        if its.unit != old.unit:
            yield f"{name} is told in {its.unit}, not {old.unit}."
        if its.reserve != old.reserve:
            yield f"{name}: {amount(its.reserve, its)} kept back, not {amount(old.reserve, its)}."
        if its.lasts != old.lasts:
            yield f"{name}: a full load lasts {its.lasts or 0:g} days, you say."
    for old in before.supplies:
        if all(s.name != old.name for s in after.supplies):
            yield f"{supply_name(old.name, before)} is carried no more."


def _containers(before: Rig, after: Rig, level: str) -> Iterator[str]:
    there = {(c.supply, c.label) for c in before.containers}
    for c in after.containers:
        old = next((o for name in c.names for o in before.of(c.supply) if o.label == name), None)
        if old is None:
            letter = f" ({c.letter})" if len(after.of(c.supply)) > 1 and c.label.split()[-1] != c.letter else ""
            yield f"{raised(c.label)}{letter} is new, {_holds(c, after)}, {level or 'how full is not known yet'}."
            continue
        there.discard((old.supply, old.label))
        yield from _one(old, c, after)
    for supply, label in sorted(there):
        yield f"{raised(label)} is gone, and what {supply_name(supply, before).lower()} was in it."


def _one(old: Container, c: Container, rig: Rig) -> Iterator[str]:
    its, name = rig.supply(c.supply), raised(c.label)
    if c.label != old.label:
        yield f"{raised(old.label)} is called {c.label}; all that is known of it stays."
    if c.capacity != old.capacity:
        yield f"{name} holds {amount(c.capacity, its)}, not {amount(old.capacity, its)}."
    if c.usable != old.usable:
        yield f"{name}: {'stop mark' if its.direction == FILLS else 'filled'} at {amount(c.stop, its)}."
    if c.dead != old.dead:
        yield f"{name}: {amount(c.dead, its)} at the bottom cannot be reached."
    if c.tare != old.tare:
        yield f"{name} weighs {c.tare / MASS[rig.scale]:.1f} {rig.scale} empty."
    if c.kept_back != old.kept_back:
        yield f"{name} is {'kept back whole' if c.kept_back else 'kept back no more'}."
    if c.drinking != old.drinking:
        yield f"{name} is for {'drinking' if c.drinking else 'washing'}."


def _holds(c: Container, rig: Rig) -> str:
    return f"{supply_name(c.supply, rig).lower()}, {amount(c.capacity, rig.supply(c.supply))}"
