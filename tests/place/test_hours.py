"""Open at a moment: yes, no or ask (the grammar: OpenStreetMap wiki, opening_hours/specification)."""

from __future__ import annotations

import sys

import pytest

from tests.place.samples import read_sample
from vanlife_supply.moment import Moment, read_iso
from vanlife_supply.place.hours import open_at
from vanlife_supply.place.model import Place

ZONE = "Europe/Zurich"
needs_package = pytest.mark.skipif(
    not __import__("importlib.util").util.find_spec("opening_hours"), reason="the optional package is not installed"
)


def _at(text: str) -> Moment:
    return read_iso(text, ZONE).moment


def _place(hours: str, **more: str) -> Place:
    return Place("p", None, 47.1, 9.5, tags={"opening_hours": hours, **more})


@needs_package
@pytest.mark.parametrize(
    ("hours", "when", "word"),
    [
        ("24/7", "2026-05-04T03:00", "yes"),
        ("Mo-Fr 08:00-12:00,14:00-18:00", "2026-05-04T10:00", "yes"),
        ("Mo-Fr 08:00-12:00,14:00-18:00", "2026-05-04T13:00", "no"),
        ("Mo-Su 06:00-05:00", "2026-05-04T05:30", "no"),
        ("Mo-Fr  08:00-18:00 ;", "2026-05-04T10:00", "yes"),
        ("Mon-Fri 9am to 5ish", "2026-05-04T10:00", "ask"),
        ('"by appointment"', "2026-05-04T10:00", "ask"),
        ('Mo-Fr "by appointment"', "2026-05-04T10:00", "ask"),
        ('Mo-Fr 08:00-18:00 || "by appointment"', "2026-05-04T20:00", "ask"),
        ("Apr-Oct 06:00-22:00", "2026-12-04T10:00", "no"),
        ("Mo-Sa 08:00-18:00; SH off", "2026-05-04T10:00", "ask"),
        ("sunrise-sunset", "2026-06-21T12:00", "yes"),
        ("sunrise-sunset", "2026-06-21T05:45", "ask"),
        ("sunrise-sunset", "2026-12-21T23:30", "no"),
        ("(sunrise+01:00)-sunset", "2026-06-21T12:00", "ask"),
        ("Sa,Su sunrise-sunset", "2026-05-04T12:00", "no"),
    ],
)
def test_open(hours: str, when: str, word: str) -> None:
    """Plain hours are worked out; comments, unknown holidays and unreadable hours are ask, with the text shown."""
    opening = open_at(_place(hours), _at(when))
    assert opening.word == word
    assert word != "ask" or opening.reason.endswith(f": {hours}")


@needs_package
@pytest.mark.parametrize(
    ("when", "country", "word"),
    [
        ("2026-12-25T10:00", "DE", "no"),
        ("2026-12-24T10:00", "DE", "yes"),
        ("2026-12-25T10:00", "", "ask"),
        ("2026-12-24T22:00", "", "no"),
        ("2026-12-24T10:00", "QQ", "ask"),
    ],
)
def test_holidays(when: str, country: str, word: str) -> None:
    """With a country a holiday is known; without one the answer is ask only where a holiday would change it."""
    assert open_at(_place("Mo-Fr 08:00-18:00; PH off"), _at(when), country=country).word == word


@needs_package
def test_zone_of_the_moment_counts() -> None:
    """Hours are wall-clock hours in the zone the moment is told in."""
    assert open_at(_place("10:00-11:00"), Moment(_at("2026-05-04T10:30").epoch, 7200)).word == "yes"
    assert open_at(_place("10:00-11:00"), Moment(_at("2026-05-04T10:30").epoch, 0)).word == "no"


def test_without_the_package(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the optional package is not installed the hours are shown and the answer is ask; 24/7 needs no package."""
    monkeypatch.setitem(sys.modules, "opening_hours", None)
    opening = open_at(_place("Mo-Fr 08:00-18:00"), _at("2026-05-04T10:00"))
    assert opening.word == "ask" and "Mo-Fr 08:00-18:00" in opening.reason
    assert open_at(_place("24/7"), _at("2026-05-04T10:00")).word == "yes"


def test_unknown_hours() -> None:
    """A place without hours is ask."""
    assert open_at(Place("p", None), _at("2026-05-04T10:00")).word == "ask"


@pytest.mark.parametrize(
    ("lat", "seasonal", "when", "word"),
    [
        (47.0, "summer", "2026-07-04T10:00", "yes"),
        (47.0, "summer", "2026-01-04T10:00", "ask"),
        (-33.0, "summer", "2026-01-04T10:00", "yes"),
        (-33.0, "summer", "2026-07-04T10:00", "ask"),
        (47.0, "spring;summer; autumn", "2026-10-04T10:00", "yes"),
        (47.0, "wet_season", "2026-10-04T10:00", "ask"),
        (47.0, "yes", "2026-10-04T10:00", "ask"),
        (47.0, "no", "2026-01-04T10:00", "yes"),
    ],
)
def test_seasons(lat: float, seasonal: str, when: str, word: str) -> None:
    """Outside the seasons said, in the place's own hemisphere, the answer is ask."""
    place = Place("p", None, lat, 9.5, tags={"opening_hours": "24/7", "seasonal": seasonal})
    assert open_at(place, _at(when)).word == word


def test_frost() -> None:
    """Between the first and the last frost an open tap is ask (common practice, no source)."""
    assert open_at(_place("24/7"), _at("2026-01-04T10:00"), frost=True).word == "ask"


@needs_package
def test_real_hours_of_the_samples() -> None:
    """Every hours text of the two real extracts is worked out, save the one kind that hangs on holidays."""
    places = [*read_sample("osm/helsinki-centre.osm").places, *read_sample("osm/liechtenstein-2022.osm").places]
    told = [p for p in places if "opening_hours" in p.tags]
    asked = [p.tags["opening_hours"] for p in told if open_at(p, _at("2026-05-04T10:30")).word == "ask"]
    assert len(told) == 8
    assert all("PH" in text for text in asked)


@needs_package
@pytest.mark.parametrize(
    ("hours", "when", "opens"),
    [
        ("Mo-Sa 08:00-17:00", "2026-05-10T09:00+02:00", "2026-05-11T08:00:00+02:00"),
        ("Mo-Sa 08:00-17:00", "2026-10-24T18:00+02:00", "2026-10-26T08:00:00+01:00"),
        ("Apr-Oct 06:00-22:00", "2026-12-04T10:00+01:00", "2027-04-01T06:00:00+02:00"),
        ("off", "2026-05-10T09:00+02:00", None),
        ('We "by appointment"; Fr 10:00-12:00', "2026-05-11T09:00+02:00", "2026-05-15T10:00:00+02:00"),
        ("Mo-Sa 08:00-17:00; PH off", "2026-05-08T18:00+02:00", "2026-05-09T08:00:00+02:00"),
        ("sunrise-sunset", "2026-12-21T23:30+01:00", None),
    ],
)
def test_when_it_opens_next(hours: str, when: str, opens: str | None) -> None:
    """The next sure opening by the clock of the place, across a change of it; None where it hangs on sun or condition."""
    opening = open_at(_place(hours), _at(when))
    assert opening.word == "no"
    assert (opening.opens.iso() if opening.opens else None) == opens
