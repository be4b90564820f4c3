"""Things that are about time rather than amounts: aside, people, condition, limit, note, planned."""

from __future__ import annotations

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import keep, narrate, open_log
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.spans import condition_said
from vanlife_supply.rig.model import SPOKEN

_SAID = ("--at", "--place", "--paid", "--note")


def aside(argv: list[str], db: str | None) -> int:
    """A container is not usable for now, or usable again."""
    args = parse("aside", argv, (*_SAID, "--why", "--container"), ("--back",))
    words = args.words
    name = args.value("--container")
    supply = words[0] if len(words) > bool(not name) and words[0].lower() in SPOKEN else ""
    named = name or " ".join(words[1:] if supply else words)
    usage_if(not named, "aside", "say which container")
    usage_if(args.flag("--back") and bool(args.value("--why")), "aside", "--why and --back exclude each other")
    back = m.BACK if args.flag("--back") else ""
    said = Typed(m.ASIDE, supply, down_to=back, container=named, at=args.value("--at"), word=args.value("--why"),
                 place=args.value("--place"), paid=args.value("--paid"), note=args.value("--note"))  # fmt: skip
    return keep(db, said, m.ASIDE, argv)


def people(argv: list[str], db: str | None) -> int:
    """Who is aboard."""
    args = parse("people", argv, (*_SAID, "--pets", "--until"))
    usage_if(len(args.words) != 1, "people", "say how many")
    pets = args.value("--pets") if args.flag("--pets") else None
    said = Typed(m.PEOPLE, amount=args.words[0], at=args.value("--at"), until=args.value("--until"), pets=pets,
                 place=args.value("--place"), paid=args.value("--paid"), note=args.value("--note"))  # fmt: skip
    return keep(db, said, m.PEOPLE, argv)


def condition(argv: list[str], db: str | None) -> int:
    """Heater, hot, cold, away, saving, or a word of one's own: on, until, off."""
    args = parse("condition", argv, (*_SAID, "--until"), ("--off",))
    usage_if(not args.words, "condition", "say which one")
    usage_if(args.flag("--off") and args.flag("--until"), "condition", "--off and --until exclude each other")
    off = m.OFF if args.flag("--off") else ""
    told = condition_said(" ".join(args.words), "")
    usage_if(bool(told.until and (off or args.flag("--until"))), "condition", "say once until when")
    said = Typed(m.CONDITION, down_to=off or told.down_to, at=args.value("--at") or told.at,
                 until=args.value("--until") or told.until, word=told.word,
                 place=args.value("--place"), paid=args.value("--paid"), note=args.value("--note"))  # fmt: skip
    return keep(db, said, m.CONDITION, argv)


def limit(argv: list[str], db: str | None) -> int:
    """A date that ends the stay: food, move, dump at least every 5 days."""
    args = parse("limit", argv, ("--at", "--every", "--note", "--place"), ("--list", "--drop"))
    if args.flag("--list"):
        return _list(db, m.LIMIT, "Nothing limits the stay.")
    usage_if(not args.words, "limit", "say which one: food, stay, move")
    said = Typed(m.LIMIT, down_to=m.DROP if args.flag("--drop") else "", at=args.value("--at"), every=args.value("--every"),
                 word=" ".join(args.words), place=args.value("--place"), note=args.value("--note"))  # fmt: skip
    return keep(db, said, m.LIMIT, argv)


def note(argv: list[str], db: str | None) -> int:
    """Words to keep."""
    args = parse("note", argv, ("--at", "--place", "--paid"))
    usage_if(not args.words, "note", "say the words")
    said = Typed(m.NOTE, at=args.value("--at"), word=" ".join(args.words), place=args.value("--place"),
                 paid=args.value("--paid"))  # fmt: skip
    return keep(db, said, m.NOTE, argv)


def planned(argv: list[str], db: str | None) -> int:
    """A dump or a fill ahead, what is planned, or the end of a plan."""
    args = parse("planned", argv, ("--at", "--every", "--note", "--place"), ("--list", "--drop"))
    if args.flag("--list"):
        return _list(db, m.PLANNED, "Nothing is planned.")
    usage_if(not args.words, "planned", "say dump or fill, and of which supply")
    said = Typed(m.PLANNED, " ".join(args.words[1:]), down_to=m.DROP if args.flag("--drop") else "", at=args.value("--at"),
                 every=args.value("--every"), word=args.words[0].lower(), place=args.value("--place"),
                 note=args.value("--note"))  # fmt: skip
    return keep(db, said, m.PLANNED, argv)


def _list(db: str | None, kind: str, none: str) -> int:
    from vanlife_supply.wording.entries import entry_line

    with open_log(db) as book:
        now, rig = keeping.now_of(book), book.rig()
        found = keeping.plans(book, now, kind)
    for one in found:
        print(entry_line(one, rig))
    if not found:
        narrate(none)
    return 0
