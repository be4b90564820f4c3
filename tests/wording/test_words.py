"""How durations, amounts, chances, dates and the first sentence are said."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.wording.example import GALLON, NOW, forecast, rig
from vanlife_supply.deciding.model import Day, Staying
from vanlife_supply.forecast.model import Band, First, Forecast, LimitOutlook, Warning
from vanlife_supply.rig.load import read_rig
from vanlife_supply.wording.amounts import amount, chance, rate
from vanlife_supply.wording.days import days_json, days_text
from vanlife_supply.wording.deciding import staying_text
from vanlife_supply.wording.names import supply_letters
from vanlife_supply.wording.sentence import sentence
from vanlife_supply.wording.times import about, count_on, part, past, short, spell
from vanlife_supply.wording.warn import warning_cure, warning_text


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (0.01, "under an hour"), (1 / 24, "1 hour"), (1.9, "46 hours"), (2.0, "2 days"), (2.74, "2½ days"),
        (9.9, "10 days"), (10.0, "1½ weeks"), (33.0, "4½ weeks"), (200.0, "7 months"), (None, "over a year"),
    ],
)  # fmt: skip
def test_spell(days: float | None, said: str) -> None:
    """Hours under 2 days, half days under 10, weeks beyond, then months."""
    assert spell(days) == said


@given(st.floats(0.05, 300))
def test_count_on_never_says_more_than_there_is(days: float) -> None:
    """What one may count on is rounded down."""
    number, unit = spell(days, down=True).split(" ", 1)
    if number == "under":
        return
    value = float(number.replace("½", ".5")) if number != "½" else 0.5
    a_day = {"hour": 24.0, "hours": 24.0, "days": 1.0, "week": 1 / 7, "weeks": 1 / 7, "months": 1 / 30.4}[unit]
    assert value / a_day <= days + 1e-6


@pytest.mark.parametrize(
    ("band", "said"),
    [
        (Band(2.9, 3.6, 4.4), "2½ days, likely 3½"),
        (Band(1.5, 2.6, 4.4), "36 hours, likely 2½ days"),
        (Band(6.7, 6.7, 6.7), "6½ days"),
        (Band(9.0, 16.0, None), "9 days, likely 2½ weeks"),
    ],
)
def test_count_on(band: Band, said: str) -> None:
    """The unit is said once when it is the same."""
    assert count_on(band) == said


def test_first_sentence() -> None:
    """The contract's example, word for word."""
    assert sentence(forecast(), rig()) == "Count on 2½ days, likely 3½. Gray is full first, about Mon 11 May, morning."
    assert days_text(forecast(), rig()).splitlines()[0] == (
        "Count on 2½ days, likely 3½.  Gray is full first, about Mon 11 May, morning."
    )


def _with_first(first: First | None) -> Forecast:
    return replace(forecast(), first=first)


EDGES: dict[str, First | None] = {
    "Nothing is known yet. Say what is full or how much is left, and the days follow.": None,
    "Count on 4½ days, likely 6. Water is out first, about Wed 13 May, afternoon.": First("fresh", Band(4.7, 5.9, 7.4), {}),
    "Count on 6½ days. Food is up first, about Thu 14 May, noon.": First("food", Band(6.7, 6.7, 6.7), {}),
    "Count on nothing more. Gray is full now.": First("grey", Band(0.0, 0.0, 0.1), {}),
    "Count on nothing for sure, likely 22 hours. Gray is full first, about Fri 8 May, afternoon.": First(
        "grey", Band(0.0, 0.9, 2.1), {}
    ),
    "Nothing here stops you within a year. What is not known yet is not counted.": First(
        "propane", Band(400.0, None, None), {}
    ),
}


@pytest.mark.parametrize("said", list(EDGES))
def test_sentence_at_the_edges(said: str) -> None:
    """Nothing known, a dated limit, already full, perhaps full, nothing within a year."""
    assert sentence(_with_first(EDGES[said]), rig()) == said


@pytest.mark.parametrize(("sure", "food"), [(1.5, 0.34), (1.5, 0.1), (2.9, 0.34)])
def test_two_that_may_come_first(sure: float, food: float) -> None:
    """Where one may count on less than any row says, the other thing that may well come first is named; else not."""
    said = sentence(_with_first(First("grey", Band(sure, 3.5, 4.4), {"grey": 1 - food, "food": food})), rig())
    other = " Or food, 1 chance in 3: so count on less than on either."
    assert said.endswith(other) is (sure < 2.9 and food > 0.2)
    assert "Mon 11 May, morning." in said  # as its own row says it, though first of all comes a little sooner


def test_gray_is_spelled_as_at_home() -> None:
    """Gray in a rig with US units, grey in a metric one."""
    metric = read_rig('[rig]\nunits = "metric"\n[[container]]\nsupply = "grey"\ncapacity = "20 L"\n')
    assert "Grey is full first" in sentence(forecast(), metric)


@pytest.mark.parametrize(
    ("p", "said"),
    [
        (0.01, "hardly any chance"), (0.31, "1 chance in 3"), (0.5, "an even chance"), (0.75, "3 chances in 4"),
        (0.99, "almost certain"),
    ],
)  # fmt: skip
def test_chance(p: float, said: str) -> None:
    """Whole chances instead of percent."""
    assert chance(p) == said


def test_amounts_in_the_display_unit() -> None:
    """Gallons and litres with one decimal, pounds in halves, small rates with two figures."""
    its = rig()
    assert amount(2.5 * GALLON, its.supply("fresh")) == "2.5 gal"
    assert amount(5.216, its.supply("propane")) == "11½ lb"
    assert rate(0.07, its.supply("stove_fuel")) == "0.07"
    assert rate(0.35 * 0.45359237, its.supply("propane")) == "0.35"
    assert amount(-0.3, its.supply("fresh")) == "0 gal"


def test_dates() -> None:
    """Weekday and part of the day when near, the date later, part of the month far off."""
    assert about(NOW.plus(3.6), NOW) == "Mon 11 May, morning"
    assert about(NOW.plus(13), NOW) == "Wed 20 May"
    assert about(NOW.plus(50), NOW) == "late Jun"
    assert short(NOW.plus(3.6), NOW) == "Mon 11"
    assert part(NOW) == "evening"
    assert past(NOW, NOW) == "just now"
    assert past(NOW.plus(-0.1), NOW) == "today 4:46 pm"
    assert past(NOW.plus(-1.0), NOW, 6.0) == "yesterday, evening"
    assert past(NOW.plus(-3.0), NOW, 12.0) == "Mon 4 May"


def test_drinking_water_is_never_told_to_be_cut() -> None:
    """When water will not last, washing is cut first and drinking is left alone."""
    at, before = NOW.plus(3).epoch, NOW.plus(4).epoch
    cure = warning_cure(Warning("out-before-fill", "fresh", 0.4, at, before, amount=GALLON, per_day=3.0), forecast(), rig())
    assert "wash with" in cure and "drink as always" in cure
    assert "drink less" not in cure


@pytest.mark.parametrize(("gallons", "told"), [(1, True), (54, False)])
def test_no_more_than_a_load_is_to_be_kept_out_of_the_sink(gallons: int, told: bool) -> None:
    """A gallon can go outside; nobody can keep nine loads of a bucket out of it: then there is only the dump."""
    ends = Warning("full-before-dump", "grey", 0.9, NOW.plus(1).epoch, NOW.plus(9).epoch, amount=gallons * GALLON)
    cure = warning_cure(ends, forecast(), rig())
    assert ("out of the sink" in cure) is told and cure.startswith("Dump by")


@pytest.mark.parametrize(
    "warning",
    [
        Warning("full-before-dump", "grey", 0.75, NOW.plus(3.6).epoch, NOW.plus(3.9).epoch, amount=4.0),
        Warning("full-before-dump", "grey"),
        Warning("out-before-fill", "propane", 0.2, NOW.plus(20).epoch, NOW.plus(21).epoch, amount=1.0, per_day=0.1),
        Warning("out-before-fill", "fresh", None),
        Warning("limit-soon", "", None, NOW.plus(1.5).epoch, word="food"),
        Warning("limit-soon", "", word="stay"),
        Warning("impossible-level", "fresh", reason="above"),
        Warning("impossible-level", "fresh", reason="below"),
        Warning("impossible-level", "grey", reason="below"),
        Warning("questioned", "fresh", entry="e1"),
        Warning("questioned", "", entry="e1"),
        Warning("not-known", "stove_fuel"),
        Warning("not-known", "grey"),
    ],
)
def test_every_warning_has_a_text_and_a_cure(warning: Warning) -> None:
    """Each code of the contract is said in whole sentences of at most two lines, without jargon."""
    for said in (warning_text(warning, forecast(), rig()), warning_cure(warning, forecast(), rig())):
        assert said[0].isupper() and said.endswith(".") and len(said) < 160
        assert not any(jargon in said for jargon in ("p50", "quantile", "None", "grey", "fresh", "stove_fuel", "_"))


def test_a_warning_names_no_time_after_the_plan_it_warns_before() -> None:
    """Out before Sunday's fill with 1 chance in 3: the likely end, Monday, is not said beside it."""
    sunday, monday = NOW.plus(3).epoch, NOW.plus(4).epoch
    late, soon = (Warning("out-before-fill", "propane", 0.33, at=at, before=sunday) for at in (monday, sunday - 7200))
    assert "about" not in warning_text(late, forecast(), rig()) and "about" in warning_text(soon, forecast(), rig())


def test_json_has_the_shape_of_the_contract() -> None:
    """Every key of the contract, canonical units, times with their offset, quantiles as floats."""
    told = json.loads(json.dumps(days_json(forecast(), rig())))
    assert told["as_of"] == "2026-05-07T19:10:00-06:00"
    assert set(told) >= {"as_of", "sentence", "supplies", "first", "warnings", "next_stop"}
    water = told["supplies"][0]
    assert set(water) >= {
        "supply", "direction", "unit", "capacity", "reserve", "level", "use_per_day", "days_left", "last_trusted",
        "containers", "planned",
    }  # fmt: skip
    assert (water["unit"], water["capacity"]) == ("L", pytest.approx(12 * GALLON, abs=1e-4))
    assert water["containers"][0]["name"] == "A" and water["containers"][0]["state"] == "open"
    assert told["supplies"][3]["unit"] == "kg"
    assert told["first"]["chances"] == {"grey": 0.71, "fresh": 0.24, "food": 0.05}
    assert told["supplies"][1]["planned"]["chance_fails_before"] == 0.75
    assert set(told["warnings"][0]) >= {"code", "supply", "chance", "at", "text", "cure"}
    assert told["warnings"][0]["at"].endswith("-06:00")
    assert told["next_stop"] is None


def test_json_says_null_for_what_is_not_known() -> None:
    """A supply without an entry has null for level, use and days; a year or more is null inside the band."""
    unknown = replace(forecast().supplies[0], level=None, usable=None, use_per_day=None, days_left=None, last_trusted=None)
    long = replace(forecast().supplies[3], days_left=Band(200.0, None, None))
    told = days_json(replace(forecast(), supplies=(unknown, long), first=None), rig())
    assert told["first"] is None
    assert all(told["supplies"][0][key] is None for key in ("level", "use_per_day", "days_left", "last_trusted"))
    assert told["supplies"][1]["days_left"] == {"p10": 200.0, "p50": None, "p90": None}
    assert "not known yet" in days_text(replace(forecast(), supplies=(unknown, long), first=None), rig())


def test_text_lists_who_stops_you_first_at_the_top() -> None:
    """The lines are sorted by when each thing is likely to stop you, dated limits among them."""
    lines = days_text(forecast(), rig()).splitlines()[3:9]
    assert [each.split()[0] for each in lines] == ["Gray", "Water", "Food", "Stay", "Propane", "Alcohol"]


def test_same_letter_for_a_supply_everywhere() -> None:
    """w g a p for the four, a free letter for what the owner adds."""
    assert supply_letters(rig()) == {"w": "fresh", "g": "grey", "a": "stove_fuel", "p": "propane"}
    own = read_rig('[[supply]]\nname = "oil"\ndirection = "empties"\n[[container]]\nsupply = "oil"\ncapacity = "1 gal"\n')
    assert supply_letters(own) == {"i": "oil"}


def test_the_narrow_table_keeps_what_holds_worst() -> None:
    """Where all are sure to end within the days looked at, the two that end soonest stand in the table."""
    fails = {"fresh": 7.5, "grey": 6.5, "stove_fuel": 8.5, "propane": 1.5}
    days = tuple(
        Day(NOW.plus(k), {name: float(k < end) for name, end in fails.items()}, float(k < 1.5), None) for k in range(1, 10)
    )
    head = staying_text(Staying(NOW, 0.9, days, None, None), rig(), most=2).splitlines()[1]
    assert head.split() == ["until", "evening", "all", "Gray", "Propane"]


def test_a_limit_alone_is_said_as_a_date() -> None:
    """Food till Thursday is what was said, not a forecast."""
    only = replace(forecast(), supplies=(), limits=(LimitOutlook("food", NOW.plus(6.7), 6.7),))
    assert "till Thu 14 May" in days_text(only, rig())


def test_the_narrow_table_fits_a_small_screen() -> None:
    """At most 48 columns for two supplies, whatever the chances; the last drop stands only in the wide one."""
    days = tuple(Day(NOW.plus(k), {"fresh": 0.95, "grey": 0.949}, 0.951, 0.95) for k in range(1, 8))
    told = Staying(NOW, 0.9, days, None, None)
    rows = staying_text(told, rig(), most=2).splitlines()[1:]
    assert max(map(len, rows)) <= 48 and "last drop" not in rows[0]
    assert "last drop" in staying_text(told, rig()).splitlines()[1]
