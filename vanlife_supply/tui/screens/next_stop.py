"""The next stop: where, at the latest when, what to do there, and what if it is closed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import ClassVar

from vanlife_supply import keeping
from vanlife_supply.actions import FIRST, PLACE, STOP, key_name, on_screen, with_keys
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.resupply import Option, Stop, atlas, next_stop
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.lines import BLANK, Line, wrap
from vanlife_supply.tui.screens.live import LiveScreen
from vanlife_supply.tui.screens.places import PlaceScreen, did_not_work
from vanlife_supply.wording.names import printable
from vanlife_supply.wording.places import MAP_FIRST, NOTHING_CALLS, Ways, place_name, stop_text


@dataclass(frozen=True, slots=True)
class Found:
    """The next stop and the forecast it comes from; `none` says why there is no stop."""

    stop: Stop | None
    forecast: Forecast
    none: str = ""


_NO_PLACES = f"No place is known yet. Esc, then {{places}} and {{add_place}} keep the place where you are. {MAP_FIRST}"


def _ways() -> Ways:
    keys = {a.id: key_name(a.key) for screen in (FIRST, PLACE, STOP) for a in on_screen(screen)}
    there = f"{keys['here']} on the page of a place ({keys['places']} on the first screen)"
    return Ways(there, f"{keys['stop_failed']} on this page")


class StopScreen(LiveScreen[Found]):
    """Where to go next; one key when it did not work, and another is proposed."""

    screen_name: ClassVar[str] = STOP
    waiting: ClassVar[str] = "Working out where to go ..."

    def __init__(self, message: str = "") -> None:
        super().__init__()
        self._message = message

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Found]:
        """The next stop as of now."""
        forecast = self.own.forecast or self.own.desk.forecast()
        known = atlas(book, now)
        stop = next_stop(forecast, book.rig(), known, keeping.plans(book, now)) if known.places else None
        yield Found(stop, forecast, NOTHING_CALLS if known.places else with_keys(_NO_PLACES))

    def heading(self) -> str:
        """What the page is about."""
        return "Next stop"

    def body(self, found: Found, width: int) -> list[Line]:
        """Place and time first, then what to do there, then what else is to be known."""
        if found.stop is None:
            return wrap(f" {found.none}", width - 1, "", " ")
        head, *rest = stop_text(found.stop, found.forecast, self.own.rig, _ways()).rstrip("\n").splitlines()
        lines = wrap(f" {head.removeprefix('Next stop: ')}", width - 1, "strong", " ")
        for text in rest:
            indent = " " if text.startswith(" ") else ""
            lines += [*([] if indent else [BLANK]), *wrap(f" {text.strip()}", width - 1, "", "   ")]
        return lines

    def keys(self, width: int) -> list[Line]:
        """Those for which there is a place."""
        stop, other = self._options
        only = [name for name, has in (("open_stop", stop), ("open_other", other), ("stop_failed", stop)) if has]
        return key_lines(width, STOP, only=only) if self._found else super().keys(width)

    @property
    def _options(self) -> tuple[Option | None, Option | None]:
        stop = self._found.stop if self._found else None
        return (stop.option, stop.runner_up) if stop else (None, None)

    def do_open_stop(self) -> None:
        """The place proposed."""
        self._open(self._options[0])

    def do_open_other(self) -> None:
        """The place to go to if that one is closed."""
        self._open(self._options[1])

    def _open(self, option: Option | None) -> None:
        if option is None:
            self._message = "There is no such place."
            return
        self.own.push_screen(PlaceScreen(option.place), lambda _: self.look())

    def do_stop_failed(self) -> None:
        """The place proposed did not work: noted, and the next comes up."""
        option = self._options[0]
        if option is None:
            self._message = "There is no stop that could have failed."
            return
        name = printable(place_name(option.place))
        self.noted(lambda book, now: did_not_work(book, option.place, now), f"Noted: {name} did not work.")
