"""What a person did about trips: loaded one, found that a place does not work. Each is one act that undo takes back."""

from __future__ import annotations

from vanlife_supply.keeping.acts import begun
from vanlife_supply.logbook import Logbook, trips
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal, nearest

LONGEST_NAME = 80


def load_trip(book: Logbook, name: str, toml: str, now: Moment) -> None:
    """Keep a trip under a name, in place of one of that name; the same file again is refused."""
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise Refusal(f"A trip needs a name of up to {LONGEST_NAME} printable characters.")
    if trips.trips(book).get(name) == toml:
        raise Refusal(f"The trip '{name}' is loaded already, exactly so: 'plan {name}' plans it.")
    trips.record_trip(book, begun(book, now)[0], name, toml)


def say_place(book: Logbook, trip: str, place: str, now: Moment, *, works: bool) -> None:
    """Keep that a place of a trip did not work, or does after all. Refusal where that is known."""
    if works == (place not in trips.closed_places(book, trip)):
        raise Refusal(f"{place} counts as {'open' if works else 'closed'} on '{trip}' already.")
    trips.record_place(book, begun(book, now)[0], trip, place, works=works)


def trip_named(book: Logbook, name: str) -> tuple[str, str]:
    """(name, file) of the loaded trip a person means, small and capital letters alike. Refusal naming the nearest."""
    known = trips.trips(book)
    same = [one for one in known if one == name] or [one for one in known if one.casefold() == name.strip().casefold()]
    if not same:
        raise Refusal(
            f"There is neither a file nor a loaded trip '{name}'{nearest(name, list(known))}: "
            "'trip list' shows those loaded, 'trip load FILE' takes one in."
        )
    return same[-1], known[same[-1]]
