"""Whether a place is open at a moment: opening hours (with the optional package), seasons and frost."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from vanlife_supply.moment import Moment, zone_named
from vanlife_supply.place.model import Place, Word

_WEEKDAYS = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")
_HOLIDAY = re.compile(r"\b(?:PH|SH)\b")
_SEASONS = ("winter", "spring", "summer", "autumn")


@dataclass(frozen=True, slots=True)
class Opening:
    """Open yes, no or ask at a moment, and why in plain words."""

    word: Word
    reason: str


def open_at(place: Place, when: Moment, *, country: str = "", frost: bool = False) -> Opening:
    """Whether the place is open and running at `when`, told in the zone of that moment.

    `country` (two letters) makes public holidays known; without it a rule for holidays that would change the answer
    gives "ask". `frost`: the moment lies between the first and the last frost, when outdoor taps are shut off.
    Without the package `opening-hours-py` any written hours but 24/7 give "ask".
    """
    hours = place.tags.get("opening_hours", "")
    opening = _opening(hours, place, when, country) if hours else Opening("ask", "its hours are not known")
    doubt = _season_doubt(place, when.local()) or ("taps may be shut off in frost" if frost else "")
    if doubt and opening.word == "yes":
        return Opening("ask", doubt)
    return opening


def _opening(hours: str, place: Place, when: Moment, country: str) -> Opening:
    if hours.strip() == "24/7":
        return Opening("yes", "open at all times")
    ordinary = _state(hours, place, when, country)
    if isinstance(ordinary, str):
        return Opening("ask", ordinary)
    known = ("PH",) if country else ()
    if any(word not in known for word in _HOLIDAY.findall(hours)):
        unknown = _HOLIDAY if not country else re.compile(r"\bSH\b")
        today = _WEEKDAYS[when.local().weekday()]
        if _state(unknown.sub(today, hours), place, when, country) != ordinary:
            return Opening("ask", f"differs on holidays, which are not known here: {hours}")
    return Opening("yes" if ordinary else "no", hours)


def _state(hours: str, place: Place, when: Moment, country: str) -> bool | str:
    """True open, False closed, or a text why that cannot be told."""
    try:
        import opening_hours  # an optional extra, and 13 ms that only a look at hours should cost
    except ImportError:
        return f"its hours, not worked out here: {hours}"
    # Its type hints leave the package's own errors out, hence by name.
    unreadable: type[Exception] = vars(opening_hours)["ParserError"]
    no_country: type[Exception] = vars(opening_hours)["UnknownCountryError"]
    zone = zone_named(when.zone) if when.zone else None
    local = when.local().replace(tzinfo=None)
    for text in (hours, " ".join(hours.split()).rstrip("; ")):
        try:
            # Country and zone from coordinates would load 100 MB of maps, so both are given or left out.
            rules = opening_hours.OpeningHours(
                text,
                timezone=zone,
                country=country.upper() or None,
                coords=place.point if zone else None,
                auto_country=False,
                auto_timezone=False,
            )
            state, comment = rules.state(local.replace(tzinfo=zone))
        except no_country:
            return f"'{country}' is not a country whose holidays are known"
        except unreadable:
            continue
        if comment or state == opening_hours.State.UNKNOWN:
            # A comment alone means "unknown" in the grammar; the package calls it open.
            return f'ask first: "{comment}"' if comment else f"its hours leave it open: {hours}"
        return bool(state == opening_hours.State.OPEN)
    return f"its hours cannot be read: {hours}"


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
