"""A trip as a strip of days: stays, legs, stops, and how long each supply holds in between. A pure function."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta

from vanlife_supply.constants import KM_PER_MILE
from vanlife_supply.moment import read_iso
from vanlife_supply.trip.model import Plan, Trip
from vanlife_supply.trip.nights import Held
from vanlife_supply.tui.board import NARROW
from vanlife_supply.tui.lines import Line, Span, cell, clip, line
from vanlife_supply.tui.strip import BEST, LIKELY, SURE, header
from vanlife_supply.wording.trips import Voice

NUMBERS = "123456789abcdefghijklmnopqrstuvwxyz"
"""The signs of stops, in order; later ones are a plus."""
_LABEL, _SPARE = 9, 19
_SCALES = (4.0, 3.0, 2.0, 1.0)
_LOOKS = ((0.9, SURE, "sure"), (0.5, LIKELY, "likely"), (0.1, BEST, "best"))


def strip(
    trip: Trip, plan: Plan, held: Mapping[str, Held], slack: Mapping[str, int], voice: Voice, width: int
) -> list[Line]:
    """Header, stays, legs, a row for each supply, what the glyphs mean."""
    cells = max(8, width - _LABEL - (_SPARE if width >= NARROW else 1))
    per_day = next((s for s in _SCALES if (trip.nights + 1) * s <= cells), cells / (trip.nights + 1))
    used = int((trip.nights + 1) * per_day)
    return [
        (Span(" " * _LABEL), Span(_header(trip, per_day, used), "dim")),
        line(cell(" stays", _LABEL) + _stays(trip, per_day, used)),
        line(cell(" drive", _LABEL) + _legs(trip, voice, per_day, used)),
        *(
            (*_supply(plan, name, nights, voice, per_day, used), _spare(slack.get(name), width))
            for name, nights in held.items()
        ),
        line(clip(f" {SURE} count on  {LIKELY} likely  {BEST} at best  1 2 … stops", width), "dim"),
    ]


def sign(index: int) -> str:
    """What a stop (from 0) is called in the strip and before its line."""
    return NUMBERS[index] if index < len(NUMBERS) else "+"


def _header(trip: Trip, per_day: float, cells: int) -> str:
    eve = read_iso(f"{trip.start - timedelta(days=1)}T23:59", "UTC").moment
    return header(eve, per_day, cells)


def _stays(trip: Trip, per_day: float, cells: int) -> str:
    out = [" "] * cells
    for k, stay in enumerate(trip.stays, start=1):
        first, last = int(trip.first_day(k) * per_day), int(trip.first_day(k + 1) * per_day)
        room = max(1, last - first)
        out[first : first + room] = list(("│" + clip(stay.name or str(k), max(1, room - 1))).ljust(room)[:room])
    end = int(trip.nights * per_day)
    return "".join([*out[:end], "│"])[:cells]


def _legs(trip: Trip, voice: Voice, per_day: float, cells: int) -> str:
    """The distance of each leg below the day it is driven, where there is room for it."""
    out = " " * cells
    for k, stay in enumerate(trip.stays, start=1):
        first, last = int(trip.first_day(k) * per_day), int(trip.first_day(k + 1) * per_day)
        text = distance(stay.drive_km, voice) if stay.drive_km > 0 else ""
        text = text if len(text) < last - first or k == len(trip.stays) else "→"
        out = (out[:first] + text + out[first + len(text) :])[:cells] if stay.drive_km > 0 else out
    return out


def distance(km: float, voice: Voice) -> str:
    """`50 mi` or `80 km`."""
    us = voice.rig is not None and voice.rig.units == "us"
    return f"{km / KM_PER_MILE:.0f} mi" if us else f"{km:.0f} km"


def _supply(plan: Plan, name: str, nights: Held, voice: Voice, per_day: float, cells: int) -> Line:
    glyphs = [_glyph(nights, i / per_day, (i + 1) / per_day) for i in range(cells)]
    for index, visit in enumerate(plan.visits):
        if any(one.supply == name for one in visit.services):
            glyphs[min(cells - 1, int(visit.day * per_day))] = (sign(index), "key")
    label = cell(f" {voice.supply(name).capitalize()}", _LABEL)
    return (Span(label), *(Span(text, look) for text, look in _runs(glyphs)))


def _spare(nights: int | None, width: int) -> Span:
    """Nights to spare, beside the row where there is room."""
    if nights is None or width < NARROW:
        return Span("")
    return Span(f" {nights} night{'' if nights == 1 else 's'} to spare" if nights >= 0 else " too short", "dim")


def _glyph(nights: Held, start: float, end: float) -> tuple[str, str]:
    """The least sure of the nights in a cell."""
    inside: Sequence[float | None] = nights[int(start) : max(int(start) + 1, int(end + 1e-9))]
    chances = [p for p in inside if p is not None]
    if not chances:
        return " ", ""
    return next(((glyph, look) for least, glyph, look in _LOOKS if min(chances) >= least), (" ", ""))


def _runs(glyphs: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    runs: list[tuple[str, str]] = []
    for text, look in glyphs:
        if runs and runs[-1][1] == look:
            runs[-1] = (runs[-1][0] + text, look)
        else:
            runs.append((text, look))
    return runs
