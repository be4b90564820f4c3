"""The conditions tags put on a place: who may use it, what it costs, how large a vehicle fits, when it was checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Literal

from vanlife_supply.constants import METRES_PER_FOOT, SECONDS_PER_DAY
from vanlife_supply.place.model import What, Word
from vanlife_supply.rig.model import Vehicle

Tags = Mapping[str, str]

_CLOSED_TO_US = ("no", "private")
_LIMITED = ("customers", "permit", "destination", "network", "members", "residents")
_METRES = re.compile(r"(\d{1,4}(?:\.\d{1,3})?)(?: ?m)?")
_FEET = re.compile(r"(\d{1,3})'(?:(\d{1,2}(?:\.\d)?)\")?")
_FEE_KEYS: dict[What, str] = {
    "fresh": "water_point:fee",
    "grey": "sanitary_dump_station:fee",
    "toilet": "sanitary_dump_station:fee",
}
_CHECKED_KEYS = ("check_date", "survey:date", "timestamp")
_TONNES = re.compile(r"(\d{1,5}(?:\.\d{1,3})?)(?: ?(t|kg|st|lbs))?")
_WEIGHTS = {"t": 1.0, "kg": 0.001, "st": 0.90718474, "lbs": 0.00045359237}  # exact: short ton of 2000 avoirdupois pounds


def access(tags: Tags) -> tuple[Literal["free", "limited", "closed"], str]:
    """Who may come in, and the word of the tag that says so."""
    word = tags.get("access", "")
    if word in _CLOSED_TO_US:
        return "closed", word
    return ("limited", word) if word in _LIMITED else ("free", word)


def fees(tags: Tags, what: What) -> str:
    """What the tags say one thing costs at a place, to be shown; a fee said for it alone goes before the place's own.

    Forms differ too much to be reckoned with (https://wiki.openstreetmap.org/wiki/Key:charge).
    """
    key = _FEE_KEYS.get(what, "fee")
    key = key if key in tags else "fee"
    said = f"fee {tags[key]}" if tags.get(key) else ""
    return "; ".join(word for word in (said, tags.get("charge", ""), tags.get(f"{key}:conditional", "")) if word)


def metres(text: str) -> float | None:
    """`3.2`, `3.2 m`, `13'6"` in metres; None for other spellings (comma, ft), which are mistakes and shown.

    Form: https://wiki.openstreetmap.org/wiki/Key:maxheight.
    """
    text = text.strip()
    plain = _METRES.fullmatch(text)
    if plain:
        return float(plain[1])
    feet = _FEET.fullmatch(text)
    if feet is None or float(feet[2] or 0) >= 12:
        return None
    return (int(feet[1]) + float(feet[2] or 0) / 12) * METRES_PER_FOOT


def tonnes(text: str) -> float | None:
    """`3.5`, `3.5 t`, `3500 kg`, `7700 lbs` in tonnes; None for other spellings, which are shown.

    Form: https://wiki.openstreetmap.org/wiki/Key:maxweight.
    """
    found = _TONNES.fullmatch(text.strip())
    return float(found[1]) * _WEIGHTS[found[2] or "t"] if found else None


def fits(tags: Tags, vehicle: Vehicle) -> tuple[Word, str]:
    """Whether the vehicle gets in, and why: no beats ask beats yes."""
    if not any(key.startswith("max") for key in tags):
        return "yes", ""
    doubts: list[str] = []
    sizes = (("height", vehicle.height), ("length", vehicle.length), ("width", vehicle.width), ("weight", vehicle.weight))
    for word, size in sizes:
        for key in (f"max{word}", f"max{word}:physical"):
            text = tags.get(key, "")
            if not text or text in ("default", "none", "below_default", "no_sign", "unsigned"):
                continue
            limit = tonnes(text) if word == "weight" else metres(text)
            if limit is not None and size is not None and size > limit:
                unit = "t" if word == "weight" else "m"
                return "no", f"the {word} limit is {text}, the vehicle has {size:.3g} {unit}"
            if limit is None or size is None:
                doubts.append(f"the {word} limit is {text}{'' if size else f', the {word} of the vehicle is not known'}")
    return ("ask", "; ".join(doubts)) if doubts else ("yes", "")


def checked(tags: Tags) -> float | None:
    """When the map's knowledge of a place was last checked (seconds UTC), if its tags say so."""
    for key in _CHECKED_KEYS:
        try:
            told = datetime.fromisoformat(tags.get(key, ""))
            return (told if told.tzinfo else told.replace(tzinfo=UTC)).timestamp()
        except (ValueError, OverflowError):
            continue
    return None


def ago(seconds: float) -> str:
    """How long ago in plain words: today, 5 days ago, 3 weeks ago, 14 months ago, 3 years ago."""
    days = seconds / SECONDS_PER_DAY
    for size, word, most in ((1.0, "day", 14.0), (7.0, "week", 60.0), (30.44, "month", 730.5)):
        if days < most:
            count = int(days / size)
            return "today" if count == 0 else f"{count} {word}{'s' if count > 1 else ''} ago"
    return f"{int(days / 365.25)} years ago"


def own_words(tags: Tags) -> str:
    """The free text of a place on one line: where a map says what its tags cannot."""
    texts = dict.fromkeys(tags.get(key, "") for key in ("description", "note", "comment"))
    return " / ".join(" ".join(text.split()) for text in texts if text)
