"""log.csv: rows → entries with every fault named, entries → rows. Text in, values out."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import ParamSpec, TypeVar

from vanlife_supply.entry import model as m
from vanlife_supply.entry.fitting import doubt
from vanlife_supply.entry.model import Entry
from vanlife_supply.moment import Moment, every_days, read_iso, zone_named
from vanlife_supply.quantity import GROSS, PERCENT, Amount, money_text, number, parse_amount, parse_money, unit_named
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import Rig, called, supply_named

P = ParamSpec("P")
T = TypeVar("T")

FIRST_COLUMNS = ("time", "kind", "supply", "amount", "unit", "to", "method", "paid", "place", "note", "id")
MORE_COLUMNS = ("container", "into", "until", "word", "pets", "zone", "by", "typed")
COLUMNS = FIRST_COLUMNS + MORE_COLUMNS
GUARDED = "# text cells that a spreadsheet would run begin with an added '"
"""The first line of a file whose text cells are guarded."""

_RISKY = ("=", "+", "-", "@", "'", "\t", "\r")
_PLAIN = ("time", "kind", "amount", "paid", "until")
"""Columns no guard is needed for: their form is fixed."""
_NEEDS_AMOUNT = (m.USE, m.READING, m.SPILL, m.PEOPLE)
_NO_AMOUNT = (m.NEXT, m.RAN_OUT, m.ASIDE, m.CONDITION, m.LIMIT, m.NOTE)
_LONGEST = 2000
MEASURED_OVER = 1.05
"""How far a measured full one may come out above its brim: common practice, no source."""
_QUOTED = re.compile('[,"\r\n]')
_UNKEEPABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
MOST_FAULTS = 20


class CellFault(Exception):
    """What is wrong with one cell."""

    def __init__(self, column: str, why: str) -> None:
        super().__init__(why)
        self.column = column


@dataclass(slots=True)
class Parsed:
    """What a log.csv says. `lines[i]` is the line `entries[i]` began on; `faults` are whole sentences."""

    entries: list[Entry] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def decode(data: bytes) -> tuple[str, str]:
    """The bytes of a csv file → its text, and what should be said about how it was read ("" if nothing)."""
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        pass
    try:
        return data.decode("cp1252"), "the file is not UTF-8; it was read as Windows-1252: check accents and signs"
    except UnicodeDecodeError:
        raise Refusal("The file is not text in UTF-8: save it as CSV (UTF-8).") from None


def read(text: str, rig: Rig, rig_at: Callable[[float], Rig]) -> Parsed:
    """The text of a log.csv → Parsed. `rig` gives the zone of naive times, `rig_at` the rig of an epoch."""
    parsed = Parsed()
    first, _, rest = text.partition("\n")
    guarded = first.strip().strip('"').startswith(GUARDED)
    rows = csv.reader(io.StringIO(rest if guarded else text, newline=""), strict=True)
    line = skipped = 1 if guarded else 0
    header: list[str] | None = None
    try:
        for row in rows:
            start, line = line + 1, rows.line_num + skipped
            if not any(row):
                continue
            if header is None:
                header = _header(row, start)
                continue
            _take(parsed, row, header, start, guarded, rig, rig_at)
    except csv.Error as fault:
        parsed.faults.append(f"line {line + 1}: the quotes or line ends are not CSV ({fault})")
    if header is None and not parsed.faults:
        raise Refusal(f"The file is empty: its first line must be {','.join(FIRST_COLUMNS)}.")
    return parsed


def _header(row: list[str], line: int) -> list[str]:
    names = [name.strip().lower() for name in row]
    while names and not names[-1]:
        names.pop()
    if tuple(names[: len(FIRST_COLUMNS)]) != FIRST_COLUMNS:
        hint = " (the columns stand apart with ';': save with commas)" if len(row) == 1 and ";" in row[0] else ""
        raise Refusal(f"Line {line} must name the columns {','.join(FIRST_COLUMNS)} in this order{hint}.")
    for i, name in enumerate(names):
        if name not in COLUMNS:
            raise Refusal(f"Line {line}: '{name}' is not a column{nearest(name, list(COLUMNS))}.")
        if name in names[:i]:
            raise Refusal(f"Line {line}: the column '{name}' is there twice.")
    return names


def _take(
    parsed: Parsed, row: list[str], header: list[str], line: int, guarded: bool, rig: Rig, rig_at: Callable[[float], Rig]
) -> None:
    if len(row) < len(header) or any(cell.strip() for cell in row[len(header) :]):
        parsed.faults.append(f"line {line}: it has {len(row)} columns, the first line has {len(header)}")
        return
    cells = dict(zip(header, row, strict=False))
    if guarded:
        cells = {name: cell[1:] if cell.startswith("'") and name not in _PLAIN else cell for name, cell in cells.items()}
    try:
        entry, note = entry_of(cells, rig, rig_at)
    except CellFault as fault:
        parsed.faults.append(f"line {line}, column {fault.column}: {fault}")
        return
    if note:
        parsed.notes.append(f"line {line}: {note}")
    parsed.entries.append(entry)
    parsed.lines.append(line)


def entry_of(cells: dict[str, str], rig: Rig, rig_at: Callable[[float], Rig]) -> tuple[Entry, str]:
    """The cells of one row → its entry, and what was assumed of its time. CellFault for what is malformed."""
    texts = dict.fromkeys(COLUMNS, "")
    texts.update((name, _text(name, cell)) for name, cell in cells.items() if cell)
    _switch_off_in_word(texts)
    at, slack_h, note = _time(texts, rig, "zone" in cells)
    kind = texts["kind"].strip().lower()
    if kind not in m.LOG_KINDS:
        raise CellFault("kind", f"'{texts['kind']}' is not something to note{nearest(kind, list(m.LOG_KINDS))}")
    then = rig_at(at.epoch)
    supply = _supply(kind, texts, then)
    amount, unit = _amount(kind, texts, supply, then)
    entry = Entry(
        texts["id"].strip(), kind, at, supply, amount, unit,
        to=_to(kind, texts, supply, then), method=_method(texts),
        container=_container("container", texts, supply, then), into=_container("into", texts, supply, then),
        until=_until(kind, texts, at, rig), word=_word(kind, texts), pets=texts["pets"],
        paid=_paid(texts, then), place=texts["place"], note=texts["note"], by=texts["by"], typed=texts["typed"],
        slack_h=slack_h, recorded=at.epoch,
    )  # fmt: skip
    _refuse_lacking(entry)
    odd = implausible(entry, then)
    return (replace(entry, questioned=odd) if odd else entry), note


def _switch_off_in_word(texts: dict[str, str]) -> None:
    """A condition whose word is `off` or ends so is switched off: all of them, or the one named."""
    name, _, last = f" {texts['word'].strip()}".rpartition(" ")
    if texts["kind"].strip().lower() == m.CONDITION and last.lower() == m.OFF:
        texts["word"], texts["to"] = name.strip() or m.ALL, m.OFF


def implausible(entry: Entry, rig: Rig) -> str:
    """Why a well-formed row may still be a mistake, "" if nothing speaks against it.

    A meter or a scale may say a little more than the brim of what is just full.
    """
    if not entry.supply or entry.said is None:
        return ""
    measured = entry.to == m.FULL or entry.method == "scale" or entry.unit in GROSS
    amount = Amount(entry.said.value / (MEASURED_OVER if measured else 1.0), entry.unit)
    try:
        return doubt(amount, replace(entry, container=entry.into) if entry.kind == m.POUR else entry, rig)
    except Refusal:
        return "more than fits" if entry.unit not in GROSS else "not a weight it can have"


def _text(column: str, cell: str) -> str:
    if len(cell) > _LONGEST:
        raise CellFault(column, f"it is over {_LONGEST} characters long")
    if _UNKEEPABLE.search(cell):
        raise CellFault(column, "it has a character that cannot be kept")
    return cell


def _time(texts: dict[str, str], rig: Rig, zone_given: bool) -> tuple[Moment, float, str]:
    """When it happened, ± hours, and what was assumed."""
    text, named = texts["time"].strip(), texts["zone"].strip()
    if named:
        _refused("zone", zone_named, named)
    dated = len(text) == 10 and text.count("-") == 2
    when = _refused("time", read_iso, f"{text}T12:00" if dated else text, named or rig.zone)
    kept = when.moment
    if zone_given and not named and _has_offset(text):
        kept = Moment(kept.epoch, kept.offset, "")
    return kept, 12.0 if dated else when.slack_h, when.note


def _has_offset(text: str) -> bool:
    clock = text[10:].upper()
    return clock.endswith("Z") or "+" in clock or "-" in clock


def _supply(kind: str, texts: dict[str, str], rig: Rig) -> str:
    word = texts["supply"].strip()
    if kind not in m.SUPPLY_KINDS:
        if word:
            raise CellFault("supply", f"a row of kind {kind} has no supply: leave it blank")
        return ""
    if not word and kind == m.ASIDE:
        found = called(rig.containers, texts["container"])
        if found is not None:
            return found.supply
    if not word:
        raise CellFault("supply", f"{kind} needs a supply")
    name = _refused("supply", supply_named, word, tuple(s.name for s in rig.supplies))
    _refused("supply", rig.supply, name)
    return name


def _amount(kind: str, texts: dict[str, str], supply: str, rig: Rig) -> tuple[float | None, str]:
    text, unit = texts["amount"].strip(), texts["unit"].strip()
    if not text:
        if kind in _NEEDS_AMOUNT:
            raise CellFault("amount", f"{kind} needs an amount")
        return None, ""
    if kind in _NO_AMOUNT:
        raise CellFault("amount", f"{kind} takes no amount: leave it blank")
    value = _refused("amount", number, text)
    if value > 1e6:
        raise CellFault("amount", f"{text} is not an amount a vehicle carries")
    if kind == m.PEOPLE:
        if value > 99:
            raise CellFault("amount", f"{text} is not a number of people")
        return value, ""
    named = (unit_named(unit) or unit) if unit else rig.supply(supply).unit
    if named == "gross":
        named = f"{rig.scale} gross"
    if named in GROSS:
        if not any(c.tare for c in rig.of(supply)):
            raise CellFault("unit", f"no container of {rig.say(supply)} has its empty weight (tare) in rig.toml")
    elif named != PERCENT:
        _refused("unit", rig.canonical, Amount(value, named), supply)
    return value, named


def _to(kind: str, texts: dict[str, str], supply: str, rig: Rig) -> str:
    text = " ".join(texts["to"].split())
    word = text.lower()
    allowed = {m.FILL: m.FULL, m.DUMP: m.EMPTY, m.CONDITION: m.OFF, m.LIMIT: m.DROP}.get(kind)
    if not word or word == allowed:
        return word
    if kind == m.LIMIT and word.startswith("every "):
        _refused("to", every_days, word)
        return word
    if kind not in (m.FILL, m.DUMP):
        raise CellFault("to", f"'{text}' does not go with {kind}: leave it blank")
    amount = _refused("to", parse_amount, text)
    if not amount.unit:
        return f"{text} {rig.supply(supply).unit}"
    if amount.unit != PERCENT:
        _refused("to", rig.canonical, amount, supply)
    return text


def _method(texts: dict[str, str]) -> str:
    word = texts["method"].strip().lower()
    if word and word not in m.METHODS:
        raise CellFault("method", f"'{word}' is not known{nearest(word, list(m.METHODS))}: {', '.join(m.METHODS)}")
    return word


def _container(column: str, texts: dict[str, str], supply: str, rig: Rig) -> str:
    name = texts[column].strip()
    if not name:
        return ""
    if not supply:
        raise CellFault(column, "there is no supply to go with it")
    return _refused(column, rig.container, supply, name).label


def _until(kind: str, texts: dict[str, str], at: Moment, rig: Rig) -> Moment | None:
    text = texts["until"].strip()
    dropped = kind == m.LIMIT and texts["to"].strip().lower() == m.DROP
    if not text:
        return at if kind == m.LIMIT and not dropped else None
    if kind not in (m.PEOPLE, m.CONDITION, m.LIMIT):
        raise CellFault("until", f"{kind} has no end: leave it blank")
    end = _refused("until", read_iso, text, at.zone or rig.zone).moment
    if kind != m.LIMIT and end.epoch <= at.epoch:
        raise CellFault("until", "it ends before it begins")
    return end


def _word(kind: str, texts: dict[str, str]) -> str:
    word = texts["word"]
    if kind in (m.CONDITION, m.LIMIT) and not word.strip():
        raise CellFault("word", f"{kind} needs its word")
    if kind == m.RAN_OUT and word not in ("", m.COLD):
        raise CellFault("word", f"'{word}' does not go with ran-out: cold, or blank")
    return word


def _paid(texts: dict[str, str], rig: Rig) -> int | None:
    text = texts["paid"].strip()
    return _refused("paid", parse_money, text, rig.currency) if text else None


def _refuse_lacking(entry: Entry) -> None:
    if entry.kind == m.POUR and not (entry.container and entry.into):
        raise CellFault("container" if not entry.container else "into", "pour needs both container and into")
    if entry.kind == m.ASIDE and not entry.container:
        raise CellFault("container", "aside needs a container")
    if entry.kind == m.NOTE and not entry.note.strip():
        raise CellFault("note", "a note needs its words")


def _refused(column: str, check: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    try:
        return check(*args, **kwargs)
    except Refusal as fault:
        raise CellFault(column, str(fault).rstrip(".")) from None


def write(entries: Iterable[Entry], currency: str, *, guard: bool = False) -> str:
    """Entries → the text of a log.csv with all columns; `guard`: safe to open in a spreadsheet."""
    lines = [GUARDED] if guard else []
    lines.append(",".join(COLUMNS))
    lines += [",".join(_quoted(c) for c in _guarded(cells_of(entry, currency), guard)) for entry in entries]
    return "\n".join(lines) + "\n"


def cells_of(entry: Entry, currency: str) -> list[str]:
    """The cells of an entry in the order of COLUMNS."""
    return [
        entry.at.iso(), entry.kind, entry.supply, _decimal(entry.amount), entry.unit, entry.to, entry.method,
        "" if entry.paid is None else money_text(entry.paid, currency), entry.place, entry.note, entry.id,
        entry.container, entry.into, entry.until.iso() if entry.until else "", entry.word, entry.pets,
        entry.at.zone, entry.by, entry.typed,
    ]  # fmt: skip


def _guarded(cells: Sequence[str], guard: bool) -> Sequence[str]:
    if not guard:
        return cells
    return [
        f"'{cell}" if cell.startswith(_RISKY) and name not in _PLAIN else cell
        for name, cell in zip(COLUMNS, cells, strict=True)
    ]


def _quoted(cell: str) -> str:
    if _QUOTED.search(cell) or cell != cell.strip():
        return '"' + cell.replace('"', '""') + '"'
    return cell


def _decimal(value: float | None) -> str:
    """The shortest decimal that reads back as the same number, without an exponent."""
    if value is None:
        return ""
    text = repr(value)
    if "e" in text:
        from decimal import Decimal

        text = f"{Decimal(text):f}"
    return text.removesuffix(".0")
