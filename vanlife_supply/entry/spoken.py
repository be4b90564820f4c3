"""An entry → the phrase a person would type for it, in the words that `read_phrase` reads."""

from __future__ import annotations

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.rig.model import Rig

_FIRST = {
    m.FILL: "filled", m.DUMP: "dumped", m.NEXT: "next", m.RAN_OUT: "ran out", m.READING: "looked", m.USE: "used",
    m.EXCHANGE: "traded in", m.SPILL: "spilled",
}  # fmt: skip
_LOOKED = {"scale": "weighed", "stick": "dipped", "count": "counted"}
_MENDED = ("amount", "supply", "container", "into", "at", "until", "paid", "price_per", "word", "method", "down_to", "kind",
           "every")  # fmt: skip


def phrase_of(entry: Entry, rig: Rig) -> str:
    """`filled water A 5 gal`, `back jug 1`, `heater off`: without its time, place and note.

    What was paid and what a use was for is left out.
    """
    if entry.kind == m.NOTE:
        return f"note {entry.note}"
    if entry.kind == m.PEOPLE:
        return f"people {entry.amount or 0:.0f}{' with guests' if entry.word == m.GUEST else ''}{_until(entry)}"
    if entry.kind == m.CONDITION:
        word = entry.word if entry.word in m.CONDITIONS else f"condition {entry.word}"
        return f"{word} off" if entry.to == m.OFF else f"{word}{_until(entry)}"
    if entry.kind == m.ASIDE:
        back = entry.word == m.BACK
        return f"{'back' if back else 'aside'} {entry.container}{'' if back else f' {entry.word}'}".rstrip()
    if entry.kind in (m.LIMIT, m.PLANNED):
        return _ahead(entry, rig)
    if entry.kind == m.POUR:
        much = f" {entry.said}" if entry.said else ""
        return f"poured {rig.say(entry.supply)}{much} from {entry.container} into {entry.into}"
    return _event(entry, rig)


def number_in(phrase: str, entry: Entry) -> tuple[int, int]:
    """From where to where in its phrase the number of an entry stands; the end of the phrase where it has none."""
    value = "" if entry.amount is None else f"{entry.amount:g}"
    at = phrase.rfind(f"{value} {entry.unit}") if entry.unit else phrase.find(value)
    return (at, at + len(value)) if value and at >= 0 else (len(phrase), len(phrase))


def otherwise(old: Typed, new: Typed) -> dict[str, str]:
    """What the phrase `new` says otherwise than the one that was there: a phrase does not say all that an entry holds."""
    return {f: getattr(new, f) for f in _MENDED if getattr(new, f) != getattr(old, f)}


def _event(entry: Entry, rig: Rig) -> str:
    first = _LOOKED.get(entry.method, "looked") if entry.kind == m.READING else _FIRST[entry.kind]
    amount = f"{entry.said}" if entry.said else ""
    if entry.kind == m.FILL and not amount:
        amount = {m.FULL: "", "": "some"}.get(entry.to, "almost")
    elif entry.kind == m.FILL and entry.to == m.FULL:
        amount = f"{amount} full"
    elif entry.kind == m.DUMP and entry.to not in ("", m.EMPTY):
        amount = f"down to {entry.to}"
    elif entry.kind == m.DUMP and amount and entry.to == m.EMPTY:
        amount = f"{amount} empty"
    elif entry.kind == m.RAN_OUT:
        amount = entry.word
    named = entry.container
    if entry.kind == m.NEXT:
        named, amount = entry.into, f"from {entry.container}" if entry.container else ""
    return " ".join(word for word in (first, rig.say(entry.supply), named, amount) if word)


def _ahead(entry: Entry, rig: Rig) -> str:
    what = entry.word if entry.kind == m.LIMIT else f"{entry.word} {rig.say(entry.supply)}"
    if entry.to == m.DROP or entry.until is None:
        return f"{entry.kind} {what} drop"
    joint = "till" if entry.kind == m.LIMIT else "at"
    return f"{entry.kind} {what} {joint} {entry.until.iso()}{f' {entry.to}' if entry.to else ''}"


def _until(entry: Entry) -> str:
    return f" until {entry.until.iso()}" if entry.until else ""
