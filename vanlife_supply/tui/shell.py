"""The app: what is known, kept fresh; screens show it."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from textual import work
from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.command import CommandPalette
from textual.message import Message
from textual.screen import Screen

from vanlife_supply.actions import FIRST, MORE, OPENED_BY, PAGE, TITLES, in_force, key_name, keys_of, with_keys
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import ContainerOutlook, Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, at, zone_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import EMPTIES, Rig
from vanlife_supply.tui.careful import Careful, Doing, Telling
from vanlife_supply.tui.desk import Desk, Known, WhereTo
from vanlife_supply.tui.noting import store
from vanlife_supply.tui.screens.first import FirstScreen
from vanlife_supply.tui.theme import COLOURS, DARK, LIGHT
from vanlife_supply.wording.amounts import spread

POLL_S = 0.9
"""How often another program's writing is looked for."""
STALE_S = 1800.0
"""A forecast older than this is made anew, unasked."""
_STDIN = 0


Begun = Callable[[], Forecast | None]
"""Waits for the first forecast, begun before the app was there; None when it has to be made here after all."""


class SupplyApp(Careful, App[int]):
    """Holds the log's content and the forecast made from it; workers compute, messages carry it here."""

    TITLE = "vanlife-supply"
    BINDINGS: ClassVar = [Binding("ctrl+c", "quit", "quit", show=False, priority=True)]
    CSS = "Screen { background: $background; } ModalScreen { background: $background 0%; } SearchIcon { display: none; }"

    @dataclass
    class ForecastMade(Message):
        """A worker has made a forecast; `turn` tells which reading of the log it belongs to."""

        turn: int
        forecast: Forecast | None
        fault: str = ""

    @dataclass
    class PlacesAsked(Message):
        """What places say to that forecast."""

        turn: int
        where: WhereTo

    @dataclass
    class Judged(Message):
        """What an entry says of the forecast made before it, "" where nothing."""

        entry: Entry
        verdict: str

    def __init__(self, desk: Desk, now: Callable[[], Moment], begun: Begun | None = None) -> None:
        # Textual's own way to no colours at all is the terminal's palette together with NO_COLOR.
        super().__init__(ansi_color=True if "NO_COLOR" in os.environ else None)
        self.desk = desk
        self._clock = now
        self.known: Known = desk.known()
        self.forecast: Forecast | None = None
        self.where = WhereTo()
        self._version = desk.version()
        self._turn = 0
        self._begun = begun
        self.first = FirstScreen()
        for key in (key for key, name in keys_of(FIRST).items() if name == "find"):
            self.bind(key, "command_palette", show=False)

    @property
    def rig(self) -> Rig:
        """The rig in force; there is one once set-up is done."""
        assert self.known.rig is not None
        return self.known.rig

    def now(self) -> Moment:
        """The time, told in the zone of the rig in force."""
        return at(self._clock().epoch, self.known.rig.zone) if self.known.rig else self._clock()

    def in_use(self) -> dict[str, str]:
        """Supply → label of the container in use, where one is known to be open; never the can others are filled from."""
        found: dict[str, str] = {}
        for s in self.forecast.supplies if self.forecast else ():
            can = store(self.rig, s.supply)
            opened = [c for c in s.containers if c.state == "open" and (can is None or c.label != can.label)]
            if opened:
                found[s.supply] = min(opened, key=_held).label
        return found

    def not_little(self) -> dict[str, str]:
        """Supply that runs out → what should still be in it, in words, where that is more than a tenth of what it holds."""
        found: dict[str, str] = {}
        for s in self.forecast.supplies if self.forecast else ():
            if s.direction == EMPTIES and s.level and s.level.p10 is not None and s.level.p10 > 0.1 * s.capacity:
                found[s.supply] = spread(s.level, self.rig.supply(s.supply))
        return found

    def set_aside(self) -> frozenset[tuple[str, str]]:
        """(supply, label) of the containers that do not count for now."""
        outlooks = self.forecast.supplies if self.forecast else ()
        return frozenset((s.supply, c.label) for s in outlooks for c in s.containers if c.state == "aside")

    def on_mount(self) -> None:
        """Shows what is known at once, then works out the rest."""
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        chosen = self.desk.setting("colours")
        self.theme = chosen if chosen in COLOURS else DARK.name
        self.push_screen(self.first)
        self._stale_at = asyncio.get_running_loop().time() + STALE_S
        self._poll()
        if self.known.rig is None:
            self._set_up()
        else:
            self.reload()

    def _set_up(self) -> None:
        """Asks what is carried, once."""
        from vanlife_supply.tui.screens.setup import BEGUN, SHORTER, setup, told_of
        from vanlife_supply.tui.telling import first_entries, to_toml

        zone = self.local_zone()

        def keep(answers: list[str]) -> None:
            told = told_of(answers, zone)
            self.desk.set_up(to_toml(told), first_entries(told))
            self.desk.remember(BEGUN, "")

        def left(answers: list[str] | None) -> None:
            if answers is None:
                self.exit()
            else:
                self.reload()
                self.first.welcome(SHORTER)

        self.push_screen(setup(self.now, zone, self.desk, keep), left)

    def local_zone(self) -> str:
        """The time zone of this computer, where it can be told; else the one the clock was given in."""
        from pendulum.tz.local_timezone import get_local_timezone  # only the set-up pays for it

        for name in (getattr(get_local_timezone(), "name", ""), self.now().zone):
            with suppress(Refusal):
                return zone_named(name).key
        return "UTC"

    def next_colours(self) -> str:
        """Night, day, the terminal's own, and round again; remembered with the log → their name."""
        names = list(COLOURS)
        self.theme = names[(names.index(self.theme) + 1) % len(names)] if self.theme in names else names[0]
        self.desk.remember("colours", self.theme)
        return COLOURS[self.theme]

    def action_command_palette(self) -> None:
        """Every action by its name."""
        if self.known.rig is not None and not isinstance(self.screen, CommandPalette):
            self.push_screen(CommandPalette(placeholder="What to do?", id="--command-palette"))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """What the screen in front can do, what can be done from the first one, and the way to what is done elsewhere."""
        here = getattr(screen, "screen_name", FIRST)
        own = (here, PAGE) if isinstance(screen, Doing) and here != FIRST else ()
        found = {}
        for action in sorted(in_force(), key=lambda a: a.screen not in own):
            where, words, told = TITLES[action.screen], f"{action.words}  {key_name(action.key)}", with_keys(action.help)
            if action.screen in own and isinstance(screen, Doing):
                found[words] = SystemCommand(words, told, partial(screen.action_do, action.id))
            elif action.screen in (FIRST, MORE):
                found.setdefault(words, SystemCommand(words, told, partial(self.go, action.id)))
            elif action.screen in OPENED_BY:
                how = f"{where}: {key_name(action.key)} {action.words}. {told}"
                there = partial(self.go, OPENED_BY[action.screen], how)
                found[f"{where}: {words}"] = SystemCommand(f"{where}: {words}", told, there)
        yield from found.values()

    def go(self, name: str, told: str = "") -> None:
        """Back to the first screen, whatever stands open, to do it from there; `told`: what is said once it is open."""
        while self.screen is not self.first:
            self.pop_screen()
        self.first.begin(name)
        if told and isinstance(self.screen, Telling):
            self.screen.tell(told)

    def reload(self) -> None:
        """Reads the log again and has the forecast made in the background."""
        self.known = self.desk.known()
        self._version = self.desk.version()
        self._turn += 1
        if self.known.rig is not None:
            self._work_out(self._turn)

    @work(thread=True, group="verdict", exit_on_error=False)
    def judge(self, entry: Entry) -> None:
        """Says whether it came as said, where an entry just kept shows it."""

        def act(book: Logbook, now: Moment) -> str:
            from vanlife_supply.deciding.judging import told  # numpy comes with it
            from vanlife_supply.wording.hindsight import told_line

            outcome = told(book, entry, now)
            return told_line(outcome, book.rig(), now) if outcome else ""

        with suppress(Refusal):
            self.post_message(self.Judged(entry, self.desk.on_log(act)))

    def on_supply_app_judged(self, judged: Judged) -> None:
        """Shows the verdict beside what was noted."""
        if judged.verdict:
            self.first.judged(judged.entry, judged.verdict)

    @work(thread=True, group="forecast", exit_on_error=False)
    def _work_out(self, turn: int) -> None:
        try:
            begun, self._begun = self._begun, None
            forecast = (begun() if begun else None) or self.desk.forecast()
            self.post_message(self.ForecastMade(turn, forecast))
            self.post_message(self.PlacesAsked(turn, self.desk.where_to(forecast)))
        except Refusal as fault:
            self.post_message(self.ForecastMade(turn, None, str(fault)))
        except Exception as fault:  # whatever goes wrong in there must not leave the screen waiting for ever
            told = f"The forecast could not be worked out ({type(fault).__name__}: {fault}). What you note is kept."
            self.post_message(self.ForecastMade(turn, None, told))

    def on_supply_app_places_asked(self, asked: PlacesAsked) -> None:
        """Keeps what places say to the newest forecast and lets the screen show it."""
        if asked.turn == self._turn and asked.where != self.where:
            self.where = asked.where
            self.first.places_changed()

    def on_supply_app_forecast_made(self, made: ForecastMade) -> None:
        """Keeps the newest forecast and lets the screen show it."""
        if made.turn != self._turn:
            return
        if made.forecast:
            self.forecast = made.forecast
        self.first.forecast_changed(made.fault)

    def _poll(self) -> None:
        """Looks for what another program has written, for a forecast grown old, and whether the terminal is still there.

        A bare timer of the event loop: one of Textual's would wake far more of the app each time.
        """
        if not self.is_headless and not os.isatty(_STDIN):
            self._leave_unseen()
            return
        loop = asyncio.get_running_loop()
        with suppress(Refusal):
            if self.desk.version() != self._version or loop.time() > self._stale_at:
                self._stale_at = loop.time() + STALE_S
                self.call_later(self.reload)
        self._next_look = loop.call_later(POLL_S, self._poll)

    def _leave_unseen(self) -> None:
        """The terminal was closed and no signal came: nobody is there to be shown an orderly end, and Textual would wait
        for ever to draw one. All that was noted is on the disk."""
        self.desk.close()
        os._exit(0)

    def refused(self, fault: Refusal) -> None:
        """Says it on the topmost screen that can say something."""
        next(s for s in reversed(self.screen_stack) if isinstance(s, Telling)).tell(str(fault))

    def _handle_exception(self, error: Exception) -> None:
        """What another screen calls once it is left comes by here."""
        if isinstance(error, Refusal):
            self.refused(error)
        else:
            super()._handle_exception(error)

    def on_unmount(self) -> None:
        """The log is closed with the app."""
        self._next_look.cancel()
        self.desk.close()


def _held(c: ContainerOutlook) -> float:
    return c.level.p50 if c.level and c.level.p50 is not None else c.capacity
