"""Recording, taking back, mending, settling."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conftest import RIG
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.room import NO_ROOM, NOT_IN_IT, RISEN
from vanlife_supply.keeping import ids
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, at, read_iso
from vanlife_supply.quantity import parse_amount
from vanlife_supply.refusal import Refusal

NOW = read_iso("2026-05-07T19:10", "America/Denver").moment


@pytest.fixture
def log(tmp_path: Path) -> Logbook:
    """A log with the usual rig."""
    made = Logbook.open(tmp_path / "log.db")
    keeping.load_rig(made, RIG, NOW)
    return made


def note(log: Logbook, kind: str, supply: str = "", amount: str = "", **more: str) -> Entry:
    """Keep one typed event."""
    return keeping.record(log, [keeping.noted(log, Typed(kind, supply, amount, **more), NOW)], NOW)[0]


def told(log: Logbook) -> list[Entry]:
    """What is in force."""
    return list(log.entries())


@given(st.lists(st.floats(0, 4e9), max_size=8), st.integers(0, 2**32))
def test_ids_sort_by_the_time_they_were_made(epochs: list[float], seed: int) -> None:
    """Ids of successive acts increase even when the clock is set back; their form is that of RFC 9562 version 7."""
    draw, last = random.Random(seed), ""
    for epoch in epochs:
        fresh = ids.new_ids(epoch, last, draw)
        for _ in range(3):
            new = next(fresh)
            assert new > last and len(new) == 36 and new[14] == "7" and new[19] in "89ab"
            last = new


def test_an_id_carries_its_time() -> None:
    """The first 48 bits are milliseconds of Unix time (RFC 9562 section 5.7)."""
    ident = next(ids.new_ids(1_645_557_742.0, ""))
    assert int(ident.replace("-", "")[:12], 16) == 1_645_557_742_000


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(["record", "mend", "void", "settle", "undo", "redo"]), min_size=1, max_size=12), st.data())
def test_undo_restores_what_was_in_force(
    tmp_path_factory: pytest.TempPathFactory, deeds: list[str], data: st.DataObject
) -> None:
    """Undo brings back exactly what stood before an act, undo --again exactly what stood after it."""
    log = Logbook.open(tmp_path_factory.mktemp("undo") / "log.db")
    keeping.load_rig(log, RIG, NOW)
    past: list[list[Entry]] = [told(log)]
    ahead: list[list[Entry]] = []
    for deed in deeds:
        standing = told(log)
        if deed == "undo":
            if len(past) == 1:
                with pytest.raises(Refusal):
                    keeping.undo(log, NOW)
                continue
            keeping.undo(log, NOW)
            ahead.append(past.pop())
            assert told(log) == past[-1]
        elif deed == "redo":
            if not ahead:
                with pytest.raises(Refusal):
                    keeping.undo(log, NOW, again=True)
                continue
            keeping.undo(log, NOW, again=True)
            past.append(ahead.pop())
            assert told(log) == past[-1]
        else:
            if deed == "record" or not standing:
                note(log, "use", "fresh", f"{data.draw(st.integers(1, 20)) / 10} gal")
            else:
                ident = data.draw(st.sampled_from([e.id for e in standing]))
                if deed == "mend":
                    keeping.mend(log, ident, {"amount": "0.7 gal"}, NOW)
                elif deed == "void":
                    keeping.void(log, ident, NOW)
                else:
                    keeping.settle(log, ident, "real", NOW)
            past.append(told(log))
            ahead.clear()
    log.close()


def test_undo_says_what_it_took_back(log: Logbook) -> None:
    """The entries of the act come back from undo and from its undo; a void names what counts again."""
    kept = note(log, "use", "fresh", "1 gal")
    assert keeping.undo(log, NOW) == (kept,) and keeping.undo(log, NOW, again=True) == (kept,)
    keeping.void(log, kept.id, NOW)
    assert [e.id for e in keeping.undo(log, NOW)] == [kept.id]


def test_the_first_rig_is_not_taken_back(log: Logbook) -> None:
    """Undo on a log with nothing but its rig is refused; a later rig is taken back."""
    with pytest.raises(Refusal, match="nothing to take back"):
        keeping.undo(log, NOW)
    keeping.load_rig(log, RIG.replace('"Denver"', '"Denver"').replace("people = 1", "people = 2"), NOW)
    assert log.rig().people == 2
    keeping.undo(log, NOW)
    assert log.rig().people == 1


def test_nothing_is_brought_back_after_a_new_entry(log: Logbook) -> None:
    """Once something new is noted, what was taken back stays so."""
    note(log, "use", "fresh", "1 gal")
    keeping.undo(log, NOW)
    note(log, "use", "fresh", "2 gal")
    with pytest.raises(Refusal, match="since the last entry"):
        keeping.undo(log, NOW, again=True)


def test_undo_leaves_the_acts_of_other_devices(log: Logbook) -> None:
    """What another device noted is not taken back here."""
    other = keeping.noted(log, Typed("use", "fresh", "1 gal"), NOW)
    keeping.record(log, [other], NOW, by="phone")
    with pytest.raises(Refusal):
        keeping.undo(log, NOW)
    assert len(told(log)) == 1


MENDABLE = [
    (Typed("fill", "fresh", "5 gal"), {"amount": "4 gal"}),
    (Typed("fill", "fresh", "5 gal full", paid="3.50"), {"amount": "4 gal full"}),
    (Typed("fill", "fresh", "some"), {"place": "a spring"}),
    (Typed("fill", "fresh"), {"container": "jug 1"}),
    (Typed("fill", "fresh", "almost"), {"note": "kiosk stopped"}),
    (Typed("dump"), {"amount": "4 gal", "down_to": ""}),
    (Typed("dump"), {"down_to": "1 gal"}),
    (Typed("dump", "grey", "2 gal empty"), {"note": "slow"}),
    (Typed("dump", "grey", down_to="1 gal"), {"down_to": "2 gal"}),
    (Typed("reading", "propane", "24.3 lb gross"), {"amount": "25 lb gross"}),
    (Typed("next", "fresh", container="jug 1"), {"container": "jug 2"}),
    (Typed("ran-out", "propane", word="cold"), {"note": "at dawn"}),
    (Typed("exchange", "propane", "15 lb"), {"paid": "24"}),
    (Typed("pour", "stove_fuel", "1 L", container="can", into="canister 1"), {"into": "canister 2"}),
    (Typed("aside", container="jug 2", word="frozen"), {"word": "split"}),
    (Typed("aside", container="jug 2", down_to="back"), {"note": "mended"}),
    (Typed("people", amount="2", until="fri", pets="dog 50 lb"), {"amount": "3"}),
    (Typed("condition", word="heater", until="fri"), {"until": "sat"}),
    (Typed("condition", word="heater", down_to="off"), {"note": "warm"}),
    (Typed("limit", word="food", at="thu", every="week"), {"at": "fri"}),
    (Typed("planned", "grey", word="dump", at="mon 10:00"), {"at": "tue 10:00"}),
    (Typed("note", word="a new spring"), {"word": "an old spring"}),
    (Typed("spill", "fresh", "0.5 gal"), {"amount": "0.6 gal"}),
]


@pytest.mark.parametrize(("said", "changes"), MENDABLE, ids=[f"{s.kind} {i}" for i, (s, _) in enumerate(MENDABLE)])
def test_every_kind_can_be_mended(log: Logbook, said: Typed, changes: dict[str, str]) -> None:
    """Mending changes the fields named and no others, and only the new version counts."""
    straight = keeping.noted(log, replace(said, **changes), NOW)
    old = keeping.record(log, [keeping.noted(log, said, NOW)], NOW)[0]
    new = keeping.mend(log, old.id, changes, NOW)
    same = {"id": "", "replaces": "", "recorded": 0.0, "typed": "", "questioned": ""}
    assert replace(new, **same) == replace(straight, **same)  # type: ignore[arg-type]  # fields by name
    assert new.replaces == old.id and told(log) == [new]


def test_a_mend_that_is_refused_changes_nothing(log: Logbook) -> None:
    """An absurd correction leaves the entry as it was and says so."""
    old = note(log, "use", "fresh", "1 gal")
    with pytest.raises(Refusal, match="stays as it was"):
        keeping.mend(log, old.id, {"amount": "500 gal"}, NOW)
    assert told(log) == [old]


def test_an_entry_is_found_by_the_end_of_its_id(log: Logbook) -> None:
    """The last characters suffice when only one id ends so; else the refusal says what is wrong."""
    one, two = note(log, "use", "fresh", "1 gal"), note(log, "use", "fresh", "2 gal")
    assert keeping.find(log, one.id[-6:]) == one and keeping.find(log, two.id) == two
    for ident, says in (("zzzzzz", "no entry"), ("", "no entry"), ("1", "no entry")):
        with pytest.raises(Refusal, match=says):
            keeping.find(log, ident)
    keeping.record(log, [replace(one, id="x-same"), replace(one, id="y-same")], NOW)
    with pytest.raises(Refusal, match="more of it"):
        keeping.find(log, "-same")


def test_a_void_entry_is_gone_for_good(log: Logbook) -> None:
    """A void entry cannot be mended or voided again; its id says why."""
    one = note(log, "use", "fresh", "1 gal")
    keeping.void(log, one.id, NOW)
    assert told(log) == []
    with pytest.raises(Refusal, match="void"):
        keeping.void(log, one.id, NOW)


def test_settling_an_odd_entry(log: Logbook) -> None:
    """`real` keeps it, an amount corrects it, `mistake` takes it out: in each case the question is gone."""
    odd = [note(log, "fill", "fresh", "15 gal", at=t) for t in ("1h ago", "2h ago", "3h ago")]
    assert all(e.questioned for e in odd)
    real = keeping.settle(log, odd[0].id, "real", NOW)
    less = keeping.settle(log, odd[1].id, "5 gal", NOW)
    assert real and less
    assert (real.questioned, real.settled, real.amount) == ("", "real", 15.0)
    assert (less.questioned, less.settled, less.amount, less.unit) == ("", "real", 5.0, "gal")
    assert keeping.settle(log, odd[2].id, "mistake", NOW) is None
    assert {e.id for e in told(log)} == {real.id, less.id}


def test_the_same_fill_noted_twice_is_asked_about(log: Logbook) -> None:
    """Scenario 11: 5.0 gal at 17:00 and 18.9 L at 17:10 are one fill; another container or half an hour later is not."""
    first = note(log, "fill", "fresh", "5 gal", at="2h ago")
    later = at(first.at.epoch + 600, "America/Denver").iso()
    assert not first.questioned
    assert note(log, "fill", "fresh", "18.9 L", at=later).questioned == "the same fill as one just before"
    assert not note(log, "fill", "fresh", "18.9 L", at=later, container="jug 1").questioned
    assert not note(log, "fill", "fresh", "3 gal", at=later).questioned
    assert not note(log, "fill", "fresh", "5 gal", at="1h ago").questioned


def test_only_what_stands_can_be_dropped(log: Logbook) -> None:
    """Dropping a limit or plan that is not there is refused; one that is there ends."""
    with pytest.raises(Refusal, match="no limit 'food'"):
        note(log, "limit", word="food", down_to="drop")
    note(log, "planned", "grey", word="dump", at="mon 10:00", every="week")
    assert [p.word for p in keeping.plans(log, NOW)] == ["dump"]
    note(log, "planned", "grey", word="dump", down_to="drop")
    assert keeping.plans(log, NOW) == ()


def test_a_rig_must_fit_what_was_noted(log: Logbook) -> None:
    """A rig without a container the log speaks of is refused, unless it holds only from later on."""
    note(log, "next", "fresh", container="jug 2")
    smaller = RIG.replace("count = 2", "count = 1", 1)
    with pytest.raises(Refusal, match="jug 2"):
        keeping.load_rig(log, smaller, NOW)
    keeping.load_rig(log, smaller, NOW, since=NOW.epoch + 60)
    assert len(log.rig(NOW.epoch).of("fresh")) == 2


def test_a_late_entry_meets_the_rig_of_its_time(log: Logbook) -> None:
    """What happened before the new rig is checked against the old one."""
    smaller = RIG.replace('capacity = "7 gal"\ncount = 2', 'capacity = "2 gal"', 1)
    keeping.load_rig(log, smaller, NOW, since=NOW.epoch - 3600)
    assert note(log, "use", "fresh", "6 gal", at="2h ago").amount == 6.0
    with pytest.raises(Refusal, match="holds"):
        note(log, "use", "fresh", "6 gal")


def test_a_moved_zone_moves_no_entry(log: Logbook) -> None:
    """From `set_zone` on times are told in the new zone; what was noted keeps its own."""
    before = note(log, "use", "fresh", "1 gal")
    keeping.set_zone(log, "America/Los_Angeles", NOW)
    assert keeping.now_of(log).zone == "America/Los_Angeles"
    assert told(log) == [before] and before.at.zone == "America/Denver"
    with pytest.raises(Refusal):
        keeping.set_zone(log, "Nowhere/Land", NOW)


def test_the_clock_of_a_rehearsal(log: Logbook, monkeypatch: pytest.MonkeyPatch) -> None:
    """The environment's time wins over the log's own, and that over the clock."""
    log.set("now", "2026-01-01T12:00:00-07:00")
    assert keeping.now_of(log) == NOW
    monkeypatch.delenv(ids.NOW_VARIABLE)
    assert keeping.now_of(log) == Moment(1767294000.0, -25200, "America/Denver")


def test_what_cannot_be_is_asked_about_when_typed(log: Logbook) -> None:
    """Twelve gallons into full jugs, five out of a nearly empty one: kept and asked about; what was used is granted."""
    note(log, "fill", "fresh", "full", at="2026-05-07T17:00")
    assert note(log, "fill", "fresh", "12 gal").questioned == NO_ROOM
    note(log, "dump", "grey", at="2026-05-07T17:00")
    assert note(log, "dump", "grey", "5 gal").questioned == NOT_IN_IT
    assert not note(log, "dump", "grey", "0.5 gal").questioned
    note(log, "fill", "fresh", "full", at="2026-05-07T18:00")
    note(log, "use", "fresh", "6 gal", at="2026-05-07T18:30")
    assert not note(log, "fill", "fresh", "6 gal").questioned


def test_a_weight_that_rose_by_itself_is_asked_about(log: Logbook) -> None:
    """Five pounds more on the scale with no fill noted: kept and asked about; after a fill it is as it should be."""
    for weight, asked in (("9 lb", ""), ("8 lb", ""), ("14 lb", RISEN)):
        assert note(log, "reading", "propane", weight, method="scale").questioned == asked
    note(log, "fill", "propane", "full")
    assert not note(log, "reading", "propane", "19 lb", method="scale").questioned


@pytest.mark.parametrize(
    ("before", "days", "amount", "asked"),
    [
        ((), 2, "3 gal", NO_ROOM),  # 12.7 lb in two days: more than winter heat burns (30 lb in a week, common practice)
        ((), 2, "1.5 lb", ""),
        ((), 6, "18 lb", ""),
        (("heater",), 2, "3 gal", ""),
        (("heater off",), 2, "3 gal", NO_ROOM),
    ],
)
def test_a_refill_beyond_what_can_have_been_burnt(
    log: Logbook, before: tuple[str, ...], days: int, amount: str, asked: str
) -> None:
    """Propane refilled days after a full fill: asked about where no stove can have burnt so much; the heater can."""
    for word in before:
        note(log, "condition", word=word.split()[0], down_to="off" if "off" in word else "", at=f"{days + 1} days ago")
    note(log, "fill", "propane", "full", at=f"{days} days ago")
    kept = note(log, "fill", "propane", amount)
    assert kept.questioned == asked and kept.said == parse_amount(amount)


@pytest.mark.parametrize(
    ("since", "amount", "asked"),
    [
        ((), "12 gal", NO_ROOM),
        ((), "7 gal", ""),
        (("people 3 2d",), "12 gal", ""),
        (("people 3 9d", "people 1 5d"), "12 gal", NO_ROOM),
        (("hot 9d",), "12 gal", ""),
        (("hot 9d", "all off 5d"), "12 gal", NO_ROOM),
        (("heater 9d",), "12 gal", NO_ROOM),
        (("use 2d",), "12 gal", ""),
    ],
)
def test_water_far_over_what_is_usual_is_asked_about(log: Logbook, since: tuple[str, ...], amount: str, asked: str) -> None:
    """Twelve gallons three days after a full fill, where twelve last nine days: asked about; not with guests, in heat, or
    where much was noted as used."""
    for days in (39, 30, 21, 12, 3):
        note(log, "fill", "fresh", "full" if days == 39 else "12 gal full", at=f"{days} days ago")
    for said in since:
        word, *more, ago = said.split()
        at = f"{ago[:-1]} days ago"
        if word == "people":
            note(log, "people", amount=more[0], at=at)
        elif word == "use":
            note(log, "use", "fresh", "7 gal", at=at)
        else:
            note(log, "condition", word=word, down_to="".join(more), at=at)
    kept = note(log, "fill", "fresh", amount)
    assert kept.questioned == asked and kept.said == parse_amount(amount)


def test_a_can_refilled_too_soon_is_asked_about(log: Logbook) -> None:
    """A gallon of alcohol a day after all was full: no burner takes so much; two weeks later it is nothing odd."""
    note(log, "fill", "alcohol", "full", at="16 days ago")
    note(log, "fill", "alcohol", "full", at="1 day ago", container="can")
    assert note(log, "fill", "alcohol", "1 gal", container="can").questioned == NO_ROOM


def test_what_can_be_in_it_is_judged_by_the_end_of_the_log(log: Logbook) -> None:
    """A long log before changes no judgement, and only the entries of that supply are looked at."""
    old = [keeping.noted(log, Typed("use", "fresh", "1 gal", at="2026-05-01T08:00"), NOW) for _ in range(300)]
    keeping.record(log, old, NOW)
    note(log, "fill", "fresh", "full", at="2026-05-07T17:00")
    keeping.record(log, [keeping.noted(log, Typed("use", "propane", "0.1 lb"), NOW) for _ in range(100)], NOW)
    assert note(log, "fill", "fresh", "12 gal").questioned == NO_ROOM


def test_a_use_takes_what_it_usually_takes(log: Logbook) -> None:
    """What is only named takes its usual size until three of one's own are noted, then their median; a number wins."""
    assert note(log, "use", word="shower").said == parse_amount("1 gal")
    for size in ("0.7 gal", "2 gal", "0.8 gal"):
        note(log, "use", "water", size, word="shower")
    sized = note(log, "use", word="Shower")
    assert (sized.said, sized.word, sized.supply) == (parse_amount("0.8 gal"), "shower", "fresh")
    assert note(log, "use", "water", "3 gal", word="shower").said == parse_amount("3 gal")
    mended = keeping.mend(log, sized.id, {"amount": "", "word": "dishes"}, NOW)
    assert (mended.said, mended.word) == (parse_amount("0.3 gal"), "dishes")


def test_a_use_of_ones_own_is_known_from_the_first_time(log: Logbook) -> None:
    """Nothing is usual of laundry: how much is asked once, then it is as it was."""
    with pytest.raises(Refusal, match="How much is 'laundry'"):
        note(log, "use", word="laundry")
    note(log, "use", "water", "3 gal", word="laundry")
    assert note(log, "use", word="laundry").said == parse_amount("3 gal")
