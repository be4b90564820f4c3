"""The door: no word opens the app, a word runs its command."""

from __future__ import annotations

import os
import sys
from importlib import import_module

from vanlife_supply.refusal import CANNOT_WRITE, INTERRUPTED, REFUSED, USAGE, Refusal

COMMANDS: dict[str, str] = {
    # word: the function in vanlife_supply.commands
    **{w: f"noting:{w.replace('-', '_')}" for w in (
        "fill", "use", "reading", "dump", "next", "ran-out", "exchange", "pour", "spill",
    )},
    **{w: f"spans:{w}" for w in ("aside", "people", "condition", "limit", "note", "planned")},
    **{w: f"correcting:{w}" for w in ("undo", "mend", "void", "settle")},
    "entries": "listing:entries",
    "days": "answer:days",
    "demo": "answer:demo",  # on a terminal it is the app
    "rig": "rigs:rig",
    "import": "csvfiles:take_in",
    "export": "csvfiles:give_out",
    **{w: f"files:{w}" for w in ("backup", "restore", "check", "merge")},
    **{w: f"deciding:{w.replace('-', '_')}" for w in ("last", "can-i", "whatif", "stay", "drinking", "look")},
    **{w: f"hindsight:{w}" for w in ("hindsight", "why", "learned")},
    "weather": "weather:weather",
    "trip": "trip:trip",
    "plan": "plan:run",
    "place": "place:place",
    "next-stop": "stop:next_stop",
    "town": "stop:town_list",
}  # fmt: skip
"""Only the module of the command asked for is imported."""
NO_MOUSE = "--no-mouse"
"""Leaves the mouse to the terminal, for marking and copying."""


def main(argv: list[str] | None = None) -> int:
    """Run one command → its exit status. Whatever goes wrong ends in a sentence, never in a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        status = run(sys.argv[1:] if argv is None else argv)
        sys.stdout.flush()
        return status
    except Refusal as refusal:
        _say(str(refusal))
        return refusal.status
    except KeyboardInterrupt:
        _say("")
        return INTERRUPTED
    except BrokenPipeError:
        _stop_writing()
        return 0
    except OSError as fault:
        _stop_writing()
        _say(f"{fault.filename or 'The output'} cannot be read or written: {fault.strerror or fault}.")
        return CANNOT_WRITE
    except Exception as fault:
        _say(_reported(fault))
        return REFUSED


def run(argv: list[str]) -> int:
    """Dispatch the words after the program's name."""
    words, db = _database(argv)
    if not words:
        return _no_word(db)
    if words == [NO_MOUSE]:
        return _no_word(db, mouse=False)
    word, rest = words[0], words[1:]
    if word in ("-h", "--help", "help"):
        from vanlife_supply.commands.usage import overview

        print(overview(), end="")
        return 0
    if word == "--version":
        from importlib.metadata import version

        print(version("vanlife_supply"))
        return 0
    if word not in COMMANDS:
        from vanlife_supply.commands.noting import say

        return say(words, db, list(COMMANDS))
    if rest and (rest[0] == "-h" or "--help" in rest[: rest.index("--") if "--" in rest else None]):
        from vanlife_supply.commands.usage import usage

        print(usage(word))
        return 0
    if word == "demo":
        return _demo(rest)
    module, _, function = COMMANDS[word].partition(":")
    status = getattr(import_module(f"vanlife_supply.commands.{module}"), function)(rest, db)
    return int(status)


def _database(argv: list[str]) -> tuple[list[str], str | None]:
    """`--db FILE` in front of the command, else $VANLIFE_SUPPLY_DB, else None (the platform's own place)."""
    db = os.environ.get("VANLIFE_SUPPLY_DB") or None
    rest = list(argv)
    while rest and (rest[0] == "--db" or rest[0].startswith("--db=")):
        first = rest.pop(0)
        if first != "--db":
            db = first.removeprefix("--db=")
        elif rest:
            db = rest.pop(0)
        else:
            raise Refusal("--db needs the name of a file.", USAGE)
    return rest, db


def _no_word(db: str | None, *, mouse: bool = True) -> int:
    from vanlife_supply.commands import answer

    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return answer.days([], db)
    from vanlife_supply.tui.app import run as open_app

    path, now = answer.clock(db)
    return open_app(str(path), now, mouse=mouse)


def _demo(argv: list[str]) -> int:
    from vanlife_supply.commands import answer

    with answer.demo([word for word in argv if word != NO_MOUSE]) as copy:
        return _no_word(copy, mouse=NO_MOUSE not in argv)


def _say(text: str) -> None:
    try:
        print(text, file=sys.stderr, flush=True)
    except OSError:
        return


def _stop_writing() -> None:
    """Nobody reads any more: what is still buffered goes nowhere, quietly."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, sys.stdout.fileno())
    except (OSError, ValueError):
        return


def _reported(fault: Exception) -> str:
    import tempfile
    import traceback

    try:
        with tempfile.NamedTemporaryFile("w", prefix="vanlife-supply-", suffix=".txt", delete=False) as file:
            traceback.print_exception(fault, file=file)
        where = f"a report is in {file.name}"
    except OSError:
        where = "and no report could be written"
    return f"Something in the program went wrong ({type(fault).__name__}); the log is as it was before, {where}."


if __name__ == "__main__":
    sys.exit(main())
