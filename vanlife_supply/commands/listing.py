"""What was noted, for people and for programs."""

from __future__ import annotations

import json
from typing import Any

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.entry.finding import found
from vanlife_supply.entry.model import Entry
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import at, read_when
from vanlife_supply.quantity import money_text


def entries(argv: list[str], db: str | None) -> int:
    """The entries, oldest first, or those the words mean; --json also lists those that were replaced or declared void."""
    args = parse("entries", argv, ("--since",), ("--json", "--questioned"))
    with open_log(db) as book:
        rig = book.rig()
        since = args.value("--since")
        start = read_when(since, keeping.now_of(book), rig.zone).moment.epoch if since else float("-inf")
        told = [(e, standing) for e, standing in book.history() if e.at.epoch >= start]
        if args.flag("--questioned"):
            told = [(e, standing) for e, standing in told if e.questioned and standing]
        if args.words and told:
            fitting = set(found([e for e, _ in told], " ".join(args.words), rig))
            told = [(e, standing) for e, standing in told if e in fitting]
        if args.flag("--json"):
            listed = [as_object(e, rig.currency, rig.zone, not standing) for e, standing in told]
            print(json.dumps(listed, ensure_ascii=False))
        else:
            _print([e for e, standing in told if standing], book, rig.zone)
    return 0


def as_object(entry: Entry, currency: str, zone: str, voided: bool) -> dict[str, Any]:
    """One entry of `entries --json`."""
    return {
        "id": entry.id,
        "time": entry.at.iso(),
        "recorded": at(entry.recorded, zone).iso(),
        "kind": entry.kind,
        "supply": entry.supply,
        "amount": entry.amount,
        "unit": entry.unit,
        "to": entry.to,
        "method": entry.method,
        "container": entry.container,
        "into": entry.into,
        "until": entry.until.iso() if entry.until else None,
        "word": entry.word,
        "pets": entry.pets,
        "paid": None if entry.paid is None else money_text(entry.paid, currency),
        "place": entry.place,
        "note": entry.note,
        "by": entry.by,
        "typed": entry.typed,
        "questioned": entry.questioned or None,
        "replaces": entry.replaces or None,
        "voided": voided,
    }


def _print(told: list[Entry], book: Logbook, zone: str) -> None:
    from vanlife_supply.wording.amounts import money
    from vanlife_supply.wording.entries import entry_line
    from vanlife_supply.wording.names import printable

    for entry in told:
        when = at(entry.at.epoch, zone).local()
        odd = f"   odd: {entry.questioned}" if entry.questioned else ""
        rig = book.rig(entry.at.epoch)
        paid = "" if entry.paid is None else f", paid {money(entry.paid, rig.currency)}"
        line = f"{entry.id[-6:]:<6}  {when:%a %Y-%m-%d %H:%M}  {entry_line(entry, rig)}{paid}{odd}"
        print(printable(line))
    if not told:
        narrate("Nothing is noted there.")
