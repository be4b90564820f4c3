"""Set-up: a few lines as a person would say them. Enter on an empty line means: none, or not known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import Screen
from textual.widgets import Input, Static

from vanlife_supply.moment import read_when
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL
from vanlife_supply.tui.telling import (
    UNKNOWN,
    Told,
    heard,
    read_days,
    read_held,
    read_people,
    to_toml,
    units_of,
)

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp


@dataclass(frozen=True, slots=True)
class Question:
    """One line of the set-up: what is asked, an example, and how an answer changes what is told."""

    key: str
    name: str
    asked: str
    example: str


QUESTIONS = (
    Question("people", "Who", "Who lives aboard?", "1 and a dog 50 lb"),
    Question("fresh", "Water", "Water: each jug or tank, and how full it is now?", "7 gal half, 5 gal full"),
    Question("filled", "Filled", "When was all of it last filled to the top?", "sunday"),
    Question("lasts", "Lasts", "About how many days does a full load of water last you?", "10"),
    Question("grey", "Gray", "Gray: the container, how much is in it, where do you stop?", "6 gal, 2 in it, stop at 5.5"),
    Question("stove_fuel", "Alcohol", "Alcohol: canisters and can?", "2 x 1.2 L full, can 1 gal half"),
    Question("propane", "Propane", "Propane: cylinder, TW stamped on it, weight now?", "20 lb TW 17.1 weighs 24.3"),
)


class SetupScreen(Screen[Told]):
    """Asks line by line; dismissed with all that was told."""

    BINDINGS: ClassVar = [
        Binding("escape", "before", "one line back", show=False),
    ]
    DEFAULT_CSS = """
    SetupScreen { background: $background; }
    SetupScreen > Vertical { padding: 0 1; height: 1fr; }
    SetupScreen Static { height: auto; }
    SetupScreen #title { text-style: bold; margin-bottom: 1; }
    SetupScreen #asked { text-style: bold; color: $primary; margin-top: 1; }
    SetupScreen #heard { color: $secondary; }
    SetupScreen #heard.wrong { color: $warning; text-style: bold; }
    SetupScreen #keys { margin-top: 1; }
    SetupScreen Input { background: $panel; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._answers: list[str] = []

    @property
    def own(self) -> SupplyApp:
        """The app with our own attributes."""
        return cast("SupplyApp", self.app)

    def compose(self) -> ComposeResult:
        """What was answered, the question, the line, what was understood."""
        typed = Input(select_on_focus=False, compact=True)
        typed.cursor_blink = False
        with Vertical():
            yield Static("What do you carry? In your own words; an empty line: none, or not known.", id="title")
            yield Static("", id="answered", markup=False)
            yield Static("", id="asked", markup=False)
            yield typed
            yield Static("", id="heard", markup=False)
            yield Static("Enter next   Esc one line back (on the first line: leave)", id="keys", markup=False)

    def on_mount(self) -> None:
        """The first question."""
        self.query_one(Input).focus()
        self._ask("")

    def _ask(self, text: str) -> None:
        question = QUESTIONS[len(self._answers)]
        answered = [f"{q.name:<9} {a or 'not said'}" for q, a in zip(QUESTIONS, self._answers, strict=False)]
        self.query_one("#answered", Static).update("\n".join(answered))
        self.query_one("#asked", Static).update(f"{len(self._answers) + 1} of {len(QUESTIONS)}  {question.asked}")
        line = self.query_one(Input)
        line.placeholder = f"like: {question.example}"
        line.value = text
        line.cursor_position = len(text)
        self._explain(text)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Says what is understood so far."""
        self._explain(event.value)

    def _explain(self, text: str) -> bool:
        place = self.query_one("#heard", Static)
        try:
            words, wrong = self._understood(text), False
        except Refusal as fault:
            words, wrong = str(fault), True
        place.set_class(wrong, "wrong")
        place.update(words)
        return not wrong

    def _understood(self, text: str) -> str:
        told = told_of([*self._answers, text], self.own.now().zone)
        key = QUESTIONS[len(self._answers)].key
        if key == "people":
            return f"{told.people:g} aboard{''.join(f', {p}' for p in told.pets)}"
        if key == "filled":
            read_when(told.filled or "now", self.own.now(), told.zone)
            return told.filled or "not known"
        if key == "lasts":
            return f"{told.lasts:g} days" if told.lasts else "not known"
        return heard(tuple(h for h in told.held if h.supply == key))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Takes the line; after the last one set-up is done."""
        event.stop()
        if not self._explain(event.value):
            return
        self._answers.append(event.value.strip())
        if len(self._answers) == len(QUESTIONS):
            self._finish()
            return
        while QUESTIONS[len(self._answers)].key in ("filled", "lasts") and not told_of(self._answers, "UTC").held:
            self._answers.append("")
        self._ask("")

    def _finish(self) -> None:
        try:
            told = told_of(self._answers, self.own.local_zone())
            read_rig(to_toml(told))
        except Refusal as fault:
            self._answers.pop()
            self._ask("")
            self.query_one("#heard", Static).update(str(fault))
            return
        self.dismiss(told)

    def action_before(self) -> None:
        """Back to the line before."""
        if self._answers:
            self._ask(self._answers.pop())
        else:
            self.app.exit()


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
