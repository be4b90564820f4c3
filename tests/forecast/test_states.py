"""Which jug holds what: the log of containers, replayed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.forecast.logs import JUGS, TANK, ahead, arrangements, believed, entry, known, likely, moment, rig
from vanlife_supply.entry.evidence import ADDED, EXACT, IN_AT_DUMP, LEFT_AT_FILL, Evidence
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf
from vanlife_supply.entry.states import Replay
from vanlife_supply.forecast import learn, look_ahead
from vanlife_supply.rig.model import Arrangement


def replayed(text: str, *entries: Entry) -> tuple[Replay, list[Evidence]]:
    """The containers after these entries, and all that was told."""
    replay, told = Replay(), []
    replay.arrange(arrangements(text), moment(0).epoch)
    for one in entries:
        told += replay.fold(one)
    return replay, told


def states(shelf: Shelf) -> list[str]:
    """The state of every container."""
    return [shelf.state(v) for v in shelf.vessels]


FULL = entry(0, "fill", "fresh", to="full")
ONE_CANISTER = """
[rig]
people = 1
[[container]]
supply = "stove_fuel"
label = "canister 1"
capacity = "1 L"
[[container]]
supply = "stove_fuel"
label = "can"
capacity = "4 L"
"""


def test_nothing_noted_is_nothing_known() -> None:
    """A loaded rig says what there is, not what is in it."""
    replay, _ = replayed(JUGS)
    assert states(replay.shelves["fresh"]) == ["unknown"] * 3 and not replay.shelves["fresh"].known


def test_next_opens_the_next_full_one_and_is_exact() -> None:
    """Filled all, then "next": the first is empty, the second open, and two thirds are left for certain."""
    replay, told = replayed(JUGS, FULL, entry(3, "next", "fresh"))
    shelf = replay.shelves["fresh"]
    assert states(shelf) == ["empty", "open", "full"]
    assert told[-1].what == EXACT and told[-1].before == pytest.approx(40.0) and told[-1].before_sd < 1.0


def test_next_names_the_emptied_one_and_the_one_opened() -> None:
    """--container is the empty one, --into the one opened in its place."""
    replay, _ = replayed(JUGS, FULL, entry(3, "next", "fresh", container="jug 1", into="jug 3"))
    assert states(replay.shelves["fresh"]) == ["empty", "full", "open"]


def test_letters_name_containers_too() -> None:
    """B is the second one in rig order."""
    replay, _ = replayed(JUGS, FULL, entry(1, "ran-out", "fresh", container="B"))
    assert replay.shelves["fresh"].vessels[1].level == 0.0


def test_fill_to_the_top_leaves_in_use_the_one_that_was() -> None:
    """After a fill the jug under the pump is still the same one."""
    replay, _ = replayed(JUGS, FULL, entry(3, "next", "fresh"), entry(4, "fill", "fresh", to="full"))
    assert states(replay.shelves["fresh"]) == ["full", "open", "full"]


def test_fill_with_amount_to_the_top_tells_the_level_before() -> None:
    """It took 35 L to reach the top of 60: 25 were left."""
    _, told = replayed(JUGS, FULL, entry(5, "fill", "fresh", 35.0, to="full"))
    assert told[-1].what == EXACT and told[-1].before == pytest.approx(25.0) and told[-1].after == pytest.approx(60.0)


def test_fill_to_the_top_without_amount_is_a_habit() -> None:
    """Nothing is said of what was left; only how it is usually done can help."""
    _, told = replayed(JUGS, FULL, entry(5, "fill", "fresh", to="full"))
    assert told[-1].what == LEFT_AT_FILL and told[-1].size == pytest.approx(60.0)


def test_partial_fill_goes_to_the_open_one_then_to_the_emptiest() -> None:
    """25 L poured in while the open jug is nearly empty: it is full, the rest is in the emptiest."""
    entries = (FULL, entry(3, "next", "fresh"), entry(6, "next", "fresh"), entry(9, "fill", "fresh", 25.0))
    replay, told = replayed(JUGS, *entries)
    assert [v.held for v in replay.shelves["fresh"].vessels] == pytest.approx([5.0, 0.0, 20.0])
    assert told[-1].what == ADDED and told[-1].after == pytest.approx(25.0)


def test_what_the_open_one_cannot_take_is_in_the_emptiest() -> None:
    """Half of the open jug is used as usual: of 17 L poured in 10 fill it up and 7 are in the empty one; when it is
    empty, they are left."""
    entries = (FULL, entry(4, "next", "fresh"), entry(8, "next", "fresh"), entry(10, "fill", "fresh", 17.0))
    replay, _ = replayed(JUGS, *entries)
    assert [v.held for v in replay.shelves["fresh"].vessels] == pytest.approx([7.0, 0.0, 20.0])
    told = replay.fold(entry(14, "next", "fresh"))
    assert told[-1].before == pytest.approx(7.0) and replay.shelves["fresh"].open.spec.label == "jug 1"


def test_the_one_opened_after_a_fill_without_a_name_holds_it() -> None:
    """All others were empty and 8 L were poured in: whoever opens the next one opens those."""
    entries = (*(entry(d, "next", "fresh") for d in (4, 8)), entry(10, "fill", "fresh", 8.0), entry(12, "next", "fresh"))
    replay, told = replayed(JUGS, FULL, *entries)
    assert told[-1].what == EXACT and told[-1].before == pytest.approx(8.0)
    assert replay.shelves["fresh"].open.held == pytest.approx(8.0) and replay.shelves["fresh"].open.spec.label != "jug 3"


def test_some_in_a_sealed_one_is_no_more_than_it_holds() -> None:
    """Some water into an empty jug leaves the one in use alone."""
    replay, told = replayed(JUGS, FULL, entry(4, "next", "fresh"), entry(7, "fill", "fresh", container="jug 1"))
    assert [one.what for one in told[-1:]] == [ADDED] and 0.0 < told[-1].after <= 20.0
    assert replay.shelves["fresh"].vessels[1].held == 20.0


def test_a_jug_nobody_spoke_of_counts_for_nothing() -> None:
    """Bought and not yet filled, or not yet said: it makes nothing last longer; what is said of it is so much more."""
    bigger = JUGS.replace("count = 3", "count = 4", 1)
    stands = [*arrangements(JUGS), Arrangement(moment(5).epoch, rig(bigger))]
    log = [FULL, entry(4, "next", "fresh")]
    half = [*log, entry(5.4, "reading", "fresh", 50, "%", container="jug 4")]
    told = [look_ahead(learn(None, *which), moment(5.5)) for which in ((stands[:1], log), (stands, log), (stands, half))]
    old, new, more = (known(forecast, "fresh") for forecast in told)
    assert old.days_left and new.days_left
    assert (new.days_left.p10 or 0) <= 1.1 * (old.days_left.p10 or 0)
    assert likely(new.level) == pytest.approx(likely(old.level), rel=0.05)
    assert likely(more.level) == pytest.approx(likely(new.level) + 10.0, abs=1.0)


AMOUNTS = st.one_of(st.none(), st.floats(1, 25))
NOTED = st.lists(
    st.tuples(
        st.sampled_from(["fill", "next", "aside", "reading", "pour"]),
        st.sampled_from(["", "jug 1", "jug 2", "jug 3"]),
        AMOUNTS,
    ),
    max_size=6,
)  # fmt: skip


@settings(max_examples=40)
@given(NOTED)
def test_containers_hold_what_there_is(noted: list[tuple[str, str, float | None]]) -> None:
    """After whatever was noted, what is in which jug adds up to what is left now."""
    log = [FULL]
    for i, (kind, name, amount) in enumerate(noted):
        more = {"container": name, "into": "jug 3" if kind == "pour" and name != "jug 3" else ""}
        log.append(entry(1.0 + i, kind, "fresh", amount if kind in ("fill", "reading", "pour") else None, **more))
    fresh = known(ahead(JUGS, log, 2.0 + len(noted)), "fresh")
    held = [likely(c.level) for c in fresh.containers]
    assert sum(held) == pytest.approx(min(likely(fresh.level), 60.0), abs=1e-6)


@settings(max_examples=40)
@given(st.sampled_from([1, 3]), st.floats(0.2, 3.5), st.one_of(st.none(), st.floats(1, 18)))
def test_filling_one_jug_leaves_the_others_alone(which: int, days: float, amount: float | None) -> None:
    """Jug 2 is in use: what is poured into another never shows up in it or in the third, and no more is there than came.

    Somewhat less may be: that nobody has filled the lot yet says the less, the more there is.
    """
    log = [FULL, entry(4, "next", "fresh"), entry(4.1, "dump", "fresh", container="jug 3", to="empty")]
    before = known(ahead(JUGS, log, 4 + days), "fresh")
    filled = entry(4 + days, "fill", "fresh", amount, container=f"jug {which}", to="" if amount else "full")
    after = known(ahead(JUGS, [*log, filled], 4 + days), "fresh")
    for old, new in zip(before.containers, after.containers, strict=True):
        if old.label != f"jug {which}":
            assert -3.0 <= likely(new.level) - likely(old.level) <= 0.1
    assert likely(after.level) - likely(before.level) <= (amount or 20.0) + 0.1


def test_reading_by_eye_means_the_one_in_use() -> None:
    """Half, looked at: half of the open jug, the sealed ones beside it."""
    _, told = replayed(JUGS, FULL, entry(2, "reading", "fresh", 50.0, "%", method="sight"))
    assert told[-1].before == pytest.approx(50.0) and told[-1].size == pytest.approx(20.0)


def test_absurd_reading_says_nothing() -> None:
    """Ten times too much is a slip of the pen."""
    replay, told = replayed(TANK, entry(0, "reading", "fresh", 500.0, method="stick"))
    assert told == [] and not replay.shelves["fresh"].known


def test_gray_next_is_at_its_stop_mark() -> None:
    """The one under the sink is at its mark, the spare is put under."""
    replay, told = replayed(JUGS, entry(0, "dump", "grey", to="empty"), entry(4, "next", "grey"))
    assert replay.shelves["grey"].open.spec.label == "spare"
    assert told[-1].before == pytest.approx(18.0)


def test_dump_without_a_name_empties_them_all() -> None:
    """Both gray containers are empty, how much was in there is a habit."""
    entries = (entry(0, "dump", "grey", to="empty"), entry(4, "next", "grey"), entry(6, "dump", "grey", to="empty"))
    replay, told = replayed(JUGS, *entries)
    assert replay.shelves["grey"].total() == 0.0 and told[-1].what == IN_AT_DUMP


def test_canister_from_the_can_brings_nothing_aboard() -> None:
    """Poured from the can: the total stays, the canister is full, the can has less."""
    entries = (entry(0, "fill", "stove_fuel", to="full"), entry(9, "ran-out", "stove_fuel", container="canister 1"))
    replay, _ = replayed(JUGS, *entries)
    before = replay.shelves["stove_fuel"].total()
    told = replay.fold(entry(9.1, "pour", "stove_fuel", container="can", into="canister 1"))
    shelf = replay.shelves["stove_fuel"]
    assert shelf.total() == pytest.approx(before) and told == []
    assert [v.held for v in shelf.vessels] == pytest.approx([1.0, 1.0, 3.0])


def test_the_can_is_never_in_use() -> None:
    """When the last canister is empty nothing burns from the can."""
    entries = (
        entry(0, "fill", "stove_fuel", to="full"),
        entry(9, "ran-out", "stove_fuel", container="canister 1"),
        entry(18, "ran-out", "stove_fuel", container="canister 2"),
    )
    replay, told = replayed(JUGS, *entries)
    assert replay.shelves["stove_fuel"].open.spec.label != "can"
    assert told[-1].before == pytest.approx(4.0)


def test_a_flame_that_dies_in_the_cold_is_not_an_empty_cylinder() -> None:
    """--cold says nothing of the level."""
    replay, told = replayed(JUGS, entry(0, "fill", "propane", to="full"), entry(5, "ran-out", "propane", word="cold"))
    assert len(told) == 1 and replay.shelves["propane"].total() == pytest.approx(18.0)


def test_exchange_forfeits_the_rest() -> None:
    """The cylinder in use is traded for one of 6.8 kg: what was left of it is not use, and not known."""
    one = JUGS.replace('tare = "7.7 kg"\ncount = 2', 'tare = "7.7 kg"')
    _, told = replayed(one, entry(0, "fill", "propane", to="full"), entry(30, "exchange", "propane", 6.8, "kg"))
    assert told[-1].after == pytest.approx(6.8) and told[-1].what == LEFT_AT_FILL


def test_exchange_takes_the_empty_one() -> None:
    """With one empty and one in use it is the empty one that goes to the shop."""
    entries = (
        entry(0, "fill", "propane", to="full"),
        entry(20, "ran-out", "propane", container="cylinder 1"),
        entry(21, "exchange", "propane", 6.8, "kg"),
    )
    replay, told = replayed(JUGS, *entries)
    assert [v.held for v in replay.shelves["propane"].vessels] == pytest.approx([6.8, 9.0])
    assert told[-1].what == ADDED and told[-1].after == pytest.approx(6.8)


def test_set_aside_and_back() -> None:
    """A frozen jug keeps what is in it, cannot be in use, and comes back."""
    replay, told = replayed(JUGS, FULL, entry(1, "aside", "fresh", container="jug 1", word="frozen"))
    shelf = replay.shelves["fresh"]
    assert told[1:] == [] and states(shelf) == ["aside", "open", "full"] and shelf.total() == pytest.approx(60.0)
    replay.fold(entry(2, "aside", "fresh", container="jug 1", word="back"))
    assert states(shelf) == ["full", "open", "full"]


def test_weighed_with_its_cylinder() -> None:
    """12.2 kg gross less 7.7 kg tare are 4.5 kg."""
    entries = (
        entry(0, "fill", "propane", to="full"),
        entry(20, "reading", "propane", 12.2, "kg gross", method="scale", container="cylinder 1"),
    )
    _, told = replayed(JUGS, *entries)
    assert told[-1].before == pytest.approx(13.5) and told[-1].size == pytest.approx(9.0)


def test_a_new_arrangement_carries_known_jugs_on() -> None:
    """The same labels keep what they hold, a jug added later is unknown and counts for nothing."""
    bigger = JUGS.replace("count = 3", "count = 4", 1)
    stands = [*arrangements(JUGS), Arrangement(moment(5).epoch, rig(bigger))]
    replay = Replay()
    replay.arrange(stands, moment(0).epoch)
    replay.fold(FULL)
    told = replay.arrange(stands, moment(6).epoch)
    assert states(replay.shelves["fresh"]) == ["open", "full", "full", "unknown"]
    assert [(name, one.what) for name, one in told] == [("fresh", ADDED)] and told[0][1].after == 0.0


POURS = st.lists(
    st.tuples(st.integers(1, 3), st.integers(1, 3), st.one_of(st.none(), st.floats(0.1, 15))), min_size=1, max_size=8
)


@given(POURS)
def test_pouring_keeps_the_total(pours: list[tuple[int, int, float | None]]) -> None:
    """From any jug into any other, all of it or some: nothing comes aboard and nothing is lost, unless the log shows
    that the one in use was empty."""
    replay, _ = replayed(JUGS, FULL, entry(1, "ran-out", "fresh", container="jug 1"))
    shelf = replay.shelves["fresh"]
    for i, (source, into, amount) in enumerate(pours):
        before = shelf.total()
        pour = entry(2 + i, "pour", "fresh", amount, container=f"jug {source}", into=f"jug {into}")
        told = replay.fold(pour)
        assert shelf.total() == pytest.approx(told[-1].before if told else before)
        assert all(0 <= v.held <= v.spec.capacity + 1e-9 for v in shelf.vessels)


KINDS = st.sampled_from(["fill", "next", "ran-out", "dump", "reading", "exchange", "spill", "use", "aside", "pour"])


@given(st.lists(st.tuples(KINDS, st.sampled_from(["", "jug 1", "jug 2"]), st.floats(0, 70)), max_size=12))
def test_whatever_is_noted_containers_stay_possible(acts: list[tuple[str, str, float]]) -> None:
    """No sequence of entries brings a container below nothing or above its brim, or an error below zero."""
    replay, _ = replayed(JUGS, FULL)
    for i, (kind, name, amount) in enumerate(acts):
        for told in replay.fold(entry(1 + i, kind, "fresh", amount, container=name, into="jug 3")):
            assert told.before_sd >= 0 and told.after_sd >= 0
    shelf = replay.shelves["fresh"]
    assert all(0 <= v.held <= v.spec.capacity + 1e-9 for v in shelf.vessels)
    assert 0 <= shelf.in_use < 3


def refilled(*days: float, noted: bool = False) -> Shelf:
    """A full canister and its can, the canister run dry on each of those days; whether every refill was noted."""
    entries = [entry(0, "fill", "stove_fuel", to="full")]
    for day in days:
        entries.append(entry(day, "ran-out", "stove_fuel", container="canister 1"))
        if noted:
            entries.append(entry(day + 0.01, "pour", "stove_fuel", container="can", into="canister 1"))
    return replayed(ONE_CANISTER, *entries)[0].shelves["stove_fuel"]


def test_a_canister_dry_twice_was_refilled_between() -> None:
    """Nobody wrote the refill down, yet the can gave it: a canister's worth is gone, and less surely so."""
    once, twice = refilled(8), refilled(8, 16)
    assert twice.total() == pytest.approx(once.total() - 1.0)
    assert twice.error() > once.error()


def test_who_notes_every_refill_is_believed() -> None:
    """Where every refill is noted nothing more is taken from the can, however long a canister lasts."""
    shelf = refilled(8, 30, 38, noted=True)
    assert shelf.total() == pytest.approx(4.0 - 2.0, abs=0.05)


def test_pouring_in_hints_at_little_left() -> None:
    """A part of a load tells how much came and hints, as a full fill does, that not much was left."""
    _, told = replayed(TANK, entry(0, "fill", "fresh", to="full"), entry(6, "fill", "fresh", 30.0, "L"))
    hints = [one for one in told[1:] if one.what == LEFT_AT_FILL]
    assert len(hints) == 1 and hints[0].is_hint and told[-1].what == ADDED


@pytest.mark.parametrize(("days", "a"), [(0.05, 10.0), (14.0, 0.0)])
def test_who_opened_the_second_jug_emptied_the_first(days: float, a: float) -> None:
    """With nothing usual yet the owner's guess tells whether the first was emptied meanwhile or was never the one in use."""
    its = JUGS.replace("[[container]]", '[[supply]]\nname = "fresh"\nlasts = "10 days"\n[[container]]', 1)
    noted = [entry(0, "reading", "fresh", 10.0, container="A", method="count"),
             entry(0, "reading", "fresh", 20.0, container="B", method="count"),
             entry(0, "reading", "fresh", 20.0, container="C", method="count"),
             entry(days, "reading", "fresh", 10.0, container="B", method="sight")]  # fmt: skip
    shelf = believed(its, noted).replay.shelves["fresh"]
    assert shelf.vessels[0].held == a and shelf.open is shelf.vessels[1]


@pytest.mark.parametrize(("amount", "left"), [(None, 4.6), (0.4, 4.6), (0.9, 4.1)])
def test_a_canister_known_to_be_half_full_is_topped_up(amount: float | None, left: float) -> None:
    """Filled up within a day of a look, what was in it is not lost; where so much did not fit, it was emptier."""
    looks = [entry(0, "reading", "stove_fuel", 60.0, "%", container="canister 1", method="sight"),
             entry(0.01, "reading", "stove_fuel", 4.0, "L", container="can", method="count")]  # fmt: skip
    pour = entry(0.8, "pour", "stove_fuel", amount, "L" if amount else "", container="can", into="canister 1")
    known, told = replayed(ONE_CANISTER, *looks)
    poured = known.fold(pour)
    assert known.shelves["stove_fuel"].total() == pytest.approx(left, abs=0.12)
    assert told and [one.what for one in poured] == ([EXACT] if amount == 0.9 else [])
