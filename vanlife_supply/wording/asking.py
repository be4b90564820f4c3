"""A condition that nobody noted, asked about: what shows it, what to answer."""

from __future__ import annotations

from typing import Any

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.forecast.model import Forecast, Question
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import PROPANE, Rig
from vanlife_supply.wording.amounts import number
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.times import named_day

SURE = 0.8
"""From this chance on it is said to look so; below, that nobody can tell without another look."""


def question_text(q: Question, forecast: Forecast, rig: Rig) -> str:
    """`Propane goes about 4 times as fast as usual since Sunday: looks like the heater.`"""
    name, since = supply_name(q.supply, rig), _since(q, forecast)
    if q.until is not None:
        went = f"{name} hardly went from {since} to {_day(q.until, forecast)}"
        seems = ": looks like nobody was aboard" if q.chance >= SURE else ", as if nobody were aboard"
        return f"{went}{seems}, unless a fill is not noted."
    if q.chance < SURE:
        look = "weigh it" if q.supply == PROPANE else "have a look"
        switched = "on" if q.on else "off"
        return f"{name} may go {_pace(q)} since {since}, as if {_named(q)} were {switched}: can't tell, {look}."
    if not q.on:
        return f"{name} goes {_pace(q)} since {since}: looks as if {_named(q)} were off."
    return f"{name} goes {_pace(q)} since {since}: looks like {_named(q)}."


def question_commands(q: Question, forecast: Forecast) -> str:
    """What to type for yes and for no."""
    start = _start(q, forecast).iso()
    on, off = f"condition {q.word}", f"condition {q.word} --off"
    yes, no = (on, off) if q.on else (off, on)
    until = "" if q.until is None else f" --until {_moment(q.until, forecast).iso()}"
    return f"Yes: {yes} --at {start}{until}  No: {no}"


def question_json(q: Question | None, forecast: Forecast, rig: Rig) -> dict[str, Any] | None:
    """The `question` of `days --json`, null when there is nothing to ask."""
    if q is None:
        return None
    return {
        "supply": q.supply, "condition": q.word, "on": q.on, "since": _start(q, forecast).iso(),
        "chance": round(q.chance, 5), "pace": round(q.pace, 5),
        "text": question_text(q, forecast, rig), "answers": question_commands(q, forecast),
    }  # fmt: skip


def answer_typed(q: Question, *, yes: bool, now: Moment) -> Typed:
    """What an answer notes: the switch when it shows first; or that it is as it was, now, which is not asked again."""
    start = at(q.since, now.zone, now.offset).iso() if yes else ""
    until = at(q.until, now.zone, now.offset).iso() if yes and q.until is not None else ""
    return Typed(m.CONDITION, word=q.word, down_to="" if q.on == yes else m.OFF, at=start, until=until)


def _named(q: Question) -> str:
    return q.word if q.word == "guests" else f"the {q.word}"


def _pace(q: Question) -> str:
    if q.pace >= 1.0:
        return f"about {number(q.pace)} times as fast as usual"
    return f"at about {number(q.pace)} of its pace"


def _moment(epoch: float, forecast: Forecast) -> Moment:
    return at(round(epoch), forecast.as_of.zone, forecast.as_of.offset)


def _day(epoch: float, forecast: Forecast) -> str:
    return named_day(_moment(epoch, forecast), forecast.as_of)


def _start(q: Question, forecast: Forecast) -> Moment:
    return _moment(q.since, forecast)


def _since(q: Question, forecast: Forecast) -> str:
    return _day(q.since, forecast)
