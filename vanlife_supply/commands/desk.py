"""What most commands begin and end with: the open log, what was typed, and how an entry is confirmed."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.prices import paid_before
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import CANNOT_WRITE, Refusal
from vanlife_supply.rig.model import Rig

PRICES_S = 2 * 365.25 * 86_400.0
"""What was paid longer ago than this says nothing of prices now: common practice, no source."""
COMMON = ("--at", "--container", "--place", "--paid", "--note")


def place_of(db: str | None) -> Path:
    """The file of the log: as named, else in the platform's user data folder."""
    if db:
        return Path(db)
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return base / "vanlife-supply" / "log.db"


def open_log(db: str | None, *, create: bool = False) -> Logbook:
    """The log named, or the user's own; only with `create` is a missing one made."""
    path = place_of(db)
    if create and not db:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise Refusal(f"{path.parent} cannot be made ({fault.strerror}): name a file with --db.", CANNOT_WRITE) from None
    return Logbook.open(path, create=create)


def keep(db: str | None, said: Callable[[Rig, Moment], Typed], words: list[str]) -> int:
    """Check, keep and confirm the one entry that `words` say, as `said` reads them for the rig of now."""
    with open_log(db) as book:
        now = keeping.now_of(book)
        entry = keeping.noted(book, replace(said(book.rig(), now), typed=as_typed(words)), now)
        if entry.questioned and sys.stdin.isatty() and sys.stderr.isatty():
            entry = _asked(entry)
        lately = book.entries(until=now.epoch, since=now.epoch - PRICES_S) if entry.place and entry.paid is None else ()
        before = paid_before(entry, lately)
        behind = keeping.is_behind(book, now)
        confirm(book, keeping.record(book, [entry], now)[0], now)
        if before:
            from vanlife_supply.wording.entries import paid_words

            narrate(f"{paid_words(before, book.rig(), now)}: mend the entry with --paid if it cost something now.")
    if behind:
        from vanlife_supply.wording.times import CLOCK_BEHIND

        narrate(CLOCK_BEHIND)
    return 0


def as_typed(words: list[str]) -> str:
    """The words of the command line, one line of printable text."""
    plain = " ".join(" ".join(words).split())
    return "".join(ch for ch in plain if ch.isprintable())[:500]


def confirm(book: Logbook, entry: Entry, now: Moment) -> None:
    """One line of what was noted; what is odd and what to mind beside it."""
    from vanlife_supply.wording.cautions import caution
    from vanlife_supply.wording.entries import noted

    rig = book.rig(entry.at.epoch)
    print(noted(replace(entry, questioned=""), rig, now))
    if entry.questioned:
        answers = "real, or mistake" if entry.amount is None else "real, mistake, or the amount"
        narrate(f"It is odd: {entry.questioned}. It is kept and questioned; answer with: settle {entry.id[-6:]} {answers}.")
    mind = caution(entry, rig, keeping.laden(book, entry), strange_tap=keeping.strange(book, entry))
    if mind:
        narrate(mind)


def narrate(text: str) -> None:
    """Everything that is not data."""
    print(text, file=sys.stderr)


def _asked(entry: Entry) -> Entry:
    print(f"That is {entry.questioned}. Is it right? [y/n] ", end="", file=sys.stderr, flush=True)
    if sys.stdin.readline().strip().lower() in ("y", "yes"):
        return replace(entry, questioned="", settled="real")
    raise Refusal("Nothing was noted: type it again as it was.")
