"""A trip: the strip of its days, what to do where, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import ClassVar

from vanlife_supply.actions import TRIP, with_keys
from vanlife_supply.keeping.trips import say_place
from vanlife_supply.logbook import Logbook, trips
from vanlife_supply.logbook.places import places
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.travelling import Planned, plan_loaded
from vanlife_supply.trip import explain
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.bands import expected
from vanlife_supply.trip.edit import plain
from vanlife_supply.trip.load import load
from vanlife_supply.trip.model import Trip
from vanlife_supply.trip.nights import Held, held
from vanlife_supply.trip.reasons import Reasons, growing
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.lines import BLANK, Line, Span, line, wrap
from vanlife_supply.tui.screens.ask import AskScreen
from vanlife_supply.tui.screens.build_trip import BuildScreen, new_trip
from vanlife_supply.tui.screens.live import LiveScreen
from vanlife_supply.tui.trip_strip import sign, strip
from vanlife_supply.wording import trip_files
from vanlife_supply.wording import trips as words
from vanlife_supply.wording.amounts import counted
from vanlife_supply.wording.trip_building import drive_words
from vanlife_supply.wording.trip_reasons import unknown_line, why_lines

_SEARCH_S, _REASONS_S = 20.0, 30.0
_NONE = (
    "No trip yet. {new_trip} makes one of two lines. A trip written as a file comes in on the command line: "
    "vanlife-supply trip load FILE."
)


@dataclass(frozen=True, slots=True)
class Shown:
    """A trip planned; `why` None while it is being worked out. `name` "": no trip is loaded."""

    name: str
    planned: Planned | None = None
    nights: Mapping[str, Held] = field(default_factory=dict)
    stops: trip_files.Stops = ()
    why: Reasons | None = None


class TripScreen(LiveScreen[Shown]):
    """The trip loaded last, planned from today on."""

    screen_name: ClassVar[str] = TRIP
    waiting: ClassVar[str] = "Planning the trip ..."
    some_wait: ClassVar[frozenset[str]] = frozenset({"trip_failed", "trip_files"})

    def __init__(self) -> None:
        super().__init__()
        self._name = ""

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Shown]:
        """The plan, then the reasons."""
        known = trips.trips(book)
        if not known:
            yield Shown("")
            return
        name = self._name if self._name in known else next(reversed(known))
        done = plan_loaded(book, name, load(known[name]), (), now, _until(_SEARCH_S, stopped))
        its = done.answer
        shown = Shown(name, done, held(its.trip, its.plan, its.laws), expected(its.trip, its.plan, its.laws))
        yield shown
        for why in growing(its, _until(_REASONS_S, stopped)):
            yield replace(shown, why=why)

    def heading(self) -> str:
        """The trip's name."""
        return f"Trip: {self._found.name}" if self._found and self._found.name else "Trip"

    def keys(self, width: int) -> list[Line]:
        """Without a trip, only what makes one."""
        none = self._found is not None and self._found.planned is None
        return key_lines(width, TRIP, only=("new_trip",)) if none else super().keys(width)

    def body(self, found: Shown, width: int) -> list[Line]:
        """Strip, plan, why, stays."""
        if found.planned is None:
            return wrap(f" {with_keys(_NONE)}", width - 1, "", " ")
        its, rig = found.planned.answer, found.planned.rig
        voice = words.Voice(rig)
        slack = {} if its.plan.status == "infeasible" else explain.slack(its.plan)
        lines = strip(its.trip, its.plan, found.nights, slack, voice, width)
        lines += [BLANK, *self._plan(found.planned, found.stops, voice, width), BLANK, line(" Why", "strong")]
        if found.why is None:
            lines.append(line(" Working it out ...", "dim"))
        else:
            lines += _wrapped(why_lines(its, found.why, voice), width)
        lines += [BLANK, line(" Stays", "strong"), *_wrapped(_stays(found.planned, voice), width)]
        return lines

    def _plan(self, done: Planned, stops: trip_files.Stops, voice: words.Voice, width: int) -> list[Line]:
        """The heading, where the trip is today, then the stops by their sign."""
        its = done.answer
        told = words.told(its, stops, voice)
        first = next((i for i, text in enumerate(told) if text.startswith("  ")), len(told))
        lines = _wrapped(told[:first], width)
        for index, (visit, services) in enumerate(zip(its.plan.visits, stops, strict=True)):
            what = ", ".join(words.served(its.trip, one, voice) for one in services)
            cost = voice.money_band(*words.stop_cost(visit, services))
            where = f"{words.day_name(its.trip, visit.day)}, {words.place_name(its.trip, visit.place)}: {what}; {cost}"
            start, *rest = wrap(where, width - 4)
            lines += [(Span(f" {sign(index)} ", "key"), *start), *((Span("   "), *each) for each in rest)]
        lines += _wrapped(told[first + len(stops) :], width)
        if done.left_out and done.rig:
            lines += _wrapped([unknown_line(done.left_out, done.rig)], width)
        if done.closed:
            lines += _wrapped([f"Left out, for it did not work: {', '.join(done.closed)}."], width)
        return lines

    @property
    def _answer(self) -> Answer | None:
        """The plan in sight."""
        return self._found.planned.answer if self._found and self._found.planned else None

    def do_trip_failed(self) -> None:
        """A stop of the plan did not work: left out, and planned anew. Which one is asked where there are several."""
        its = self._answer
        if its is None or not its.plan.visits:
            self._message = "There is no stop that could have failed."
            return
        trip, places = its.trip, [visit.place for visit in its.plan.visits]
        if len(set(places)) == 1:
            self._failed(trip, places[0])
            return
        signs = {place: sign(places.index(place)) for place in places}
        listed = ", ".join(f"{each} {words.place_name(trip, place)}" for place, each in signs.items())
        asking = AskScreen(
            f"Which stop did not work? {listed}",
            lambda text: f"{words.place_name(trip, _meant(trip, places, text))} did not work: the plan does without.",
            hint="its sign, or how its name begins",
        )
        self.own.push_screen(asking, lambda text: self._failed(trip, _meant(trip, places, text)) if text else None)

    def _failed(self, trip: Trip, place: str) -> None:
        name = self._found.name if self._found else ""
        self.noted(
            lambda book, now: say_place(book, name, place, now, works=False),
            f"Noted: {words.place_name(trip, place)} did not work.",
        )
        self._top = 0
        self.show()

    def do_trip_files(self) -> None:
        """The plan as town list, calendar, map file and table, beside the log; no file that is there is touched."""
        its = self._answer
        if its is None or self._found is None or self._found.planned is None:
            self._message = "There is no plan to write."
            return
        voice, stops = words.Voice(self._found.planned.rig), self._found.stops
        known = self.own.desk.on_log(lambda book, _: places(book))
        texts, lacking = trip_files.written(its, stops, voice, self.own.now(), trip_files.finder(known))
        stem = self.own.desk.keep_files(plain(self._found.name), texts)
        self._message = f"Written: {stem}.txt (town list), .ics (calendar), .gpx (map), .csv (table)."
        if lacking:
            self._message += f" Not on the map, for want of coordinates: {', '.join(lacking)}."

    def do_new_trip(self) -> None:
        """A new trip from two lines, then built on."""

        def made(name: str) -> None:
            self._name, self._found = name, None
            self.own.reload()

        def built(answers: list[str] | None) -> None:
            if answers is not None:
                self.do_build_trip()

        self.own.push_screen(new_trip(self.own, made), built)

    def do_build_trip(self) -> None:
        """The stays and places of this trip."""
        known = list(self.own.desk.on_log(lambda book, _: trips.trips(book)))
        if not known:
            self._message = with_keys("There is no trip to build on: {new_trip} makes one.")
            return
        name = self._name if self._name in known else known[-1]
        self._top = 0
        self.own.push_screen(BuildScreen(name), lambda _: self.look())

    def do_other_trip(self) -> None:
        """The next of the trips loaded."""
        known = list(self.own.desk.on_log(lambda book, _: trips.trips(book)))
        if len(known) < 2 or self._found is None:
            self._message = "No other trip is loaded."
            return
        self._name = known[(known.index(self._found.name) + 1) % len(known)]
        self._found, self._top = None, 0
        self.look()


def _stays(done: Planned, voice: words.Voice) -> list[str]:
    trip = done.answer.trip
    lines = []
    for k, stay in enumerate(trip.stays, start=1):
        nights = f"{counted(stay.nights, 'night')} from {words.day_name(trip, trip.first_day(k))}"
        lines.append(f"{k} {stay.name or 'without a name'}: {nights}{drive_words(stay, voice)}.")
    return lines


def _meant(trip: Trip, places: Sequence[str], text: str) -> str:
    """The place of the plan meant by its sign, or by the beginning of its name. Refusal where it is not clear."""
    said = text.strip().casefold()
    for index, place in enumerate(places):
        if said == sign(index):
            return place
    begun = {place for place in places if words.place_name(trip, place).casefold().startswith(said)}
    if len(begun) != 1:
        raise Refusal(f"'{text.strip()}' is none of the stops: say its sign or its name.")
    return begun.pop()


def _wrapped(texts: Iterable[str], width: int) -> list[Line]:
    return [each for text in texts for each in wrap(f" {text}", width - 1, "", "   ")]


def _until(seconds: float, stopped: Callable[[], bool]) -> Callable[[], bool]:
    deadline = monotonic() + seconds
    return lambda: stopped() or monotonic() > deadline
