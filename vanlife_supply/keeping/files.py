"""The log as a file: backup, restore, check, merge. None of them loses a line."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from vanlife_supply.entry.model import Entry
from vanlife_supply.keeping.acts import record
from vanlife_supply.keeping.asking import SAME_FILL, same_fill
from vanlife_supply.keeping.rigs import fits
from vanlife_supply.logbook import Logbook, copy_log
from vanlife_supply.logbook.gate import refuse_foreign
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import CANNOT_WRITE, NOT_OURS, Refusal

_COMPANIONS = ("", "-wal", "-shm", "-journal")


@dataclass(frozen=True, slots=True)
class Restored:
    """`source` now stands in the place of the log; what was there is kept as `aside` (None: there was nothing)."""

    source: Path
    entries: int
    aside: Path | None


@dataclass(frozen=True, slots=True)
class Merged:
    """How many entries were taken over, and what should be looked at."""

    added: int
    notes: tuple[str, ...]


def backup(book: Logbook, target: Path | None, now: Moment) -> Path:
    """A verified copy as `target`, else beside the log with the time in its name → where it is."""
    path = target or _free(book.path.with_name(f"{book.path.stem}-backup-{_stamp(now)}{book.path.suffix or '.db'}"))
    book.backup(path)
    return path


def restore(path: Path, source: Path | None, now: Moment) -> Restored:
    """Put a sound backup in the place of the log at `path`, which is kept aside; Refusal for another's database."""
    source = source or _newest_backup(path)
    if source.absolute() == path.absolute():
        raise Refusal(f"{source} is the log itself: name a backup of it.")
    refuse_foreign(path)
    with tempfile.TemporaryDirectory(dir=_folder(path), prefix=".restore-") as folder:
        fresh = Path(folder) / path.name
        copy_log(source, fresh)
        with Logbook.open(fresh, create=False) as book:
            faults, count = book.check(), len(book.entries())
            book.seal()
        if faults:
            raise Refusal(f"{source} is damaged itself ({faults[0]}): take another backup.", NOT_OURS)
        aside = _moved_aside(path, now)
        fresh.replace(path)
    return Restored(source, count, aside)


def check(book: Logbook) -> list[str]:
    """What is wrong with the log, a line each: the file, its references, its rigs, entries that name what no rig has."""
    found = book.check()
    if found:
        return found
    try:
        loaded = book.arrangements()
    except Refusal as fault:
        return [f"rig: {fault}"]
    return [] if not loaded else fits(book.entries(), loaded)


def merge(book: Logbook, other: Path, now: Moment) -> Merged:
    """Take over acts, entries and rigs that only the other log has; fills noted on both are asked about."""
    if other.absolute() == book.path.absolute():
        raise Refusal(f"{other} is this log itself: name the other one.")
    before = {e.id for e in book.entries()}
    with tempfile.TemporaryDirectory(prefix="vanlife-supply-merge-") as folder:
        copy = Path(folder) / "other.db"
        copy_log(other, copy)
        with Logbook.open(copy, create=False) as theirs:
            added = book.absorb(theirs, lambda: _refuse_misfits(book))
    twins = _twins(book, before)
    if twins:
        record(book, [replace(e, id="", replaces=e.id, recorded=now.epoch, questioned=SAME_FILL) for e in twins], now)
    asked = [f"{len(twins)} fills look like ones noted here too: 'entries --questioned' lists them."] if twins else []
    return Merged(added, tuple(asked))


def _refuse_misfits(book: Logbook) -> None:
    """Both logs together must fit the rig that stands after the merge: the one loaded last."""
    loaded = book.arrangements()
    lacking = fits(book.entries(), loaded) if loaded else []
    if lacking:
        raise Refusal(f"Nothing was taken over: {lacking[0]}; load one rig that has all containers of both, then merge.")


def _twins(book: Logbook, before: set[str]) -> list[Entry]:
    """Fills that came with the other log and may be ones this log has already."""
    entries = book.entries()
    mine = [e for e in entries if e.id in before]
    return [
        e for e in entries
        if e.id not in before and not e.settled and not e.questioned
        and any(same_fill(e, other, book.rig(e.at.epoch)) for other in mine)
    ]  # fmt: skip


def _stamp(now: Moment) -> str:
    return f"{now.local():%Y%m%d-%H%M%S}"


def _free(path: Path) -> Path:
    tried, count = path, 1
    while tried.exists():
        count += 1
        tried = path.with_name(f"{path.stem}-{count}{path.suffix}")
    return tried


def _newest_backup(path: Path) -> Path:
    found = list(path.absolute().parent.glob(f"{path.stem}-backup-*{path.suffix or '.db'}"))
    if not found:
        raise Refusal(f"There is no backup beside {path}: name one after restore.")
    return max(found, key=lambda p: (p.stat().st_mtime, p.name))


def _folder(path: Path) -> Path:
    folder = path.absolute().parent
    if not folder.is_dir():
        raise Refusal(f"The folder {folder} does not exist: make it, or name another file.", CANNOT_WRITE)
    return folder


def _moved_aside(path: Path, now: Moment) -> Path | None:
    aside = _free(path.with_name(f"{path.stem}-before-restore-{_stamp(now)}{path.suffix}"))
    moved = False
    for tail in _COMPANIONS:
        part = path.with_name(path.name + tail)
        if part.exists():
            part.replace(aside.with_name(aside.name + tail))
            moved = True
    return aside if moved else None
