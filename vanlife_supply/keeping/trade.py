"""log.csv in and out of the logbook: all or nothing, one undoable act, the same file twice changes nothing."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import partial

from vanlife_supply.entry import csvform
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.room import doubts
from vanlife_supply.keeping.acts import record
from vanlife_supply.logbook import Logbook, rig_of
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal

_ID = csvform.COLUMNS.index("id")


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What an import did, or with `check` would do. `notes`: what was assumed, what is odd, a line each."""

    added: int
    skipped: int
    notes: tuple[str, ...]


def take_in(book: Logbook, data: bytes, now: Moment, *, check: bool = False) -> TakenIn:
    """Import the bytes of a log.csv. Refusal with line and column of the first faults, and then nothing is kept."""
    text, how = csvform.decode(data)
    parsed = csvform.read(text, book.rig(), partial(rig_of, book.arrangements()))
    fresh, lines, clashes = _new_rows(book, parsed)
    faults = parsed.faults + clashes
    if faults:
        shown = faults[: csvform.MOST_FAULTS]
        more = f"\n… and {len(faults) - len(shown)} more" if len(faults) > len(shown) else ""
        count = "one fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise Refusal(f"Nothing was imported, the file has {count}:\n" + "\n".join(shown) + more)
    fresh = _doubted(book, fresh)
    if fresh and not check:
        record(book, fresh, now)
    asked = [(line, e.questioned) for e, line in zip(fresh, lines, strict=True) if e.questioned]
    odd = [f"line {line}: kept and questioned: {why}" for line, why in asked]
    notes = ([how] if how else []) + parsed.notes + odd
    return TakenIn(len(fresh), len(parsed.entries) - len(fresh), tuple(notes))


def _new_rows(book: Logbook, parsed: csvform.Parsed) -> tuple[list[Entry], list[int], list[str]]:
    """Rows the log lacks, their lines, and faults: an id that stands for something else already."""
    currency = book.rig().currency
    known: dict[str, set[tuple[str, ...]]] = {}
    counted: Counter[tuple[str, ...]] = Counter()
    for entry, _ in book.history():
        content = _content(entry, currency)
        known.setdefault(entry.id, set()).add(content)
        counted[content] += 1
    fresh, lines, clashes = [], [], []
    for entry, line in zip(parsed.entries, parsed.lines, strict=True):
        content = _content(entry, currency)
        if entry.id:
            if entry.id not in known:
                known[entry.id] = {content}
                fresh.append(entry)
                lines.append(line)
            elif content not in known[entry.id]:
                clashes.append(f"line {line}, column id: '{entry.id}' stands for another entry already")
        elif counted[content] > 0:
            counted[content] -= 1
        else:
            fresh.append(entry)
            lines.append(line)
    return fresh, lines, clashes


def _content(entry: Entry, currency: str) -> tuple[str, ...]:
    cells = csvform.cells_of(entry, currency)
    return (*cells[:_ID], *cells[_ID + 1 :])


def _doubted(book: Logbook, fresh: list[Entry]) -> list[Entry]:
    """The new rows, those questioned that fill in or dump more than there can have been, or ran out too soon."""
    if not any(e.kind in (m.RAN_OUT, m.NEXT) or (e.kind in (m.FILL, m.DUMP) and e.amount is not None) for e in fresh):
        return fresh
    places = {id(e): i for i, e in enumerate(fresh)}
    whole = sorted([*book.entries(), *fresh], key=m.order)
    result = list(fresh)
    for entry, why in zip(whole, doubts(whole, book.arrangements()), strict=True):
        if why and id(entry) in places:
            result[places[id(entry)]] = replace(entry, questioned=why)
    return result


def give_out(book: Logbook, *, guard: bool = False) -> str:
    """The entries in force as the text of a log.csv; plans are wishes and stay at home."""
    entries = [e for e in book.entries() if e.kind != m.PLANNED]
    entries.sort(key=lambda e: (e.at.epoch, e.id))
    return csvform.write(entries, book.rig().currency, guard=guard)
