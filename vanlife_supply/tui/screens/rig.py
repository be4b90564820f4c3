"""What is carried, changed in mid-life: a line each, what a change does is said before it is kept; the past stays."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import ClassVar

from vanlife_supply import keeping
from vanlife_supply.actions import RIG, with_keys
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.company import living
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.change import changed, with_level
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import FILLS, Container, Rig
from vanlife_supply.rig.weight import Load
from vanlife_supply.tui.explaining import RIG_CONTAINER, RIG_LOAD, RIG_SILENCED, RIG_SUPPLY
from vanlife_supply.tui.lines import Line, wrap
from vanlife_supply.tui.screens.ask import AskScreen
from vanlife_supply.tui.screens.rows import RowsScreen
from vanlife_supply.tui.telling import read_people
from vanlife_supply.wording.amounts import amount
from vanlife_supply.wording.laden import load_words
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.rig_change import HOLDS, rig_change

SILENCED = "declined "
"""What a setting that remembers a no begins with."""


@dataclass(frozen=True, slots=True)
class Row:
    """A line: of the rig (both ""), of a supply, of a container; or a question not asked again (its setting)."""

    words: str
    supply: str = ""
    label: str = ""
    silenced: str = ""


@dataclass(frozen=True, slots=True)
class Carried:
    """The rig as its file has it, and what is not asked again."""

    toml: str
    rig: Rig
    load: Load | None
    silenced: tuple[str, ...]


class RigScreen(RowsScreen[Carried]):
    """The rows of the rig with a cursor."""

    screen_name: ClassVar[str] = RIG
    waiting: ClassVar[str] = "Reading what is carried ..."
    keys_wait: ClassVar[bool] = True
    opens: ClassVar[str] = "change_rig"

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Carried]:
        """The rig in force."""
        load = keeping.load_aboard(book, now)
        yield Carried(book.rig_text() or "", book.rig(), load, tuple(book.settings(SILENCED)))

    def heading(self) -> str:
        """What is done here."""
        return "What is carried, from now on"

    def body(self, found: Carried, width: int) -> list[Line]:
        """The rig, each supply with its containers, what is not asked again."""
        rows = self._rows(found)
        self.keep_within(len(rows))
        told = [wrap(f"{self.arrow(i)} {row.words}", width - 1, "", "    ") for i, row in enumerate(rows)]
        return [self.marked(each[0].text, i, width) for i, lines in enumerate(told) for each in lines]

    def _rows(self, found: Carried) -> list[Row]:
        rig = found.rig
        said = [e.pets for e in self.own.known.entries if e.kind == m.PEOPLE and e.pets and not e.until]
        pets = said[-1] if said else ", ".join(rig.pets)
        aboard = f"{living(self.own.known.entries, self.own.rig):.0f} aboard{f', {pets}' if pets else ''}"
        units = "gallons and pounds" if rig.units == "us" else "litres and kilograms"
        rows = [Row(f"{aboard} · {units} · {rig.zone} · {rig.currency}")]
        rows += [Row(f"{load_words(found.load, rig).capitalize()}")] if found.load else []
        for its in rig.supplies:
            kept = f", {amount(its.reserve, its)} kept back" if its.reserve else ""
            lasts = f", you say it lasts {its.lasts:g} days" if its.lasts else ""
            rows.append(Row(f"{supply_name(its.name, rig)} in {its.unit}{kept}{lasts}", its.name))
            rows += [Row(f"   {_words(c, rig)}", c.supply, c.label) for c in rig.of(its.name)]
        return rows + [Row(f"Never asked: {_asked(name, rig)}", silenced=name) for name in found.silenced]

    @property
    def _row(self) -> Row:
        return self._rows(self._carried)[self._at]

    @property
    def _carried(self) -> Carried:
        if self._found is None:
            raise Refusal("What is carried is still being read.")
        return self._found

    @property
    def about(self) -> str:
        """What is explained: the kind of the row under the cursor."""
        row = self._row
        if row.silenced or row.label:
            return RIG_SILENCED if row.silenced else RIG_CONTAINER
        return RIG_SUPPLY if row.supply else RIG if self._at == 0 else RIG_LOAD

    # changes

    def do_change_rig(self) -> None:
        """The row under the cursor, in words; a question that is not asked is asked again."""
        row = self._row
        if row.silenced:
            self.noted(lambda book, now: book.unset(row.silenced), "It may be asked again.")
            return
        hint = _HINTS[bool(row.supply) + bool(row.label)]
        self._ask(f"{row.words.strip()}. What is it from now on?", row, hint)

    def do_add_to_rig(self) -> None:
        """One more container, of the supply under the cursor unless another is said."""
        self._ask("What is new aboard?", self._row, "5 gal jug full · propane 11 lb · toilet fills 5 gal", "new ")

    def do_container_gone(self) -> None:
        """The container under the cursor goes, once that was said."""
        row = self._row
        if not row.label:
            self.tell("Put the cursor on the jug, tank or cylinder that is gone.")
            return
        self._ask(f"{row.words.strip()}. Is it gone?", row, "gone", text="gone")

    def _ask(self, question: str, row: Row, hint: str, lead: str = "", text: str = "") -> None:
        """One line; what it would do is said while it is typed, Enter keeps it."""
        toml, rig, past = self._carried.toml, self.own.rig, [each.rig for each in self.own.known.arrangements]

        def meaning(said: str) -> str:
            after = read_rig(changed(toml, rig.zone, row.supply, row.label, lead + said, past))
            return f"{rig_change(rig, after, with_level(lead + said)[1])} {HOLDS}"

        def answered(said: str | None) -> None:
            if said:
                told = meaning(said).removesuffix(f" {HOLDS}")
                self.noted(lambda book, now: _change(book, row, lead + said, now), told)

        self.own.push_screen(AskScreen(question, meaning, hint=hint, text=text), answered)

    def do_aboard(self) -> None:
        """How many live here, and which pets."""

        def typed(said: str) -> Typed:
            people, pets = read_people(said)
            return Typed(m.PEOPLE, amount=f"{people:.0f}", pets=", ".join(pets))

        def meaning(said: str) -> str:
            people, pets = read_people(said)
            guests = with_keys("Guests: {spans} on the first screen.")
            return f"{people:g} aboard{''.join(f', {p}' for p in pets)}, from now on. {guests}"

        def answered(said: str | None) -> None:
            if said:
                self.noted(lambda book, now: _note(book, typed(said), now), meaning(said))

        self.own.push_screen(AskScreen("Who lives aboard?", meaning, hint="2 and a dog 50 lb"), answered)


_HINTS = (
    "units metric · zone America/Denver · currency CAD · payload 300 lb",
    "reserve 1 gal · unit L · lasts 10 days",
    "6 gal · called blue jug · stop at 5.5 · tare 17 lb · kept back · for washing",
)
"""What may be said of the rig, of a supply, of a container."""


def _change(book: Logbook, row: Row, said: str, now: Moment) -> None:
    keeping.change_rig(book, row.supply, row.label, said, now)


def _note(book: Logbook, typed: Typed, now: Moment) -> None:
    keeping.record(book, [keeping.noted(book, typed, now)], now)


def _words(c: Container, rig: Rig) -> str:
    """`A big jug, 7 gal, kept back`"""
    its = rig.supply(c.supply)
    name = c.label if c.label.split()[-1] == c.letter else f"{c.letter} {c.label}"
    parts = [f"{name}, {amount(c.capacity, its)}"]
    if c.usable < 1:
        parts.append(f"{'stop at' if its.direction == FILLS else 'filled to'} {amount(c.stop, its)}")
    parts += [word for word, said in (("kept back", c.kept_back), ("for washing", not c.drinking)) if said]
    return ", ".join(parts)


def _asked(setting: str, rig: Rig) -> str:
    """`declined capacity fresh jug B` → `capacity of jug B`"""
    what, supply, label = (*setting.removeprefix(SILENCED).split(" ", 2), "", "")[:3]
    return f"{what.replace('_', ' ')} of {label or rig.say(supply)}"
