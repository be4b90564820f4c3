"""Taking back, mending, voiding, settling."""

from __future__ import annotations

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import as_typed, confirm, open_log
from vanlife_supply.commands.spoken import FIELDS, given
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal


def undo(argv: list[str], db: str | None) -> int:
    """Take back the last act and say what it was."""
    from vanlife_supply.wording.undo import told_of_undo

    args = parse("undo", argv, flags=("--again",))
    usage_if(bool(args.words), "undo", "it takes no words")
    with open_log(db) as book:
        now = keeping.now_of(book)
        again = args.flag("--again")
        before = book.rig() if book.arrangements() else None
        entries = keeping.undo(book, now, again=again)
        print(told_of_undo(book, before, entries, now, again=again))
    return 0


def mend(argv: list[str], db: str | None) -> int:
    """An entry as it should have been."""
    args = parse("mend", argv, FIELDS)
    usage_if(not args.words, "mend", "say which entry")
    changes = given(args)
    usage_if(not changes and len(args.words) == 1, "mend", "say what it should have been")
    with open_log(db) as book:
        now = keeping.now_of(book)
        if len(args.words) > 1:
            changes = {**_said(book, args.words[0], " ".join(args.words[1:]), now), **changes}
        confirm(book, keeping.mend(book, args.words[0], {**changes, "typed": as_typed(["mend", *argv])}, now), now)
    return 0


def _said(book: Logbook, ident: str, text: str, now: Moment) -> dict[str, str]:
    """What an amount or a whole phrase (`weighed propane 21.4`) changes."""
    from vanlife_supply.entry.phrase import read_phrase
    from vanlife_supply.entry.spoken import otherwise, phrase_of

    entry = keeping.find(book, ident)
    rig = book.rig(entry.at.epoch)
    try:
        new = read_phrase(text, rig, now)
    except Refusal:
        return {"amount": text, "down_to": ""}
    return otherwise(read_phrase(phrase_of(entry, rig), rig, now), new)


def void(argv: list[str], db: str | None) -> int:
    """An entry counts no more."""
    from vanlife_supply.wording.entries import taken_out

    args = parse("void", argv)
    usage_if(len(args.words) != 1, "void", "say which entry")
    with open_log(db) as book:
        now = keeping.now_of(book)
        old = keeping.void(book, args.words[0], now)
        print(taken_out((old,), book.rig(old.at.epoch), now))
    return 0


def settle(argv: list[str], db: str | None) -> int:
    """The answer about an odd entry: real, mistake, or the amount it should have been."""
    from vanlife_supply.wording.entries import noted, taken_out

    args = parse("settle", argv)
    usage_if(len(args.words) < 2, "settle", "say which entry, then real, mistake or the amount")
    with open_log(db) as book:
        now = keeping.now_of(book)
        old = keeping.find(book, args.words[0])
        new = keeping.settle(book, args.words[0], " ".join(args.words[1:]), now)
        rig = book.rig(old.at.epoch)
        print(noted(new, rig, now) if new else taken_out((old,), rig, now))
    return 0
