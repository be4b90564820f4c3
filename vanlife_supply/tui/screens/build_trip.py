"""Building a trip: stays and places in order of travel, put in, changed and taken out a line each; every change is kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from vanlife_supply import keeping
from vanlife_supply.actions import BUILD, with_keys
from vanlife_supply.entry.model import CONDITIONS
from vanlife_supply.keeping.trips import load_trip
from vanlife_supply.logbook import Logbook, trips
from vanlife_supply.moment import Moment, at
from vanlife_supply.refusal import Refusal
from vanlife_supply.resupply import Atlas, atlas
from vanlife_supply.resupply.along import as_stop, ways_of
from vanlife_supply.resupply.atlas import named
from vanlife_supply.resupply.staying import limits
from vanlife_supply.rig.model import Rig
from vanlife_supply.trip import edit, phrase
from vanlife_supply.trip.days import along_the_way
from vanlife_supply.trip.load import load
from vanlife_supply.trip.measure import measured
from vanlife_supply.trip.model import Costs, Place, Stay, Trip
from vanlife_supply.trip.write import to_toml
from vanlife_supply.tui.explaining import BUILD_PLACE
from vanlife_supply.tui.lines import BLANK, Line, clip, plain, wrap
from vanlife_supply.tui.screens.ask import AskScreen
from vanlife_supply.tui.screens.lines import LinesScreen, Question
from vanlife_supply.tui.screens.rows import RowsScreen
from vanlife_supply.wording.amounts import counted
from vanlife_supply.wording.laden import weight
from vanlife_supply.wording.trip_building import place_words, stay_words
from vanlife_supply.wording.trips import day_name

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp


@dataclass(frozen=True, slots=True)
class Draft:
    """The trip as its file has it, the same with its roads measured, the places known, the nights one may stay there.

    `closed`: the ids of its places that did not work.
    """

    kept: Trip
    trip: Trip
    known: Atlas
    limits: Mapping[str, int]
    closed: frozenset[str]


Row = tuple[int, str]
"""(stay, id of one of its places or "" for the stay itself)"""


class BuildScreen(RowsScreen[Draft]):
    """The rows of a trip with a cursor."""

    screen_name: ClassVar[str] = BUILD
    keys_wait: ClassVar[bool] = True
    opens: ClassVar[str] = "change_row"
    waiting: ClassVar[str] = "Reading the trip ..."

    def __init__(self, name: str) -> None:
        super().__init__()
        self._trip_name = name
        self._new: Row | None = None
        """The row the cursor goes to once it is there."""
        self._done: list[str] = []
        """The acts of this visit, so that undo takes back nothing else."""

    def read(self, book: Logbook, now: Moment, stopped: Callable[[], bool]) -> Iterable[Draft]:
        """The trip and where everything is."""
        kept = load(trips.trips(book)[self._trip_name])
        known = atlas(book, now)
        closed = trips.closed_places(book, self._trip_name)
        yield Draft(kept, measured(kept, ways_of(known, kept)), known, limits(book, now), closed)

    def heading(self) -> str:
        """The trip's name."""
        return f"Building: {self._trip_name}"

    def body(self, found: Draft, width: int) -> list[Line]:
        """The head, then a block for each stay: its places on the way, the stay, its places there."""
        trip, rig = found.trip, self.own.rig
        lines = [*wrap(f" {self._head(trip)}", width - 1, "dim", "   "), BLANK]
        rows = _rows(trip)
        if self._new in rows:
            self._at, self._new = rows.index(self._new), None
        self.keep_within(len(rows))
        for i, (k, place) in enumerate(rows):
            if place:
                failed = "; did not work" if place in found.closed else ""
                texts = wrap(f"     {place_words(_place(trip, place), rig)}{failed}", width - 2, "", "       ")
            else:
                stay = trip.stays[k - 1]
                texts = wrap(f" {k} {stay.name or 'without a name'}: {stay_words(trip, k, rig)}", width - 2, "", "   ")
            for j, each in enumerate(texts):
                lead = " " if j else self.arrow(i)
                lines.append(self.marked(lead + clip(plain([each]), width - 1), i, width))
        return lines

    def _head(self, trip: Trip) -> str:
        """Its start, and what it costs."""
        costs = phrase.said_head(trip, self.own.rig).partition(", ")[2]
        told = costs or with_keys("{change_head} says what a mile or a stop costs")
        return f"From {day_name(trip, 0)} {trip.start.year}; {told}"

    @property
    def _row(self) -> Row:
        """The row under the cursor."""
        return _rows(self._draft.trip)[self._at]

    @property
    def _draft(self) -> Draft:
        if self._found is None:
            raise Refusal("The trip is still being read.")
        return self._found

    @property
    def about(self) -> str:
        """What is explained: a stay, or a place of one."""
        return BUILD_PLACE if self._row[1] else BUILD

    # asking

    def do_add_stay(self) -> None:
        """One more stay after the one under the cursor."""
        kept, k, may = self._draft.kept, self._row[0], self._draft.limits
        first = kept.date_of(kept.first_day(k + 1))

        def read(text: str) -> Trip:
            return edit.with_stay(kept, k, phrase.read_stay(text, self.own.rig, first, CONDITIONS, None, may))

        def told(trip: Trip) -> str:
            return f"{trip.stays[k].name or 'A stay'}: {self._stay(trip, k + 1)}"

        hint = "the river, until fri, 50 mi, 2 people, heater"
        self._ask("Where next, how long, how far, who and what is on?", hint, read, told)

    def do_add_stop(self) -> None:
        """A place to choose from those known, for the stay under the cursor."""
        from vanlife_supply.tui.screens.pick_place import PickScreen

        draft = self._draft
        pick = PickScreen(draft.trip, self._row[0])

        def left(_: None) -> None:
            if pick.types_one:
                self._type_place()
            elif pick.picked is not None:
                self._keep(edit.with_place(draft.kept, pick.picked), f"{place_words(pick.picked, self.own.rig)}.")

        self.own.push_screen(pick, left)

    def _type_place(self) -> None:
        """A place typed; what the log knows of one of that name is taken over."""
        draft, k = self._draft, self._row[0]

        def read(text: str) -> Trip:
            return edit.with_place(draft.kept, phrase.read_place(text, self.own.rig, k, None, self._known(text, k)))

        names = [place.name for place in draft.known.places if place.name]
        question, hint = "Which place, where, what is had there?", "Old Mill, on the way, 4 mi extra, water, gray $5"
        self._ask(question, hint, read, self._place_told, words=lambda _: names)

    def _known(self, text: str, k: int) -> Place | None:
        same = named(self._draft.known.places, text.partition(",")[0].strip(), part=False)
        return as_stop(self._draft.known, same[0], k, self.own.rig) if len(same) == 1 else None

    def do_change_row(self) -> None:
        """The row under the cursor as a line to change."""
        kept, (k, place), may = self._draft.kept, self._row, self._draft.limits
        rig = self.own.rig
        if not place:
            old = kept.stays[k - 1]
            first = kept.date_of(kept.first_day(k))
            self._ask(
                "What is it now?", "",
                lambda text: edit.with_stay_changed(kept, k, phrase.read_stay(text, rig, first, CONDITIONS, old, may)),
                lambda trip: f"{trip.stays[k - 1].name or k}: {self._stay(trip, k)}", phrase.said_stay(old, rig),
            )  # fmt: skip
            return
        was = _place(kept, place)
        self._ask(
            "What is it now?", "", lambda text: edit.with_place(kept, phrase.read_place(text, rig, k, was)),
            lambda trip: f"{place_words(_place(trip, place), rig)}.", phrase.said_place(was, rig, k),
        )  # fmt: skip

    def do_change_head(self) -> None:
        """Start, what roads and stops cost, what may be carried."""
        kept, rig = self._draft.kept, self.own.rig
        self._ask(
            "When does it start, what do roads, stops and hours cost?", "from mon, 30c a mile, $3 a stop, carry 400 lb",
            lambda text: phrase.read_head(text, rig, _today(self.own.now(), rig), kept),
            lambda trip: f"{self._head(trip)}.",
            phrase.said_head(kept, rig),
        )  # fmt: skip

    def do_take_out_row(self) -> None:
        """The row under the cursor goes; a stay takes its places with it."""
        kept, (k, place) = self._draft.kept, self._row
        if place:
            self._keep(edit.without_place(kept, place), f"{_place(kept, place).name or place} is out.")
            return
        left = edit.without_stay(kept, k)
        with_it = len(kept.places) - len(left.places)
        places = f" and {counted(with_it, 'place')} of it" if with_it else ""
        self._keep(left, f"{kept.stays[k - 1].name or f'Stay {k}'}{places} out.")

    def do_undo_change(self) -> None:
        """Takes the last change of this visit back."""

        def take_back(book: Logbook, now: Moment) -> None:
            if not self._done or book.last_act_id() != self._done[-1]:
                raise Refusal("There is no change made here to take back.")
            keeping.undo(book, now)

        self.own.desk.on_log(take_back)
        self._done.clear()
        self._message = "Taken back: the trip is as it was before."
        self.own.reload()
        self.look()

    def _ask(
        self, question: str, hint: str, read: Callable[[str], Trip], told: Callable[[Trip], str], text: str = "",
        words: Callable[[str], list[str]] | None = None,
    ) -> None:  # fmt: skip
        """One line; what it would mean is said while it is typed, Enter keeps it."""

        def answered(said: str | None) -> None:
            if said and said.strip() != text:
                trip = read(said)
                self._keep(trip, told(trip))

        asking = AskScreen(question, lambda said: told(read(said)), hint=hint, text=text, next_words=words)
        self.own.push_screen(asking, answered)

    def _stay(self, trip: Trip, k: int) -> str:
        """What is understood of a stay, its road measured."""
        return f"{stay_words(measured(trip, ways_of(self._draft.known, trip)), k, self.own.rig)}."

    def _place_told(self, trip: Trip) -> str:
        new = measured(trip, ways_of(self._draft.known, trip)).places[-1]
        return f"{place_words(new, self.own.rig)}."

    def _keep(self, trip: Trip, told: str) -> None:
        """Keeps the trip as it now is, as `trip load` would."""

        def act(book: Logbook, now: Moment) -> None:
            load_trip(book, self._trip_name, to_toml(trip), now)
            self._done.append(book.last_act_id())

        try:
            load(to_toml(trip))  # what cannot be planned is refused before it is kept
            self.own.desk.on_log(act)
        except Refusal as fault:
            self.tell(str(fault))
            return
        added = [row for row in _rows(trip) if row not in _rows(self._draft.kept)]
        self._new = added[0] if added else None
        self._message = told
        self.own.reload()
        self.look()


def new_trip(app: SupplyApp, made: Callable[[str], None]) -> LinesScreen:
    """Two lines make a trip: its name and start, its first stay; `made` gets its name."""
    rig = app.rig
    may, known = app.desk.on_log(lambda book, now: (limits(book, now), trips.trips(book)))

    def described(answers: list[str]) -> tuple[phrase.NewTrip, Stay | None]:
        head = phrase.read_new(answers[0], _today(app.now(), rig))
        if head.name in known:
            raise Refusal(f"There is a trip '{head.name}' already: give this one another name.")
        return head, phrase.read_stay(answers[1], rig, head.start, CONDITIONS, None, may) if len(answers) > 1 else None

    def understood(answers: list[str]) -> str:
        if not answers[-1].strip():
            return ""
        head, stay = described(answers)
        trip = Trip(head.start, head.name, use="log", stays=(stay or Stay(0),))
        if stay:
            return f"{stay.name or 'Stay 1'}: {stay_words(trip, 1, rig)}."
        carried = "" if rig.payload is None else f"; {weight(rig.payload, rig)} of supplies at most, as the rig says"
        return f"{head.name}, from {day_name(trip, 0)}{carried}."

    def keep(answers: list[str]) -> None:
        head, stay = described(answers)
        assert stay is not None

        def act(book: Logbook, now: Moment) -> None:
            trip = Trip(head.start, head.name, use="log", stays=(stay,), costs=_costs_before(known), payload=rig.payload)
            load_trip(book, head.name, to_toml(trip), now)

        app.desk.on_log(act)
        made(head.name)

    asked = (
        Question("name", "Trip", "What is it called, and when does it start? No date: today.", "north loop, from mon"),
        Question("stay", "First stay", "Where first, and for how long?", "the rim, 4 nights, 50 mi"),
    )
    return LinesScreen("A new trip", asked, understood, keep=keep)


def _costs_before(known: dict[str, str]) -> Costs:
    """What a mile and a stop were worth on the trip loaded last."""
    return load(known[next(reversed(known))]).costs if known else Costs()


def _rows(trip: Trip) -> list[Row]:
    """Stays and their places in order of travel; those on the way home come last."""
    places = sorted(trip.places, key=along_the_way)
    rows: list[Row] = []
    for k in range(1, len(trip.stays) + 1):
        rows += [(k, place.id) for place in places if place.leg == k]
        rows += [(k, ""), *((k, place.id) for place in places if place.stay == k)]
    return rows + [(len(trip.stays), place.id) for place in places if place.leg == len(trip.stays) + 1]


def _place(trip: Trip, name: str) -> Place:
    return next(place for place in trip.places if place.id == name)


def _today(now: Moment, rig: Rig) -> date:
    return at(now.epoch, rig.zone).local().date()
