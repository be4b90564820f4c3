"""All the reading and writing the app does, in one place. No widget here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Protocol, TypeVar

from vanlife_supply import keeping
from vanlife_supply.actions import key_of
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.logbook.gate import stamp
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Arrangement, Rig
from vanlife_supply.tui.decide import Answered, answered

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Known:
    """What the log says at one moment: the rig in force (None before set-up), the entries, oldest first, and the rigs that
    stood at their times."""

    rig: Rig | None
    entries: tuple[Entry, ...]
    arrangements: tuple[Arrangement, ...] = ()


@dataclass(frozen=True, slots=True)
class WhereTo:
    """Where to and what for as things stand: the next stop in a line, the names of places, the likeliest meant first, and
    what is to be done in town: supply and words."""

    stop: str = ""
    places: tuple[str, ...] = ()
    in_town: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Undone:
    """What was taken or brought back: the entries concerned, none where it was about something else; and in words.

    `voided`: those entries had been taken out, so that an undo put them in again.
    """

    entries: tuple[Entry, ...]
    told: str
    voided: bool = False


class Desk(Protocol):
    """What the screens ask for. `forecast`, `where_to`, `decide` and `on_log` may run in another thread."""

    def known(self) -> Known:
        """The rig and the entries."""

    def version(self) -> str:
        """A text that changes when the log does."""

    def forecast(self) -> Forecast:
        """Worked out afresh."""

    def where_to(self, forecast: Forecast) -> WhereTo:
        """What is to be done in town, and what places say, as of that forecast."""

    def decide(self, asked: str) -> Answered:
        """The answer to a question put before acting; may be called from another thread."""

    def on_log(self, act: Callable[[Logbook, Moment], T]) -> T:
        """Does something with a logbook of its own, now; may be called from another thread."""

    def record(self, said: Sequence[Typed]) -> tuple[Entry, ...]:
        """Keeps what was typed as one act."""

    def undo(self, *, again: bool = False) -> Undone:
        """Takes the last act back; `again`: brings back what was taken back last."""

    def void(self, entry: Entry) -> None:
        """Takes one entry out."""

    def mend(self, entry: Entry, changes: dict[str, str]) -> None:
        """Replaces fields of an entry."""

    def settle(self, entry: Entry, answer: str) -> None:
        """Answers the question about an odd entry."""

    def set_up(self, text: str, said: Sequence[Typed]) -> Rig:
        """Keeps the first rig and what is in it as one act."""

    def keep_files(self, name: str, texts: Mapping[str, str]) -> str:
        """Writes texts, by ending, beside the log under one name, a number behind it where one is taken → where."""

    def setting(self, name: str) -> str | None:
        """Something remembered with the log."""

    def remember(self, name: str, value: str) -> None:
        """Remembers it."""

    def close(self) -> None:
        """Closes the log."""


ELSEWHERE = "Something was noted in another window since. {key} again takes that back."


class LogDesk:
    """The desk of a log on disk. A thread that works out a forecast opens the file for itself."""

    def __init__(self, path: str, now: Callable[[], Moment]) -> None:
        self._path, self._clock = path, now
        self._book = Logbook.open(path)
        self._seen, self._version = -1, ""
        self._mine = ""
        """The last act of this window, "" before the first."""
        self._stamp: tuple[int, ...] = ()

    def known(self) -> Known:
        """The rig and the entries."""
        loaded = self._book.arrangements()
        return Known(loaded[-1].rig if loaded else None, self._book.entries() if loaded else (), loaded)

    def version(self) -> str:
        """The last act; looked up again only when another connection has written, asked only when the files changed."""
        now = stamp(self._path)
        if now == self._stamp and self._seen != -1:
            return self._version
        self._stamp = now
        self._follow()
        seen = self._book.data_version()
        if seen != self._seen:
            self._seen, self._version = seen, self._book.last_act_id()
        return self._version

    def is_behind(self) -> bool:
        """Whether the clock is well before what was recorded last."""
        return keeping.is_behind(self._book, self._clock())

    def _here(self, book: Logbook) -> Moment:
        return keeping.told_here(book, self._clock())

    def _follow(self) -> None:
        """Another file was put in the place of the log (a backup brought back): from now on that one is meant."""
        if self._book.is_elsewhere() and Path(self._path).exists():
            other = Logbook.open(self._path, create=False)
            self._book.close()
            self._book, self._seen, self._mine = other, -1, ""

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """This window writes: the log is looked up again, and what was written last is what its undo means."""
        self._follow()
        self._seen = -1
        yield
        self._mine = self._book.last_act_id()

    def forecast(self) -> Forecast:
        """Worked out afresh, numpy and all loaded on first use."""
        from vanlife_supply.advising import outlook

        with Logbook.open(self._path) as book:
            now = self._here(book)
            return outlook(book, now, now)

    def where_to(self, forecast: Forecast) -> WhereTo:
        """What is to be done in town, and what places say, as of that forecast."""
        from vanlife_supply.resupply import atlas, names, next_stop, town
        from vanlife_supply.wording.names import printable
        from vanlife_supply.wording.places import headline
        from vanlife_supply.wording.town import short_list

        with Logbook.open(self._path) as book:
            rig = book.rig()
            in_town = short_list(town(forecast, rig), rig)
            if not book.has_places():
                return WhereTo(in_town=in_town)
            known, now = atlas(book, forecast.as_of), self._here(book)
            stop = next_stop(forecast, rig, known, keeping.plans(book, now)) if known.places else None
        told = printable(headline(stop, forecast, rig)) if stop else ""
        return WhereTo(told, tuple(printable(n) for n in names(known)), in_town)

    def decide(self, asked: str) -> Answered:
        """The answer to a question put before acting."""
        with Logbook.open(self._path) as book:
            return answered(asked, book, self._here(book))

    def on_log(self, act: Callable[[Logbook, Moment], T]) -> T:
        """Does something with a logbook of its own, now."""
        with Logbook.open(self._path) as book:
            before = book.last_act_id()
            done = act(book, self._here(book))
            if book.last_act_id() != before:
                self._mine = book.last_act_id()
            return done

    def record(self, said: Sequence[Typed]) -> tuple[Entry, ...]:
        """Keeps what was typed as one act."""
        now = self._here(self._book)
        with self._writing():
            return keeping.record(self._book, [keeping.noted(self._book, typed, now) for typed in said], now)

    def undo(self, *, again: bool = False) -> Undone:
        """Takes the last act back; `again`: brings back what was taken back last."""
        from vanlife_supply.wording.undo import told_of_undo

        if self._mine and self._book.last_act_id() != self._mine:
            self._mine = ""
            raise Refusal(ELSEWHERE.format(key=key_of("redo" if again else "undo")))
        before = self._book.rig()
        with self._writing():
            entries = keeping.undo(self._book, self._here(self._book), again=again)
        told = told_of_undo(self._book, before, entries, self._here(self._book), again=again)
        return Undone(entries, told, bool(entries) and keeping.of_a_void(self._book))

    def void(self, entry: Entry) -> None:
        """Takes one entry out."""
        with self._writing():
            keeping.void(self._book, entry.id, self._here(self._book))

    def mend(self, entry: Entry, changes: dict[str, str]) -> None:
        """Replaces fields of an entry."""
        with self._writing():
            keeping.mend(self._book, entry.id, changes, self._here(self._book))

    def settle(self, entry: Entry, answer: str) -> None:
        """Answers the question about an odd entry."""
        with self._writing():
            keeping.settle(self._book, entry.id, answer, self._here(self._book))

    def set_up(self, text: str, said: Sequence[Typed]) -> Rig:
        """Keeps the first rig and what is in it as one act."""
        with self._writing():
            return keeping.set_up(self._book, text, said, self._here(self._book))

    def keep_files(self, name: str, texts: Mapping[str, str]) -> str:
        """Writes texts, by ending, beside the log under one name, a number behind it where one is taken → where."""
        stem = _free(Path(self._path).with_name(name), texts)
        made: list[Path] = []
        try:
            for ending, text in texts.items():
                path = stem.with_name(f"{stem.name}.{ending}")
                with path.open("x", encoding="utf-8", newline="") as file:
                    made.append(path)
                    file.write(text)
        except OSError as fault:
            for path in made:
                path.unlink(missing_ok=True)
            raise Refusal(f"{stem} cannot be written ({fault.strerror}): nothing was.") from None
        return str(stem)

    def setting(self, name: str) -> str | None:
        """Something remembered with the log."""
        return self._book.setting(name)

    def remember(self, name: str, value: str) -> None:
        """Remembers it."""
        self._book.set(name, value)

    def close(self) -> None:
        """Closes the log."""
        self._book.close()


def _free(path: Path, endings: Iterable[str]) -> Path:
    """That path, or the first with a number behind it, of which no file with one of the endings is there."""
    names = (path if n == 1 else path.with_name(f"{path.name}-{n}") for n in count(1))
    return next(one for one in names if not any(one.with_name(f"{one.name}.{end}").exists() for end in endings))
