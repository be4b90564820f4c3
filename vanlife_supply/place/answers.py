"""What may be had at a place: yes, no or ask, from the person's own findings first, then from the map's tags.

The rules are those of the OpenStreetMap wiki pages Tag:amenity=sanitary_dump_station, Key:drinking_water,
Tag:man_made=water_tap, Key:fuel:* and the tagging presets of its main editor. Two matter most: the base tag of a dump
station is about toilet waste and says nothing of gray water, and a drinking tap is not a filling point.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.place.conditions import Tags, access, ago, checked, own_words
from vanlife_supply.place.model import WHATS, Confirmation, Place, What, Word

FADES_AFTER_S = 2 * 365.25 * SECONDS_PER_DAY
"""A person's own finding older than this is "ask" again: common practice, no source."""

_WORDS: dict[What, str] = {
    "fresh": "water",
    "grey": "gray water",
    "toilet": "toilet waste",
    "propane": "propane",
    "stove_fuel": "stove alcohol",
}
_STATION = "sanitary_dump_station"
_ACCEPTED = f"{_STATION}:accepted"
_GREY_KEYS = (f"{_STATION}:grey_water", "waste_disposal:grey_water")
_TEXT_SHOWN = 120
ITS_TEXT = "; its text: "
"""What stands in a reason before the words of the place itself."""
_DUMP = re.compile(r"(?:sanitary |rv )?dump(?:ing)?(?:[ -](?:station|point|site))?")
_MARKS: dict[What, re.Pattern[str]] = {
    "fresh": re.compile(r"(?:drinking |potable |fresh )?water(?:[ -](?:source|point|tap|fill|refill|station))?"),
    "grey": _DUMP,
    "toilet": _DUMP,
    "propane": re.compile(r"propane|lpg"),
}
"""What points of other programs are marked with: the symbol or type of a waypoint."""


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether `what` may be had (or left) at a place, and why, in one line of plain words.

    `since` is when that was last known (seconds UTC), None if undated. `limited` names a condition on a yes
    (customers, boats). `hinted` is False where nothing at the place speaks of it at all. `own`: the person found it out.
    """

    what: What
    word: Word
    reason: str
    since: float | None = None
    limited: str = ""
    hinted: bool = True
    own: bool = False

def answers(place: Place, found: Iterable[Confirmation], now: float) -> dict[What, Answer]:
    """The answers for all of `WHATS`; `found` are the confirmations of this place, `now` is seconds UTC."""
    known = [one for one in found if one.on <= now]
    return {what: answer(place, what, known, now) for what in WHATS}


def answer(place: Place, what: What, found: Iterable[Confirmation], now: float) -> Answer:
    """One answer: the newest own finding, else the newest imported one, else the rule for the tags."""
    said = _newest(what, found, now)
    return _from_finding(said, now) if said else _told(_ruled(place.tags, what), place.tags, now)


def glance(place: Place, what: What, found: Iterable[Confirmation], now: float) -> Answer:
    """The same word as `answer`, in a fraction of the time: the map's own words and dates are left out."""
    said = _newest(what, found, now) if found else None
    return _from_finding(said, now) if said else _ruled(place.tags, what)


def _newest(what: What, found: Iterable[Confirmation], now: float) -> Confirmation | None:
    matching = [one for one in found if one.what == what and one.on <= now]
    own = [one for one in matching if one.by != "import"]
    ranked = sorted(own or matching, key=lambda one: one.on)
    return ranked[-1] if ranked else None


def _from_finding(one: Confirmation, now: float) -> Answer:
    own = one.by != "import"
    who = {"import": "The file", "me": "You"}.get(one.by, one.by)
    remark = f" ({one.remark})" if one.remark else ""
    reason = f"{who} said {one.answer} to {_WORDS[one.what]} {ago(now - one.on)}{remark}"
    if now - one.on > FADES_AFTER_S:
        return Answer(one.what, "ask", f"{reason}: too long ago to rely on.", one.on, own=own)
    return Answer(one.what, one.answer, f"{reason}.", one.on, own=own)


def _ruled(tags: Tags, what: What) -> Answer:
    """What the rule for the tags says, access and hours minded."""
    ruled = _RULES[what](tags)
    ruled = ruled if ruled.hinted else _marked(what, tags) or ruled
    return _with_hours(_with_access(ruled, tags), tags) if ruled.hinted else ruled


def _marked(what: What, tags: Tags) -> Answer | None:
    """Ask, where the point is only marked with a symbol for it."""
    mark = next((tags[key] for key in ("sym", "type") if key in tags), "").strip()
    if what not in _MARKS or not _MARKS[what].fullmatch(mark.lower()):
        return None
    return Answer(what, "ask", f"Marked '{mark}' in the file; more is not said of {_WORDS[what]}")


def _told(ruled: Answer, tags: Tags, now: float) -> Answer:
    """The rule's answer with the place's own words, and when the map was checked."""
    since = checked(tags)
    reason = ruled.reason
    if since is not None and since <= now and ruled.hinted:
        reason += f"; map checked {ago(now - since)}"
    words = own_words(tags)
    if words and ruled.hinted:
        reason += f'{ITS_TEXT}"{words[:_TEXT_SHOWN]}{"…" if len(words) > _TEXT_SHOWN else ""}"'
    ended = reason.rstrip('"').endswith((".", "!", "?", "…")) and reason.endswith('"')
    return replace(ruled, reason=reason if ended else f"{reason}.", since=since)


def _with_access(ruled: Answer, tags: Tags) -> Answer:
    entry, word = access(tags)
    if entry == "closed":
        return replace(ruled, word="no", reason=f"Not open to the public (access={word})")
    if entry == "limited" and ruled.word == "yes":
        return replace(ruled, reason=f"{ruled.reason}, {word} only", limited=word)
    return ruled


def _with_hours(ruled: Answer, tags: Tags) -> Answer:
    """A comment in the hours ("by appointment") means nobody can tell from the map when it is open."""
    hours = tags.get("opening_hours", "")
    if ruled.word == "yes" and hours.strip() in ("off", "closed"):
        return replace(ruled, word="no", reason=f"{ruled.reason}, but it is marked closed")
    if ruled.word == "yes" and '"' in hours:
        return replace(ruled, word="ask", reason=f"{ruled.reason}, but its hours say {hours}")
    return ruled


def _fresh(tags: Tags) -> Answer:
    """Water to fill with. `drinking_water=no` beats every other tag."""
    drinking = tags.get("drinking_water", "")
    if drinking == "no":
        return Answer("fresh", "no", "The map says this water is not for drinking")
    point = tags.get("water_point", "")
    filling = tags.get("amenity") == "water_point" or point in ("yes", "customers")
    boats = tags.get("waterway") == "water_point" and not filling
    if (filling or boats) and drinking in ("untreated", "conditional"):
        return Answer("fresh", "ask", f"A filling point, but its water is {drinking}")
    signed = "; signed as not drinking water" if tags.get("drinking_water:legal") == "no" else ""
    if filling:
        limited = "customers" if point == "customers" else ""
        return Answer("fresh", "yes", f"A filling point{', customers only' if limited else ''}{signed}", limited=limited)
    if boats:
        return Answer("fresh", "yes", f"A filling point for boats{signed}", limited="boats")
    return _some_water(tags, drinking, signed)


def _some_water(tags: Tags, drinking: str, signed: str) -> Answer:
    kinds = (
        ("amenity", "drinking_water", "Drinking water for a cup or bottle; whether a jug or hose fits is not said"),
        ("man_made", "water_tap", "A tap; whether a jug or hose may be filled is not said"),
        ("man_made", "water_well", "A well; its water is not vouched for"),
        ("natural", "spring", "A spring; its water is not vouched for"),
        ("amenity", "fountain", "A fountain; its water is not vouched for"),
    )
    if tags.get("fountain") == "bubbler" or tags.get("bottle") == "no":
        return Answer("fresh", "ask", f"A fountain to drink from: no hose fits{signed}")
    for key, value, words in kinds:
        if tags.get(key) == value:
            treated = f" ({drinking})" if drinking in ("untreated", "conditional") else ""
            return Answer("fresh", "ask", f"{words}{treated}{signed}")
    if tags.get("drinking_water:refill") == "yes":
        return Answer("fresh", "ask", "Bottles are refilled here; jugs are not spoken of")
    if drinking:
        return Answer("fresh", "ask", f"Drinking water: {drinking}; a filling point is not named{signed}")
    if tags.get("water_point") == "no":
        return Answer("fresh", "no", "The map says there is no filling point")
    if tags.get("tourism") in ("camp_site", "caravan_site"):
        return Answer("fresh", "ask", "A camp site; the map does not say whether there is water")
    return _silent("fresh")


def _grey(tags: Tags) -> Answer:
    """Gray water: only an explicit yes or no, or the list of what is accepted, decides."""
    said = {tags[key] for key in _GREY_KEYS if key in tags}
    if said == {"yes"}:
        return Answer("grey", "yes", "The map says gray water is taken")
    if said == {"no"}:
        return Answer("grey", "no", "The map says gray water is not taken")
    if said == {"customers"}:
        return Answer("grey", "yes", "Gray water is taken, customers only", limited="customers")
    if said:
        return Answer("grey", "ask", f"The map contradicts itself on gray water ({' / '.join(sorted(said))})")
    listed = _accepted(tags)
    if "grey_water" in listed:
        return Answer("grey", "yes", "Gray water is on its list of what is taken")
    if listed:
        return Answer("grey", "no", "Gray water is not on its list of what is taken")
    station = _station(tags)
    if station == "no":
        return Answer("grey", "no", "The map says there is no dump station")
    if station:
        return Answer("grey", "ask", "A dump station for toilet waste; gray water is not spoken of")
    return _camp_or_silent("grey", tags)


def _toilet(tags: Tags) -> Answer:
    """Toilet waste: what the base tag of a dump station is about."""
    station = _station(tags)
    chemical = tags.get(f"{_STATION}:chemical_toilet") or tags.get("waste_disposal:chemical_toilet")
    if station == "no":
        return Answer("toilet", "no", "The map says there is no dump station")
    if chemical == "no":
        return Answer("toilet", "ask", "A dump station that takes no toilet chemicals")
    listed = _accepted(tags)
    if listed and "black_water" not in listed:
        return Answer("toilet", "ask", "A dump station whose list does not name toilet waste")
    if station or chemical in ("yes", "customers") or listed:
        limited = "customers" if "customers" in (station, chemical) else "boats" if station == "boats" else ""
        who = {"customers": ", customers only", "boats": " for boats"}.get(limited, "")
        cassette = ", with a basin for cassettes" if tags.get(f"{_STATION}:basin") == "yes" else ""
        return Answer("toilet", "yes", f"A dump station for toilet waste{who}{cassette}", limited=limited)
    return _camp_or_silent("toilet", tags)


def _station(tags: Tags) -> str:
    """How a dump station is said to be here: land, boats, yes, customers, no, or "" for not said."""
    if tags.get("amenity") == _STATION:
        return "land"
    if tags.get("waterway") == _STATION:
        return "boats"
    said = tags.get(_STATION, "")
    return said if said in ("yes", "customers", "no") else ""


def _accepted(tags: Tags) -> set[str]:
    listed = tags.get(_ACCEPTED)
    return {part.strip() for part in listed.split(";") if part.strip()} if listed else set()


def _propane(tags: Tags) -> Answer:
    """Propane: a bottled gas shop has it; an autogas pump for engines need not fill a cylinder."""
    if tags.get("shop") == "gas":
        return Answer("propane", "yes", "A bottled gas shop; exchange or refill is not said")
    if "yes" in (tags.get("fuel:lpg"), tags.get("fuel:propane")):
        return Answer("propane", "ask", "A gas pump for engines; whether cylinders are filled is not said")
    if tags.get("shop") == "fuel" or tags.get("vending") == "fuel":
        return Answer("propane", "ask", "Sells fuel; propane is not named")
    if tags.get("vending") == "gas":
        return Answer("propane", "ask", "A machine that sells gas bottles; which ones is not said")
    if tags.get("amenity") == "fuel":
        closed = tags.get("fuel:others") == "no" or tags.get("fuel:lpg") == "no"
        pump = "has no gas pump" if closed else "does not say whether it has gas"
        return Answer("propane", "ask", f"A fuel station that {pump}; cylinders are not spoken of")
    return _silent("propane")


def _stove_fuel(tags: Tags) -> Answer:
    """Stove alcohol: no tag says it is sold. E85 is motor fuel and is never taken for it."""
    shop = tags.get("shop", "")
    if shop in ("hardware", "doityourself", "paint", "outdoor", "chemist", "trade", "fuel"):
        kind = {"doityourself": "do-it-yourself", "trade": "trade supply"}.get(shop, shop)
        return Answer("stove_fuel", "ask", f"A {kind} shop: such shops often sell stove alcohol, the map never says so")
    return _silent("stove_fuel")


def _camp_or_silent(what: What, tags: Tags) -> Answer:
    if tags.get("tourism") in ("camp_site", "caravan_site"):
        return Answer(what, "ask", f"A camp site; the map does not say whether it takes {_WORDS[what]}")
    return _silent(what)


def _silent(what: What) -> Answer:
    return _SILENT[what]


_SILENT = {what: Answer(what, "ask", f"Nothing here speaks of {_WORDS[what]}", hinted=False) for what in WHATS}
_RULES: dict[What, Callable[[Tags], Answer]] = {
    "fresh": _fresh,
    "grey": _grey,
    "toilet": _toilet,
    "propane": _propane,
    "stove_fuel": _stove_fuel,
}
