"""log.csv in and out."""

from __future__ import annotations

from vanlife_supply import keeping
from vanlife_supply.commands import whole
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.entry.csvform import FIRST_COLUMNS, GUARDED
from vanlife_supply.keeping import trade
from vanlife_supply.logbook import Logbook
from vanlife_supply.refusal import REFUSED, Refusal

_CARRY_THE_RIG = (
    " A log.csv does not carry the rig: first rig show > rig.toml with the old log, then rig load rig.toml with this one."
)
_MOST_BYTES = 200_000_000


def take_in(argv: list[str], db: str | None) -> int:
    """Import a log.csv: all of it or nothing."""
    args = parse("import", argv, flags=("--check",))
    usage_if(len(args.words) != 1, "import", "name one file, or - for the standard input")
    with _with_rig(db) as book:
        done = trade.take_in(book, _bytes(args.words[0]), keeping.now_of(book), check=args.flag("--check"))
    for note in done.notes:
        narrate(note)
    already = f", {done.skipped} were there already" if done.skipped else ""
    verb = "would be imported" if args.flag("--check") else "imported"
    print(f"{done.added} {'entry' if done.added == 1 else 'entries'} {verb}{already}.")
    return 0


def _with_rig(db: str | None) -> Logbook:
    try:
        book = open_log(db)
        book.rig()
    except Refusal as fault:
        raise Refusal(f"{fault}{_CARRY_THE_RIG if fault.status == REFUSED else ''}", fault.status) from None
    return book


def give_out(argv: list[str], db: str | None) -> int:
    """Export the entries in force."""
    args = parse("export", argv, flags=("--for-spreadsheet",))
    usage_if(len(args.words) != 1, "export", "name one file, or - for the standard output")
    with open_log(db) as book:
        text = trade.give_out(book, guard=args.flag("--for-spreadsheet"))
    if whole.give_out(args.words[0], text.encode("utf-8"), _is_log_csv, "log.csv"):
        count = text.count("\n")
        narrate(f"Written to {args.words[0]} ({count} lines).")
    return 0


def _bytes(name: str) -> bytes:
    data = whole.read_bytes(name, _MOST_BYTES)
    if len(data) > _MOST_BYTES:
        raise Refusal(f"{name} is too large to be a log.csv.")
    return data


def _is_log_csv(head: bytes) -> bool:
    return head.startswith((",".join(FIRST_COLUMNS).encode(), GUARDED.encode()))
