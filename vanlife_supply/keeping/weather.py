"""Temperatures taken in: one act that undo takes back."""

from __future__ import annotations

from vanlife_supply.entry.temperatures import read_temperatures
from vanlife_supply.keeping.acts import begun
from vanlife_supply.logbook import Logbook
from vanlife_supply.logbook.weather import record_weather, temperatures
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal


def take_in_weather(book: Logbook, text: str, unit: str, now: Moment) -> tuple[tuple[int, float], ...]:
    """Keep the days of a file, each in the place of what was told of it before → the days. Refusal where none is new."""
    days = read_temperatures(text, unit)
    book.rig()
    if set(days) <= set(temperatures(book)):
        raise Refusal("These temperatures are known already, exactly so.")
    record_weather(book, begun(book, now)[0], days)
    return days
