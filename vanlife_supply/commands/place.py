"""Places: add, list, show, import, export, confirm, here, leave, stay, mountains. None of it needs a rig."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Literal

from vanlife_supply import keeping
from vanlife_supply.commands.args import Args, parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.commands.progress import telling
from vanlife_supply.commands.whole import give_out, read_bytes
from vanlife_supply.constants import KM_PER_MILE
from vanlife_supply.keeping import places as kept
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, read_when, refuse_ahead
from vanlife_supply.place.model import WHATS, Confirmation
from vanlife_supply.place.readers import read_places
from vanlife_supply.place.readers.text import SIZE_LIMIT
from vanlife_supply.place.writers import attributions, to_geojson, to_gpx
from vanlife_supply.quantity import number, parse_money
from vanlife_supply.refusal import Refusal
from vanlife_supply.resupply import MOUNTAINS, atlas, clock_at, may_be, staying
from vanlife_supply.wording import places as words
from vanlife_supply.wording.amounts import counted
from vanlife_supply.wording.names import printable

_EVERYTHING = ("all", "everything")
_KM = {"km": 1.0, "mi": KM_PER_MILE}
_MOST_KM = 5_000_000.0


def place(argv: list[str], db: str | None) -> int:
    """`place add | list | show | import | export | confirm | here | leave | stay | mountains`."""
    known = "add, list, show, import, export, confirm, here, leave, stay or mountains"
    usage_if(not argv or argv[0] not in _DEEDS, "place", f"say {known}")
    return _DEEDS[argv[0]](argv[1:], db)


def _add(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, ("--lat", "--lon", "--gives", "--note"))
    usage_if(not args.words, "place", "say the name of the place")
    gives = [kept.what_named(word) for word in args.value("--gives").split(",") if word.strip()]
    new = kept.own_place(" ".join(args.words), args.value("--lat"), args.value("--lon"), args.value("--note"))
    with open_log(db, create=True) as book:
        saved, fresh = kept.add(book, new, gives, keeping.now_of(book))
    had = f": {', '.join(words.what_word(what) for what in gives)}" if gives else ""
    print(f"{'Noted' if fresh else 'Brought up to date'}: {printable(words.place_name(saved))}{had}.")
    return 0


def _list(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, ("--gives",), ("--json",))
    usage_if(bool(args.words), "place", f"'{' '.join(args.words)}' does not belong after list")
    wanted = [kept.what_named(word) for word in args.value("--gives").split(",") if word.strip()]
    with open_log(db, create=True) as book:
        known = atlas(book, keeping.now_of(book))
        units = _units(book)
    shown = [p for p in known.places if all(may_be(known.answer(p, what)) for what in wanted)]
    if args.flag("--json"):
        print(json.dumps(words.list_json(known, shown), ensure_ascii=False))
    elif shown:
        print(words.list_text(known, shown, units), end="")
    else:
        narrate(words.NO_PLACES if not known.places else "No place known gives or takes that.")
    return 0


def _show(argv: list[str], db: str | None) -> int:
    args = parse("place", argv)
    usage_if(not args.words, "place", "say which place")
    with open_log(db, create=True) as book:
        known = atlas(book, keeping.now_of(book))
        one = known.find(" ".join(args.words))
        loaded = book.arrangements()
        print(words.page(one, known, _units(book), loaded[-1].rig.currency if loaded else "USD"), end="")
        stay = clock_at(book, one.id, known.as_of)
        if stay:
            print(printable(f"  {words.stay_clock(stay, known.as_of)}"))
        for entry in known.visits.get(one.id, ()):
            from vanlife_supply.wording.entries import entry_full

            print(printable(f"  {entry_full(entry, book.rig(entry.at.epoch), known.as_of)}"))
    return 0


def _import(argv: list[str], db: str | None) -> int:
    args = parse("place", argv)
    usage_if(len(args.words) != 1, "place", "name one map file, or - for the standard input")
    name = args.words[0]
    data = read_bytes(name, SIZE_LIMIT)
    with telling("Reading the map file"):
        read = read_places(data, "the standard input" if name == "-" else Path(name).name)
    if not read.places and not read.tracks:
        raise Refusal(f"{name}: nothing of it can be used. {' '.join(read.problems)}")
    with open_log(db, create=True) as book, telling(f"Taking in {counted(len(read.places), 'place')}"):
        done = kept.take_in(book, read, keeping.now_of(book))
    for problem in read.problems:
        narrate(printable(problem))
    for licence in attributions(read.places):
        narrate(printable(licence))
    lines = f" {counted(done.tracks, 'line')} to measure along." if done.tracks else ""
    print(f"{counted(len(read.places), 'place')} read: {done.added} new, {done.updated} brought up to date, "
          f"{done.unchanged} as before.{lines}")  # fmt: skip
    return 0


def _export(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, flags=("--gpx",))
    usage_if(len(args.words) != 1, "place", "name one file, or - for the standard output")
    with open_log(db, create=True) as book:
        known = atlas(book, keeping.now_of(book)).places
    data = (to_gpx(known) if args.flag("--gpx") else to_geojson(known)).encode("utf-8")
    if not give_out(args.words[0], data, _is_map, "map file"):
        return 0
    left = sum(1 for p in known if p.point is None) if args.flag("--gpx") else 0
    narrate(f"Written to {args.words[0]}: {counted(len(known) - left, 'place')}."
            + (f" {counted(left, 'place')} without coordinates left out." if left else ""))  # fmt: skip
    return 0


def _confirm(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, ("--note", "--at", "--paid"))
    said = args.words
    usage_if(len(said) < 3 or said[-1].lower() not in ("yes", "no"), "place", "say confirm NAME WHAT yes, or no")
    name, word = said[:-2], said[-2]
    if len(said) > 3 and kept.is_what(" ".join(said[-3:-1])):
        name, word = said[:-3], " ".join(said[-3:-1])
    everything = word.lower() in _EVERYTHING
    asked = () if everything else (kept.what_named(word),)
    verdict: Literal["yes", "no"] = "yes" if said[-1].lower() == "yes" else "no"
    with open_log(db, create=True) as book:
        now = keeping.now_of(book)
        when, known = _when(args, now), atlas(book, now)
        one = known.find(" ".join(name))
        whats = asked or tuple(what for what in WHATS if may_be(known.answer(one, what)))
        told = [Confirmation(what, verdict, when.epoch, remark=args.value("--note")) for what in whats]
        if not told:
            raise Refusal(f"Nothing is known to be had at {words.place_name(one)}: say what, water or gray for one.")
        kept.confirm(book, one, told, now, _money(book, args.value("--paid")))
        listed = ", ".join(words.what_word(what) for what in whats)
        print(printable(f"Noted: {words.place_name(one)}: {listed} {verdict}."))
        if verdict == "no" and book.arrangements():
            from vanlife_supply.commands.stop import proposal  # numpy comes with it

            print(proposal(book, now))
    return 0


def _here(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, ("--at", "--odometer"))
    usage_if(not args.words, "place", "say where you are")
    name = " ".join(args.words)
    with open_log(db, create=True) as book:
        now = keeping.now_of(book)
        when = _when(args, now)
        one = kept.spot_named(name) or atlas(book, now).find(name)
        kept.be_at(book, one, when, _odometer(args.value("--odometer"), _units(book)), now)
        stay = staying(book, now)
    print(printable(f"Noted: you are at {words.place_name(one)}."))
    if stay:
        print(words.stay_line(stay, now))
    hint = one.tags.get("maxstay")
    if hint and not stay:
        narrate(printable(f"The map says maxstay={hint}: 'place stay NAME {hint}' makes it your limit."))
    return 0


def _leave(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, ("--at",))
    usage_if(bool(args.words), "place", "leave takes no name: it is the place where you are")
    with open_log(db, create=True) as book:
        now = keeping.now_of(book)
        kept.leave(book, _when(args, now), now)
    print("Noted: you are on the road.")
    return 0


def _stay(argv: list[str], db: str | None) -> int:
    args = parse("place", argv, ("--at",), ("--drop",))
    said = args.words
    begins = next((i for i, word in enumerate(said) if i and word[0].isdigit()), len(said))
    usage_if(not said, "place", "say which place, and how long one may stay: stay NAME 14 days in 28, then 25 miles")
    usage_if(args.flag("--drop") and begins < len(said), "place", "a limit and --drop exclude each other")
    with open_log(db, create=True) as book:
        now = keeping.now_of(book)
        one = atlas(book, now).find(" ".join(said[:begins]))
        rule = " ".join(said[begins:])
        if rule or args.flag("--drop"):
            kept.limit_stay(book, one, rule, now)
        clock = clock_at(book, one.id, now)
    if args.flag("--drop"):
        print(printable(f"Noted: no limit at {words.place_name(one)} any more."))
    else:
        print(words.stay_line(clock, now) if clock else "No stay limit is known there: place stay NAME 14 days in 28.")
    return 0


def _mountains(argv: list[str], db: str | None) -> int:
    usage_if(argv not in (["on"], ["off"]), "place", "say mountains on, or off")
    with open_log(db, create=True) as book:
        book.set(MOUNTAINS, argv[0])
    longer = "longer" if argv[0] == "on" else "no longer taken to be longer"
    print(f"Roads are {longer} against the straight line until your odometer has told: see place here --odometer.")
    return 0


def _when(args: Args, now: Moment) -> Moment:
    return refuse_ahead(read_when(args.value("--at") or "now", now, now.zone or "UTC"), now).moment


def _odometer(text: str, units: str) -> float | None:
    if not text:
        return None
    value, unit = text.lower().rstrip("kmi "), "".join(ch for ch in text.lower() if ch.isalpha())
    size = _KM.get(unit or ("mi" if units == "us" else "km"))
    if size is None or number(value) * size > _MOST_KM:
        raise Refusal(f"'{text}' is not what an odometer shows: write it like 84210 mi or 135500 km.")
    return number(value) * size


def _money(book: Logbook, text: str) -> int | None:
    if not text:
        return None
    loaded = book.arrangements()
    return parse_money(text, loaded[-1].rig.currency if loaded else "USD")


def _units(book: Logbook) -> str:
    loaded = book.arrangements()
    return loaded[-1].rig.units if loaded else "us"


def _is_map(head: bytes) -> bool:
    return head.startswith((b'{\n "type": "FeatureCollection"', b"<?xml"))


_DEEDS: dict[str, Callable[[list[str], str | None], int]] = {
    "add": _add, "list": _list, "show": _show, "import": _import, "export": _export, "confirm": _confirm, "here": _here,
    "leave": _leave, "stay": _stay, "mountains": _mountains,
}  # fmt: skip
