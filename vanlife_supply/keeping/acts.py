"""What a person did, as acts in the logbook: each is kept whole or not at all, and one undo takes back one act."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.keeping import ids
from vanlife_supply.logbook import Act, Logbook, rig_of
from vanlife_supply.moment import TOO_FAR_AHEAD_S, Moment, at, read_when
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, PROPANE, Arrangement, Rig
from vanlife_supply.rig.weight import Load

VOID = "void"
SAME_FILL_S = 20 * 60.0
SAME_FILL_SHARE = 0.10
"""Two fills this close in time and amount are asked about: common practice, no source."""
LOOKED_BACK, LOOKED_BACK_S = 60, 30 * 86_400.0
"""Entries of a supply, and seconds, that tell what can be in it: the last fill to the top, dump or look is among them."""
MOST_READ = 1000
"""Entries of a supply read back for what was last said of one of its containers."""
SAME_FILL = "the same fill as one just before"


def now_of(book: Logbook) -> Moment:
    """The time in the zone of the rig; a rehearsal's own now where the log has one."""
    return told_here(book, ids.now(stands_in=book.setting("now")))


def told_here(book: Logbook, when: Moment) -> Moment:
    """`when`, told in the zone of the rig that stands; as it is while there is none."""
    loaded = book.arrangements()
    return at(when.epoch, loaded[-1].rig.zone) if loaded else when


def is_behind(book: Logbook, now: Moment) -> bool:
    """Whether the clock is well before what was recorded last: it was wrong then, or is now."""
    return book.last_recorded() - now.epoch > TOO_FAR_AHEAD_S


def plans(book: Logbook, now: Moment, kind: str = m.PLANNED) -> tuple[Entry, ...]:
    """The planned dumps and fills, or the limits, that still lie ahead, soonest first; of limits the last of a word."""
    return standing(book.entries(now.epoch), now, kind)


def standing(entries: Iterable[Entry], now: Moment, kind: str) -> tuple[Entry, ...]:
    """`plans` of these entries."""
    kept: list[Entry] = []
    for e in entries:
        if e.kind == kind and (e.to == m.DROP or kind == m.LIMIT):
            kept = [k for k in kept if (k.word, k.supply) != (e.word, e.supply)]
        if e.kind == kind and e.to != m.DROP and e.until and (e.to or e.until.epoch > now.epoch):
            kept.append(e)
    return tuple(sorted(kept, key=lambda e: e.until.epoch if e.until else 0.0))


def noted(book: Logbook, said: Typed, now: Moment) -> Entry:
    """What was typed → a checked entry, not yet kept: with the rig of its own time, and asked about where odd."""
    rig = _rig_of_its_time(book, said, now)
    entry = build(_sized(book, said, rig), rig, now)
    if entry.to == m.DROP:
        _refuse_nothing_to_drop(book, entry, now)
    if entry.kind == m.ASIDE and entry.word != m.BACK:
        _refuse_aside_already(book, entry)
    return _impossible_asked(book, _same_fill_asked(book, entry, rig))


def _sized(book: Logbook, said: Typed, rig: Rig) -> Typed:
    """A use of which only what it was for is said, with the size it usually has; guests as the number aboard in all."""
    open_use = said.kind == m.USE and (not said.amount or said.amount.endswith("times"))
    guests = said.kind == m.PEOPLE and said.amount.startswith("+")
    if not (open_use or guests):
        return said
    from vanlife_supply.entry.sizes import sized

    return sized(said, book.entries(), rig)


def _rig_of_its_time(book: Logbook, said: Typed, now: Moment) -> Rig:
    """The rig that stood when it happened; words of time are read in the zone of now."""
    rig = book.rig()
    if not said.at or said.kind in (m.LIMIT, m.PLANNED) or len(book.arrangements()) < 2:
        return rig
    return replace(book.rig(read_when(said.at, now, rig.zone).moment.epoch), zone=rig.zone)


def laden(book: Logbook, entry: Entry) -> Load | None:
    """What the supplies weigh with `entry`, where it brings some aboard and the owner said what they may weigh."""
    if book.rig().payload is None:
        return None
    from vanlife_supply.entry import laden

    before = [e for e in _lately(book, entry.at.epoch, laden.ENOUGH) if e.id != entry.id]
    return laden.laden(before, entry, book.arrangements())


def strange(book: Logbook, entry: Entry) -> bool:
    """Whether it fills at a place where nothing of that supply was ever filled, as far back as is read."""
    if not entry.place:
        return False
    from vanlife_supply.entry import prices

    before = book.entries(entry.at.epoch, supply=entry.supply, most=MOST_READ)
    return prices.strange(entry, [e for e in before if e.id != entry.id])


def load_aboard(book: Logbook, now: Moment) -> Load | None:
    """What the supplies weigh now, where the owner said what they may weigh."""
    if book.rig().payload is None:
        return None
    from vanlife_supply.entry import laden

    return laden.at_last(_lately(book, now.epoch, laden.ENOUGH), now.epoch, book.arrangements())


def _lately(book: Logbook, until: float, most: int) -> list[Entry]:
    """The last entries of each supply, oldest first."""
    return sorted((e for s in book.rig().supplies for e in book.entries(until, supply=s.name, most=most)), key=m.order)


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
        new = build(_sized(book, said, rig), rig, now)
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


def load_rig(
    book: Logbook, toml: str, now: Moment, since: float | None = None, said: Sequence[Typed] = (), *,
    draw: random.Random | None = None, by: str = "",
) -> Rig:  # fmt: skip
    """Read and keep a rig: for all times, or from `since` on, with what was `said` of it. Refusal where entries name what
    it lacks."""
    from vanlife_supply.rig.load import read_rig  # logging commands read the rig through the logbook

    rig = read_rig(toml)
    lacking = fits(book.entries(since=None if since is None else since - 1e-3), [Arrangement(0.0, rig)])
    if lacking:
        cure = "take that entry out first, or let the change hold from later on"
        if since is None:
            cure = "add it, or say from when the new rig holds: rig load FILE --from TIME"
        raise Refusal(f"{lacking[0].split(',')[0]}, which this rig lacks: {cure}.")
    act, kept = begun(book, now, [build(typed, rig, now) for typed in said], draw=draw, by=by)
    book.record_rig(act, toml, since, kept)
    return rig


def adopt(book: Logbook, supply: str, label: str, changes: Mapping[str, str | float], now: Moment) -> Rig:
    """From now on a container is as `changes` (keys of rig.toml) have it; the past stays as it was. One undoable act."""
    from vanlife_supply.rig.amend import amended

    return load_rig(book, amended(book.rig_text() or "", supply, label, changes, book.rig().zone), now, now.epoch)


def change_rig(book: Logbook, supply: str, label: str, said: str, now: Moment) -> Rig:
    """From now on the rig is as `said` (`rig.change`) has it, what is new as full as was said; the past stays as it was.
    One undoable act. Refusal when it cannot be."""
    from vanlife_supply.rig.change import changed, with_level
    from vanlife_supply.rig.load import read_rig

    before, past = book.rig(), [each.rig for each in book.arrangements()]
    toml, level = changed(book.rig_text() or "", before.zone, supply, label, said, past), with_level(said)[1]
    there = {(c.supply, c.label) for c in before.containers}
    new = [c for c in read_rig(toml).containers if level and (c.supply, c.label) not in there]
    method = "sight" if level == "half" else "count"
    looks = [Typed(m.READING, c.supply, level, container=c.label, method=method) for c in new]
    return load_rig(book, toml, now, now.epoch, looks)


def set_up(book: Logbook, toml: str, said: Sequence[Typed], now: Moment) -> Rig:
    """The first rig and what is in it now, as one act: all of it is kept or nothing. Refusal where one does not fit."""
    from vanlife_supply.rig.load import read_rig

    rig = read_rig(toml)
    act, kept = begun(book, now, [build(typed, rig, now) for typed in said])
    book.record_rig(act, toml, None, kept)
    return rig


def set_zone(book: Logbook, zone: str, now: Moment, *, draw: random.Random | None = None, by: str = "") -> None:
    """From now on times are read and told in `zone`; what was noted keeps its own. One undoable act."""
    from vanlife_supply.rig.amend import opened, written

    book.rig()
    load_rig(book, written(opened(book.rig_text() or "", zone)), now, now.epoch, draw=draw, by=by)


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


def _same_fill_asked(book: Logbook, entry: Entry, rig: Rig) -> Entry:
    if entry.kind != m.FILL or entry.amount is None or entry.questioned:
        return entry
    near = book.entries(entry.at.epoch + SAME_FILL_S, entry.at.epoch - SAME_FILL_S)
    return replace(entry, questioned=SAME_FILL) if any(same_fill(entry, other, rig) for other in near) else entry


def _impossible_asked(book: Logbook, entry: Entry) -> Entry:
    """More filled in than fits, more dumped than is there, a weight risen by itself, run out too soon: judged by the last
    entries of that supply, and by whether the heater was on or guests were aboard."""
    sized = entry.kind in (m.FILL, m.DUMP, m.READING) and entry.amount is not None
    if entry.questioned or not (sized or entry.kind == m.RAN_OUT):
        return entry
    from vanlife_supply.entry.room import doubts

    now = entry.at.epoch
    before = list(book.entries(now, now - LOOKED_BACK_S, entry.supply, LOOKED_BACK))
    if entry.supply in (PROPANE, FRESH):
        spells = [e for e in book.entries(now, now - LOOKED_BACK_S) if e.kind in (m.CONDITION, m.PEOPLE)]
        before = sorted([*before, *spells], key=m.order)
    return replace(entry, questioned=doubts([*before, entry], book.arrangements())[-1])


def same_fill(one: Entry, other: Entry, rig: Rig) -> bool:
    """Whether two entries may be one fill noted twice: same place to put it, within 20 minutes and 10 %."""
    if other.kind != m.FILL or one.supply != other.supply or one.container != other.container:
        return False
    if one.said is None or other.said is None or abs(one.at.epoch - other.at.epoch) > SAME_FILL_S:
        return False
    amounts = sorted(rig.canonical(e, one.supply, one.container) for e in (one.said, other.said))
    return amounts[1] - amounts[0] <= SAME_FILL_SHARE * amounts[1]


def _refuse_nothing_to_drop(book: Logbook, entry: Entry, now: Moment) -> None:
    said = [e for e in book.entries(now.epoch) if (e.kind, e.word, e.supply) == (entry.kind, entry.word, entry.supply)]
    if not said or said[-1].to == m.DROP:
        raise Refusal(f"There is no {'plan' if entry.kind == m.PLANNED else 'limit'} '{entry.word}' to drop.")


def _refuse_aside_already(book: Logbook, entry: Entry) -> None:
    before = book.entries(entry.at.epoch, supply=entry.supply, most=MOST_READ)
    said = [e for e in before if e.kind == m.ASIDE and e.container == entry.container]
    if said and said[-1].word != m.BACK:
        raise Refusal(f"{entry.container} is set aside already: back {entry.container} brings it back.")


def fits(entries: Iterable[Entry], loaded: Sequence[Arrangement]) -> list[str]:
    """What entries name that the rig of their time lacks, a line each."""
    lacking: dict[str, int] = {}
    for e in entries:
        if not e.supply:
            continue
        for name in _lacking(e, rig_of(loaded, e.at.epoch)):
            lacking[name] = lacking.get(name, 0) + 1
    return [
        f"{count} {'entry names' if count == 1 else 'entries name'} {name}, which the rig of that time lacks"
        for name, count in lacking.items()
    ]


def _lacking(entry: Entry, rig: Rig) -> list[str]:
    if all(s.name != entry.supply for s in rig.supplies):
        return [entry.supply]
    held = {c.label for c in rig.of(entry.supply)}
    return [label for label in (entry.container, entry.into) if label and label not in held]
