"""What a person did, as acts in the logbook: each is kept whole or not at all, and one undo takes back one act."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.keeping import ids
from vanlife_supply.keeping.asking import with_size
from vanlife_supply.logbook import Act, Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Rig

VOID = "void"


def record(
    book: Logbook, entries: Sequence[Entry], now: Moment, *, draw: random.Random | None = None, by: str = ""
) -> tuple[Entry, ...]:
    """Keep entries as one act → the entries with their ids. On the disk when this returns."""
    act, kept = begun(book, now, entries, draw=draw, by=by)
    book.record(act, kept)
    return kept


def begun(
    book: Logbook, now: Moment, entries: Sequence[Entry] = (), *, draw: random.Random | None = None, by: str = ""
) -> tuple[Act, tuple[Entry, ...]]:
    """An act of this device not yet kept, and its entries, each with an id; ids are greater than any in the log."""
    device, fresh = device_of(book, by), ids.new_ids(now.epoch, book.last_act_id(), draw)
    named = [e if e.id else replace(e, id=next(fresh)) for e in entries]
    act = Act(next(fresh), now.epoch, device)
    return act, tuple(named)


def undo(
    book: Logbook, now: Moment, *, again: bool = False, draw: random.Random | None = None, by: str = ""
) -> tuple[Entry, ...]:
    """Take back this device's last act, or with `again` bring back what was taken back last → the entries concerned.

    The first rig is never taken back. Refusal when there is nothing to take or bring back.
    """
    act, _ = begun(book, now, draw=draw, by=by)
    target = _last_taken_back(book, act.device) if again else _last_standing(book, act.device)
    book.record(replace(act, kind="redo" if again else "undo", target=target))
    return _meant(book, target)


def of_a_void(book: Logbook) -> bool:
    """Whether the last act, an undo or an undo of it, concerned entries declared void."""
    last = next(book.acts(device_of(book)))
    return any(e.kind == VOID for e in book.entries_of_act(last.target or ""))


def find(book: Logbook, ident: str) -> Entry:
    """The entry in force with that id, or the only one whose id ends so. Refusal when there is none or several."""
    found = book.ids_ending(ident.strip()) if len(ident.strip()) >= 3 else []
    if len(found) > 1:
        raise Refusal(f"'{ident}' is the end of {len(found)} ids or more: give more of it ('entries' lists them).")
    entry = book.entry(found[0]) if found else None
    if entry is None and found:
        raise Refusal(f"Entry '{ident}' was declared void: there is nothing left to change ('undo' brings it back).")
    if entry is None:
        raise Refusal(f"There is no entry '{ident}': 'entries' lists them with their ids.")
    return entry


def mend(book: Logbook, ident: str, changes: dict[str, str], now: Moment) -> Entry:
    """Replace an entry by one that differs in the fields of `Typed` named in `changes` → the new one, kept."""
    return record(book, [mended(book, ident, changes, now)], now)[0]


def mended(book: Logbook, ident: str, changes: dict[str, str], now: Moment) -> Entry:
    """What `mend` would keep."""
    old = find(book, ident)
    rig = book.rig(old.at.epoch)
    said = replace(_typed(old, rig), **changes)
    try:
        new = build(with_size(book, said, rig), rig, now)
    except Refusal as fault:
        raise Refusal(f"Entry '{ident}' stays as it was: {fault}", fault.status) from None
    if "at" not in changes or old.kind in (m.LIMIT, m.PLANNED):
        new = replace(new, at=old.at, slack_h=old.slack_h)
    if new.kind == m.READING and changes.keys().isdisjoint(("amount", "supply", "container", "kind")):
        new = replace(new, amount=old.amount, unit=old.unit)
    if old.by:
        new = replace(new, by=old.by)
    return replace(new, replaces=old.id)


def void(book: Logbook, ident: str, now: Moment) -> Entry:
    """Declare an entry void → the entry that no longer counts."""
    old = find(book, ident)
    record(book, [Entry("", VOID, old.at, replaces=old.id, recorded=now.epoch)], now)
    return old


def settle(book: Logbook, ident: str, verdict: str, now: Moment) -> Entry | None:
    """Answer the question about an entry: `real`, `mistake`, or the amount it should have been.

    → the entry as it stands now, None when it was a mistake and counts no more.
    """
    new = settled(book, ident, verdict, now)
    if new is None:
        void(book, ident, now)
        return None
    return record(book, [new], now)[0]


def settled(book: Logbook, ident: str, verdict: str, now: Moment) -> Entry | None:
    """What `settle` would keep in the place of the entry; None: nothing."""
    old = find(book, ident)
    word = verdict.strip().lower()
    if word == "mistake":
        return None
    right = replace(old, id="", replaces=old.id, recorded=now.epoch, questioned="", settled="real")
    if word == "real":
        return right
    if old.amount is None:
        raise Refusal(f"Entry '{ident}' has no amount: say settle {ident} real, or settle {ident} mistake.")
    rig = book.rig(old.at.epoch)
    said = build(replace(_typed(old, rig), amount=verdict), rig, now)
    return replace(right, amount=said.amount, unit=said.unit)


def device_of(book: Logbook, by: str = "") -> str:
    """The name this device has in the log, unless `by` says another; the first name given, or drawn, stays."""
    known = book.setting("device")
    if known is None:
        known = by or f"{random.SystemRandom().getrandbits(24):06x}"
        book.set("device", known)
    return by or known


def _last_standing(book: Logbook, device: str) -> str:
    for act in book.acts(device):
        if act.kind == "record" and not book.is_undone(act.id):
            if book.rig_loads() == [act.id]:
                break
            return act.id
    raise Refusal("There is nothing to take back.")


def _last_taken_back(book: Logbook, device: str) -> str:
    """The act undone last since anything new was noted."""
    brought: list[str] = []
    for act in book.acts(device):
        if act.kind == "record" or act.target is None:
            break
        if act.kind == "redo":
            brought.append(act.target)
        elif act.target in brought:
            brought.remove(act.target)
        else:
            return act.target
    raise Refusal("Nothing was taken back since the last entry.")


def _meant(book: Logbook, act: str) -> tuple[Entry, ...]:
    """The entries of an act; for a void the one it declared void."""
    found = [e if e.kind != VOID else book.version(e.replaces) for e in book.entries_of_act(act)]
    return tuple(e for e in found if e is not None)


def _typed(entry: Entry, rig: Rig) -> Typed:
    """An entry as it could have been typed."""
    amount = str(entry.said) if entry.said else ""
    down_to = ""
    if entry.kind == m.FILL:
        amount = {m.FULL: f"{amount} full".strip(), "": amount or "some"}.get(entry.to, "almost")
    elif entry.kind == m.DUMP and entry.to == m.EMPTY:
        amount = f"{amount} {m.EMPTY}" if amount else ""
    elif entry.kind == m.DUMP:
        down_to = entry.to
    elif entry.kind == m.PEOPLE:
        amount = f"{entry.amount or 0:.0f}"
    elif entry.kind == m.ASIDE and entry.word == m.BACK:
        down_to = m.BACK
    elif entry.kind in (m.CONDITION, m.LIMIT, m.PLANNED) and entry.to in (m.OFF, m.DROP):
        down_to = entry.to
    ahead = entry.kind in (m.LIMIT, m.PLANNED)
    end = entry.until.iso() if entry.until else ""
    return Typed(
        entry.kind, entry.supply, amount, down_to, entry.container, entry.into, end if ahead else entry.at.iso(),
        "" if ahead else end, entry.to.removeprefix("every ") if entry.to.startswith("every ") else "",
        entry.note if entry.kind == m.NOTE else "" if down_to == m.BACK else entry.word,
        entry.method, entry.pets, _paid(entry, rig), "",
        entry.place, "" if entry.kind == m.NOTE else entry.note, entry.by, entry.typed,
    )  # fmt: skip


def _paid(entry: Entry, rig: Rig) -> str:
    from vanlife_supply.quantity import money_text

    return "" if entry.paid is None else money_text(entry.paid, rig.currency)
