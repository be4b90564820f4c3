"""Whether a place is open at a moment: opening hours (with the optional package), seasons and frost."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from vanlife_supply.moment import Moment, read_iso
from vanlife_supply.place.model import Place, Word

_WEEKDAYS = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")
_LONGEST = 255  # characters a tag of the map may have
_HOLIDAY = re.compile(r"\b(?:PH|SH)\b")
_SCHOOL_HOLIDAY = re.compile(r"\bSH\b")
_SUN = re.compile(r"\b(sunrise|dawn|sunset|dusk)\b")
# The widest and the narrowest day up to 60° from the equator, by the clock: between them nothing need be worked out.
_SUN_READINGS = (
    {"sunrise": "02:00", "dawn": "01:00", "sunset": "23:00", "dusk": "24:00"},
    {"sunrise": "10:00", "dawn": "10:00", "sunset": "15:00", "dusk": "15:00"},
)
_CHANGES = 32
"""So many openings and closings are looked through for the next sure one."""
_SEASONS = ("winter", "spring", "summer", "autumn")


@dataclass(frozen=True, slots=True)
class Opening:
    """Open yes, no or ask at a moment, and why in plain words; `opens`: when next, where it is closed and that is sure."""

    word: Word
    reason: str
    opens: Moment | None = None


def open_at(place: Place, when: Moment, *, country: str = "", frost: bool = False) -> Opening:
    """Whether the place is open and running at `when`, told in the zone of that moment.

    `country` (two letters) makes public holidays known; without it a rule for holidays that would change the answer
    gives "ask". `frost`: the moment lies between the first and the last frost, when outdoor taps are shut off.
    Without the package `opening-hours-py` any written hours but 24/7 give "ask".
    """
    hours = place.tags.get("opening_hours", "")
    opening = _opening(hours, place, when, country) if hours else Opening("ask", "its hours are not known")
    doubt = _season_doubt(place, when.local()) or ("taps may be shut off in frost" if frost else "")
    if doubt and opening.word != "no":
        return Opening("ask", doubt if opening.word == "yes" else f"{doubt}; {opening.reason}")
    return opening


def _opening(hours: str, place: Place, when: Moment, country: str) -> Opening:
    """Every reading the text allows is tried; where they differ the answer is ask."""
    if hours.strip() == "24/7":
        return Opening("yes", "open at all times")
    if len(hours) > _LONGEST:
        return Opening("ask", f"its hours cannot be read: {hours[:_LONGEST]}…")
    states = [_state(text, when, country) for text in _readings(hours, place, when, country)]
    unclear = next((state for state in states if isinstance(state, str)), "")
    if unclear:
        return Opening("ask", f"{unclear}: {hours}")
    if len(set(states)) > 1:
        return Opening("ask", f"hangs on holidays or the sun, which are not worked out here: {hours}")
    if "||" in hours and not states[0]:
        return Opening("ask", f"closed by its first rule, but has another for that case: {hours}")
    if states[0]:
        return Opening("yes", hours)
    opens = {_opens(text, when, country) for text in _readings(hours, place, when, country)}
    return Opening("no", hours, opens.pop() if len(opens) == 1 else None)


def _opens(hours: str, when: Moment, country: str) -> Moment | None:
    """When the rules next say open without a condition, None if that is not within what is looked through."""
    rules = _rules(hours, country)
    local = when.local().replace(tzinfo=None)
    for _ in range(0 if isinstance(rules, str) else _CHANGES):
        change = rules.next_change(local)
        if change is None:
            return None
        local = change
        if _at(rules, local) is True:
            return _on_the_clock(local, when)
    return None


def _readings(hours: str, place: Place, when: Moment, country: str) -> list[str]:
    """The texts the hours come to with and without a holiday on that day, in a long and in a short day."""
    unknown = _SCHOOL_HOLIDAY if country else _HOLIDAY
    readings = [hours]
    if unknown.search(hours):
        readings.append(unknown.sub(_WEEKDAYS[when.local().weekday()], hours))
    if not _SUN.search(hours):
        return readings
    if place.lat is None or abs(place.lat) > 60:
        return [*readings, "off"]
    return [_with_sun(text, times) for text in readings for times in _SUN_READINGS]


def _with_sun(text: str, times: Mapping[str, str]) -> str:
    return _SUN.sub(lambda word: times[word[0]], text)


def _on_the_clock(local: datetime, when: Moment) -> Moment:
    """The wall clock `local` where `when` is told; its zone may only be an offset."""
    if when.zone:
        return read_iso(local.isoformat(), when.zone).moment
    return when.plus((local - when.local().replace(tzinfo=None)).total_seconds() / 86_400)


def _state(hours: str, when: Moment, country: str) -> bool | str:
    """True open, False closed, or a text why that cannot be told."""
    rules = _rules(hours, country)
    return rules if isinstance(rules, str) else _at(rules, when.local().replace(tzinfo=None))


def _at(rules: Any, local: datetime) -> bool | str:
    state, comment = rules.state(local)
    if comment or str(state) == "unknown":
        # A comment alone means "unknown" in the grammar; the package calls it open.
        return "its hours hang on a condition"
    return str(state) == "open"


def _rules(hours: str, country: str) -> Any:
    """The rules as the package reads them, or a text why they cannot be read."""
    try:
        import opening_hours  # an optional extra, and 13 ms that only a look at hours should cost
    except ImportError:
        return "its hours, not worked out here"
    # Its type hints leave the package's own errors out, hence by name.
    unreadable: type[Exception] = vars(opening_hours)["ParserError"]
    no_country: type[Exception] = vars(opening_hours)["UnknownCountryError"]
    for text in (hours, " ".join(hours.split()).rstrip("; ")):
        try:
            # Wall clock in, no coordinates: finding zone and country from them would load 100 MB of maps.
            return opening_hours.OpeningHours(
                text, country=country.upper() or None, auto_country=False, auto_timezone=False
            )
        except no_country:
            return f"the holidays of '{country}' are not known"
        except unreadable:
            continue
    return "its hours cannot be read"


def _season_doubt(place: Place, local: datetime) -> str:
    """Why the season leaves it in doubt, "" if it does not. Seasons are those of the place's own hemisphere."""
    said = [part.strip() for part in place.tags.get("seasonal", "").split(";") if part.strip()]
    if not said or said == ["no"]:
        return ""
    month = local.month if place.lat is None or place.lat >= 0 else (local.month + 5) % 12 + 1
    season = _SEASONS[month % 12 // 3]
    if season in said:
        return ""
    return f"not all year ({', '.join(said)}); ask in {season}"
