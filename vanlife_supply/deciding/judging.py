"""How good it was, and why: the log replayed and judged, one outcome told, the facts behind a figure."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from vanlife_supply.advising import believed, told_weather
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.entry import model as m
from vanlife_supply.entry.evidence import COUNT, SCALE, STICK
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import hindsight, why
from vanlife_supply.forecast.facts import Fact, Helped, Learned, Outcome
from vanlife_supply.forecast.hindsight import scores
from vanlife_supply.forecast.measured import measured
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, at

__all__ = ["learned", "look_back", "offers", "reasons", "scores", "temperatures_helped", "told", "told_lately"]


LATELY_S, MOST_TOLD = 12 * 3600.0, 3
LATEST = 1000
"""Entries of a supply among which the trusted level before the last one is looked for."""


def _silent(done: int, of: int) -> None:
    """Nobody watches."""


def look_back(book: Logbook, now: Moment, step: Callable[[int, int], None] = _silent) -> tuple[Outcome, ...]:
    """The last outcomes of the log's own forecasts; `step(done, of)` is called before each. Refusal without a rig."""
    book.rig()
    return hindsight.look_back(book.arrangements(), _history(book), now.epoch, step, told_weather(book))


def temperatures_helped(
    book: Logbook, told: Sequence[Outcome], now: Moment, step: Callable[[int, int], None] = _silent
) -> tuple[Helped, ...]:
    """What the temperatures in the log were worth to the outcomes of `look_back`; () without any."""
    if told_weather(book) is None:
        return ()
    return hindsight.helped(told, hindsight.look_back(book.arrangements(), _history(book), now.epoch, step))


def told(book: Logbook, entry: Entry, now: Moment) -> Outcome | None:
    """What an entry just kept says of the forecast made at the trusted level before it; None when it says nothing.

    Loads numpy: for the app, never on the way of a logging command.
    """
    by_eye = entry.kind == m.READING and entry.method not in (SCALE, STICK, COUNT)
    if not entry.supply or by_eye:
        return None
    noted = hindsight.written(book.entries(entry.at.epoch, supply=entry.supply, most=LATEST))
    return hindsight.outcome_of(
        believed(book, now), lambda made: believed(book, at(made, now.zone, now.offset)), entry, noted
    )


def told_lately(book: Logbook, now: Moment) -> Outcome | None:
    """What the newest notes, written down in the last hours, say of the forecast made before them."""
    noted = book.entries(now.epoch, now.epoch - LATELY_S)
    fresh = [e for e in noted if e.recorded > now.epoch - LATELY_S][-MOST_TOLD:]
    return next((outcome for e in reversed(fresh) if (outcome := told(book, e, now)) is not None), None)


def reasons(known: Ground, supply: str) -> tuple[Fact, ...]:
    """The facts behind the figures of a supply; Refusal while nothing is known of it."""
    _, _, use, _ = known.known(supply)
    return why.why(known.belief, supply, known.now, use)


def learned(book: Logbook, known: Ground) -> tuple[Learned, ...]:
    """What the log has taught of the rig and the life in it, with bands; offered, never taken over."""
    return (*why.learned(known.belief), *measured(known.entries, book.arrangements(), known.rig))


def offers(book: Logbook, found: Sequence[Learned]) -> tuple[Learned, ...]:
    """What of it is worth asking about and was not answered with no before."""
    return tuple(f for f in found if f.offered and book.setting(f.declined) is None)


def _history(book: Logbook) -> list[Entry]:
    """Entries in force and those corrected since; one taken out without another in its place never was."""
    told = book.history()
    replaced = {entry.replaces for entry, _ in told if entry.replaces}
    return [entry for entry, stands in told if stands or entry.id in replaced]
