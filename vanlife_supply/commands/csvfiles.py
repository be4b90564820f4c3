"""log.csv in and out."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.entry.csvform import FIRST_COLUMNS, GUARDED
from vanlife_supply.keeping import trade
from vanlife_supply.refusal import CANNOT_WRITE, Refusal

_MOST_BYTES = 200_000_000


def take_in(argv: list[str], db: str | None) -> int:
    """Import a log.csv: all of it or nothing."""
    args = parse("import", argv, flags=("--check",))
    usage_if(len(args.words) != 1, "import", "name one file, or - for the standard input")
    with open_log(db) as book:
        book.rig()
        done = trade.take_in(book, _bytes(args.words[0]), keeping.now_of(book), check=args.flag("--check"))
    for note in done.notes:
        narrate(note)
    already = f", {done.skipped} were there already" if done.skipped else ""
    verb = "would be imported" if args.flag("--check") else "imported"
    print(f"{done.added} {'entry' if done.added == 1 else 'entries'} {verb}{already}.")
    return 0


def give_out(argv: list[str], db: str | None) -> int:
    """Export the entries in force."""
    args = parse("export", argv, flags=("--for-spreadsheet",))
    usage_if(len(args.words) != 1, "export", "name one file, or - for the standard output")
    with open_log(db) as book:
        text = trade.give_out(book, guard=args.flag("--for-spreadsheet"))
    data = text.encode("utf-8")
    if args.words[0] == "-":
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        return 0
    _write(Path(args.words[0]), data)
    count = text.count("\n")
    narrate(f"Written to {args.words[0]} ({count} lines).")
    return 0


def _bytes(name: str) -> bytes:
    if name == "-":
        return sys.stdin.buffer.read()
    try:
        if Path(name).stat().st_size > _MOST_BYTES:
            raise Refusal(f"{name} is too large to be a log.csv.")
        return Path(name).read_bytes()
    except FileNotFoundError:
        raise Refusal(f"There is no file {name}: check its name and folder.") from None
    except OSError as fault:
        raise Refusal(f"{name} cannot be read: {fault.strerror}.") from None


def _write(path: Path, data: bytes) -> None:
    """The whole file or none of it; only an earlier log.csv is written over."""
    try:
        if path.exists() and not _is_log_csv(path):
            raise Refusal(f"{path} is there already and is no log.csv: name another file.")
        handle, name = tempfile.mkstemp(dir=path.absolute().parent, prefix=f".{path.name}-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            Path(name).chmod(0o644)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as fault:
        raise Refusal(f"{path} cannot be written: {fault.strerror}.", CANNOT_WRITE) from None


def _is_log_csv(path: Path) -> bool:
    with path.open("rb") as file:
        head = file.read(200).removeprefix(b"\xef\xbb\xbf")
    return not head or head.startswith((",".join(FIRST_COLUMNS).encode(), GUARDED.encode()))
