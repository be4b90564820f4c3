"""Set-up: a few lines as a person would say them. Enter on an empty line means: none, or not known."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace

from vanlife_supply.entry.build import build
from vanlife_supply.moment import Moment, at, read_iso, read_when, refuse_ahead
from vanlife_supply.quantity import GROSS
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL
from vanlife_supply.tui.desk import Desk
from vanlife_supply.tui.screens.lines import Begun, Keep, LinesScreen, Question
from vanlife_supply.tui.telling import (
    UNKNOWN,
    Told,
    fill_tells,
    first_entries,
    heard,
    read_days,
    read_filled,
    read_held,
    read_people,
    to_toml,
    units_of,
)
from vanlife_supply.wording.times import day

QUESTIONS = (
    Question("people", "Who", "Who lives aboard?", "1 and a dog 50 lb"),
    Question("fresh", "Water", "Water: each jug or tank, and how full it is now?", "7 gal half, 5 gal full"),
    Question("filled", "Filled", "When was all of it last filled to the top?", "sunday"),
    Question("lasts", "Lasts", "About how many days does a full load of water last you?", "10"),
    Question("grey", "Gray", "Gray: the container, how much is in it, where do you stop?", "6 gal, 2 in it, stop at 5.5"),
    Question("stove_fuel", "Alcohol", "Alcohol: canisters and can?", "2 x 1.2 L full, can 1 gal half"),
    Question("propane", "Propane", "Propane: cylinder, TW stamped on it, weight now?", "20 lb TW 17.1 weighs 24.3"),
)
SHORTER = "Kept. Shorter to start: put alias vs=vanlife-supply into your shell's file."
"""Offered once; nothing is written."""
TITLE = "What do you carry? In your own words; an empty line: none, or not known."


BEGUN = "set-up"
"""The setting that holds the answers of a set-up that came to no end."""


def setup(now: Callable[[], Moment], zone: str, desk: Desk, keep: Keep) -> LinesScreen:
    """The screen that asks; its answers go through `told_of`, and to `keep` when all are there.

    Each is remembered with the log as it is given, so that a flat battery costs none; offered again at the next start.
    """

    def here() -> Moment:
        return at(now().epoch, zone)

    return LinesScreen(
        TITLE, QUESTIONS, lambda answers: understood(answers, zone, here()), _needless, keep,
        given=lambda answers: desk.remember(BEGUN, _remembered(answers, here())), begun=begun(desk.setting(BEGUN), here()),
    )  # fmt: skip


def _remembered(answers: list[str], now: Moment) -> str:
    return json.dumps({"at": now.iso(), "answers": answers}) if answers else ""


def begun(remembered: str | None, now: Moment) -> Begun | None:
    """The answers to go on with. On another day each is asked again: "sunday" and "half full" were said of then."""
    if not remembered:
        return None
    kept = json.loads(remembered)
    when = at(read_iso(kept["at"], now.zone).moment.epoch, now.zone)
    stale = when.local().date() != now.local().date()
    told = f"You had begun on {day(when)}; each line comes again." if stale else "You had begun; these lines are kept."
    return Begun(tuple(kept["answers"]), told, stale)


def understood(answers: list[str], zone: str, now: Moment) -> str:
    """What the last answer was taken for. Refusal when it could not be kept together with those before it."""
    told = told_of(answers, zone)
    check(told, now, whole=len(answers) == len(QUESTIONS))
    key = QUESTIONS[len(answers) - 1].key
    if key == "people":
        unsaid = ", say so if not" if answers[-1].strip().lower() in UNKNOWN else ""
        return f"{told.people:g} aboard{''.join(f', {p}' for p in told.pets)}{unsaid}"
    if key == "filled":
        return _day_told(told, now)
    if key == "lasts":
        return f"{told.lasts:g} days" if told.lasts else "not known"
    return heard(tuple(h for h in told.held if h.supply == key))


def check(told: Told, now: Moment, *, whole: bool) -> None:
    """Refusal when the rig and entries that follow from what was told cannot be kept."""
    if told.filled:
        refuse_ahead(read_when(told.filled, now, told.zone), now)
    if not told.held:
        if whole:
            raise Refusal("Nothing was named that could run out: say a cylinder here, or go back with Esc and name a jug.")
        return
    its = read_rig(to_toml(told))
    for entry in (build(typed, its, now) for typed in first_entries(told)):
        if entry.questioned and entry.unit not in GROSS:
            raise Refusal(f"{entry.said} is {entry.questioned}: check the number or the unit.")


def _day_told(told: Told, now: Moment) -> str:
    """The day understood, so that a slip shows before Enter."""
    if not told.filled:
        return "not known"
    when = read_when(told.filled, now, told.zone)
    local, rough = when.moment.local(), when.slack_h >= 12
    instead = "" if fill_tells(told) else "; what you said is in them now counts instead"
    return f"{local:%A} {local.day} {local:%B}{'' if rough else f' {local:%H:%M}'}{instead}"


def _needless(key: str, answers: list[str]) -> bool:
    """Without water nobody is asked when it was filled."""
    return key in ("filled", "lasts") and not told_of(answers, "UTC").held


def told_of(answers: list[str], zone: str) -> Told:
    """All answers so far → what was told. Refusal when one is not understood."""
    told = Told(zone=zone, units=units_of(" ".join(answers)))
    for question, answer in zip(QUESTIONS, answers, strict=False):
        told = _READERS[question.key](told, answer)
    return told


def _people(told: Told, text: str) -> Told:
    people, pets = read_people(text)
    return replace(told, people=people, pets=pets)


def _held(supply: str) -> Callable[[Told, str], Told]:
    return lambda told, text: replace(told, held=(*told.held, *read_held(text, supply, told.units)))


_READERS: dict[str, Callable[[Told, str], Told]] = {
    "people": _people,
    "fresh": _held(FRESH),
    "filled": lambda told, text: replace(told, filled=read_filled(text)),
    "lasts": lambda told, text: replace(told, lasts=read_days(text)),
    "grey": _held(GREY),
    "stove_fuel": _held(STOVE_FUEL),
    "propane": _held(PROPANE),
}
