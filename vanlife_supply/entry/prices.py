"""What is known of a place from what was noted there: whether one filled there, what was paid, what that makes now."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.quantity import parse_amount
from vanlife_supply.rig.model import Rig

_BOUGHT = (m.FILL, m.EXCHANGE)
_BARE = re.compile(r"[0-9]+([.,][0-9]+)?")
_CENTS = re.compile(r"[0-9]+[.,][0-9]{2}")


def traded_for(typed: Typed, rig: Rig) -> Typed:
    """`traded 22`: a bare number with cents, or more than any cylinder holds, is what was paid for the one got."""
    number = typed.amount
    if typed.kind != m.EXCHANGE or typed.paid or not _BARE.fullmatch(number):
        return typed
    most = max(c.capacity for c in rig.of(typed.supply))
    price = _CENTS.fullmatch(number) or rig.canonical(parse_amount(number), typed.supply) > most
    return replace(typed, amount="", paid=number) if price else typed


def paid_before(entry: Entry, past: Sequence[Entry]) -> Entry | None:
    """The newest entry of the same supply at the same place that cost something, None where there is none."""
    if not entry.place or entry.kind not in (*_BOUGHT, m.DUMP):
        return None
    place, kinds = entry.place.casefold(), (m.DUMP,) if entry.kind == m.DUMP else _BOUGHT
    return next(
        (e for e in reversed(past)
         if e.paid is not None and e.supply == entry.supply and e.kind in kinds and e.place.casefold() == place),
        None,
    )  # fmt: skip


def strange(entry: Entry, past: Iterable[Entry]) -> bool:
    """Whether it fills at a place where nothing of that supply was ever filled."""
    if not entry.place or entry.kind != m.FILL:
        return False
    there = entry.place.casefold()
    return not any(e.supply == entry.supply and e.kind == m.FILL and e.place.casefold() == there for e in past)


def much_for(entry: Entry, rig: Rig, kinds: Sequence[str]) -> float | None:
    """Canonical units of what was paid for, of an entry of those kinds; None where it was no matter of amount."""
    if entry.kind not in kinds or entry.paid is None or entry.said is None:
        return None
    return rig.sized(entry.said, entry.supply, entry.container) or None


def a_unit(entry: Entry, rig: Rig) -> float | None:
    """Minor units of money a canonical unit of what was filled in; None where it was no matter of amount."""
    much = much_for(entry, rig, (m.FILL,))
    return (entry.paid or 0) / much if much else None


def as_before(entry: Entry, before: Entry, rig: Rig) -> int:
    """What `entry` would cost at the price of before, minor units: by amount where both are known, else the same sum."""
    each = a_unit(before, rig)
    if each is None or entry.said is None:
        return before.paid or 0
    return round(each * rig.canonical(entry.said, entry.supply, entry.container))
