"""What is said ahead: what counts as usable, what stops you first, what is warned of."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.forecast.logs import (
    JUGS,
    START,
    TANK,
    ahead,
    arrangements,
    believed,
    entry,
    known,
    likely,
    moment,
    numbers,
    steady,
)
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import learn, look_ahead, thread

RESERVE = '[[supply]]\nname = "fresh"\nreserve = "15 L"\n'


def test_unknown_is_said_and_never_first() -> None:
    """Alcohol without a single entry has no figures, a warning of its own, and no part in what comes first."""
    told = ahead(JUGS, [entry(0, "fill", "fresh", to="full")], 1)
    alcohol = told.supply("stove_fuel")
    assert alcohol is not None and alcohol.level is alcohol.days_left is alcohol.use_per_day is None
    assert told.first is not None and set(told.first.chances) == {"fresh"}
    assert {w.supply for w in told.warnings if w.code == "not-known"} == {"grey", "stove_fuel", "propane"}


def test_an_empty_log_says_nothing_is_known() -> None:
    """A rig and no entry: no figure anywhere, nothing first."""
    told = ahead(JUGS, [], 0)
    assert told.first is None and all(s.days_left is None for s in told.supplies)


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        (TANK + RESERVE, 15.0),
        (TANK.replace("portable = false", 'portable = false\ndead = "15 L"'), 15.0),
    ],
)
def test_reserve_and_dead_water_are_not_days(text: str, kept: float) -> None:
    """What is kept back or cannot be reached is in the level, not in the usable nor in the days."""
    plain, less = known(ahead(TANK, steady(63), 56.1), "fresh"), known(ahead(text, steady(63), 56.1), "fresh")
    assert likely(less.level) == pytest.approx(likely(plain.level), abs=0.5)
    assert likely(less.usable) == pytest.approx(likely(plain.usable) - kept, abs=0.5)
    expected = (likely(plain.usable) - kept) / likely(plain.usable)
    assert likely(less.days_left) / likely(plain.days_left) == pytest.approx(expected, rel=0.06)


def test_a_jug_kept_back_or_set_aside_is_not_usable() -> None:
    """A whole jug of reserve, a frozen one: in the level, not in the usable."""
    spare = '[[container]]\nsupply = "fresh"\nlabel = "spare jug"\ncapacity = "20 L"\nreserve = true'
    kept = JUGS.replace("count = 3", f"count = 2\n{spare}", 1)
    full = entry(0, "fill", "fresh", to="full")
    frozen = entry(0.1, "aside", "fresh", container="jug 3", word="frozen")
    for told in (ahead(kept, [full], 0.2), ahead(JUGS, [full, frozen], 0.2)):
        water = known(told, "fresh")
        assert likely(water.level) > 57 and likely(water.usable) == pytest.approx(likely(water.level) - 20, abs=0.5)
    assert [c.state for c in known(ahead(JUGS, [full, frozen], 0.2), "fresh").containers] == ["open", "full", "aside"]


def test_gray_is_full_at_its_stop_mark() -> None:
    """Room is what is left to the marks of both containers."""
    gray = known(ahead(JUGS, [entry(0, "dump", "grey", to="empty"), entry(0, "fill", "fresh", to="full")], 0.01), "grey")
    assert likely(gray.usable) == pytest.approx(36.0, abs=1.0) and gray.direction == "fills"


def test_sealed_ones_are_exact_and_the_open_one_is_the_rest() -> None:
    """Of three jugs two are sealed and certain; the open one carries all the doubt."""
    water = known(ahead(JUGS, [entry(0, "fill", "fresh", to="full")], 0.5), "fresh")
    opened, *sealed = water.containers
    assert all(c.level is not None and c.level.p10 == c.level.p90 == pytest.approx(20.0) for c in sealed)
    assert likely(opened.level) + 40 == pytest.approx(likely(water.level), abs=0.01)
    assert opened.level is not None and opened.level.p10 is not None and opened.level.p10 < likely(opened.level)


def test_first_is_the_distribution_of_the_minimum() -> None:
    """What comes first comes no later than anything alone, and its chances sum to 1."""
    limits = [entry(56.1, "limit", word=word, until=moment(day)) for word, day in (("food", 65), ("stay", 70))]
    told = ahead(TANK, [*steady(63), *limits], 57)
    assert told.first is not None and sum(told.first.chances.values()) == pytest.approx(1.0)
    soonest = min([likely(s.days_left) for s in told.supplies] + [limit.days_left for limit in told.limits])
    assert likely(told.first.days_left) <= soonest + 1e-6
    assert told.first.chances["stay"] == pytest.approx(0.0, abs=1e-9)
    assert told.first.days_left.p90 is not None and told.first.days_left.p90 <= 8.0 + 1e-6


def test_what_was_used_unseen_leaves_it_as_plain_what_comes_first() -> None:
    """Filled and dumped together, then days without a word: as much is gone from the one as came into the other."""
    sink = []
    for days in (2.0, 8.0):
        told = ahead(TANK, steady(57), 56.0 + days)
        assert told.first is not None
        sink.append(told.first.chances["grey"])
    assert sink[0] > 0.9 and sink[1] > sink[0] - 0.02


def test_a_dropped_or_past_limit_is_gone() -> None:
    """Dropped by its word or past, a limit stops nothing; a repeated one comes again."""
    past = entry(56.1, "limit", word="food", until=moment(57))
    again = replace(past, to="every 5 days")
    drop = entry(56.5, "limit", word="food", to="drop")
    assert not ahead(TANK, [*steady(63), past], 58).limits
    assert [limit.days_left for limit in ahead(TANK, [*steady(63), again], 58).limits] == pytest.approx([4.0])
    assert not ahead(TANK, [*steady(63), again, drop], 58).limits


def test_water_and_gray_are_one_flow() -> None:
    """Room for far more gray than there is water: water is first; hardly any room: gray is, and both are sure of it."""
    log = steady(63)
    wide = ahead(TANK.replace("80 L", "400 L"), log, 57)
    narrow = ahead(TANK.replace("80 L", "45 L"), log, 57)
    assert wide.first is not None and wide.first.what == "fresh" and wide.first.chances["fresh"] > 0.99
    assert narrow.first is not None and narrow.first.what == "grey" and narrow.first.chances["grey"] > 0.95


def test_drain_share_is_learned() -> None:
    """Half of the water reaches the drain, dump after dump with the amount known: gray fills at half the pace."""
    log = [
        each for day in range(0, 63, 7) for each in (
            entry(day, "dump", "grey", 17.5 if day else None, to="empty"),
            entry(day + 0.01, "fill", "fresh", 35.0 if day else None, to="full"),
        )
    ]  # fmt: skip
    told = ahead(TANK, log, 56.1)
    share = likely(known(told, "grey").use_per_day) / likely(known(told, "fresh").use_per_day)
    assert share == pytest.approx(0.5, abs=0.05)


def gray_weeks(word: str) -> list[Entry]:
    """Weeks of 35 L, half of which comes down the drain; of the rest 14 L a week are noted as used for `word`."""
    return [
        each for day in range(0, 63, 7) for each in (
            entry(day, "dump", "grey", 17.5 if day else None, to="empty"),
            entry(day + 0.01, "fill", "fresh", 35.0 if day else None, to="full"),
            entry(day + 3, "use", "fresh", 14.0, word=word),
        )
    ]  # fmt: skip


def test_gray_is_as_unsure_as_what_a_condition_does() -> None:
    """Guests whose thirst nobody knows yet widen the days of the gray, not only those of the water."""
    log = [e for e in gray_weeks("") if e.kind != "use"]
    calm, guests = (
        known(ahead(TANK.replace("80 L", "300 L"), [*log, *more], 56.5), "grey").days_left
        for more in ([], [entry(56.4, "condition", word="guests", until=moment(90))])
    )
    wide = [(d.p90 or 0.0) / (d.p10 or 1.0) for d in (calm, guests) if d is not None]
    assert wide[1] > 1.4 * wide[0]


def test_water_poured_outside_does_not_come_down_the_drain() -> None:
    """A use once noted as poured outside leaves room that the same use in the sink takes; plain uses say nothing."""
    log = [e for e in gray_weeks("") if e.kind != "use"]
    rooms = [
        likely(known(ahead(TANK, [*log, entry(58, "use", "fresh", 9.0, word=word)], 58.5), "grey").usable)
        for word in ("outside", "drinking", "cooking", "shower")
    ]
    assert rooms[0] == rooms[1] > rooms[2] > rooms[3]
    assert rooms[0] - rooms[3] == pytest.approx(0.5 * 9.0, rel=0.4)


def test_what_is_usually_kept_from_the_drain_is_so_ahead() -> None:
    """Whether what stays out is noted or only shows in the dumps, the days ahead of the gray are about the same."""
    plain, noted = (known(ahead(TANK, gray_weeks(word), 56.5), "grey") for word in ("", "outside"))
    assert likely(noted.use_per_day) == pytest.approx(likely(plain.use_per_day), rel=0.12)
    assert likely(noted.days_left) == pytest.approx(likely(plain.days_left), rel=0.12)


def test_full_before_the_dump_is_warned_of() -> None:
    """A dump planned too late: the chance, what to keep out, and none of it when the dump is soon."""
    log = steady(63)
    late = entry(56.1, "planned", "grey", word="dump", until=moment(56.1 + 30))
    soon = replace(late, until=moment(56.1 + 4))
    told = [w for w in ahead(TANK, [*log, late], 56.2).warnings if w.code == "full-before-dump"]
    assert len(told) == 1 and told[0].chance is not None and told[0].chance > 0.8
    assert told[0].amount is not None and told[0].amount > 20 and told[0].before == moment(86.1).epoch
    calm = ahead(TANK, [*log, soon], 56.2)
    assert not [w for w in calm.warnings if w.code == "full-before-dump"]
    planned = known(calm, "grey").planned
    assert planned is not None and planned.kind == "dump" and (planned.chance_fails_before or 0.0) < 0.1


def test_plans_repeat_and_are_dropped() -> None:
    """Every 5 days: the next one counts; dropped: none."""
    plan = entry(0, "planned", "fresh", word="fill", until=moment(3), to="every 5 days")
    told = known(ahead(TANK, [*steady(63), plan], 56.2), "fresh").planned
    assert told is not None and (told.at.epoch - START) / 86_400 == pytest.approx(58.0)
    drop = entry(50, "planned", "fresh", word="fill", to="drop")
    assert known(ahead(TANK, [*steady(63), plan, drop], 56.2), "fresh").planned is None


def test_limit_soon() -> None:
    """A limit within two days is worth a line."""
    told = ahead(TANK, [*steady(63), entry(56.1, "limit", word="stay", until=moment(58))], 56.5)
    assert [w.word for w in told.warnings if w.code == "limit-soon"] == ["stay"]


def test_guests_use_more_and_leave() -> None:
    """Two more till Sunday: water goes faster until then."""
    alone = known(ahead(TANK, steady(63), 56.2), "fresh")
    guests = entry(56.1, "people", amount=3.0, unit="", until=moment(60))
    visited = known(ahead(TANK, [*steady(63), guests], 56.2), "fresh")
    assert likely(alone.days_left) - 10 < likely(visited.days_left) < likely(alone.days_left) - 3


def test_beyond_a_year_nothing_is_said() -> None:
    """A quantile past 365 days is None."""
    little = [entry(day, "fill", "propane", 0.2 if day else None, "kg", to="full") for day in range(0, 140, 20)]
    outlook = known(ahead(JUGS, little, 121), "propane")
    assert outlook.days_left is not None and outlook.days_left.p90 is None


def test_past_empty_is_kept_above_nothing() -> None:
    """Forty silent days on twenty litres: still an answer, finite and not negative."""
    told = known(ahead(TANK.replace("100 L", "20 L"), steady(35, 2.5), 75), "fresh")
    assert told.days_left is not None and told.days_left.p10 is not None and told.days_left.p10 >= 0
    assert likely(told.days_left) < 60


@pytest.mark.parametrize("chapter", [3, 5])
def test_long_logs_forget_their_first_chapters_alike(chapter: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """With short chapters too, folding entry by entry is folding the whole log at once."""
    monkeypatch.setattr(thread, "CHAPTER", chapter)
    log = [*steady(200, 5.0, every=3), *(entry(d + 0.4, "reading", "grey", 20.0, method="sight") for d in range(0, 200, 7))]
    whole = believed(TANK, log)
    kept = None
    for one in sorted(log, key=lambda e: (e.at.epoch, e.recorded, e.id)):
        kept = learn(kept, arrangements(TANK), [one])
    assert kept is not None and len(kept.threads["fresh"].rows) < 2 * chapter + 2
    assert numbers(look_ahead(kept, moment(205))) == pytest.approx(numbers(look_ahead(whole, moment(205))), rel=1e-9)


def test_a_full_tank_of_a_steady_life_agrees_with_chance() -> None:
    """Simulated lives of even use, drawn from the model itself: the 80 % band holds about 80 % of them."""
    rng = np.random.default_rng(7)
    inside = 0
    lives = 40
    for _ in range(lives):
        log, rate = [entry(0, "fill", "fresh", to="full")], float(rng.lognormal(np.log(6.0), 0.25))
        for week in range(1, 7):
            used = float(rng.gamma(4.0 * 7, rate / 4.0))
            log.append(entry(7.0 * week, "fill", "fresh", min(used, 99.0), to="full"))
        band = known(ahead(TANK, log, 42), "fresh").days_left
        days = np.arange(1, 4001) / 20
        gone = np.cumsum(rng.gamma(4.0 / 20, rate / 4.0, size=days.size))
        end = float(days[int(np.searchsorted(gone, 100.0))])
        assert band is not None and band.p10 is not None
        inside += band.p10 <= end <= (band.p90 or 999)
    assert 0.62 <= inside / lives <= 0.98


@pytest.mark.parametrize("supply", ["fresh", "propane"])
def test_in_silence_nothing_comes_back(supply: str) -> None:
    """With nothing noted there is never more than there was at the last note; long past its end nothing is counted on."""
    first = [entry(0, "reading", supply, 3.0, "kg" if supply == "propane" else "L", method="scale")]
    days = [1.0, 3.0, 8.0, 20.0, 60.0]
    told = [known(ahead(JUGS, first, day), supply) for day in days]
    levels = [one.level for one in told if one.level is not None]
    assert len(levels) == len(days) and all(level.p50 is not None and level.p50 <= 3.3 for level in levels)
    assert levels[-1].p10 == 0.0 and told[-1].days_left is not None and told[-1].days_left.p10 == 0.0


def test_a_shower_noted_after_a_look_into_the_gray_runs_into_the_gray() -> None:
    """Water filled, gray looked at, then ten litres used: what came down the drain is in there, wherever it went before."""
    noted = [entry(0, "fill", "fresh", to="full"), entry(0.01, "reading", "grey", 5.0)]
    before = likely(known(ahead(JUGS, noted, 0.02), "grey").level)
    after = known(ahead(JUGS, [*noted, entry(0.02, "use", "fresh", 10.0, word="shower")], 0.021), "grey").level
    assert before + 4.0 < likely(after) < before + 9.0
