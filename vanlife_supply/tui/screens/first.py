"""The first screen: the answer, and noting what happened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from textual import events

from vanlife_supply.actions import FIRST, NOTING, key_of, keys_of, with_keys
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL
from vanlife_supply.tui.asking import ask_again, ask_doubt, at_a_stop, catch_up, enough_for_today, todo
from vanlife_supply.tui.board import View, board, main_width
from vanlife_supply.tui.explaining import explained
from vanlife_supply.tui.lines import Line
from vanlife_supply.tui.noting import Noting, begin, named, press, to_typed
from vanlife_supply.tui.prompt import message_foot, noting_foot, preview
from vanlife_supply.tui.screens.ahead import pass_on
from vanlife_supply.tui.screens.sheeted import SheetScreen, key_of_press
from vanlife_supply.tui.widgets.sheet import Sheet
from vanlife_supply.wording.entries import effect, noted

NOTHING_NOTED = "Nothing is noted yet: {filled} what was filled, {looked} how much is left, {say} in your own words."

_CLOSER = {"closer_water": FRESH, "closer_gray": GREY, "closer_alcohol": STOVE_FUEL, "closer_propane": PROPANE}
_THINGS = ("first_thing", "second_thing", "third_thing")


class FirstScreen(SheetScreen[None]):
    """What is known now; keys note events, open the rest."""

    screen_name: ClassVar[str] = FIRST

    def __init__(self) -> None:
        super().__init__()
        self._noting: Noting | None = None
        self._message: tuple[str, ...] = ()
        self._new = False
        """Set-up has just ended: whoever sees this for the first time sees every key."""
        self._kept = ""
        """The id of the entry the message is about."""
        self._answer = False
        """What was noted last answers a question."""
        self._page = 0
        """How often what has no room was asked for."""
        self._waits: tuple[Forecast | None, str] | None = None
        """The forecast before an entry and the supply it was about, until the one after it is there."""

    def _lines(self, width: int, height: int) -> list[Line]:
        rig = self.own.known.rig
        if rig is None:
            return []
        known, foot = self.own.known.entries, tuple(self._foot(main_width(width)))
        own = self.own
        view = View(rig, own.now(), own.forecast, known, foot, own.where.stop, own.where.in_town, tuple(todo(own)),
                    None if self._noting else self._page)  # fmt: skip
        return board(view, width, height)

    def _foot(self, width: int) -> list[Line]:
        if self._noting:
            return noting_foot(self._noting, self.own.now(), width)
        known, forecast = self.own.known.entries, self.own.forecast
        unknown = not known and forecast is not None and forecast.first is None
        message = self._message or ((with_keys(NOTHING_NOTED),) if unknown else ())
        return message_foot(message, width, every_key=self._new) if message else []

    def tell(self, *text: str) -> None:
        """Says something until the next key."""
        self._message = tuple(filter(None, text))
        self.show()

    def welcome(self, text: str) -> None:
        """Says something to whoever is here for the first time."""
        self._new = True
        self.tell(text)

    def show(self) -> None:
        """Draws what is known now; before the sheet is there it will ask by itself."""
        for sheet in self.query(Sheet):
            sheet.show()

    def on_screen_resume(self) -> None:
        """Another screen was left: what it changed is shown."""
        self.show()

    # what the app tells

    def forecast_changed(self, fault: str) -> None:
        """A new forecast is there: it says what the last entry did. `fault`: why there is none."""
        after = self.own.forecast
        if fault:
            self._message, self._waits = (*(self._message[:1] if self._waits else ()), fault), None
        if self._waits and after:
            before, supply = self._waits
            told = effect(before, after, supply, self.own.rig)
            self._message = (*self._message[:1], *([told] if told else []), *self._message[1:])
            self._waits = None
        self.show()

    def judged(self, entry: Entry, verdict: str) -> None:
        """Whether it came as said, beside what the last entry did."""
        if entry.id == self._kept and self._message:
            self._message = (*self._message, verdict)
            self.show()

    def places_changed(self) -> None:
        """The names of places are there; what is being noted may be at one of them."""
        if self._noting:
            self._noting = replace(self._noting, places=self.own.where.places)
        self.show()

    # keys

    def on_key(self, event: events.Key) -> None:
        """Keys that were still on their way here when another screen came up belong to that one."""
        if self.app.screen is self:
            self.take(event)
        else:
            pass_on(self.app.screen, event)

    def take(self, event: events.Key) -> None:
        """Every key is dealt with at once: bindings are run a step later, and quick fingers would overtake them."""
        self._new = False
        key = key_of_press(event)
        action = keys_of(FIRST).get(key)
        if self._noting is not None:
            self._pressed(self._noting, key, event.character)
        elif action:
            self.action_do(action)
        elif key == "escape":
            self._page, before = 0, self._page
            self.tell("" if self._message or before else enough_for_today(self.own))
        elif event.is_printable:
            self._message = (f"'{event.character}' means nothing here. {key_of('more')} shows every key.",)
        else:
            return
        event.stop()
        event.prevent_default()
        self.show()

    def _pressed(self, n: Noting, key: str, character: str | None) -> None:
        if key == "escape":
            self._noting = None
        elif key != "enter":
            self._noting = press(n, key, character)
        elif preview(n, self.own.now())[1]:
            self._noting = None
            self.note(to_typed(n, self.own.now()))

    def note(self, *typed: Typed) -> None:
        """Keeps what was typed as one act, says so at once and what it did as soon as that is worked out."""
        before, self._answer = self.own.forecast, False
        kept = self.own.desk.record(typed)
        more = f" And {len(kept) - 1} more." if len(kept) > 1 else ""
        told = noted(named(kept[0], self.own.in_use()), self.own.rig, self.own.now())
        self._message = (f"{told}{more}  {key_of('undo')} takes it back.",)
        self._waits = before, kept[0].supply
        self._kept = kept[0].id
        self.own.reload()
        self.own.judge(kept[0])

    def action_do(self, name: str, *rest: str) -> None:
        """Runs an action of the registry by its id."""
        self._message, self._page = (), self._page if name == "rest" else 0
        if name in NOTING:
            own, known = self.own, self.own.known
            self._noting = begin(NOTING[name], own.rig, own.in_use(), own.where.places, known.entries, own.set_aside(),
                                 known.arrangements, own.not_little())
        elif name in _CLOSER:
            self.do_closer(_CLOSER[name])
        elif name in _THINGS:
            self._open_thing(_THINGS.index(name))
        else:
            getattr(self, f"do_{name}")(*rest)
        self.show()

    def begin(self, name: str) -> None:
        """The same, with nothing left of what was being noted."""
        self._noting = None
        self.action_do(name)

    def do_find(self) -> None:
        """Every action by its name."""
        self.own.action_command_palette()

    def do_explain(self) -> None:
        """What stands here, in two sentences."""
        self.tell(explained(self.screen_name))

    def do_undo(self) -> None:
        """Takes the last act back and says what it was."""
        if self._answer:
            ask_again(self.own)
        self._taken(again=False)

    def do_redo(self) -> None:
        """Notes again what was taken back."""
        self._taken(again=True)

    def _taken(self, *, again: bool) -> None:
        done = self.own.desk.undo(again=again)
        if again:
            then = f"{key_of('undo')} {'brings it back' if done.voided else 'takes it back'}."
        else:
            then = f"{key_of('redo')} {'takes it out again' if done.voided else 'brings it back'}."
        self._message = (f"{done.told}  {then}",)
        self._waits = self.own.forecast, done.entries[0].supply if done.entries else ""
        self.own.reload()

    def do_press(self, key: str) -> None:
        """A hint was tapped while noting: the same as its key."""
        if self._noting is not None:
            name = {"Enter": "enter", "Esc": "escape"}.get(key, key)
            self._pressed(self._noting, name, key if len(key) == 1 else None)

    def do_view(self) -> None:
        """The next set of colours."""
        self._message = (f"Colours: {self.own.next_colours()}.",)

    # other screens

    def do_say(self) -> None:
        """One line in plain words."""
        from vanlife_supply.tui.screens.saying import said, saying

        self.app.push_screen(saying(self.own), lambda text: self._said(text, lambda t: said(self.own, t)))

    def _said(self, text: str | None, read: Callable[[str], Typed]) -> None:
        if text:
            self.note(read(text))
        self.show()

    def do_entries(self) -> None:
        """Everything noted."""
        self._open_entries("")

    def _open_entries(self, at: str) -> None:
        from vanlife_supply.tui.screens.entries import EntriesScreen

        self.app.push_screen(EntriesScreen(at))

    def do_more(self) -> None:
        """What has no letter here, and all keys."""
        from vanlife_supply.tui.screens.more import MoreScreen

        self.app.push_screen(MoreScreen(), lambda name: self.action_do(name) if name else None)

    def do_closer(self, supply: str) -> None:
        """One supply in full."""
        from vanlife_supply.tui.screens.closer import CloserScreen

        if self.own.forecast and self.own.forecast.supply(supply):
            self.app.push_screen(CloserScreen(self.own, supply))

    def do_rest(self) -> None:
        """What has no room beside the answer."""
        size = self.query_one(Sheet).size
        before = self._lines(*size)
        self._page += 1
        if self._lines(*size) == before:
            self.tell("All of it is on the screen.")

    def _open_thing(self, index: int) -> None:
        from vanlife_supply.tui.screens.pages import thing_page

        found = todo(self.own)
        if index >= len(found):
            return self.tell("Nothing to do just now." if not found else f"There is no {index + 1} to do just now.")
        thing = found[index]
        if thing.asks == "silence":
            self.do_catch_up()
        elif thing.asks in ("guests", "plan", "impossible-level"):
            ask_doubt(self.own, thing)
        elif thing.warning and thing.warning.entry:
            self._open_entries(thing.warning.entry)
        else:
            self.app.push_screen(thing_page(self.own, thing), self.answered if thing.asks else None)

    def answered(self, _: object = None) -> None:
        """A question was answered: no other today; taking the answer back asks it again."""
        self._answer = True
        enough_for_today(self.own)

    def look_at(self, supply: str) -> None:
        """How much is left of it is asked."""
        self.action_do("looked")
        if self._noting is not None:
            self._noting = replace(self._noting, supply=supply, chosen=True)

    def do_can_i(self) -> None:
        """Asks before acting."""
        self._decide("", at_once=False)

    def do_last(self) -> None:
        """Making something last until a date."""
        self._decide("b ", at_once=False)

    def do_town(self) -> None:
        """The town list from the state of the jugs."""
        self._decide("town", at_once=True)

    def _decide(self, asked: str, *, at_once: bool) -> None:
        from vanlife_supply.tui.screens.deciding import DecidingScreen
        from vanlife_supply.tui.screens.saying import said

        asking = DecidingScreen(asked, at_once=at_once)
        self.app.push_screen(asking, lambda text: self._said(text, lambda t: said(self.own, t)))

    def do_stop(self) -> None:
        """Everything done at a stop, in one round."""
        at_a_stop(self.own)

    def do_catch_up(self) -> None:
        """What happened in days of silence."""
        catch_up(self.own)

    def do_next_stop(self) -> None:
        """Where to go next."""
        from vanlife_supply.tui.screens.next_stop import StopScreen

        self.app.push_screen(StopScreen())

    def do_places(self) -> None:
        """The places known."""
        from vanlife_supply.tui.screens.places import PlacesScreen

        self.app.push_screen(PlacesScreen())

    def do_trip(self) -> None:
        """The trip loaded last."""
        from vanlife_supply.tui.screens.trips import TripScreen

        self.app.push_screen(TripScreen())

    def do_spans(self) -> None:
        """Heater, guests, away: on, off, until when."""
        from vanlife_supply.tui.screens.saying import span_asking, typed_span

        self.app.push_screen(span_asking(self.own), lambda text: self._said(text, lambda t: typed_span(self.own, t)))

    def do_rig(self) -> None:
        """What is carried, to be changed in mid-life."""
        from vanlife_supply.tui.screens.rig import RigScreen

        self.app.push_screen(RigScreen())

    def do_plan(self) -> None:
        """A dump or fill ahead, or that it is off."""
        from vanlife_supply.tui.screens.dates import plan_asking, typed_plan

        self.app.push_screen(plan_asking(self.own), lambda text: self._said(text, lambda t: typed_plan(self.own, t)))

    def do_limit(self) -> None:
        """A date that ends the stay, or that there is none."""
        from vanlife_supply.tui.screens.dates import limit_asking, typed_limit

        self.app.push_screen(limit_asking(self.own), lambda text: self._said(text, lambda t: typed_limit(self.own, t)))

    def do_quit(self) -> None:
        """Leaves."""
        self.app.exit()
