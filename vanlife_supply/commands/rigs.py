"""What the vehicle carries: show, load, zone."""

from __future__ import annotations

from collections.abc import Callable

from vanlife_supply import keeping
from vanlife_supply.commands.args import Args, parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.commands.whole import read_text
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import read_when
from vanlife_supply.rig.amend import with_vehicle
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Rig

_VEHICLE = ("height", "length", "width", "weight", "country")


def rig(argv: list[str], db: str | None) -> int:
    """`rig show`, `load FILE [--from TIME]`, `change WORDS`, `zone NAME`, `vehicle --height 2.9m ...`."""
    args = parse("rig", argv, ("--from", *(f"--{key}" for key in _VEHICLE)))
    deed, *words = args.words or ["show"]
    usage_if(deed not in _DEEDS, "rig", "say show, load FILE, change water b 6 gal, zone NAME or vehicle")
    usage_if(deed in ("load", "zone") and len(words) != 1, "rig", "load and zone take one name")
    usage_if((deed in ("show", "vehicle")) != (not words), "rig", "show and vehicle take no name, change says what")
    usage_if(deed != "load" and args.flag("--from"), "rig", "only load takes --from, all else holds from now on")
    return _DEEDS[deed](" ".join(words), args, db)


def _show(_: str, args: Args, db: str | None) -> int:
    with open_log(db) as book:
        rig, text = book.rig(), book.rig_text() or ""
        print(text, end="" if text.endswith("\n") else "\n")
        load = keeping.load_aboard(book, keeping.now_of(book))
    if load is not None:
        from vanlife_supply.wording.laden import load_words

        narrate(f"{load_words(load, rig).capitalize()}.")
    return 0


def _load(name: str, args: Args, db: str | None) -> int:
    text, since = read_text(name), args.value("--from")
    described = read_rig(text)
    with open_log(db, create=True) as book:
        now = keeping.now_of(book)
        known = book.arrangements()
        zone = known[-1].rig.zone if known else described.zone
        start = read_when(since, now, zone).moment.epoch if since else None
        loaded = keeping.load_rig(book, text, now, start)
        held = ", ".join(f"{loaded.say(s.name)} {len(loaded.of(s.name))}" for s in loaded.supplies)
        print(f"Rig loaded. Containers: {held}.")
        _say_backdated(book, known[-1].rig if known and not since else None, loaded, name)
        _say_relettered(known[-1].rig if known else loaded, loaded)
    return 0


def _vehicle(_: str, args: Args, db: str | None) -> int:
    told = {key: args.value(f"--{key}") for key in _VEHICLE if args.flag(f"--{key}")}
    usage_if(not told, "rig", "say one of --height, --length, --width, --weight, --country")
    with open_log(db) as book:
        zone, now = book.rig().zone, keeping.now_of(book)
        its = keeping.load_rig(book, with_vehicle(book.rig_text() or "", told, zone), now, now.epoch).vehicle
    sizes = [f"{word} {size:.3g} m" for word, size in
             (("height", its.height), ("length", its.length), ("width", its.width)) if size]  # fmt: skip
    weight = [f"weight {its.weight:.3g} t"] if its.weight else []
    print(f"Vehicle: {', '.join([*sizes, *weight, *([its.country] if its.country else [])])}.")
    return 0


def _say_backdated(book: Logbook, before: Rig | None, loaded: Rig, name: str) -> None:
    """Containers that now count as if they had always been there, in supplies that something is noted of."""
    if before is None:
        return
    there, noted = {(c.supply, c.label) for c in before.containers}, {e.supply for e in book.entries()}
    new = [c.label for c in loaded.containers if c.supply in noted and (c.supply, c.label) not in there]
    if new:
        narrate(f"{' and '.join(new)}: now as if always aboard, in every fill noted so far. If new, undo and say from when: "
                f"rig load {name} --from now.")  # fmt: skip


def _say_relettered(before: Rig, loaded: Rig) -> None:
    """Containers that stand elsewhere in the new file have another letter by that."""
    for c in loaded.containers:
        was = next((o.letter for o in before.of(c.supply) if o.label == c.label), c.letter)
        if was != c.letter:
            narrate(f'{c.label} is {c.letter} now, it was {was}: write letter = "{was}" beside its label to keep that.')


def _zone(name: str, args: Args, db: str | None) -> int:
    with open_log(db) as book:
        keeping.set_zone(book, name, keeping.now_of(book))
        print(f"Times are now read and told in {name}; what was noted before keeps its own time.")
    return 0


def _change(said: str, args: Args, db: str | None) -> int:
    from vanlife_supply.rig.change import subject, with_level
    from vanlife_supply.wording.rig_change import HOLDS, rig_change

    with open_log(db) as book:
        before = book.rig()
        after = keeping.change_rig(book, *subject(said, before), keeping.now_of(book))
        print(f"{rig_change(before, after, with_level(said)[1])} {HOLDS}")
    return 0


_DEEDS: dict[str, Callable[[str, Args, str | None], int]] = {
    "show": _show, "load": _load, "zone": _zone, "change": _change, "vehicle": _vehicle,
}  # fmt: skip
