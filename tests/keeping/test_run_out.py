"""The last of it gone though much should be left: kept, and asked about as other odd entries are."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import RIG, Runner
from tests.forecast.test_cases import read_log
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.room import STILL_IN_IT, STILL_ROOM, doubts
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import read_iso
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement

NOW = read_iso("2026-05-07T19:10", "America/Denver").moment


@pytest.fixture
def log(tmp_path: Path) -> Logbook:
    """A log with the usual rig: two 7 gal jugs, canisters and a can, a 20 lb cylinder."""
    made = Logbook.open(tmp_path / "log.db")
    keeping.load_rig(made, RIG, NOW)
    return made


@pytest.mark.parametrize(
    ("before", "last", "odd"),
    [
        ([("reading", "propane", "26.4 lb gross", "2026-05-06T19:00")], Typed("ran-out", "propane"), True),
        ([("reading", "propane", "26.4 lb gross", "2026-05-06T19:00")], Typed("ran-out", "propane", word="cold"), False),
        ([("reading", "propane", "26.4 lb gross", "2026-05-02T19:00")], Typed("ran-out", "propane"), False),
        ([("reading", "propane", "19 lb gross", "2026-05-06T19:00")], Typed("ran-out", "propane"), False),
        ([("fill", "fresh", "", "2026-05-07T17:00")], Typed("ran-out", "fresh"), True),
        ([("fill", "fresh", "", "2026-05-07T17:00")], Typed("ran-out", "fresh", container="A"), True),
        ([("fill", "fresh", "", "2026-05-06T10:00")], Typed("ran-out", "fresh", container="A"), False),
        ([], Typed("ran-out", "fresh"), False),
    ],
)
def test_run_out_too_soon_is_asked_about(
    log: Logbook, before: list[tuple[str, str, str, str]], last: Typed, odd: bool
) -> None:
    """9.3 lb of propane do not burn in a day without the heater; all of a day's water may come out of one jug; what stopped
    in the cold, or was never known, is no question."""
    for kind, supply, amount, at in before:
        keeping.record(log, [keeping.noted(log, Typed(kind, supply, amount, at=at), NOW)], NOW)
    assert keeping.noted(log, last, NOW).questioned == (STILL_IN_IT if odd else "")


@pytest.mark.parametrize("heated", [True, False])
def test_with_the_heater_on_it_may_be_so(log: Logbook, heated: bool) -> None:
    """Who heats may burn as much in a day and a half, who does not is asked; settled as right, it counts in full."""
    keeping.record(log, [keeping.noted(log, Typed("reading", "propane", "30.1 lb gross", at="2026-05-06T07:00"), NOW)], NOW)
    if heated:
        keeping.record(log, [keeping.noted(log, Typed("condition", word="heater", at="2026-05-06T08:00"), NOW)], NOW)
    gone = keeping.record(log, [keeping.noted(log, Typed("ran-out", "propane"), NOW)], NOW)[0]
    assert gone.questioned == ("" if heated else STILL_IN_IT)
    settled = keeping.settle(log, gone.id, "real", NOW)
    assert settled is not None and settled.questioned == "" and settled.settled == "real"


def test_the_command_says_how_to_answer(ready: Runner) -> None:
    """Without a terminal it is kept, questioned, said on stderr, and the status is 0; no amount is offered as an answer."""
    ready("reading", "propane", "30.1", "lb", "gross", "--at", "yesterday")
    told = ready("ran-out", "propane")
    assert told.status == 0 and "It is odd: too soon by what was noted" in told.err
    assert "real, or mistake." in told.err


def test_what_ran_out_in_the_invented_lives_is_believed(shared: Path) -> None:
    """Of their ran-outs, jugs small and large, none is asked about."""
    assert _odd_of("ran-out", shared, least=90) == []


def _odd_of(kind: str, shared: Path, least: int) -> list[str]:
    """The ids of the entries of that kind, of which there are more than `least`, that are asked about."""
    seen, found = 0, []
    for case in (case for group in ("open/*/*", "jugs_open/*") for case in sorted((shared / "forecast").glob(group))):
        its = read_rig((case / "rig.toml").read_text(encoding="utf-8"))
        log = read_log(case / "log.csv", its)
        odd = doubts(log, [Arrangement(float("-inf"), its)])
        told = [(entry, why) for entry, why in zip(log, odd, strict=True) if entry.kind == kind]
        seen += len(told)
        found += [entry.id for entry, why in told if why]
    assert seen > least
    return found


@pytest.mark.parametrize(
    ("supply", "first", "second", "odd"),
    [
        ("fresh", "2026-05-07T19:09", "", STILL_IN_IT),
        ("fresh", "2026-05-07T12:00", "", ""),
        ("fresh", "yesterday", "yesterday", ""),
        ("stove_fuel", "2026-05-07T19:09", "", STILL_IN_IT),
        ("grey", "2026-05-07T19:09", "", STILL_ROOM),
        ("grey", "2026-05-07T12:00", "", ""),
    ],
)
def test_a_key_pressed_twice_is_asked_about(tmp_path: Path, supply: str, first: str, second: str, odd: str) -> None:
    """What was opened just now is not used up, nor full what was put under; later, or on a day roughly said, it may be."""
    log = Logbook.open(tmp_path / "log.db")
    keeping.load_rig(log, RIG + '\n[[container]]\nsupply = "grey"\nlabel = "spare"\ncapacity = "4 gal"\n', NOW)
    full = Typed("dump", "grey", at="2026-05-04") if supply == "grey" else Typed("fill", supply, at="2026-05-04")
    for said in (full, Typed("next", supply, at=first)):
        keeping.record(log, [keeping.noted(log, said, NOW)], NOW)
    assert keeping.noted(log, Typed("next", supply, at=second), NOW).questioned == odd


def test_the_next_ones_of_the_invented_lives_are_believed(shared: Path) -> None:
    """Whoever opens several in a row had drawn from them before: none of them is asked about."""
    assert _odd_of("next", shared, least=700) == []
