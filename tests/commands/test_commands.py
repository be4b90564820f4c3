"""Every command, from outside: what it answers, what it keeps, what it refuses."""

from __future__ import annotations

import json
import re
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Runner
from vanlife_supply.__main__ import COMMANDS
from vanlife_supply.commands.usage import USAGE_LINES

HEAD = "time,kind,supply,amount,unit,to,method,paid,place,note,id"


def entries(cli: Runner, *more: str) -> list[dict[str, Any]]:
    """What `entries --json` lists as in force."""
    said = cli("entries", "--json", *more)
    assert said.status == 0
    return [e for e in json.loads(said.out) if not e["voided"]]


def last(cli: Runner) -> dict[str, Any]:
    """The only entry in force."""
    (only,) = entries(cli)
    return only


NOTED: list[tuple[str, dict[str, Any]]] = [
    ("fill water", {"kind": "fill", "supply": "fresh", "amount": None, "to": "full", "container": ""}),
    ("fill water 12 gal --paid 3.50 --place kiosk", {"amount": 12.0, "unit": "gal", "paid": "3.50", "place": "kiosk"}),
    ("fill w 5 --container A", {"amount": 5.0, "unit": "gal", "container": "jug 1"}),
    ("fill water 5 gal full --container jug 2", {"amount": 5.0, "to": "full", "container": "jug 2"}),
    ("fill water some", {"amount": None, "to": ""}),
    ("fill water almost", {"amount": None, "to": "95 %"}),
    ("fill water 10 gal --price-per 35c/gal", {"amount": 10.0, "paid": "3.50"}),
    ("fill water 2 jugs", {"amount": 2.0, "unit": "jugs"}),
    ("use shower", {"kind": "use", "supply": "fresh", "amount": 1, "unit": "gal", "word": "shower"}),
    ("use coffee 0.5 L", {"kind": "use", "supply": "fresh", "amount": 0.5, "unit": "L", "word": "coffee"}),
    ("use --for dishes", {"kind": "use", "supply": "fresh", "amount": 0.3, "unit": "gal", "word": "dishes"}),
    ("use water 1.2 --for shower", {"kind": "use", "amount": 1.2, "unit": "gal", "word": "shower"}),
    ("use water 0,5 L", {"amount": 0.5, "unit": "L"}),
    ("reading water half --container A", {"kind": "reading", "amount": 50.0, "unit": "%", "method": "sight"}),
    ("reading water 3 gal --by stick", {"amount": 3.0, "method": "stick"}),
    ("reading propane 24.3 lb gross", {"amount": 24.3, "unit": "lb gross", "method": "scale"}),
    ("dump", {"kind": "dump", "supply": "grey", "to": "empty"}),
    ("dump 4 gal", {"supply": "grey", "amount": 4.0, "to": ""}),
    ("dump half", {"supply": "grey", "amount": 50.0, "unit": "%"}),
    ("dump gray --down-to 1gal", {"to": "1 gal", "amount": None}),
    ("next water", {"kind": "next", "container": "", "into": ""}),
    ("next water --container A --into B", {"container": "jug 1", "into": "jug 2"}),
    ("ran-out propane --cold", {"kind": "ran-out", "word": "cold"}),
    ("exchange propane 15 lb --paid 24", {"kind": "exchange", "amount": 15.0, "paid": "24.00"}),
    ("pour alcohol 1 L --from can --into A", {"kind": "pour", "container": "can", "into": "canister 1"}),
    ("spill water 0.5 gal", {"kind": "spill", "amount": 0.5}),
    ("aside jug 2 --why frozen", {"kind": "aside", "supply": "fresh", "container": "jug 2", "word": "frozen"}),
    ("aside water B --back", {"container": "jug 2", "word": "back"}),
    ("people 2 --until fri", {"kind": "people", "amount": 2.0, "until": "2026-05-08T12:00:00-06:00"}),
    ("condition heater --until 2026-05-10T08:00", {"word": "heater", "until": "2026-05-10T08:00:00-06:00"}),
    ("condition heater --off", {"word": "heater", "to": "off"}),
    ("condition heater until 2026-05-10T08:00", {"word": "heater", "until": "2026-05-10T08:00:00-06:00"}),
    ("condition big fan off", {"word": "big fan", "to": "off"}),
    ("limit food --at 2026-05-14T12:00 --every week", {"kind": "limit", "word": "food", "to": "every week",
                                                      "until": "2026-05-14T12:00:00-06:00"}),
    ("note the pump draws air --at yesterday", {"kind": "note", "note": "the pump draws air"}),
    ("planned dump gray --at 2026-05-11T10:00", {"kind": "planned", "word": "dump", "until": "2026-05-11T10:00:00-06:00"}),
]  # fmt: skip


def split(line: str) -> list[str]:
    """Words of a command line; a label of two words and words after --at stay together."""
    words = line.split()
    joined: list[str] = []
    while words:
        word = words.pop(0)
        if word in ("--container",) and words[0] == "jug":
            joined += [word, f"{words.pop(0)} {words.pop(0)}"]
        else:
            joined.append(word)
    return joined


@pytest.mark.parametrize(("line", "expected"), NOTED, ids=[line for line, _ in NOTED])
def test_an_event_is_kept_as_typed(ready: Runner, line: str, expected: dict[str, Any]) -> None:
    """The entry says what was typed, the confirmation is one line on stdout, and undo takes it back."""
    said = ready(*split(line))
    assert said.status == 0 and said.out.startswith("Noted: ") and said.out.count("\n") == 1
    kept = last(ready)
    assert {key: kept[key] for key in expected} == expected
    assert kept["typed"] == " ".join(line.split()) and kept["questioned"] is None
    assert ready("undo").out.startswith("Taken back: ") and entries(ready) == []


REFUSED: list[tuple[str, str]] = [
    ("fill wter", "did you mean"),
    ("fill diesel 3 gal", "not a supply"),
    ("fill water 1,234", "two ways"),
    ("fill water 50 gal", "more than everything for water together holds"),
    ("fill water 5 gal --container C", "No container 'C'"),
    ("fill water 5 parsecs", "neither a unit"),
    ("fill water 5 gal --paid free", "not an amount of USD"),
    ("fill water -5", "below nothing"),
    ("use water", "How much?"),
    ("use water 1 gal --at tomorrow", "ahead of this computer's clock"),
    ("use water 1 gal --at someday", "not a time I know"),
    ("reading water half --by nose", "not a way to read"),
    ("reading gray 20 lb gross", "needs the empty weight"),
    ("dump --down-to 1gal 2gal", "not both"),
    ("next propane", "no next container"),
    ("pour alcohol 1 L --from can", "needs both"),
    ("pour alcohol --from can --into can", "into itself"),
    ("aside jug 9", "No container"),
    ("people many", "How many people?"),
    ("people 2 --until yesterday --at now", "before it begins"),
    ("limit food", "When?"),
    ("limit food --at 2026-05-01T08:00", "is past"),
    ("limit food --drop", "no limit 'food'"),
    ("limit dump --at fri --every blue", "not a repeat"),
    ("planned swim water --at fri", "cannot be planned"),
    ("planned dump gray --drop", "no plan 'dump'"),
    ("undo", "nothing to take back"),
    ("undo --again", "Nothing was taken back"),
    ("void 123456", "no entry"),
    ("mend 123456 2 gal", "no entry"),
    ("settle 123456 real", "no entry"),
    ("entries --since whenever", "not a time"),
    ("days --as-of whenever", "not a time"),
    ("rig load nowhere.toml", "There is no file"),
    ("rig zone Mars/Base", "not a time zone"),
    ("import nowhere.csv", "There is no file"),
    ("merge nowhere.db", "There is no log"),
    ("restore nowhere.db", "There is no log at"),
    ("restore", "no backup beside"),
]


@pytest.mark.parametrize(("line", "says"), REFUSED, ids=[line for line, _ in REFUSED])
def test_refused_input_changes_nothing(ready: Runner, db: Path, line: str, says: str) -> None:
    """Status 1, a sentence on stderr, nothing on stdout, the log as it was."""
    before = dump(db)
    said = ready(*line.split())
    assert (said.status, said.out) == (1, "") and says in said.err and "Traceback" not in said.err
    assert len(said.err.strip().splitlines()) == 1
    assert dump(db) == before


def dump(db: Path) -> list[str]:
    """Everything in the log but the belief that is kept for speed."""
    con = sqlite3.connect(db)
    try:
        return [line for line in con.iterdump() if '"setting"' not in line and '"belief"' not in line]
    finally:
        con.close()


WRONG: list[tuple[str, str]] = [
    ("fly", "not a command"),
    ("fil water", "did you mean 'fill'"),
    ("fill", "say which supply"),
    ("fill water --paid", "needs a value"),
    ("fill water --pade 3", "did you mean '--paid'"),
    ("fill water --db x", "before the command"),
    ("next water 3 gal", "does not belong here"),
    ("condition", "say which one"),
    ("condition heater --off --until fri", "exclude each other"),
    ("condition heater until fri --until sat", "once until when"),
    ("aside", "say which container"),
    ("aside jug --why frozen --back", "exclude each other"),
    ("people", "say how many"),
    ("rig change water jug 1 6 gal --from mon", "only load takes --from"),
    ("rig show water", "take no name"),
    ("note", "say the words"),
    ("planned", "say dump or fill"),
    ("mend", "say which entry"),
    ("mend 123456", "say what it should have been"),
    ("settle 123456", "say which entry"),
    ("void", "say which entry"),
    ("undo twice", "takes no words"),
    ("days soon", "does not belong here"),
    ("rig paint", "say show"),
    ("rig load", "load and zone take one"),
    ("import", "name one file"),
    ("export a b", "name one file"),
    ("merge", "name the other log"),
    ("check this", "takes no words"),
    ("demo now", "takes no words"),
]


@pytest.mark.parametrize(("line", "says"), WRONG, ids=[line for line, _ in WRONG])
def test_wrong_usage_is_status_two(ready: Runner, db: Path, line: str, says: str) -> None:
    """A command typed wrongly says how it is typed and does nothing."""
    before = dump(db)
    said = ready(*line.split())
    assert (said.status, said.out) == (2, "") and says in said.err
    assert dump(db) == before


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_says_how_it_is_typed(cli: Runner, command: str) -> None:
    """`--help` of each command begins with its line, and needs no log."""
    said = cli(command, "--help")
    assert said.status == 0 and f"vanlife-supply [--db FILE] {command}" in said.out


def test_the_overview_lists_every_command(cli: Runner) -> None:
    """`--help` lists all commands there are and no others."""
    said = cli("--help")
    assert said.status == 0 and set(USAGE_LINES) == set(COMMANDS)
    assert all(f"   {command} " in said.out for command in COMMANDS)


NEEDS_RIG = ["fill water", "use water 1 gal", "dump", "people 2", "note hello", "entries", "days", "days --json", "rig show",
             "export -", "undo", "planned --list", "import -"]  # fmt: skip


@pytest.mark.parametrize("line", NEEDS_RIG)
@pytest.mark.parametrize("content", [None, b""])
def test_without_a_rig_the_refusal_names_rig_load(cli: Runner, db: Path, line: str, content: bytes | None) -> None:
    """Status 1 on a missing or empty file, `rig load` named, no file made."""
    if content is not None:
        db.write_bytes(content)
    said = cli(*line.split())
    assert (said.status, said.out) == (1, "") and "rig load" in said.err
    assert (db.read_bytes() == b"") if content is not None else not db.exists()


def test_an_odd_amount_is_kept_and_said(ready: Runner) -> None:
    """Between one brim and 1.25: kept, questioned, said on stderr, status 0."""
    said = ready("fill", "water", "8", "gal", "--container", "A")
    assert said.status == 0 and "odd" not in said.out and "more than jug 1 holds" in said.err and "settle" in said.err
    assert last(ready)["questioned"] == "more than jug 1 holds"
    assert [e["amount"] for e in entries(ready, "--questioned")] == [8.0]
    settled = ready("settle", last(ready)["id"][-6:], "6", "gal")
    assert settled.status == 0 and last(ready)["amount"] == 6.0 and entries(ready, "--questioned") == []


def test_a_caution_stands_beside_its_act(ready: Runner) -> None:
    """Filling a canister says once, on stderr, to let the burner cool (facts.md B: X10, A15, A16)."""
    said = ready("fill", "alcohol", "--container", "canister 1")
    assert said.err.strip().splitlines() == ["Burner out and cool? The flame can be invisible. Close the can, move it away."]


def test_a_tap_never_drawn_from_is_asked_about_once(ready: Runner) -> None:
    """The first fill at a place says that nobody here knows the water, the second says nothing."""
    first = ready("fill", "water", "1 gal", "--place", "Old spring", "--at", "1h ago")
    assert "This program cannot know" in first.err
    assert ready("fill", "water", "2 gal", "--place", "old spring").err == ""


def test_too_much_weight_is_said_at_the_fill_and_in_the_rig(ready: Runner) -> None:
    """Without a payload nothing is said of weight; with one, the fill that goes past it says so and is kept all the same."""
    assert "weight" not in json.loads(ready("days", "--json").out) and "Heavy" not in ready("fill", "water").err
    assert "60 lb together at most" in ready("rig", "change", "payload 60 lb").out
    told = ready("fill", "water")
    assert told.status == 0 and "Heavy: at least 117 lb" in told.err and "public scale" in told.err
    shown = ready("rig", "show")
    assert 'payload = "60 lb"' in shown.out and "at least 117 lb of supplies aboard" in shown.err.lower()
    assert json.loads(ready("days", "--json").out)["weight"]["payload"] == pytest.approx(60 * 0.45359237, abs=1e-4)
    assert "no most is given" in ready("rig", "change", "payload none").out
    assert ready("rig", "show").err == ""


def test_mend_and_void(ready: Runner) -> None:
    """A mended entry is listed with what it replaces; a void one counts no more; --json keeps the history."""
    ready("use", "water", "1", "gal")
    old = last(ready)["id"]
    assert ready("mend", old, "2", "gal", "--for", "dishes").status == 0
    new = last(ready)
    assert (new["amount"], new["word"], new["replaces"]) == (2.0, "dishes", old)
    assert ready("void", new["id"]).out.startswith("Taken out: used 2 gal")
    listed = json.loads(ready("entries", "--json").out)
    assert entries(ready) == [] and [(e["id"], e["voided"]) for e in listed] == [(old, True), (new["id"], True)]
    assert ready("undo").status == 0 and last(ready)["id"] == new["id"]


def test_a_mend_is_said_as_in_the_app(ready: Runner) -> None:
    """After the id a whole phrase says what it should have been; what the phrase does not name stays."""
    ready("use", "water", "1", "gal", "--for", "dishes", "--at", "yesterday")
    old = last(ready)
    assert ready("mend", old["id"], "used", "water", "2", "gal").status == 0
    new = last(ready)
    assert (new["amount"], new["time"], new["word"]) == (2.0, old["time"], "dishes")
    assert ready("reading", "propane", "39 lb gross").status == 0
    assert ready("mend", entries(ready)[-1]["id"], "weighed", "propane", "21.4").status == 0
    weighed = entries(ready)[-1]
    assert (weighed["amount"], weighed["unit"], weighed["method"]) == (21.4, "lb gross", "scale")


def test_entries_are_listed_oldest_first(ready: Runner) -> None:
    """The text has a line an entry, and --since cuts off what is older."""
    ready("use", "water", "2", "gal", "--at", "2h ago")
    ready("use", "water", "3", "gal", "--at", "3 days ago")
    lines = ready("entries").out.splitlines()
    assert [("3 gal" in line, "2 gal" in line) for line in lines] == [(True, False), (False, True)]
    assert [e["amount"] for e in entries(ready, "--since", "yesterday")] == [2.0]


def test_hostile_text_does_not_reach_the_terminal(ready: Runner) -> None:
    """An escape sequence in a note typed at the command line never comes out again."""
    ready("note", "red \x1b[31m alert", "--place", "here")
    assert "\x1b" not in ready("entries").out + ready("entries", "--json").out


def test_plans_are_listed_and_dropped(ready: Runner) -> None:
    """What is planned is listed until it is dropped, and is no part of an export."""
    ready("planned", "dump", "gray", "--at", "mon 10:00", "--every", "week")
    assert "planned" in ready("planned", "--list").out
    assert ready("export", "-").out.count("\n") == 1
    assert ready("planned", "dump", "gray", "--drop").status == 0
    assert ready("planned", "--list").out == ""


def test_rig_show_and_a_second_load(ready: Runner, rig_file: Path) -> None:
    """`rig show` prints what was loaded; a later load --from leaves the past as it was; a broken one changes nothing."""
    assert ready("rig", "show").out == rig_file.read_text()
    text = rig_file.read_text()
    rig_file.write_text(text.replace("people = 1", "people = 3"))
    assert ready("rig", "load", str(rig_file), "--from", "2026-05-01T00:00").status == 0
    assert "people = 3" in ready("rig", "show").out
    ready("fill", "water")
    rig_file.write_text(rig_file.read_text().replace("count = 2", "count = 3", 1))
    said = ready("rig", "load", str(rig_file))
    assert "jug 3: now as if always aboard" in said.err and "--from now" in said.err
    ready("undo")
    assert not ready("rig", "load", str(rig_file), "--from", "now").err
    ready("undo")
    ready("undo")
    rig_file.write_text(text.replace("[rig]", "[rig"))
    said = ready("rig", "load", str(rig_file))
    assert said.status == 1 and "rig.toml" in said.err and "people = 3" in ready("rig", "show").out


def test_a_broken_rig_makes_no_log(cli: Runner, db: Path, tmp_path: Path) -> None:
    """A first rig.toml that cannot be read leaves no file behind."""
    bad = tmp_path / "bad.toml"
    bad.write_text('[[container]]\nsupply = "fresh"\n')
    said = cli("rig", "load", str(bad))
    assert said.status == 1 and "capacity" in said.err and not db.exists()


def test_rig_zone_moves_words_of_time(ready: Runner) -> None:
    """After `rig zone` a typed hour is an hour there; what was noted keeps its own time."""
    ready("use", "water", "1", "gal", "--at", "18:00")
    assert ready("rig", "zone", "America/Los_Angeles").status == 0
    ready("use", "water", "2", "gal", "--at", "17:30")
    assert [e["time"] for e in entries(ready)] == ["2026-05-07T18:00:00-06:00", "2026-05-07T17:30:00-07:00"]


def test_import_and_export_by_file_and_pipe(ready: Runner, tmp_path: Path) -> None:
    """What was exported to a file or to stdout is the same, and comes in through stdin."""
    ready("use", "water", "1", "gal", "--at", "yesterday")
    out = tmp_path / "out.csv"
    assert ready("export", str(out)).status == 0
    piped = ready("export", "-")
    assert piped.out == out.read_text() and piped.err == ""
    other = tmp_path / "other.db"
    ready("rig", "load", str(tmp_path / "rig.toml"), log=other)
    checked = ready("import", "-", "--check", stdin=piped.out, log=other)
    assert checked.out == "1 entry would be imported.\n" and ready("entries", log=other).out == ""
    assert ready("import", "-", stdin=piped.out, log=other).out == "1 entry imported.\n"
    assert ready("import", "-", stdin=piped.out, log=other).out == "0 entries imported, 1 were there already.\n"


def test_an_export_writes_over_nothing_but_a_log_csv(ready: Runner, db: Path, tmp_path: Path) -> None:
    """The log itself, or any other file, is not overwritten by an export."""
    for path in (db, tmp_path / "rig.toml"):
        before = path.read_bytes()
        assert ready("export", str(path)).status == 1
        assert path.read_bytes() == before
    again = tmp_path / "out.csv"
    assert ready("export", str(again)).status == 0 and ready("export", str(again)).status == 0
    assert ready("export", str(tmp_path / "no" / "out.csv")).status == 6


def test_a_broken_csv_names_line_and_column(ready: Runner) -> None:
    """All or nothing: the sound row is not taken either."""
    rows = f"{HEAD}\n2026-05-01T08:00,use,fresh,1,gal,,,,,,\n2026-05-01T09:00,use,fresh,x,gal,,,,,,\n"
    said = ready("import", "-", stdin=rows)
    assert said.status == 1 and "line 3, column amount" in said.err and entries(ready) == []


def test_an_import_that_is_odd_says_so(ready: Runner) -> None:
    """An implausible row is kept, said on stderr and questioned; the status is 0."""
    said = ready("import", "-", stdin=f"{HEAD}\n2026-05-01T08:00,reading,fresh,50,gal,,,,,,\n")
    assert said.status == 0 and "line 2" in said.err and last(ready)["questioned"]


def test_backup_check_restore(ready: Runner, db: Path) -> None:
    """A backup is a sound log; restore puts it in the place of a damaged one and keeps that aside."""
    ready("use", "water", "1", "gal")
    backup = Path(ready("backup").out.strip())
    assert ready("check", log=backup).out == "Sound: 1 entries.\n"
    ready("use", "water", "2", "gal")
    db.write_bytes(b"no log any more")
    for tail in ("-wal", "-shm"):
        db.with_name(db.name + tail).unlink(missing_ok=True)
    assert ready("days").status == 3 and ready("check").status == 3
    kept = backup.read_bytes()
    said = ready("restore")
    assert backup.read_bytes() == kept and said.status == 0 and str(backup) in said.out and "kept as" in said.err
    assert [e["amount"] for e in entries(ready)] == [1.0]
    assert [p.read_bytes() for p in db.parent.glob("log-before-restore-*")] == [b"no log any more"]


def test_restore_leaves_another_programs_database(ready: Runner, db: Path, tmp_path: Path) -> None:
    """What is no log of ours is neither read nor moved aside, also when it is named as the log to restore."""
    backup, other = ready("backup").out.strip(), tmp_path / "other.db"
    with sqlite3.connect(other) as con:
        con.execute("CREATE TABLE letters (text TEXT)")
    con.close()
    before = other.read_bytes()
    for command in (("days",), ("restore", backup)):
        said = ready(*command, log=other)
        assert said.status == 3 and "another program's database" in said.err
    assert other.read_bytes() == before and not list(tmp_path.glob("other-before-*"))


def test_near_misses_are_asked_about(ready: Runner) -> None:
    """A condition misspelled is not a new one; a limit may end with its date; an amount after an option has its unit."""
    said = ready("condition", "heatr")
    assert said.status == 1 and "did you mean 'heater'" in said.err and entries(ready) == []
    assert ready("limit", "food", "sun").out.startswith("Noted: food till Sun")
    assert ready("dump", "--down-to", "2", "gal").status == 0 and entries(ready)[-1]["to"] == "2 gal"
    assert ready("fill", "water", "--at", "1990-01-01").status == 0
    assert entries(ready)[0]["questioned"] == "over a year ago"


def test_help_stands_anywhere(ready: Runner) -> None:
    """After the words of a command too, and nothing is noted."""
    assert ready("ran-out", "propane", "--help").out == ready("ran-out", "--help").out != ""
    assert entries(ready) == []


def test_entries_are_told_in_the_zone_of_now(ready: Runner) -> None:
    """What was noted just before the zone was changed is told by the clock of the zone it is now."""
    ready("use", "water", "1")
    before = ready("entries").out
    ready("rig", "zone", "America/Los_Angeles")
    assert ready("entries").out != before and "2026-05-07 18:10" in ready("entries").out


def test_a_backup_never_overwrites(ready: Runner, tmp_path: Path) -> None:
    """Backing up onto an existing file is refused; a log is no backup of itself."""
    target = tmp_path / "b.db"
    assert ready("backup", str(target)).status == 0
    assert ready("backup", str(target)).status == 1
    assert ready("restore", str(tmp_path / "log.db")).status == 1
    bad = tmp_path / "bad.db"
    bad.write_bytes(b"nothing")
    assert ready("restore", str(bad)).status == 3


def test_two_logs_are_merged_without_loss(ready: Runner, db: Path, tmp_path: Path) -> None:
    """Entries of both, corrections of both, once each; the same fill on both is asked about; merging again adds nothing."""
    ready("use", "water", "1", "gal", "--at", "2 days ago")
    other = tmp_path / "phone.db"
    ready("backup", str(other))
    ready("fill", "water", "5", "gal", "--at", "2h ago")
    ready("void", entries(ready)[0]["id"])
    ready("fill", "water", "18.9", "L", "--at", "2h ago", log=other)
    ready("use", "water", "3", "gal", log=other)
    said = ready("merge", str(other))
    assert said.status == 0 and said.out == "2 entries taken over.\n" and "look like" in said.err
    assert sorted((e["amount"], e["unit"]) for e in entries(ready)) == [(3.0, "gal"), (5.0, "gal"), (18.9, "L")]
    assert [e["amount"] for e in entries(ready, "--questioned")] == [18.9]
    assert ready("merge", str(other)).out == "0 entries taken over.\n"
    assert ready("merge", str(db), log=other).status == 0
    assert entries(ready, "--questioned") == entries(lambda *w, **k: ready(*w, log=other, **k), "--questioned")


def test_a_merge_must_fit_the_rig(ready: Runner, tmp_path: Path) -> None:
    """A log that speaks of containers neither rig would have then is refused, and nothing is taken over."""
    other = tmp_path / "other.db"
    toml = tmp_path / "other.toml"
    toml.write_text('[[container]]\nsupply = "fresh"\nlabel = "barrel"\ncapacity = "20 gal"\ncount = 2\n')
    ready("rig", "load", str(toml), log=other)
    ready("next", "water", "--container", "barrel 1", log=other)
    ready("next", "water", "--container", "jug 1")
    said = ready("merge", str(other))
    assert said.status == 1 and "rig" in said.err and [e["container"] for e in entries(ready)] == ["jug 1"]


def test_days_says_the_answer(ready: Runner) -> None:
    """Without an entry every supply is null and nothing comes first; with some the answer names what stops you."""
    blank = json.loads(ready("days", "--json").out)
    assert [s["level"] for s in blank["supplies"]] == [None] * 4 and blank["first"] is None
    ready("fill", "water", "--at", "3 days ago")
    ready("dump", "--at", "3 days ago")
    ready("reading", "water", "9", "gal", "--at", "1h ago")
    said = json.loads(ready("days", "--json").out)
    assert set(said) >= {"as_of", "sentence", "supplies", "first", "warnings", "next_stop"}
    assert said["as_of"] == "2026-05-07T19:10:00-06:00" and said["sentence"].startswith("Count on ")
    water = said["supplies"][0]
    assert set(water) >= {"supply", "direction", "unit", "capacity", "reserve", "level", "use_per_day", "days_left",
                          "last_trusted", "containers", "planned"}  # fmt: skip
    assert water["level"]["p10"] < 9 * 3.785 < water["level"]["p90"] and water["capacity"] == pytest.approx(14 * 3.785411784)
    assert ready("days").out.startswith("Count on ") and "Water" in ready("days").out


def test_days_as_of_several_times(ready: Runner) -> None:
    """One JSON object a line, in the order asked; what happened later is not seen."""
    ready("fill", "water", "--at", "3 days ago")
    said = ready("days", "--json", "--as-of", "2026-05-07T12:00", "--as-of", "2026-05-01T12:00-06:00")
    told = [json.loads(line) for line in said.out.splitlines()]
    assert [t["as_of"] for t in told] == ["2026-05-07T12:00:00-06:00", "2026-05-01T12:00:00-06:00"]
    assert [t["supplies"][0]["level"] is None for t in told] == [False, True]
    assert ready("days", "--as-of", "2026-05-07T12:00", "--as-of", "2026-05-01T12:00").out.count("Water") >= 2


def test_a_clock_that_was_set_back_is_said(ready: Runner, monkeypatch: pytest.MonkeyPatch) -> None:
    """An entry recorded before the last one is kept, in its place, and undo takes it back first; the clock is named."""
    assert "clock" not in ready("use", "water", "1", "gal").err
    monkeypatch.setenv("VANLIFE_SUPPLY_NOW", "2026-05-05T08:00-06:00")
    assert "clock is behind" in ready("use", "water", "2", "gal").err
    assert [e["amount"] for e in entries(ready)] == [2.0, 1.0]
    assert "2 gal" in ready("undo").out


@pytest.mark.parametrize("name", [".", "/dev/null"])
def test_a_folder_or_device_is_no_log(cli: Runner, rig_file: Path, name: str) -> None:
    """What is no file cannot be a log: status 3."""
    said = cli("rig", "load", str(rig_file), log=Path(name))
    assert said.status == 3 and "not a log" in said.err


def test_a_void_and_its_undo_say_different_things(ready: Runner) -> None:
    """Taken out, back again, and taken out again where the undo is undone."""
    ready("use", "water", "1")
    assert ready("void", last(ready)["id"]).out.startswith("Taken out: used 1 gal")
    assert ready("undo").out.startswith("Back again: used 1 gal")
    assert ready("undo", "--again").out.startswith("Taken out: used 1 gal")


def test_a_bare_weight_is_with_its_container(ready: Runner) -> None:
    """What the scale says is with the cylinder, and what is more than fits in; less than its tare, or net, is in it."""
    scale, eye = ("--by", "scale"), ()
    for said, how, unit in (
        ("24.3", scale, "lb gross"), ("24.3 lb", scale, "lb gross"), ("18 lb", scale, "lb gross"),
        ("18 lb net", scale, "lb"),
        ("12 lb", scale, "lb"), ("11 kg", scale, "kg gross"), ("24.3 lb", eye, "lb gross"), ("18 lb", eye, "lb"),
    ):  # fmt: skip
        told = ready("reading", "propane", *said.split(), *how)
        assert told.status == 0 and ("with its container" in told.out) == ("gross" in unit)
        assert entries(ready)[-1]["unit"] == unit and not entries(ready)[-1]["questioned"]
        assert ready("undo").status == 0


def test_a_weight_too_much_is_held_against_what_a_full_one_weighs(ready: Runner) -> None:
    """What was weighed with its cylinder is compared with a full cylinder on the scale, in the same unit."""
    full = re.compile(r"(\d+) lb gross is more than cylinder weighs when full \(([\d.]+) lb\)")
    said = full.search(ready("reading", "propane", "70", "lb", "gross").err)
    assert said and 20 < float(said[2]) < 70
    most = ready("reading", "propane", f"{float(said[2]) - 0.5:g}", "lb", "gross")
    assert most.status == 0 and "odd" not in most.err


def test_a_bit_is_for_nothing(ready: Runner) -> None:
    """The article of `a bit` is not what the water was used for."""
    ready("fill", "water")
    assert ready("use", "a", "bit", "of", "water").status == 0
    assert entries(ready)[-1]["word"] == ""


def test_nothing_used_is_nothing_to_note(ready: Runner) -> None:
    """`use water 0` is refused, nobody aboard is kept and said, a jug set aside is not set aside again."""
    said = ready("use", "water", "0")
    assert said.status == 1 and "nothing to note" in said.err and entries(ready) == []
    said = ready("people", "0")
    assert said.status == 0 and "nobody is aboard" in said.err
    assert ready("aside", "jug 1").status == 0
    said = ready("aside", "A")
    assert said.status == 1 and "set aside already" in said.err
    assert ready("aside", "A", "--back").status == 0 and ready("aside", "A").status == 0


def test_entries_show_what_was_paid(ready: Runner) -> None:
    """The text names the money."""
    ready("fill", "water", "12", "gal", "--paid", "3.50")
    assert "paid $3.50" in ready("entries").out


def test_a_new_log_is_told_how_to_begin(cli: Runner) -> None:
    """Without a log both ways to begin are named; to an import also that a log.csv carries no rig."""
    said = cli("fill", "water")
    assert said.status == 1 and "without a word" in said.err and "rig load rig.toml" in said.err
    said = cli("import", "-", stdin=f"{HEAD}\n")
    assert said.status == 1 and "rig show > rig.toml" in said.err


def test_what_is_planned_and_limited_is_listed(ready: Runner) -> None:
    """`--list` of both says what stands, and that nothing does."""
    assert "Nothing" in ready("limit", "--list").err and "Nothing" in ready("planned", "--list").err
    ready("limit", "food", "--at", "2026-05-14T12:00")
    ready("limit", "stay", "--at", "2026-05-15T12:00")
    ready("limit", "stay", "--drop")
    ready("planned", "dump", "gray", "--at", "2026-05-11T10:00")
    said = ready("limit", "--list")
    assert said.out.startswith("Food till ") and said.out.count("\n") == 1
    assert ready("planned", "--list").out.startswith("Dump of gray planned ")


def test_a_weight_that_may_be_gross_says_how_it_was_taken(ready: Runner) -> None:
    """A bare weight as heavy as the empty cylinder is kept as said, and says so; a lighter or a gross one needs no word."""
    asked = "Taken as what is in it. Weighed with its cylinder? Say 18.1 lb gross."
    assert asked in ready("reading", "propane", "18.1", "lb").err
    assert "Taken as" not in ready("reading", "propane", "9", "lb").err
    assert "Taken as" not in ready("reading", "propane", "24.3", "lb", "gross").err


@pytest.mark.parametrize(
    ("line", "twin"),
    [
        ("reading water b 0", "reading water 0 --container B --by sight"),
        ("reading alcohol can full", "reading alcohol full --container can"),
        ("next", "next water"), ("next water b", "next water --into B"), ("dumped gray", "dump gray"),
        ("heater --until 2026-05-11", "condition heater --until 2026-05-11"),
        ("planned dump 2026-05-10", "planned dump gray --at 2026-05-10"),
        ("plan dump gray 2026-05-10", "planned dump gray --at 2026-05-10"),
        ("aside water b frozen", "aside water B --why frozen"), ("look water half", "reading water half"),
        ("limit food till 2026-05-14", "limit food --at 2026-05-14"), ("people just me", "people 1"),
        ("pour 1 L from can into canister 1", "pour alcohol 1 L --from can --into A"),
        ("fill water 12 at Mill yesterday", "fill water 12 --place Mill --at yesterday"),
    ],
)  # fmt: skip
def test_words_stand_for_options(ready: Runner, line: str, twin: str) -> None:
    """What the app's line understands needs no options on the command line: the same entry is kept."""
    kept = []
    for words in (line, twin):
        assert ready(*words.split()).status == 0
        told = last(ready)
        kept.append({key: told[key] for key in told if key not in ("id", "recorded", "typed")})
        assert ready("undo").status == 0
    assert kept[0] == kept[1]


@pytest.mark.parametrize(
    ("line", "status", "says"),
    [
        ("fill water b 5 --container A", 2, "say once which one"), ("fill water yesterday --at now", 2, "say once when"),
        ("wter half", 1, "did you mean 'water'"), ("b half", 1, "Say water b"), ("filed water", 2, "did you mean 'filled'"),
        ("whatif heater --people 2", 2, "all in words, or all by options"),
    ],
)  # fmt: skip
def test_words_that_are_wrong_note_nothing(ready: Runner, db: Path, line: str, status: int, says: str) -> None:
    """Said twice, misspelled or of two meanings: one sentence, nothing kept."""
    before = dump(db)
    said = ready(*line.split())
    assert (said.status, said.out) == (status, "") and says in said.err and len(said.err.splitlines()) == 1
    assert dump(db) == before


@pytest.mark.parametrize(
    ("words", "option"),
    [("can-i take a shower", "can-i shower"), ("can-i 2 showers", "can-i 2 gal"),
     ("can-i a friend till 2026-05-10", "can-i guest --until 2026-05-10"),
     ("whatif 2 people until 2026-05-10", "whatif --people 2 --until 2026-05-10"), ("whatif heater", "whatif --heater")],
)  # fmt: skip
def test_questions_in_words(ready: Runner, words: str, option: str) -> None:
    """A question in words gets the answer of the same question by its options."""
    ready("fill", "water")
    ready("dump")
    assert ready(*words.split()) == ready(*option.split()) != ready("can-i", "coffee")
