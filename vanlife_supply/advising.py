"""What to do: the look ahead over a logbook, from the newest belief kept in it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import TOP_ERROR
from vanlife_supply.forecast import BELIEF_VERSION, Belief, from_bytes, learn, look_ahead, to_bytes
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.forecast.suppose import level_leaving, with_level
from vanlife_supply.forecast.switch import question
from vanlife_supply.forecast.weather import Weather
from vanlife_supply.logbook import Logbook
from vanlife_supply.logbook.weather import temperatures
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Arrangement

if TYPE_CHECKING:
    from vanlife_supply.resupply import Atlas, TownList

WORTH_KEEPING = 40
"""A belief is kept in the logbook once this many entries were folded since the last one kept."""
STAY = "stay"
"""The name of the dated limit that a place's own stay limit makes."""
KEPT_BACK = 200
"""After a long rebuild one more is kept from this many entries ago, so that a late entry does not cost another."""


def outlook(book: Logbook, as_of: Moment | None, now: Moment) -> Forecast:
    """What is to be expected after `as_of` (None: now). Refusal when no rig is loaded."""
    return outlooks(book, [as_of or now], now)[0]


def outlooks(book: Logbook, moments: Sequence[Moment], now: Moment) -> list[Forecast]:
    """The outlook at each moment, in the order asked; one pass over the log.

    As of T counts every entry whose own time is not after T; plans count as they stand now.
    """
    arrangements = book.arrangements()
    if not arrangements:
        book.rig()
    if not moments:
        return []
    asked = sorted(set(moments), key=lambda moment: moment.epoch)
    beliefs = _beliefs(book, arrangements, asked, now)
    found = {
        moment: replace(look_ahead(belief, moment), question=question(belief, moment))
        for moment, belief in zip(asked, beliefs, strict=True)
    }
    return [found[moment] for moment in moments]


def outlook_if(book: Logbook, more: Sequence[Entry], now: Moment, without: Sequence[Entry] = ()) -> Forecast:
    """What would be expected now if `more` were noted too and `without` were not; nothing is kept."""
    arrangements = book.arrangements()
    belief = _begun(book, arrangements, min(entry.at.epoch for entry in (*more, *without)) - 1e-3)
    gone = {entry.id for entry in without}
    entries = book.entries(until=now.epoch, since=None if belief is None else belief.last)
    stands = sorted([*(e for e in entries if e.id not in gone), *more], key=m.order)
    belief = _in_force(learn(belief, arrangements, stands), arrangements, now)
    return look_ahead(_with_places(belief, book, now, _Doubts(book, now)), now)


def believed(book: Logbook, now: Moment) -> Belief:
    """What is known now. Refusal when no rig is loaded."""
    arrangements = book.arrangements()
    if not arrangements:
        book.rig()
    return next(_beliefs(book, arrangements, [now], now))


def town_list(belief: Belief, as_of: Moment, now: Forecast) -> TownList:
    """What to do in town, and what one may count on after: a look ahead with all of it done. `now`: the look as of then."""
    from vanlife_supply.resupply import town

    listed = town(now, belief.rig)
    after = replace(belief, plans=[])
    for name in listed.moved:
        shelf = after.replay.shelves[name]
        if after.threads[name].rows:
            held = [v for v in shelf.vessels if not v.aside and not v.spec.kept_back]
            done = sum(v.spec.stop if shelf.fills else v.spec.stop - v.spec.dead for v in held)
            room = done if shelf.fills else done - shelf.supply.reserve
            after = with_level(after, name, level_leaving(shelf, max(0.0, room)), TOP_ERROR * done, as_of)
    first = look_ahead(after, as_of).first
    return replace(listed, after=(first.days_left.p10, first.what) if first else None)


def _beliefs(
    book: Logbook, arrangements: Sequence[Arrangement], asked: Sequence[Moment], now: Moment
) -> Iterator[Belief]:
    """What is known at each moment, which are in order; one pass over the log."""
    belief = _begun(book, arrangements, asked[0].epoch)
    latest = max(now.epoch, asked[-1].epoch)
    entries = book.entries(until=latest, since=None if belief is None else belief.last)
    times = [entry.at.epoch for entry in entries]
    doubted = _Doubts(book, now)
    start = 0
    for moment in asked:
        end = bisect_right(times, moment.epoch)
        belief = _learnt(book, belief, arrangements, entries[start:end])
        planned = _with_plans(belief, arrangements, entries[end:], now)
        stands = _in_force(planned, arrangements, moment)
        yield _with_places(stands if moment.epoch >= now.epoch else _as_then(stands, moment), book, moment, doubted)
        start = end


def _begun(book: Logbook, arrangements: Sequence[Arrangement], until: float) -> Belief | None:
    """The newest belief kept until that time, with the temperatures in the log; None when it begins with nothing."""
    belief, weather = _kept(book, arrangements, until), told_weather(book)
    if weather is not None:
        belief = belief or Belief()
        belief.calendar.weather = weather
    return belief


def _kept(book: Logbook, arrangements: Sequence[Arrangement], until: float) -> Belief | None:
    """The newest belief kept from before that time; one that cannot be read is as good as none."""
    kept = book.belief(until, BELIEF_VERSION)
    if kept is None:
        return None
    try:
        return from_bytes(kept[1], arrangements)
    except ValueError:
        return None


def _learnt(
    book: Logbook, belief: Belief | None, arrangements: Sequence[Arrangement], entries: Sequence[Entry]
) -> Belief:
    """The belief with these entries folded in, kept in the logbook when that took long."""
    if len(entries) > 2 * KEPT_BACK:
        cut = len(entries) - KEPT_BACK
        while cut < len(entries) and entries[cut].at.epoch == entries[cut - 1].at.epoch:
            cut += 1
        belief = learn(belief, arrangements, entries[:cut])
        _keep(book, belief)
        entries = entries[cut:]
    belief = learn(belief, arrangements, entries)
    if len(entries) >= WORTH_KEEPING:
        _keep(book, belief)
    return belief


def _keep(book: Logbook, belief: Belief) -> None:
    if belief.last is not None:
        book.keep_belief(belief.last, BELIEF_VERSION, to_bytes(belief))


def _with_plans(belief: Belief, arrangements: Sequence[Arrangement], later: Sequence[Entry], now: Moment) -> Belief:
    """The belief with the plans that were made since: they count as they stand now."""
    plans = [entry for entry in later if entry.kind == m.PLANNED and entry.at.epoch <= now.epoch]
    return learn(belief, arrangements, plans) if plans else belief


def told_weather(book: Logbook) -> Weather | None:
    """The temperatures in the log."""
    days = temperatures(book)
    return Weather.of(days) if days else None


def _as_then(belief: Belief, as_of: Moment) -> Belief:
    """The belief without the temperatures of days that were not over then."""
    weather = belief.calendar.weather
    if weather is None:
        return belief
    return replace(belief, calendar=replace(belief.calendar, weather=weather.until(as_of.epoch, as_of.offset)))


class _Doubts:
    """Which plans are not known to work where they are planned, as things stand now; looked up once."""

    def __init__(self, book: Logbook, now: Moment) -> None:
        self._book, self._now = book, now
        self._atlas: Atlas | None = None

    def of(self, plans: Sequence[Entry]) -> dict[str, float]:
        """Plan (its id) → the chance that it works."""
        from vanlife_supply.resupply import atlas, works

        if not any(plan.place for plan in plans):
            return {}
        self._atlas = self._atlas or atlas(self._book, self._now)
        return works(plans, self._atlas)


def _with_places(belief: Belief, book: Logbook, as_of: Moment, doubted: _Doubts) -> Belief:
    """The belief with what places say: until when one may stay, and whether a plan is known to work where it is planned."""
    if not book.has_places():
        return belief
    from vanlife_supply.resupply import staying

    stay = staying(book, as_of)
    if stay is not None and stay.clock.move_by.epoch > as_of.epoch:
        belief = _limited(belief, Entry("", m.LIMIT, as_of, word=STAY, until=stay.clock.move_by), as_of)
    return replace(belief, works=doubted.of(belief.plans))


def _limited(belief: Belief, limit: Entry, as_of: Moment) -> Belief:
    """With a dated limit more; of two of that name the sooner counts."""
    own = next((one for one in belief.limits if one.word == limit.word and one.until), None)
    if own and own.until and limit.until and as_of.epoch < own.until.epoch <= limit.until.epoch:
        return belief
    return replace(belief, limits=[*(one for one in belief.limits if one.word != limit.word), limit])


def _in_force(belief: Belief, arrangements: Sequence[Arrangement], moment: Moment) -> Belief:
    """The belief with the rig that stands then, though nothing was noted since it was loaded."""
    if not belief.replay.is_due(arrangements, moment.epoch):
        return belief
    known = belief.copy()
    known.arrange(arrangements, moment.epoch)
    known.settle()
    return known
