"""Set-up: a few lines as a person would say them. Enter on an empty line means: none, or not known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from vanlife_supply.moment import Moment, read_when
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL
from vanlife_supply.tui.screens.lines import LinesScreen, Question
from vanlife_supply.tui.telling import UNKNOWN, Told, heard, read_days, read_held, read_people, to_toml, units_of

QUESTIONS = (
    Question("people", "Who", "Who lives aboard?", "1 and a dog 50 lb"),
    Question("fresh", "Water", "Water: each jug or tank, and how full it is now?", "7 gal half, 5 gal full"),
    Question("filled", "Filled", "When was all of it last filled to the top?", "sunday"),
    Question("lasts", "Lasts", "About how many days does a full load of water last you?", "10"),
    Question("grey", "Gray", "Gray: the container, how much is in it, where do you stop?", "6 gal, 2 in it, stop at 5.5"),
    Question("stove_fuel", "Alcohol", "Alcohol: canisters and can?", "2 x 1.2 L full, can 1 gal half"),
    Question("propane", "Propane", "Propane: cylinder, TW stamped on it, weight now?", "20 lb TW 17.1 weighs 24.3"),
)
TITLE = "What do you carry? In your own words; an empty line: none, or not known."


def setup(now: Callable[[], Moment]) -> LinesScreen:
    """The screen that asks; its answers go through `told_of`."""

    def understood(answers: list[str]) -> str:
        told = told_of(answers, now().zone)
        key = QUESTIONS[len(answers) - 1].key
        if key == "people":
            return f"{told.people:g} aboard{''.join(f', {p}' for p in told.pets)}"
        if key == "filled":
            read_when(told.filled or "now", now(), told.zone)
            return told.filled or "not known"
        if key == "lasts":
            return f"{told.lasts:g} days" if told.lasts else "not known"
        if key == QUESTIONS[-1].key:
            read_rig(to_toml(told))
        return heard(tuple(h for h in told.held if h.supply == key))

    return LinesScreen(TITLE, QUESTIONS, understood, _needless)


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
    "filled": lambda told, text: replace(told, filled="" if text.strip().lower() in UNKNOWN else text.strip()),
    "lasts": lambda told, text: replace(told, lasts=read_days(text)),
    "grey": _held(GREY),
    "stove_fuel": _held(STOVE_FUEL),
    "propane": _held(PROPANE),
}
