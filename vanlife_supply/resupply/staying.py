"""How long one may stay: the limits typed for places, against the person's own days there as the log has them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from vanlife_supply.logbook import Logbook, places
from vanlife_supply.logbook.places import Whereabouts
from vanlife_supply.moment import Moment
from vanlife_supply.place.model import Place
from vanlife_supply.place.stay import Stay, StayClock, read_rules, tightest


@dataclass(frozen=True, slots=True)
class Staying:
    """The clock of a place with a limit: `said` as typed; `since` when the stay under way there began, None if not there."""

    place: Place
    said: str
    since: float | None
    clock: StayClock


def staying(book: Logbook, as_of: Moment) -> Staying | None:
    """The clock at the place where the person is staying; None where no limit was typed for it."""
    rules = places.stay_rules(book)
    being = places.whereabouts(book, as_of.epoch) if rules else []
    if not being or being[-1].place not in rules:
        return None
    return _clock(book, being[-1].place, rules[being[-1].place], being, as_of)


def clock_at(book: Logbook, place: str, as_of: Moment) -> Staying | None:
    """The clock at any place (its id), as if arriving now where one is not there; None without a limit typed for it."""
    said = places.stay_rules(book).get(place)
    return None if said is None else _clock(book, place, said, places.whereabouts(book, as_of.epoch), as_of)


def limits(book: Logbook, as_of: Moment) -> dict[str, int]:
    """By name in small letters, the whole nights one may stay at each place with a limit, arriving now or there already."""
    clocks = (clock_at(book, place, as_of) for place in places.stay_rules(book))
    return {one.place.name.casefold(): int(one.clock.left_days) for one in clocks if one is not None and one.place.name}


def _clock(book: Logbook, place: str, said: str, being: Sequence[Whereabouts], as_of: Moment) -> Staying | None:
    known = {one.id: one for one in places.places(book, {place, *(w.place for w in being)})}
    if place not in known:
        return None
    stays = _stays(being, known)
    clock = tightest(read_rules(said), known[place].point, place, stays, as_of)
    here = stays[-1] if stays and stays[-1].end is None and stays[-1].place_id == place else None
    return None if clock is None else Staying(known[place], said, here.start if here else None, clock)


def _stays(being: Sequence[Whereabouts], known: dict[str, Place]) -> list[Stay]:
    """Each place from when the person said to be there until they said to be elsewhere, or on the road."""
    stays: list[Stay] = []
    for one, after in zip_longest(being, being[1:]):
        point = known[one.place].point if one.place in known else None
        if stays and stays[-1].place_id == one.place and stays[-1].end == one.at:
            start = stays.pop().start
        else:
            start = one.at
        if one.place:
            stays.append(Stay(start, after.at if after else None, point, one.place))
    return stays
