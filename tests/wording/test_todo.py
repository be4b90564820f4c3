"""What is worth doing now."""

from __future__ import annotations

from dataclasses import replace

from tests.wording.example import forecast, rig
from vanlife_supply.forecast.model import Band, First, Warning
from vanlife_supply.wording.days import days_text
from vanlife_supply.wording.todo import things_to_do


def test_what_is_short_is_said_though_nothing_is_planned() -> None:
    """Propane for a night: that stands first, whatever else there is to do; what lasts for days is not pressing."""
    told = forecast()
    night = Band(0.4, 0.7, 1.1)
    short = tuple(replace(s, planned=None, days_left=night if s.supply == "propane" else s.days_left) for s in told.supplies)
    found = things_to_do(replace(told, supplies=short, warnings=()), rig())
    assert found[0].cure == "Propane: get more by Friday early; nothing is planned."
    assert [t.supply for t in found if t.pressing] == ["propane"]


def test_silence_says_what_cannot_be_and_counts_days_as_the_header_does() -> None:
    """Noted last on the evening nine dates ago: nine days, and the water that should be gone is named in the question."""
    told = forecast()
    last = told.as_of.plus(-8.9)
    gone = tuple(Warning("impossible-level", supply, at=told.as_of.epoch) for supply in ("fresh", "grey"))
    asked = next(t for t in things_to_do(replace(told, last_entry=last.epoch, warnings=gone), rig()) if t.asks)
    days = (told.as_of.local().date() - last.local().date()).days
    assert days == 9 and f"for {days} days; as usual, water would be gone and gray would be full by now. Catch" in asked.cure
    quiet = next(t for t in things_to_do(replace(told, last_entry=last.epoch, warnings=()), rig()) if t.asks)
    assert f"for {days} days. Catch up" in quiet.cure


def test_silence_presses_nobody_and_asks_for_no_other_look() -> None:
    """Beside catching up, water that should be gone is not urged, nor an old guess named; once put off, it is."""
    told = forecast()
    gone = (Warning("impossible-level", "fresh", at=told.as_of.epoch, reason="below"),)
    none = Band(0.0, 0.0, 0.4)
    short = tuple(replace(s, planned=None, days_left=none if s.supply == "fresh" else s.days_left) for s in told.supplies)
    silent = replace(told, supplies=short, warnings=gone, last_entry=told.as_of.plus(-8.9).epoch)
    assert [t.asks for t in things_to_do(silent, rig())] == ["silence"]
    assert any(t.pressing and t.supply == "fresh" for t in things_to_do(silent, rig(), quiet=True))


def test_what_is_planned_is_not_said_twice() -> None:
    """Gray full before its dump is one thing to do."""
    told = forecast()
    short = tuple(replace(s, days_left=Band(0.4, 0.7, 1.1)) if s.supply == "grey" else s for s in told.supplies)
    found = things_to_do(replace(told, supplies=short), rig())
    assert [t.supply for t in found if t.pressing] == ["grey"]


def test_the_command_line_urges_what_the_app_does() -> None:
    """What the app urges first stands first in `days` too, planned or not, and no key of the app is named there."""
    told = forecast()
    soon = Band(0.4, 0.7, 1.1)
    short = tuple(replace(s, planned=None, days_left=soon) if s.supply == "fresh" else s for s in told.supplies)
    its = replace(told, supplies=short, warnings=(Warning("questioned", "propane", reason="odd"), *told.warnings))
    urged = [t for t in things_to_do(its, rig()) if t.pressing]
    lines = [line[2:] for line in days_text(its, rig()).splitlines() if line[:1].isdigit()]
    assert {t.supply for t in urged} >= {"fresh", "grey"} and len(lines) == len(its.warnings) + 1
    assert next(t.cure for t in urged if t.supply == "fresh") in lines[: len(urged)]
    assert "Esc" not in " ".join(lines)


def test_what_stops_you_first_is_urged_first() -> None:
    """Where water comes first, a gray dump at risk is not item 1, in the app nor in `days`."""
    told = forecast()
    soon = Band(0.4, 0.7, 1.1)
    short = tuple(replace(s, planned=None, days_left=soon) if s.supply == "fresh" else s for s in told.supplies)
    its = replace(told, supplies=short, first=First("fresh", soon, {}))
    urged = [t.supply for t in things_to_do(its, rig()) if t.pressing]
    assert urged[0] == "fresh" and "grey" in urged
    assert next(line for line in days_text(its, rig()).splitlines() if line[:2] == "1 ").startswith("1 Water: ")


def test_what_looks_odd_is_asked_first_and_always_among_them() -> None:
    """However much presses, the newest odd entry is the one question; put off for today, what presses has the room."""
    told = forecast()
    soon = Band(0.4, 0.7, 1.1)
    short = tuple(replace(s, planned=None, days_left=soon) for s in told.supplies)
    odd = tuple(Warning("questioned", "propane", entry=name) for name in ("newest", "older"))
    its = replace(told, supplies=short, warnings=odd, last_entry=told.as_of.plus(-8.9).epoch)
    found = things_to_do(its, rig())
    assert [t.pressing for t in found] == [True, True, False]
    assert found[2].warning is not None and found[2].warning.entry == "newest"
    assert len([t for t in things_to_do(its, rig(), quiet=True) if t.pressing]) == 3
