"""Instants, zones and time words."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from vanlife_supply.moment import (
    Moment,
    at,
    every_days,
    occurrences,
    read_iso,
    read_when,
    refuse_ahead,
)
from vanlife_supply.refusal import Refusal

DENVER = "America/Denver"


def denver(text: str) -> Moment:
    """A wall-clock time in Denver."""
    return read_iso(text, DENVER).moment


NOW = denver("2026-05-08T18:00")  # a Friday


@pytest.mark.parametrize(
    ("typed", "wall", "slack"),
    [
        ("now", "2026-05-08T18:00", 0), ("08:15", "2026-05-08T08:15", 0), ("8:15 am", "2026-05-08T08:15", 0),
        ("5pm", "2026-05-08T17:00", 0), ("last night", "2026-05-07T21:00", 6), ("this morning", "2026-05-08T08:00", 6),
        ("yesterday", "2026-05-07T12:00", 12), ("yesterday 18:00", "2026-05-07T18:00", 0),
        ("tue", "2026-05-05T12:00", 12), ("Tuesday 7am", "2026-05-05T07:00", 0), ("fri", "2026-05-01T12:00", 12),
        ("2h ago", "2026-05-08T16:00", 0.5), ("20 min ago", "2026-05-08T17:40", 0), ("3 days ago", "2026-05-05T18:00", 6),
        ("a week ago", "2026-05-01T18:00", 12), ("2026-05-01", "2026-05-01T12:00", 12), ("may 1", "2026-05-01T12:00", 12),
        ("1 may 9:30", "2026-05-01T09:30", 0), ("2026-05-08 09:00", "2026-05-08T09:00", 0),
        ("20 dec", "2025-12-20T12:00", 12),
        ("noon yesterday", "2026-05-07T12:00", 5), ("7 pm on tue", "2026-05-05T19:00", 0),
    ],
)  # fmt: skip
def test_past_words(typed: str, wall: str, slack: float) -> None:
    """What happened lies behind the clock; coarse words carry their ± hours."""
    when = read_when(typed, NOW, DENVER)
    assert f"{when.moment.local():%Y-%m-%dT%H:%M}" == wall
    assert when.slack_h == slack


@example(today=date(2027, 6, 1), away=273, ahead=True)
@given(today=st.dates(date(2023, 1, 1), date(2033, 12, 31)), away=st.integers(1, 360), ahead=st.booleans())
def test_a_day_and_month_is_the_nearest_such_date(today: date, away: int, ahead: bool) -> None:
    """`29 feb` is the next one for a plan and the last one for what happened, also where a neighbouring year has none."""
    meant = today + timedelta(days=away if ahead else -away)
    now = denver(datetime.combine(today, time(18)).isoformat())
    assert read_when(f"{meant.day} {meant:%b}", now, DENVER, ahead=ahead).moment.local().date() == meant


@pytest.mark.parametrize(
    ("typed", "wall"),
    [
        ("fri", "2026-05-15T12:00"), ("sat 10:00", "2026-05-09T10:00"), ("sat 16", "2026-05-16T12:00"),
        ("tomorrow", "2026-05-09T12:00"), ("in 3 days", "2026-05-11T18:00"), ("9:00", "2026-05-09T09:00"),
        ("1 may", "2027-05-01T12:00"), ("12 may", "2026-05-12T12:00"), ("next tue", "2026-05-12T12:00"),
        ("sat 16 may", "2026-05-16T12:00"), ("Sat 16 May 10:00", "2026-05-16T10:00"),
    ],
)  # fmt: skip
def test_words_for_plans_look_ahead(typed: str, wall: str) -> None:
    """The same words mean the next one when something is planned."""
    assert f"{read_when(typed, NOW, DENVER, ahead=True).moment.local():%Y-%m-%dT%H:%M}" == wall


@pytest.mark.parametrize(
    "typed",
    ["", "soon", "25:00", "tue 99", "sat 17", "sat 18 may", "2026-13-01", "30 feb", "9999999 weeks ago", "in 9999999 weeks"],
)
def test_other_words_are_refused(typed: str) -> None:
    """One sentence, no traceback."""
    with pytest.raises(Refusal):
        read_when(typed, NOW, DENVER)


@pytest.mark.parametrize(("ahead", "day"), [(False, "2026-05-07"), (True, "2026-05-09")])
def test_the_example_could_be_meant(ahead: bool, day: str) -> None:
    """A refused time is shown one that lies where it was asked for: behind the clock, or ahead of it."""
    with pytest.raises(Refusal, match=day):
        read_when("soon", NOW, DENVER, ahead=ahead)


def test_a_written_offset_is_believed_and_kept() -> None:
    """The offset stays as written even where the zone would have another."""
    kept = read_iso("2026-05-08T18:00:00+05:30", DENVER).moment
    assert kept.iso() == "2026-05-08T18:00:00+05:30"
    assert kept.epoch == datetime.fromisoformat("2026-05-08T12:30:00+00:00").timestamp()


def test_clock_changes() -> None:
    """A skipped wall-clock time is refused, of a doubled one the first is taken and said (Denver, 2026)."""
    with pytest.raises(Refusal, match="skipped"):
        read_iso("2026-03-08T02:30", DENVER)
    doubled = read_iso("2026-11-01T01:30", DENVER)
    assert doubled.moment.offset == -6 * 3600
    assert "twice" in doubled.note


def test_elapsed_time_across_the_spring_change_is_true() -> None:
    """Saturday 17:00 to Monday 17:00 across the change is 47 h (worked scenario 11)."""
    assert denver("2026-03-09T17:00").epoch - denver("2026-03-07T17:00").epoch == 47 * 3600


def test_an_event_ahead_of_the_clock_is_refused_naming_it() -> None:
    """Ten minutes are forgiven, more is not."""
    assert refuse_ahead(read_when("18:09", NOW, DENVER), NOW)
    with pytest.raises(Refusal, match="clock \\(2026-05-08 18:00\\)"):
        refuse_ahead(read_when("18:11", NOW, DENVER), NOW)


def test_repeats_keep_the_wall_clock() -> None:
    """Every Friday at noon stays at noon when the clocks change."""
    first = denver("2026-10-23T12:00")
    found = occurrences(first, "fri", first.epoch, first.epoch + 22 * 86400)
    assert [f"{m.local():%m-%d %H:%M}" for m in found] == ["10-30 12:00", "11-06 12:00", "11-13 12:00"]
    assert occurrences(first, "", first.epoch - 1, first.epoch) == [first]
    assert every_days("5 days") == 5 and every_days("every 2 weeks") == 14
    for bad in ("0 days", "never", "5"):
        with pytest.raises(Refusal):
            every_days(bad)


@given(st.integers(0, 4_000_000_000), st.sampled_from([DENVER, "Europe/Berlin", "Asia/Kathmandu", "Pacific/Auckland"]))
def test_iso_round_trips(epoch: int, zone: str) -> None:
    """A moment written as ISO 8601 and read back is the same instant with the same offset."""
    moment = at(float(epoch), zone)
    back = read_iso(moment.iso(), zone).moment
    assert (back.epoch, back.offset) == (moment.epoch, moment.offset)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("on tuesday", "05 12"),
        ("last week", "01 18"),
        ("tue at 6", "05 18"),
        ("two days ago", "06 18"),
        ("tue at 11", "05 11"),
    ],
)
def test_days_as_people_say_them(text: str, day: str) -> None:
    """On a day, last week, an hour without am or pm, small numbers in words (the clock: Friday 8 May, 18:00)."""
    now = read_iso("2026-05-08T18:00", "America/Denver").moment
    assert f"{read_when(text, now, 'America/Denver').moment.local():%d %H}" == day
