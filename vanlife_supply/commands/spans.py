"""Things that are about time rather than amounts: aside, people, condition, limit, note, planned."""

from __future__ import annotations

from vanlife_supply import keeping
from vanlife_supply.commands.args import Args, parse, usage_if
from vanlife_supply.commands.desk import keep, narrate, open_log
from vanlife_supply.commands.spoken import given, in_words, together
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.spans import condition_said
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Rig

_SAID = ("--at", "--place", "--paid", "--note")
_AHEAD = ("--at", "--every", "--note", "--place")


def aside(argv: list[str], db: str | None) -> int:
    """A container is not usable for now, or usable again."""
    args = parse("aside", argv, (*_SAID, "--why", "--container"), ("--back",))
    words = [*args.words, *args.values("--container")[-1:]]
    usage_if(not words, "aside", "say which container")
    usage_if(args.flag("--back") and bool(args.value("--why")), "aside", "--why and --back exclude each other")
    return _in_words(m.BACK if args.flag("--back") else m.ASIDE, words, args, argv, db)


def people(argv: list[str], db: str | None) -> int:
    """Who is aboard."""
    args = parse("people", argv, (*_SAID, "--pets", "--until"))
    usage_if(not args.words, "people", "say how many")
    if len(args.words) == 1 and args.words[0].isdecimal():
        told = together(Typed(m.PEOPLE, amount=args.words[0]), given(args), m.PEOPLE)
        return keep(db, lambda rig, now: told, [m.PEOPLE, *argv])
    return _in_words(m.PEOPLE, args.words, args, argv, db)


def condition(argv: list[str], db: str | None) -> int:
    """Heater, hot, cold, away, saving, or a word of one's own: on, until, off."""
    args = parse("condition", argv, (*_SAID, "--until"), ("--off",))
    usage_if(not args.words, "condition", "say which one")
    usage_if(args.flag("--off") and args.flag("--until"), "condition", "--off and --until exclude each other")
    told = together(condition_said(" ".join(args.words), ""), given(args), m.CONDITION)
    usage_if(told.down_to == m.OFF and bool(told.until), "condition", "say off or until when, not both")
    return keep(db, lambda rig, now: told, [m.CONDITION, *argv])


def limit(argv: list[str], db: str | None) -> int:
    """A date that ends the stay: food, move, dump at least every 5 days."""
    args = parse("limit", argv, _AHEAD, ("--list", "--drop"))
    if args.flag("--list"):
        return _list(db, m.LIMIT, "Nothing limits the stay.")
    usage_if(not args.words, "limit", "say which one: food, stay, move")
    return _ahead(m.LIMIT, Typed(m.LIMIT, word=" ".join(args.words)), args, argv, db)


def note(argv: list[str], db: str | None) -> int:
    """Words to keep."""
    args = parse("note", argv, ("--at", "--place", "--paid"))
    usage_if(not args.words, "note", "say the words")
    told = together(Typed(m.NOTE, word=" ".join(args.words)), given(args), m.NOTE)
    return keep(db, lambda rig, now: told, [m.NOTE, *argv])


def planned(argv: list[str], db: str | None) -> int:
    """A dump or a fill ahead, what is planned, or the end of a plan."""
    args = parse("planned", argv, _AHEAD, ("--list", "--drop"))
    if args.flag("--list"):
        return _list(db, m.PLANNED, "Nothing is planned.")
    usage_if(not args.words, "planned", "say dump or fill, and of which supply")
    told = Typed(m.PLANNED, " ".join(args.words[1:]), word=args.words[0].lower())
    return _ahead(m.PLANNED, told, args, argv, db)


def _ahead(kind: str, told: Typed, args: Args, argv: list[str], db: str | None) -> int:
    """What lies ahead: its date as an option, else in the words."""
    if any(args.flag(option) for option in ("--at", "--every", "--drop")):
        dated = together(told, given(args), kind)
        return keep(db, lambda rig, now: dated, [kind, *argv])
    return _in_words(kind, args.words, args, argv, db)


def _in_words(verb: str, words: list[str], args: Args, argv: list[str], db: str | None) -> int:
    """The words after that verb, as the app's line understands them, with what the options say."""

    def said(rig: Rig, now: Moment) -> Typed:
        return together(in_words([verb, *words], rig, now), given(args), verb)

    return keep(db, said, [m.ASIDE if verb == m.BACK else verb, *argv])


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
