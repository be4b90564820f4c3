"""What each kind of entry does to the containers, and what that says of the whole supply."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, nan, sqrt

from vanlife_supply.entry import model as m
from vanlife_supply.entry import refill
from vanlife_supply.entry.books import PUMPED_ERROR, brought, exact, moved
from vanlife_supply.entry.evidence import (
    COUNT,
    EXACT,
    FITTED,
    IN_AT_DUMP,
    LEFT_AT_FILL,
    PLAIN,
    PROBE,
    SIGHT,
    SOME,
    USED,
    Evidence,
)  # fmt: skip
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.said import Said
from vanlife_supply.entry.shelf import GUESSED_ERROR, Shelf, Vessel
from vanlife_supply.rig.model import PROPANE

# Sd of amounts as a share of them or of a brim: common practice, no source.
SPILLED_ERROR = 0.10
STOP_MARK_ERROR = 0.06
DRAINED_ERROR = 0.01
TOTAL_ERROR = 0.01
LOOKED_ERROR = 0.1
"""A container that is known better than that, as a share of it, is not known better by a look that agrees."""
OVERFULL = 1.15
"""Nobody pours so much too much into one: it was not as full as thought."""
ABSURD = 1.25
"""A reading over this many brims of what is named is a slip of the pen."""


def _fill(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    vessel, at = said.vessel(), entry.at.epoch
    amount, goal = said.amount(vessel), said.goal(vessel)
    if entry.to == m.FULL:
        return _fill_to_top(shelf, vessel, at, amount)
    if goal is not None:
        return _brought_to(shelf, vessel, at, goal, amount, LEFT_AT_FILL)
    if amount is None:
        return _fill_some(shelf, vessel, at)
    told = _fitted(shelf, vessel, at, amount)
    if vessel is None or len(shelf.vessels) == 1:
        # Whoever fills had little left, also where it was not filled to the top.
        told = [Evidence(at, LEFT_AT_FILL, before=0.0, size=shelf.top), *told]
    _pour_in(shelf, vessel, amount, at)
    return [*told, *moved(shelf, at, amount, PUMPED_ERROR * amount)]


def _fitted(shelf: Shelf, vessel: Vessel | None, at: float, amount: float) -> list[Evidence]:
    """There was room for what came in, or in it what went out. Of a sealed container that says nothing new."""
    if vessel is not None and vessel is not shelf.open:
        return []
    others = shelf.total(vessel) if vessel else 0.0
    most = others + (amount if shelf.fills else (vessel.spec.stop if vessel else shelf.top) - amount)
    if not 0.0 <= most <= shelf.brim:
        return []
    return [Evidence(at, FITTED, most, hypot(PUMPED_ERROR * amount, 0.015 * shelf.brim))]


def _fill_to_top(shelf: Shelf, vessel: Vessel | None, at: float, amount: float | None) -> list[Evidence]:
    if vessel is None or len(shelf.vessels) == 1:
        for each in shelf.vessels:
            if not each.aside:
                each.fill()
        stay = sum(v.held for v in shelf.vessels if v.aside)
        return brought(shelf, at, LEFT_AT_FILL, stay, shelf.total() - stay, amount)
    if shelf.vessels.index(vessel) in shelf.stores and vessel.level is not None and shelf.open.level is not None:
        return _store_filled(shelf, vessel, at, amount)
    others, old, old_sd = shelf.total(vessel), vessel.held, vessel.sd
    vessel.fill()
    if vessel is not shelf.open:
        came = vessel.held - old if amount is None else amount
        return moved(shelf, at, came, hypot(old_sd, PUMPED_ERROR * came))
    if shelf.supply.name == PROPANE:
        shelf.open_next()
    return brought(shelf, at, LEFT_AT_FILL, others, vessel.spec.stop, amount)


def _store_filled(shelf: Shelf, can: Vessel, at: float, amount: float | None) -> list[Evidence]:
    """A full can leaves little unknown: what is left in the canister."""
    canister = shelf.open
    canister.set(*refill.rest(shelf, canister, at))
    before = can.held if amount is None else max(can.spec.stop - amount, 0.0)
    error = can.sd if amount is None else PUMPED_ERROR * amount
    before, error = before + shelf.total(can), hypot(hypot(error, canister.sd), TOTAL_ERROR * shelf.brim)
    can.fill()
    shelf.anchor(at, before, shelf.total())
    return [Evidence(at, EXACT, before, error, shelf.total(), shelf.error())]


def _brought_to(
    shelf: Shelf, vessel: Vessel | None, at: float, goal: float, amount: float | None, habit: str
) -> list[Evidence]:
    """Filled or dumped to a level that is not the end of the scale."""
    rose = None if amount is None else (amount if habit == LEFT_AT_FILL else -amount)
    if vessel is not None:
        vessel.set(goal, 0.05 * vessel.spec.capacity)
        return brought(shelf, at, habit, shelf.total(vessel), vessel.spec.stop, rose)
    share = min(1.0, goal / shelf.brim)
    for each in shelf.vessels:
        if not each.aside:
            each.set(share * each.spec.capacity, 0.05 * each.spec.capacity)
    return brought(shelf, at, habit, 0.0, shelf.top, rose)


def _fill_some(shelf: Shelf, vessel: Vessel | None, at: float) -> list[Evidence]:
    if vessel is not None and vessel is not shelf.open:
        room = vessel.spec.stop - vessel.held
        vessel.set(vessel.held + 0.65 * room, 0.25 * room)
        return moved(shelf, at, 0.65 * room, 0.25 * room)
    touched = [vessel] if vessel is not None else [v for v in shelf.vessels if not v.aside]
    for each in touched:
        each.set(0.8 * each.spec.stop, GUESSED_ERROR * each.spec.stop)
    others = shelf.total() - sum(v.held for v in touched)
    shelf.anchor(at, None, nan)  # how much there is now nobody knows, so no pace is learned from it
    return [Evidence(at, SOME, before=others, size=sum(v.spec.stop for v in touched))]


def _pour_in(shelf: Shelf, vessel: Vessel | None, amount: float, at: float) -> None:
    """To the one named; else to the open one, then to the emptiest."""
    first = vessel or shelf.open
    others = [v for v in shelf.vessels if v is not first and not v.aside]
    if first is shelf.open:
        elsewhere = 0.0 if vessel else sum(v.spec.stop - v.held for v in others)
        shelf.draw(at, (max(0.0, amount - elsewhere) + min(amount, first.held)) / 2)
    rest = amount
    for each in (first, *sorted(others, key=lambda v: (v.level is None, v.held / v.spec.stop))):
        taken = min(rest, max(0.0, each.spec.stop - each.held))
        if each.level is None and each is shelf.open:
            each.set((taken + each.spec.stop) / 2, (each.spec.stop - taken) / sqrt(12))
        elif taken > 0:
            # What one of unknown size of draught could not take is in the next, as unsure as that.
            each.set(each.held + taken, max(each.sd, 0.0 if vessel else first.sd, PUMPED_ERROR * taken))
        rest -= taken
        if rest <= 0 or vessel is not None:
            break
    if vessel is None:
        shelf.loose += amount


def _dump(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    vessel, at = said.vessel(), entry.at.epoch
    amount, goal = said.amount(vessel), said.goal(vessel)
    if goal is not None:
        return _brought_to(shelf, vessel, at, goal, amount, IN_AT_DUMP)
    if entry.to != m.EMPTY:
        one = vessel or shelf.open
        if amount is None:
            return []
        fitted = _fitted(shelf, vessel, at, amount) if shelf.fills else []
        one.set(one.held - amount, max(one.sd, 0.05 * one.spec.capacity))
        return [*fitted, *moved(shelf, at, -amount, PUMPED_ERROR * amount)]
    gone = None if amount is None else -amount
    if vessel is None or len(shelf.vessels) == 1:
        for each in shelf.vessels:
            each.set(0.0, DRAINED_ERROR * each.spec.capacity)
        shelf.in_use = 0
        return brought(shelf, at, IN_AT_DUMP, 0.0, shelf.top, gone)
    old, old_sd, was_open = vessel.held, vessel.sd, vessel is shelf.open
    vessel.set(0.0, DRAINED_ERROR * vessel.spec.capacity)
    if not was_open:
        return moved(shelf, at, -old if gone is None or not old else gone, hypot(old_sd, 0.03 * old))
    shelf.in_use = 0
    return brought(shelf, at, IN_AT_DUMP, shelf.total(vessel), vessel.spec.stop, gone)


def _next(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    at, vessel = entry.at.epoch, said.vessel() or shelf.open
    if shelf.fills:
        vessel.set(vessel.spec.stop, STOP_MARK_ERROR * vessel.spec.capacity)
        shelf.put_in_use(vessel)
        _open(shelf, said.into())
        return exact(shelf, at)
    return _emptied(shelf, vessel, at, said.into(), shelf.loose)


def _emptied(shelf: Shelf, vessel: Vessel, at: float, into: Vessel | None, loose: float = 0.0) -> list[Evidence]:
    """One is empty for certain, another is opened; that holds what was poured in, if all were taken to be empty."""
    if vessel is shelf.open or vessel.spent:
        refill.missed(shelf, vessel, at, vessel.held - vessel.spec.dead, vessel.sd)
    if vessel is not shelf.open and not vessel.spent:
        shelf.reach(vessel, vessel.held, at)
    vessel.set(vessel.spec.dead, 0.005 * vessel.spec.capacity)
    shelf.put_in_use(vessel)
    _open(shelf, into)
    if loose > 0 and shelf.open.spent:
        if shelf.open is vessel:
            shelf.open_next(spent=True)
        shelf.open.set(min(loose, shelf.open.spec.stop), GUESSED_ERROR * loose)
    return exact(shelf, at)


def _open(shelf: Shelf, into: Vessel | None) -> None:
    if into is not None:
        shelf.put_in_use(into)
    else:
        shelf.open_next()
    opened = shelf.open
    vague = opened.level is None or (opened.sd > 0.1 * opened.spec.capacity and not shelf.loose)
    if not shelf.fills and not opened.spent and vague:
        # Whoever opens the next one opens a full one, unless some was poured into it and nobody said how full it got.
        opened.set(0.97 * opened.spec.stop, 0.05 * opened.spec.capacity)
    if shelf.fills and opened.level is None:
        opened.set(0.0, 0.02 * opened.spec.capacity)


def _ran_out(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    if entry.word == m.COLD:
        return []
    vessel, at = said.vessel(), entry.at.epoch
    if vessel is not None and len(shelf.vessels) > 1:
        return _emptied(shelf, vessel, at, None)
    for each in shelf.vessels:
        if not each.aside:
            each.set(each.spec.dead, 0.005 * each.spec.capacity)
    return exact(shelf, at)


def _exchange(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    """One container traded in; its rest is lost."""
    at = entry.at.epoch
    vessel = said.vessel() or next((v for v in shelf.vessels if v.spent), shelf.open)
    amount = said.amount(vessel)
    others, old, was_open = shelf.total(vessel), vessel.held, vessel is shelf.open
    vessel.set(vessel.spec.capacity if amount is None else amount, 0.02 * vessel.spec.capacity)
    if not was_open:
        return moved(shelf, at, vessel.held - old, 0.02 * vessel.spec.capacity)
    if others > 0:
        shelf.open_next()
    return brought(shelf, at, LEFT_AT_FILL, others, vessel.spec.stop, None)


def _pour(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    """From one into another: the total stays as it is."""
    source, into, at = shelf.named(entry.container), shelf.named(entry.into), entry.at.epoch
    if source is None or into is None or source is into:
        return []
    amount = said.amount(into)
    shelf.noted += shelf.vessels.index(source) in shelf.stores
    told = _about_empty(shelf, into, amount, at)
    wanted = max(0.0, into.spec.stop - into.held) if amount is None else amount
    given = min(wanted, into.spec.capacity - into.held)
    if source.level is None:
        told += moved(shelf, at, given, PUMPED_ERROR * given)
    else:
        given = min(given, source.level)
        source.set(source.level - given, max(source.sd, PUMPED_ERROR * given))
    into.set(into.held + given, max(into.sd, PUMPED_ERROR * given))
    if shelf.open.spent or shelf.in_use in shelf.stores:
        shelf.put_in_use(into)
    return told


def _about_empty(shelf: Shelf, into: Vessel, amount: float | None, at: float) -> list[Evidence]:
    """One is refilled because it is about empty, though nobody wrote so."""
    size, used = into.spec.capacity, refill.expected(shelf, at)
    if into.spent:
        if into is shelf.open:
            return exact(shelf, at) if refill.missed(shelf, into, at, into.held) else []
        if shelf.open.spent or used <= 0.6 * shelf.open.held:
            return []
        shelf.open.set(0.1 * shelf.open.spec.stop, 0.15 * shelf.open.spec.capacity)
        return exact(shelf, at)
    if into.level is None:
        return []
    left = 0.05 * size if amount is None else max(0.0, 0.97 * into.spec.stop - amount)
    gone = into.held - left
    if into is shelf.open and refill.topped_up(shelf, into, at, amount):
        shelf.draw(at, used)
        return []
    if into is shelf.open:
        refill.missed(shelf, into, at, gone)
    elif into.held + (amount or 0.25 * size) > OVERFULL * size:
        shelf.reach(into, gone, at)
    else:
        return []
    into.set(left, 0.08 * size)
    return exact(shelf, at)


def _spill(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    vessel = said.vessel() or shelf.open
    amount = said.amount(vessel)
    if amount is None:
        return []
    if vessel.level is not None:
        vessel.set(vessel.held - amount, max(vessel.sd, SPILLED_ERROR * amount))
    return moved(shelf, entry.at.epoch, -amount, SPILLED_ERROR * amount)


def _aside(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    vessel = said.vessel()
    if vessel is None:
        return []
    vessel.aside = "" if entry.word == m.BACK else (entry.word or "set aside")
    if vessel.aside and vessel is shelf.open:
        shelf.draw(entry.at.epoch)
        shelf.open_next()
    return []


def _use(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    amount = said.amount(said.vessel() or shelf.open)
    return [] if amount is None else [Evidence(entry.at.epoch, USED, after=amount, after_sd=SPILLED_ERROR * amount)]


def _reading(shelf: Shelf, entry: Entry, said: Said) -> list[Evidence]:
    at, what = entry.at.epoch, entry.method or PLAIN
    vessel = said.vessel() or (None if what == COUNT else shelf.open)
    level = said.amount(vessel)
    if level is not None and vessel is not None and not entry.container and level > 1.05 * vessel.spec.capacity:
        vessel = None
    if vessel is None:
        return _read_all(shelf, at, what, said.amount(None))
    if level is None or level > ABSURD * vessel.spec.capacity:
        return []
    if level > 0.0 or shelf.fills or len(shelf.vessels) == 1:
        level = _rounded(min(level, vessel.spec.capacity), vessel.spec.capacity, what)
    return _read_one(shelf, vessel, at, what, level)


def _rounded(level: float, brim: float, what: str) -> float:
    """By eye "empty" and "full" only mean near the end of the scale."""
    return min(max(level, 0.05 * brim), 0.95 * brim) if what in (SIGHT, PROBE) else level


def _read_one(shelf: Shelf, vessel: Vessel, at: float, what: str, level: float) -> list[Evidence]:
    index, size = shelf.vessels.index(vessel), vessel.spec.capacity
    if vessel.level is None and vessel is not shelf.open and shelf.open.level is not None:
        vessel.set(level, 0.06 * size)
        return moved(shelf, at, level, 0.06 * size)
    if index in shelf.stores:
        return _read_store(shelf, vessel, at, level)
    as_thought = vessel.level is not None and abs(level - vessel.held) < 0.15 * size
    if vessel is not shelf.open and as_thought and vessel.sd <= LOOKED_ERROR * size:
        return []
    if vessel is not shelf.open and not as_thought:
        if not shelf.fills and not vessel.spent:
            shelf.reach(vessel, vessel.held - level, at)
        shelf.put_in_use(vessel)
    if vessel is shelf.open:
        refill.missed(shelf, vessel, at, vessel.held - level, hypot(vessel.sd, refill.LIFTED_ERROR * size))
    others, error = shelf.total(vessel), shelf.error(vessel)
    vessel.set(level, 0.06 * size)
    shelf.anchor(at, others + level, others + level)
    return [Evidence(at, what, others + level, error, size=size, of=vessel.spec.label)]


def _read_store(shelf: Shelf, store: Vessel, at: float, level: float) -> list[Evidence]:
    """The can was looked at: unless the canister in use was known just before, what is in it is anyone's guess."""
    store.set(level, 0.05 * store.spec.capacity)
    canister = shelf.open
    known_now = shelf.anchor_at is not None and at - shelf.anchor_at < refill.STILL_KNOWN_S
    if canister.level is not None and not canister.spent and not known_now:
        canister.set(0.5 * canister.spec.stop, GUESSED_ERROR * canister.spec.stop)
    return [Evidence(at, PLAIN, shelf.total(), shelf.error(), size=store.spec.capacity, of=store.spec.label)]


def _read_all(shelf: Shelf, at: float, what: str, level: float | None) -> list[Evidence]:
    """The whole supply was read: the one in use holds what the others cannot."""
    if level is None or level > ABSURD * shelf.brim:
        return []
    rest = min(level, shelf.brim)
    spread = 0.02 if what == COUNT else 0.05
    for each in sorted(shelf.vessels, key=lambda v: v is shelf.open):
        taken = min(rest, each.spec.stop)
        each.set(taken, spread * each.spec.capacity)
        rest -= taken
    shelf.anchor(at, level, level)
    return [Evidence(at, what, min(level, shelf.brim), TOTAL_ERROR * shelf.brim, size=shelf.brim)]


ACTS: dict[str, Callable[[Shelf, Entry, Said], list[Evidence]]] = {
    m.FILL: _fill, m.DUMP: _dump, m.NEXT: _next, m.RAN_OUT: _ran_out, m.EXCHANGE: _exchange, m.POUR: _pour,
    m.SPILL: _spill, m.ASIDE: _aside, m.USE: _use, m.READING: _reading,
}  # fmt: skip
