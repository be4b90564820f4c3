"""Fees, sizes and access are read strictly; what is not strict is shown, never guessed (OpenStreetMap wiki key pages)."""

from __future__ import annotations

import pytest

from vanlife_supply.place.conditions import access, ago, checked, fees, fits, metres, own_words
from vanlife_supply.rig.model import Vehicle


def test_fees_are_shown_in_the_words_of_the_map() -> None:
    """A fee said for dumping alone goes before the place's fee; prices and exceptions stand beside it."""
    tags = {"fee": "yes", "sanitary_dump_station:fee": "no", "charge": "5 USD", "fee:conditional": "no @ customers"}
    assert fees(tags, "grey") == "fee no; 5 USD"
    assert fees(tags, "fresh") == "fee yes; 5 USD; no @ customers"
    assert fees({"charge": "2€/100l water"}, "fresh") == "2€/100l water"
    assert fees({}, "fresh") == ""


@pytest.mark.parametrize(
    ("text", "length"),
    [("3.2", 3.2), ("3.2 m", 3.2), ("13'6\"", 4.1148), ("13'", 3.9624), ("3,2", None), ("11 ft", None), ("8'13\"", None)],
)
def test_metres(text: str, length: float | None) -> None:
    """Metres, and feet with inches (1 ft = 0.3048 m exactly); mistaken spellings are not guessed."""
    assert metres(text) == (None if length is None else pytest.approx(length))


@pytest.mark.parametrize(
    ("tags", "word"),
    [
        ({}, "yes"),
        ({"maxheight": "3.2"}, "yes"),
        ({"maxheight": "2.9"}, "no"),
        ({"maxheight": "3.2", "maxheight:physical": "2.5"}, "no"),
        ({"maxheight": "3,2"}, "ask"),
        ({"maxlength": "5.9", "maxheight": "low"}, "no"),
        ({"maxwidth": "2.5"}, "ask"),
        ({"maxheight": "default"}, "yes"),
        ({"maxweight": "3.5"}, "yes"),
        ({"maxweight": "6600 lbs"}, "no"),
        ({"maxweight": "2.8 t"}, "no"),
        ({"maxweight": "heavy"}, "ask"),
    ],
)
def test_fits(tags: dict[str, str], word: str) -> None:
    """A vehicle 3 m high, 6 m long, 3.2 t heavy is too large, fits, or has to ask; the limit is in the reason."""
    verdict, why = fits(tags, Vehicle(height=3.0, length=6.0, weight=3.2))
    assert verdict == word
    assert (why == "") == (word == "yes")


def test_access_words() -> None:
    """Private ground is closed, customers-only is limited, all else is free."""
    assert [access({"access": word})[0] for word in ("private", "no", "customers", "permit", "yes", "")] == [
        "closed", "closed", "limited", "limited", "free", "free",
    ]  # fmt: skip


def test_checked_takes_the_first_readable_date() -> None:
    """The check date is a day in UTC; an unreadable one is passed over for the next."""
    assert checked({"check_date": "last summer", "survey:date": "2022-05-14"}) == 1_652_486_400.0
    assert checked({"timestamp": "2022-05-14T00:00:00Z"}) == 1_652_486_400.0
    assert checked({}) is None


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "today"), (1.5, "1 day ago"), (13.9, "13 days ago"), (20, "2 weeks ago"), (100, "3 months ago"),
     (426, "13 months ago"), (800, "2 years ago")],
)  # fmt: skip
def test_ago(days: float, words: str) -> None:
    """Ages are said in the unit a person would use."""
    assert ago(days * 86_400) == words


def test_own_words_once() -> None:
    """Free text of several tags stands on one line, each text once."""
    assert own_words({"description": "a\nb", "note": "a\nb", "comment": "c"}) == "a b / c"
