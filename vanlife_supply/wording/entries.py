"""What an entry was, in one line; what it did to the forecast; what was taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.prices import a_unit
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.moment import Moment
from vanlife_supply.quantity import GROSS, PERCENT, Amount, convert
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import money, number
from vanlife_supply.wording.names import supply_name, thing_name
from vanlife_supply.wording.times import count_on, day, past, spell

_SHARES = {50.0: "half", 25.0: "a quarter", 75.0: "three quarters", 100.0: "full", 0.0: "empty"}
WORTH_SAYING = 1.2
"""So many times longer or shorter is told of a supply that an entry does not name."""
_HOUR = 1 / 24
_LOOKED = {"scale": "Weighed", "stick": "Measured", "probe": "Read the gauge of", "count": "Counted"}


def entry_line(entry: Entry, rig: Rig) -> str:
    """What happened, without its time: `Filled water to the top, jug B`."""
    return _LINES[entry.kind](entry, rig)


def entry_full(entry: Entry, rig: Rig, now: Moment) -> str:
    """What happened, what it cost, where and when."""
    parts = [entry_line(entry, rig)]
    if entry.paid is not None:
        parts.append(f"paid {money(entry.paid, rig.currency)}")
    if entry.place:
        parts.append(f"at {entry.place}")
    if entry.kind not in (m.LIMIT, m.PLANNED):
        parts.append(past(entry.at, now, entry.slack_h))
    return ", ".join(parts)


def noted(entry: Entry, rig: Rig, now: Moment) -> str:
    """What the app and the command line say once an entry is kept."""
    doubt = f" It looks odd ({entry.questioned}) and is asked about." if entry.questioned else ""
    return f"Noted: {lowered(entry_full(entry, rig, now))}.{doubt}"


def undone(entries: tuple[Entry, ...], rig: Rig, now: Moment) -> str:
    """What an undo took back."""
    return f"Taken back: {_several(entries, rig, now)}."


def taken_out(entries: tuple[Entry, ...], rig: Rig, now: Moment) -> str:
    """What was declared void."""
    return f"Taken out: {_several(entries, rig, now)}."


def back_again(entries: tuple[Entry, ...], rig: Rig, now: Moment) -> str:
    """What counts again, its void taken back."""
    return f"Back again: {_several(entries, rig, now)}."


def redone(entries: tuple[Entry, ...], rig: Rig, now: Moment) -> str:
    """What an undo of the undo brought back."""
    return f"Noted again: {_several(entries, rig, now)}."


def _several(entries: tuple[Entry, ...], rig: Rig, now: Moment) -> str:
    if not entries:
        return "the last change"
    first = lowered(entry_full(entries[0], rig, now))
    return first if len(entries) == 1 else f"{first} and {len(entries) - 1} more"


def effect(before: Forecast | None, after: Forecast, supply: str, rig: Rig) -> str:
    """What an entry did: the supply it was about, else the one it changed most, then what stops you first."""
    supply = supply or _most_changed(before, after)
    own = _own_effect(before, after, supply, rig) if supply else ""
    if after.first is None:
        return own
    first = thing_name(after.first.what, rig)
    was = before.first.what if before and before.first else ""
    overall = f"First {'is still' if was == after.first.what else 'is now'} {lowered(first)}"
    if own and after.first.what == supply:
        return f"{own} It comes first."
    return f"{own} {overall}: count on {count_on(after.first.days_left)}.".strip()


def _most_changed(before: Forecast | None, after: Forecast) -> str:
    """The supply that guests or a condition make last much shorter or longer than before, "" for none."""
    changed = {}
    for now in after.supplies:
        then = before.supply(now.supply) if before else None
        if now.days_left and then and then.days_left:
            sure, was = (max(one.days_left.p10 or 0.0, _HOUR) for one in (now, then) if one.days_left)
            changed[now.supply] = max(sure / was, was / sure)
    most = max(changed, key=lambda name: changed[name], default="")
    return most if most and changed[most] >= WORTH_SAYING else ""


def _own_effect(before: Forecast | None, after: Forecast, supply: str, rig: Rig) -> str:
    now, then = after.supply(supply), before.supply(supply) if before else None
    if now is None or now.days_left is None:
        return ""
    told = spell(now.days_left.p10, down=True)
    was = spell(then.days_left.p10, down=True) if then and then.days_left else ""
    name = supply_name(supply, rig)
    if not was:
        return f"{name}: count on {told}."
    return f"{name}: count on {told} as before." if was == told else f"{name}: count on {told}, it was {was}."


def lowered(text: str) -> str:
    """The first letter made small, for the middle of a sentence."""
    return text[:1].lower() + text[1:]


def raised(text: str) -> str:
    """The first letter made large, for the beginning of one."""
    return text[:1].upper() + text[1:]


def paid_words(before: Entry, rig: Rig, now: Moment) -> str:
    """What was paid the last time: `Last time there $3.00 for 12 gal (25c/gal), Sun 3 May`."""
    each, much = a_unit(before, rig), f" for {said(before.said)}" if before.said else ""
    its = rig.supply(before.supply)
    rate = ""
    if each is not None:
        rate = f" ({money(round(each * convert(1.0, its.unit, its.measure, its.density)), rig.currency)}/{its.unit})"
    return f"Last time there {money(before.paid or 0, rig.currency)}{much}{rate}, {past(before.at, now, 12.0)}"


def size_words(much: str, times: int) -> str:
    """Where the size of a use comes from that nobody said: `About 1 gal, as is usual`."""
    known = f"as you noted it {times} times" if times > 1 else "as you noted it once" if times else "as is usual"
    return f"About {much}, {known}; a number says otherwise."


def still_in(labels: Sequence[str]) -> str:
    """What stands aboard besides what ran out: `By the log something is still in jug B`."""
    return f"By the log something is still in {' and '.join(labels)}"


def said(amount: Amount | None) -> str:
    """An amount as it was typed: `12 gal`, `half`, `24.3 lb with its container`."""
    if amount is None:
        return ""
    if amount.unit == PERCENT:
        return _SHARES.get(amount.value) or f"{amount.value:.0f}%"
    if amount.unit in GROSS:
        return f"{amount.value:g} {GROSS[amount.unit]} with its container"
    return f"{amount.value:g} {amount.unit}"


def _what(entry: Entry, rig: Rig) -> str:
    return lowered(supply_name(entry.supply, rig))


def _which(entry: Entry, lead: str = ", ") -> str:
    return f"{lead}{entry.container}" if entry.container else ""


def _thing(entry: Entry, rig: Rig) -> str:
    """Supply and container, the supply once when the label says it too: `water jug B`, `gray jug`."""
    what = _what(entry, rig)
    return entry.container if entry.container.lower().startswith(what) else f"{what}{_which(entry, ' ')}"


def _fill(e: Entry, rig: Rig) -> str:
    what, which = _what(e, rig), _which(e)
    if e.to == m.FULL and e.amount is not None:
        return f"Filled {what} to the top, {said(e.said)} went in{which}"
    if e.to == m.FULL:
        return f"Filled {what} to the top{which}"
    if e.to:
        return f"Filled {what} almost to the top{which}"
    if e.amount is None:
        return f"Added some {what}{_which(e, ' to ')}"
    return f"Added {said(e.said)} of {what}{_which(e, ' to ')}"


def _dump(e: Entry, rig: Rig) -> str:
    what, which = _what(e, rig), _which(e)
    if e.to == m.EMPTY:
        out = f", {said(e.said)} came out" if e.amount is not None else ""
        return f"Dumped {what} empty{out}{which}"
    if e.to:
        return f"Dumped {what} down to {e.to}{which}"
    return f"Dumped {said(e.said)} of {what}{which}"


def _reading(e: Entry, rig: Rig) -> str:
    net = e.method == "scale" and e.unit not in GROSS
    held = " in it" if net or rig.supply(e.supply).direction == FILLS else ""
    return f"{_LOOKED.get(e.method, 'Looked at')} {_thing(e, rig)}: {said(e.said)}{held}"


def _next(e: Entry, rig: Rig) -> str:
    opened = e.into or "the next one"
    if rig.supply(e.supply).direction == FILLS:
        return f"{supply_name(e.supply, rig)}: {e.container or 'the one in use'} at its mark, {opened} put under"
    return f"{supply_name(e.supply, rig)}: {e.container or 'the one in use'} empty, {opened} opened"


def _ran_out(e: Entry, rig: Rig) -> str:
    if e.word == m.COLD:
        return f"{raised(_thing(e, rig))} stopped in the cold, some is left"
    return f"{raised(_thing(e, rig))} ran out"


def _exchange(e: Entry, rig: Rig) -> str:
    got = f", {said(e.said)} got" if e.amount is not None else ""
    only = rig.of(e.supply)[0].label if len(rig.of(e.supply)) == 1 else f"one of {_what(e, rig)}"
    return f"Traded in {e.container or only}{got}"


def _pour(e: Entry, rig: Rig) -> str:
    much = f"{said(e.said)} of " if e.amount is not None else ""
    return f"Poured {much}{_what(e, rig)} from {e.container} into {e.into}"


def _aside(e: Entry, rig: Rig) -> str:
    if e.word == m.BACK:
        return f"{raised(_thing(e, rig))} back in use"
    return f"Set {_thing(e, rig)} aside{f' ({e.word})' if e.word else ''}"


def _people(e: Entry, rig: Rig) -> str:
    count = e.amount or 0
    pets = f", {e.pets}" if e.pets else ""
    return f"{number(count)} {'person' if count == 1 else 'people'}{pets} aboard{_until(e)}"


_STATES = ("away", "hot", "cold", "saving")
"""Conditions one is in; the others are switched on and off."""


def _condition(e: Entry, rig: Rig) -> str:
    if e.word in _STATES:
        return f"{f'No longer {e.word}' if e.to == m.OFF else e.word.capitalize()}{_until(e)}"
    return f"{e.word.capitalize()} {'off' if e.to == m.OFF else 'on'}{_until(e)}"


def _limit(e: Entry, rig: Rig) -> str:
    if e.to == m.DROP or e.until is None:
        return f"{e.word.capitalize()}: no date any more"
    return f"{e.word.capitalize()} till {day(e.until)}{_repeat(e)}"


def _planned(e: Entry, rig: Rig) -> str:
    what = f"{e.word.capitalize()} of {_what(e, rig)}"
    if e.to == m.DROP or e.until is None:
        return f"{what}: no longer planned"
    return f"{what} planned {day(e.until)}{_repeat(e)}"


def _repeat(e: Entry) -> str:
    return f", {e.to}" if e.to.startswith("every") else ""


def _until(e: Entry) -> str:
    return f" until {day(e.until)}" if e.until else ""


_LINES: dict[str, Callable[[Entry, Rig], str]] = {
    m.FILL: _fill,
    m.DUMP: _dump,
    m.READING: _reading,
    m.NEXT: _next,
    m.RAN_OUT: _ran_out,
    m.EXCHANGE: _exchange,
    m.POUR: _pour,
    m.ASIDE: _aside,
    m.PEOPLE: _people,
    m.CONDITION: _condition,
    m.LIMIT: _limit,
    m.PLANNED: _planned,
    m.USE: lambda e, rig: f"Used {said(e.said)} of {_what(e, rig)}{f' for {e.word}' if e.word else ''}{_which(e)}",
    m.SPILL: lambda e, rig: f"Spilled or leaked {said(e.said)} of {_what(e, rig)}{_which(e)}",
    m.NOTE: lambda e, rig: raised(e.note),
}
