"""Decisions: last, can-i, whatif, stay, drinking, look."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from vanlife_supply import keeping
from vanlife_supply.commands.args import Args, parse, usage_if
from vanlife_supply.commands.desk import open_log
from vanlife_supply.commands.noting import say
from vanlife_supply.entry.model import CONDITIONS
from vanlife_supply.moment import Moment, read_when
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import supply_named

if TYPE_CHECKING:
    from vanlife_supply.deciding.ground import Ground


def last(argv: list[str], db: str | None) -> int:
    """Make it last until a date."""
    args = parse("last", argv, ("--until",), ("--json",))
    usage_if(len(args.words) != 1, "last", "say which supply")
    usage_if(not args.value("--until"), "last", "say until when with --until")
    known = _known(db)
    from vanlife_supply.deciding.lasting import make_it_last
    from vanlife_supply.wording.decided import lasting_json
    from vanlife_supply.wording.deciding import lasting_text

    supply = supply_named(args.words[0], tuple(s.name for s in known.rig.supplies))
    until = _until(args, known)
    assert until is not None
    return _answer(args, known, make_it_last(known, supply, until), lasting_text, lasting_json)


def can_i(argv: list[str], db: str | None) -> int:
    """Is there water for it, and room."""
    args = parse("can-i", argv, ("--until",), ("--outside", "--json"))
    usage_if(not args.words, "can-i", "say what: shower, dishes, wash, guest, or an amount")
    known = _known(db)
    from vanlife_supply.deciding.wishing import can_i as wish
    from vanlife_supply.deciding.words import asked
    from vanlife_supply.wording.decided import wish_json
    from vanlife_supply.wording.deciding import wish_text

    what, until = asked(" ".join(args.words), known)
    told = wish(known, what, outside=args.flag("--outside"), until=_until(args, known) or until)
    return _answer(args, known, told, wish_text, wish_json)


def whatif(argv: list[str], db: str | None) -> int:
    """Something supposed beside now."""
    switches = [f"--{word}" for word in CONDITIONS]
    options = ("--people", "--use", "--container", "--off", "--no", "--until")
    args = parse("whatif", argv, options, ("--outside", "--json", *switches))
    twice = bool(args.words) and any(args.flag(option) for option in (*options, *switches))
    usage_if(twice, "whatif", "say it all in words, or all by options")
    known = _known(db)
    from vanlife_supply.deciding.supposing import Supposed, what_if
    from vanlife_supply.deciding.words import supposed_in
    from vanlife_supply.wording.decided import compared_json
    from vanlife_supply.wording.deciding import compared_text

    on = tuple(word for word in CONDITIONS if args.flag(f"--{word}"))
    what = Supposed(_people(args), tuple(args.values("--use")), args.flag("--outside"), tuple(args.values("--container")),
                    on, tuple(args.values("--off")), args.value("--no"), _until(args, known))  # fmt: skip
    said = supposed_in(" ".join(args.words), known) if args.words else what
    return _answer(args, known, what_if(known, said), compared_text, compared_json)


def stay(argv: list[str], db: str | None) -> int:
    """Stay or go."""
    args = parse("stay", argv, ("--until",), ("--json",))
    usage_if(bool(args.words), "stay", f"'{' '.join(args.words)}' does not belong here")
    known = _known(db)
    from vanlife_supply.deciding.staying import stay_or_go
    from vanlife_supply.wording.decided import staying_json
    from vanlife_supply.wording.deciding import staying_text

    return _answer(args, known, stay_or_go(known, _until(args, known)), staying_text, staying_json)


def drinking(argv: list[str], db: str | None) -> int:
    """How long the drinking water keeps everybody."""
    args = parse("drinking", argv, ("--until",), ("--hot", "--json"))
    usage_if(bool(args.words), "drinking", f"'{' '.join(args.words)}' does not belong here")
    known = _known(db)
    from vanlife_supply.deciding.enduring import drinking_only
    from vanlife_supply.wording.decided import enduring_json
    from vanlife_supply.wording.deciding import enduring_text

    told = drinking_only(known, _until(args, known), hot=True if args.flag("--hot") else None)
    return _answer(args, known, told, enduring_text, enduring_json)


def look(argv: list[str], db: str | None) -> int:
    """Which look would help most; with words, what was looked at."""
    if argv and not argv[0].startswith("--"):
        return say(["look", *argv], db)
    args = parse("look", argv, (), ("--json",))
    usage_if(bool(args.words), "look", f"'{' '.join(args.words)}' does not belong here")
    known = _known(db)
    from vanlife_supply.deciding.looking import best_looks
    from vanlife_supply.wording.decided import looks_json
    from vanlife_supply.wording.deciding import looks_text

    return _answer(args, known, best_looks(known), looks_text, looks_json)


def _known(db: str | None) -> Ground:
    with open_log(db) as book:
        book.rig()
        from vanlife_supply.deciding.ground import ground  # numpy comes with it

        return ground(book, keeping.now_of(book))


def _until(args: Args, known: Ground) -> Moment | None:
    said = args.value("--until")
    return read_when(said, known.now, known.rig.zone, ahead=True).moment if said else None


def _people(args: Args) -> float | None:
    said = args.value("--people")
    if said and not (said.isascii() and said.isdigit() and len(said) <= 2):
        raise Refusal(f"How many people? Write a number from 0 to 99, not '{said}'.")
    return float(said) if said else None


def _answer(args: Args, known: Ground, told: Any, text: Callable[..., str], as_json: Callable[..., Any]) -> int:
    if args.flag("--json"):
        print(json.dumps(as_json(told, known.rig), ensure_ascii=False))
    else:
        print(text(told, known.rig), end="")
    return 0
