"""The log as a file: backup, restore, check, merge."""

from __future__ import annotations

from pathlib import Path

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log, place_of
from vanlife_supply.keeping import files, ids
from vanlife_supply.refusal import NOT_OURS


def backup(argv: list[str], db: str | None) -> int:
    """A verified copy."""
    args = parse("backup", argv)
    usage_if(len(args.words) > 1, "backup", "name one file, or none")
    with open_log(db) as book:
        print(files.backup(book, Path(args.words[0]) if args.words else None, keeping.now_of(book)))
    return 0


def restore(argv: list[str], db: str | None) -> int:
    """A backup in the place of the log, which is kept aside."""
    args = parse("restore", argv)
    usage_if(len(args.words) > 1, "restore", "name one backup, or none for the newest")
    done = files.restore(place_of(db), Path(args.words[0]) if args.words else None, ids.now())
    print(f"Restored from {done.source}: {done.entries} entries.")
    if done.aside:
        narrate(f"What was there before is kept as {done.aside}.")
    return 0


def check(argv: list[str], db: str | None) -> int:
    """Is the file sound?"""
    args = parse("check", argv)
    usage_if(bool(args.words), "check", "it takes no words")
    with open_log(db) as book:
        found = files.check(book)
        count = len(book.entries()) if not found else 0
    for line in found:
        print(line)
    if found:
        narrate(f"The log is damaged; bring a backup back with: vanlife-supply --db {place_of(db)} restore")
        return NOT_OURS
    print(f"Sound: {count} entries.")
    return 0


def merge(argv: list[str], db: str | None) -> int:
    """Take over what another log has and this one lacks."""
    args = parse("merge", argv)
    usage_if(len(args.words) != 1, "merge", "name the other log")
    with open_log(db, create=True) as book:
        done = files.merge(book, Path(args.words[0]), keeping.now_of(book))
    print(f"{done.added} {'entry' if done.added == 1 else 'entries'} taken over.")
    for note in done.notes:
        narrate(note)
    return 0
