"""What is carried, kept as an arrangement from now on or for all times; every entry must fit the one of its time."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.keeping.acts import begun
from vanlife_supply.logbook import Logbook, rig_of
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Arrangement, Rig


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
