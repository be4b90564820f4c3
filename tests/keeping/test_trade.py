"""log.csv in and out."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conftest import RIG
from vanlife_supply import keeping
from vanlife_supply.entry import csvform
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.keeping import trade
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, at, read_iso
from vanlife_supply.refusal import Refusal

NOW = read_iso("2026-05-07T19:10", "America/Denver").moment
HEAD = "time,kind,supply,amount,unit,to,method,paid,place,note,id"
FULL_HEAD = f"{HEAD},container,into,until,word,pets,zone,by,typed"


@pytest.fixture
def log(tmp_path: Path) -> Logbook:
    """A log with the usual rig."""
    return fresh(tmp_path)


def fresh(folder: Path, name: str = "log.db") -> Logbook:
    """A log of that name with the usual rig."""
    made = Logbook.open(folder / name)
    keeping.load_rig(made, RIG, NOW)
    return made


def take(log: Logbook, *lines: str, head: str = HEAD) -> trade.TakenIn:
    """Import these rows."""
    return trade.take_in(log, "\n".join([head, *lines, ""]).encode(), NOW)


RISKY = ["=1+1", "'quoted", "-dash", "@at", "+plus", "\ttab", "\rcr", 'say "hi", twice', "two\nlines", " edges ", "a\r\nb"]
HELD = {"fresh": ["jug 1", "jug 2"], "grey": ["sink jug"], "stove_fuel": ["canister 1", "can"], "propane": ["cylinder"]}
texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12) | st.sampled_from(RISKY)
moments = st.builds(
    lambda epoch, zone: at(float(epoch), zone),
    st.integers(1_600_000_000, 1_770_000_000),
    st.sampled_from(["America/Denver", "Europe/Berlin", "Asia/Kathmandu"]),
) | st.builds(Moment, st.integers(1_600_000_000, 1_770_000_000).map(float), st.sampled_from([0, 19_800, -12_600]))
amounts = st.floats(0, 20, allow_nan=False) | st.sampled_from([1e-9, 0.1, 12.0])


@st.composite
def rows(draw: st.DrawFn) -> Entry:
    """Any entry log.csv can carry, as it stands in the log after an import."""
    kind = draw(st.sampled_from(m.LOG_KINDS))
    when = draw(moments)
    said = {name: draw(texts) for name in ("place", "note", "by", "typed")}
    entry = Entry("", kind, when, recorded=when.epoch, **said)  # type: ignore[arg-type]  # fields by name
    if kind in m.SUPPLY_KINDS:
        supply = draw(st.sampled_from(["fresh", "grey", "stove_fuel", "propane"]))
        container = draw(st.sampled_from(HELD[supply]))
        named = kind in (m.POUR, m.ASIDE) or draw(st.booleans())
        entry = replace(entry, supply=supply, container=container if named else "")
        if kind == m.POUR:
            entry = replace(entry, into=HELD[supply][-1])
        if kind in (m.USE, m.READING, m.SPILL) or (kind in (m.FILL, m.DUMP, m.EXCHANGE, m.POUR) and draw(st.booleans())):
            unit = draw(st.sampled_from(["gal", "L", "mL", "imp gal", "qt", "fl_oz", "kg", "g", "lb", "oz", "%"]))
            entry = replace(entry, amount=draw(amounts), unit=unit)
        if kind in (m.FILL, m.DUMP):
            end = m.FULL if kind == m.FILL else m.EMPTY
            entry = replace(entry, to=draw(st.sampled_from(["", end, "1 gal", "95 %"])))
        if kind == m.READING:
            entry = replace(entry, method=draw(st.sampled_from(["", *m.METHODS])))
        if kind in (m.USE, m.ASIDE):
            entry = replace(entry, word=draw(texts))
        if kind == m.RAN_OUT:
            entry = replace(entry, word=draw(st.sampled_from(["", "cold"])))
    later = Moment(when.epoch + 86_400, when.offset, when.zone)
    if kind == m.PEOPLE:
        entry = replace(entry, amount=float(draw(st.integers(0, 9))), pets=draw(texts))
    if kind == m.CONDITION:
        entry = replace(entry, word="heater", to=draw(st.sampled_from(["", "off"])))
    if kind in (m.PEOPLE, m.CONDITION):
        entry = replace(entry, until=draw(st.sampled_from([None, later])))
    if kind == m.LIMIT:
        entry = replace(entry, word="food", until=later, to=draw(st.sampled_from(["", "every 5 days", "every fri"])))
    if kind == m.NOTE:
        entry = replace(entry, note=f"n{entry.note}")
    return replace(entry, paid=draw(st.sampled_from([None, 0, 350, 123_456])))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(entries=st.lists(rows(), max_size=6), guard=st.booleans())
def test_import_of_an_export_is_the_identity(
    tmp_path_factory: pytest.TempPathFactory, entries: list[Entry], guard: bool
) -> None:
    """Every entry in force comes back as it was, and the second export is the first one, byte for byte."""
    folder = tmp_path_factory.mktemp("trade")
    first, second = fresh(folder, "one.db"), fresh(folder, "two.db")
    kept = keeping.record(first, entries, NOW) if entries else ()
    out = trade.give_out(first, guard=guard)
    assert "\r\n" not in out.replace("a\r\nb", "") and not out.startswith("\ufeff")
    done = trade.take_in(second, out.encode(), NOW)
    assert done.added == len(kept)

    def plain(es: tuple[Entry, ...]) -> set[Entry]:
        return {replace(e, questioned="") for e in es}

    assert plain(second.entries()) == plain(kept)
    assert trade.give_out(second, guard=guard) == out
    assert trade.take_in(second, out.encode(), NOW).added == 0


@settings(max_examples=60, deadline=None)
@given(st.lists(texts, min_size=8, max_size=8))
def test_no_cell_of_a_guarded_export_runs(cells: list[str]) -> None:
    """With the guard no text cell begins with a sign a spreadsheet acts on (OWASP, CSV injection, from memory)."""
    place, note, by, typed, word, pets, ident, container = cells
    entry = Entry(ident, "use", Moment(1.0), "fresh", 1.0, "L", container=container, word=word, pets=pets,
                  place=place, note=note, by=by, typed=typed)  # fmt: skip
    out = csvform.write([entry], "USD", guard=True)
    rows = list(csv.reader(io.StringIO(out.split("\n", 1)[1], newline="")))
    assert not [cell for cell in rows[1] if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]


def test_the_same_file_twice_changes_nothing(log: Logbook) -> None:
    """With ids and without: the second import adds nothing and is no act to undo."""
    lines = ("2026-05-01T08:00:00-06:00,use,fresh,1,gal,,,,,,", "2026-05-01T08:00:00-06:00,use,fresh,1,gal,,,,,,",
             "2026-05-02T08:00:00-06:00,use,fresh,1,gal,,,,,,a1")  # fmt: skip
    assert take(log, *lines).added == 3
    last = log.last_act_id()
    done = take(log, *lines)
    assert (done.added, done.skipped, log.last_act_id()) == (0, 3, last)
    assert take(log, *lines, lines[0]).added == 1


def test_one_undo_takes_back_one_import(log: Logbook) -> None:
    """An import is one act; after its undo the same file is taken in anew."""
    lines = [f"2026-05-0{d}T08:00:00-06:00,use,fresh,1,gal,,,,,,i{d}" for d in range(1, 6)]
    take(log, *lines)
    assert len(keeping.undo(log, NOW)) == 5 and log.entries() == ()
    assert take(log, *lines).added == 5 and len(log.entries()) == 5


def test_an_id_stands_for_one_content(log: Logbook) -> None:
    """The same id with another amount is a fault, in the log and within one file; nothing is taken."""
    take(log, "2026-05-01T08:00:00-06:00,use,fresh,1,gal,,,,,,a1")
    row = "2026-05-01T08:00:00-06:00,use,fresh,{},gal,,,,,,{}"
    for lines in ([row.format(2, "a1")], [row.format(2, "b"), row.format(3, "b")]):
        with pytest.raises(Refusal, match="column id"):
            take(log, *lines)
    assert len(log.entries()) == 1


def test_what_was_mended_here_is_not_taken_in_again(log: Logbook) -> None:
    """A row that was mended or voided since stays mended or voided when its file comes again."""
    lines = ("2026-05-01T08:00:00-06:00,use,fresh,1,gal,,,,,,row1", "2026-05-02T08:00:00-06:00,use,fresh,1,gal,,,,,,row2")
    take(log, *lines)
    keeping.mend(log, "row1", {"amount": "2 gal"}, NOW)
    keeping.void(log, "row2", NOW)
    assert take(log, *lines).added == 0
    assert [e.amount for e in log.entries()] == [2.0]


MALFORMED = [
    ("yesterday,use,fresh,1,gal,,,,,,", "time", "not a time"),
    ("03/04/2026 8:30,fill,fresh,7,gal,,,,,,", "time", "not a time"),
    ("2026-03-08T02:30,use,fresh,1,gal,,,,,,", "time", "skipped"),
    ("2026-05-01T08:00,drink,fresh,1,gal,,,,,,", "kind", "not something to note"),
    ("2026-05-01T08:00,use,diesel,1,gal,,,,,,", "supply", "not a supply"),
    ("2026-05-01T08:00,use,,1,gal,,,,,,", "supply", "needs a supply"),
    ("2026-05-01T08:00,note,fresh,,,,,,,x,", "supply", "no supply"),
    ('2026-05-01T08:00,use,fresh,"1,234",gal,,,,,,', "amount", "two ways"),
    ("2026-05-01T08:00,use,fresh,-1,gal,,,,,,", "amount", "below nothing"),
    ("2026-05-01T08:00,use,fresh,lots,gal,,,,,,", "amount", "not a number"),
    ("2026-05-01T08:00,use,fresh,nan,gal,,,,,,", "amount", "not a number"),
    ("2026-05-01T08:00,use,fresh,1e3,gal,,,,,,", "amount", "not a number"),
    ("2026-05-01T08:00,use,fresh,,gal,,,,,,", "amount", "needs an amount"),
    ("2026-05-01T08:00,next,fresh,1,gal,,,,,,", "amount", "takes no amount"),
    ("2026-05-01T08:00,use,fresh,1,bucket,,,,,,", "unit", "neither a unit"),
    ("2026-05-01T08:00,reading,fresh,20,lb gross,,,,,,", "unit", "empty weight"),
    ("2026-05-01T08:00,use,fresh,1,gal,full,,,,,", "to", "does not go with"),
    ("2026-05-01T08:00,fill,fresh,1,gal,brimful,,,,,", "to", "not an amount"),
    ("2026-05-01T08:00,reading,fresh,1,gal,,sonar,,,,", "method", "not known"),
    ("2026-05-01T08:00,fill,fresh,1,gal,,,free,,,", "paid", "not an amount of USD"),
    ("2026-05-01T08:00,fill,fresh,1,gal,,,3.50 EUR,,,", "paid", "not an amount of USD"),
    ("2026-05-01T08:00,note,,,,,,,,,", "note", "needs its words"),
    ("2026-05-01T08:00,use,fresh,1,gal,,,,,\x07,", "note", "cannot be kept"),
]


@pytest.mark.parametrize(("row", "column", "why"), MALFORMED, ids=[f"{c} {w}" for _, c, w in MALFORMED])
def test_a_malformed_row_is_named(log: Logbook, row: str, column: str, why: str) -> None:
    """Line, column and reason; the good row beside it is not taken either."""
    with pytest.raises(Refusal) as caught:
        take(log, "2026-05-01T08:00,use,fresh,1,gal,,,,,,", row)
    assert f"line 3, column {column}: " in str(caught.value) and why in str(caught.value)
    assert log.entries() == ()


MALFORMED_MORE = [
    ("2026-05-01T08:00,next,fresh,,,,,,,,,jug 9,,,,,,,", "container", "No container 'jug 9'"),
    ("2026-05-01T08:00,pour,stove_fuel,1,L,,,,,,,can,,,,,,,", "into", "both"),
    ("2026-05-01T08:00,people,,2,,,,,,,,,,2026-04-01T08:00,,,,,", "until", "before it begins"),
    ("2026-05-01T08:00,use,fresh,1,gal,,,,,,,,,2026-06-01T08:00,,,,,", "until", "no end"),
    ("2026-05-01T08:00,condition,,,,,,,,,,,,,,,,,", "word", "needs its word"),
    ("2026-05-01T08:00,ran-out,fresh,,,,,,,,,,,,warm,,,,", "word", "cold, or blank"),
    ("2026-05-01T08:00,use,fresh,1,gal,,,,,,,,,,,,Mars/Base,,", "zone", "not a time zone"),
    ("2026-05-01T08:00,people,,250,,,,,,,,,,,,,,,", "amount", "not a number of people"),
]


@pytest.mark.parametrize(("row", "column", "why"), MALFORMED_MORE, ids=[f"{c} {w}" for _, c, w in MALFORMED_MORE])
def test_a_malformed_row_with_all_columns_is_named(log: Logbook, row: str, column: str, why: str) -> None:
    """The further columns are checked as well."""
    with pytest.raises(Refusal) as caught:
        take(log, row, head=FULL_HEAD)
    assert f"line 2, column {column}: " in str(caught.value) and why in str(caught.value)


def test_the_first_twenty_faults_are_shown(log: Logbook) -> None:
    """Twenty of thirty are listed by line, the others counted."""
    with pytest.raises(Refusal) as caught:
        take(log, *(["2026-05-01T08:00,use,fresh,x,gal,,,,,,"] * 30))
    lines = str(caught.value).splitlines()
    assert "30 faults" in lines[0] and len(lines) == 22 and "10 more" in lines[-1] and "line 21" in lines[-2]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "empty"),
        ("\n\n", "empty"),
        ("when,tank\n", "must name the columns"),
        ("sep=;\n", "must name the columns"),
        (HEAD.replace(",", ";") + "\n", "save with commas"),
        (HEAD + ",colour\n", "not a column"),
        (HEAD + ",word,word\n", "there twice"),
        (HEAD + "\n2026-05-01T08:00,use,fresh\n", "line 2: it has 3 columns"),
        (HEAD + "\n2026-05-01T08:00,use,fresh,1,gal,,,,,,,,x\n", "line 2: it has 13 columns"),
        (HEAD + '\n2026-05-01T08:00,use,fresh,1,gal,,,,,"never closed\n', "not CSV"),
    ],
)
def test_a_file_that_is_no_log_is_refused(log: Logbook, text: str, why: str) -> None:
    """What is wrong with the whole file is said in a sentence."""
    with pytest.raises(Refusal, match=why):
        trade.take_in(log, text.encode(), NOW)
    assert log.entries() == ()


def test_line_numbers_count_lines_of_the_file(log: Logbook) -> None:
    """A note over several lines and blank lines do not shift the numbers."""
    good = '2026-05-01T08:00,note,,,,,,,,"one\ntwo\nthree",'
    with pytest.raises(Refusal, match="line 6, column amount"):
        take(log, good, "", "2026-05-01T08:00,use,fresh,x,gal,,,,,,")


def test_windows_line_ends_and_a_bom_are_read(log: Logbook) -> None:
    """CRLF and a byte order mark are those of spreadsheets."""
    text = "\r\n".join([HEAD, "2026-05-01T08:00,use,fresh,1,gal,,,,,café,", ""])
    assert trade.take_in(log, b"\xef\xbb\xbf" + text.encode(), NOW).added == 1
    assert log.entries()[0].note == "café"


def test_an_old_windows_file_is_read_and_said(log: Logbook) -> None:
    """A file in Windows-1252 is read as such, and that is said."""
    text = "\r\n".join([HEAD, "2026-05-01T08:00,use,fresh,1,gal,,,,,café,", ""])
    done = trade.take_in(log, text.encode("cp1252"), NOW)
    assert log.entries()[0].note == "café" and "Windows-1252" in done.notes[0]


def test_a_written_offset_is_believed_and_kept(log: Logbook) -> None:
    """The offset stays as written, also where the zone of the rig says otherwise; a naive time takes the rig's zone."""
    take(log, "2026-05-01T08:00:00+02:00,use,fresh,1,gal,,,,,,a", "2026-05-01T08:00,use,fresh,1,gal,,,,,,b",
         "2026-05-01T08:00Z,use,fresh,1,gal,,,,,,c")  # fmt: skip
    told = {e.id: e.at.iso() for e in log.entries()}
    assert told == {"a": "2026-05-01T08:00:00+02:00", "b": "2026-05-01T08:00:00-06:00", "c": "2026-05-01T08:00:00+00:00"}


def test_a_doubled_hour_is_the_first_and_said(log: Logbook) -> None:
    """In the hour that comes twice (1 Nov 2026, Denver: US rule, first Sunday of November) the first is taken."""
    done = take(log, "2026-11-01T01:30,use,fresh,1,gal,,,,,,a")
    assert log.entries()[0].at.iso() == "2026-11-01T01:30:00-06:00"
    assert "line 2" in done.notes[0] and "twice" in done.notes[0]


def test_units_of_the_contract(log: Logbook) -> None:
    """Every unit a row may carry means what the rig and the tables of units say (NIST Handbook 44, UK Act 1985)."""
    expected = {
        "1,L": 1.0, "1000,mL": 1.0, "1,gal": 3.785411784, "1,imp gal": 4.54609, "1,qt": 0.946352946,
        "1,fl_oz": 0.0295735295625, "50,%": 7 * 3.785411784, "1,jug 2": 7 * 3.785411784,
    }  # fmt: skip
    take(log, *(f"2026-05-01T08:00,reading,fresh,{cell},,,,,,r{i}" for i, cell in enumerate(expected)))
    rig = log.rig()
    values = {e.id: rig.canonical(e.said, "fresh") for e in log.entries() if e.said}
    assert [values[f"r{i}"] for i in range(len(expected))] == pytest.approx(list(expected.values()))
    take(log, "2026-05-01T08:00,reading,propane,24.3,lb gross,,,,,,g")
    gross = next(e for e in log.entries() if e.id == "g")
    assert gross.said and rig.canonical(gross.said, "propane") == pytest.approx(7.2 * 0.45359237)


def test_an_implausible_row_is_kept_and_questioned(log: Logbook) -> None:
    """A reading above the brim is no fault: it is kept, questioned and said."""
    done = take(log, "2026-05-01T08:00,reading,fresh,50,gal,,,,,,a", "2026-05-01T09:00,reading,fresh,5,gal,,,,,,b")
    assert done.added == 2 and "line 2" in done.notes[0]
    assert {e.id: bool(e.questioned) for e in log.entries()} == {"a": True, "b": False}


def test_a_limit_without_a_date_is_its_own_time(log: Logbook) -> None:
    """`until` is the date of a limit, blank: the time itself; the repeat stands in `to`."""
    take(log, "2026-05-14T12:00,limit,,,,every 5 days,,,,,a,,,,dump,,,,",
         "2026-05-01T12:00,limit,,,,,,,,,b,,,2026-05-16T10:00,stay,,,,", head=FULL_HEAD)  # fmt: skip
    told = {e.word: (e.until and e.until.iso(), e.to) for e in log.entries()}
    assert told == {"dump": ("2026-05-14T12:00:00-06:00", "every 5 days"), "stay": ("2026-05-16T10:00:00-06:00", "")}


def test_an_aside_row_finds_its_supply(log: Logbook) -> None:
    """The container alone says which supply; `back` is its word."""
    take(log, "2026-05-01T08:00,aside,,,,,,,,,a,jug 2,,,frozen,,,,",
         "2026-05-02T08:00,aside,fresh,,,,,,,,b,B,,,back,,,,", head=FULL_HEAD)  # fmt: skip
    assert [(e.supply, e.container, e.word) for e in log.entries()] == [("fresh", "jug 2", w) for w in ("frozen", "back")]


def test_a_check_takes_nothing(log: Logbook) -> None:
    """`check` says what would be taken and takes nothing."""
    done = trade.take_in(log, f"{HEAD}\n2026-05-01T08:00,use,fresh,1,gal,,,,,,\n".encode(), NOW, check=True)
    assert done.added == 1 and log.entries() == ()


def test_every_case_is_taken_in(shared: Path, tmp_path: Path) -> None:
    """The logs of the forecast cases are read without a fault, and come out and in again unchanged."""
    for i, case in enumerate(sorted((shared / "forecast" / "jugs_open").iterdir())[:3]):
        logs = [Logbook.open(tmp_path / f"{i}-{k}.db") for k in range(2)]
        for each in logs:
            keeping.load_rig(each, (case / "rig.toml").read_text(), NOW)
        trade.take_in(logs[0], (case / "log.csv").read_bytes(), NOW)
        out = trade.give_out(logs[0])
        trade.take_in(logs[1], out.encode(), NOW)
        assert trade.give_out(logs[1]) == out and len(out.splitlines()) > 40


BAD_SAMPLES = ["ambiguous-dates", "formulas", "nul", "semicolon-decimal-comma-cp1252", "sep-line", "units"]


@pytest.mark.parametrize("name", BAD_SAMPLES)
def test_the_bad_samples_are_refused(shared: Path, log: Logbook, name: str) -> None:
    """Files of other forms end in a refusal that names the columns, and nothing is taken."""
    with pytest.raises(Refusal, match="must name the columns"):
        trade.take_in(log, (shared / "samples" / "csv_bad" / f"{name}.csv").read_bytes(), NOW)
    assert log.entries() == ()


def test_a_fill_larger_than_the_room_is_questioned(log: Logbook) -> None:
    """Five gallons into jugs that were filled an hour ago cannot be; after a week they can."""
    full = "2026-05-01T08:00,fill,fresh,,,full,,,,,a"
    done = take(log, full, "2026-05-01T09:00,fill,fresh,5,gal,,,,,,b", "2026-05-08T09:00,fill,fresh,5,gal,,,,,,c")
    assert done.added == 3 and "line 3" in done.notes[0] and "room" in done.notes[0]
    assert {e.id: bool(e.questioned) for e in log.entries()} == {"a": False, "b": True, "c": False}


def test_a_fill_into_what_was_never_known_is_not_questioned(log: Logbook) -> None:
    """Where nothing was said of a level, no fill that fits the brim is odd; where one jug ran out, it has room."""
    take(log, "2026-05-01T08:00,fill,fresh,13,gal,,,,,,a")
    take(log, "2026-05-02T08:00,fill,fresh,,,full,,,,,b,,,,,,,,", "2026-05-02T09:00,next,fresh,,,,,,,,c,jug 1,,,,,,,",
         "2026-05-02T09:30,fill,fresh,6.5,gal,,,,,,d,jug 1,,,,,,,", head=FULL_HEAD)  # fmt: skip
    assert not any(e.questioned for e in log.entries())


def test_a_meter_may_say_a_little_too_much(log: Logbook) -> None:
    """7.2 gal by the meter to the top of a 7 gal jug, and 20.5 lb by the scale in a full cylinder, are no mistakes."""
    take(log, "2026-05-01T08:00,fill,fresh,7.2,gal,full,,,,,a,jug 1,,,,,,,",
         "2026-05-01T08:00,reading,propane,20.5,lb,,scale,,,,b,,,,,,,,", head=FULL_HEAD)  # fmt: skip
    assert not any(e.questioned for e in log.entries())


def test_a_condition_is_switched_off_by_its_word(log: Logbook) -> None:
    """`off` in the word of a condition ends all of them, `heater off` that one; `to` = off does the same."""
    take(log, "2026-05-01T08:00,condition,,,,,,,,,a,,,,off,,,,", "2026-05-01T09:00,condition,,,,,,,,,b,,,,heater off,,,,",
         "2026-05-01T10:00,condition,,,,off,,,,,c,,,,heater,,,,", head=FULL_HEAD)  # fmt: skip
    assert [(e.word, e.to) for e in log.entries()] == [("all", "off"), ("heater", "off"), ("heater", "off")]


def test_a_dump_of_more_than_was_in_it_is_questioned(log: Logbook) -> None:
    """Five gallons out of what was emptied an hour ago cannot be; after a week they can."""
    done = take(log, "2026-05-01T08:00,dump,grey,,,empty,,,,,a", "2026-05-01T09:00,dump,grey,5,gal,,,,,,b",
                "2026-05-08T09:00,dump,grey,5,gal,,,,,,c")  # fmt: skip
    assert "line 3" in done.notes[0] and "in it" in done.notes[0]
    assert {e.id: bool(e.questioned) for e in log.entries()} == {"a": False, "b": True, "c": False}
