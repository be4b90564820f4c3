"""Temperatures: degree days as they are defined, heating learned from the log, nothing of the future used."""

from __future__ import annotations

import math
import random
from datetime import date

import pytest

from tests.forecast.logs import START, arrangements, entry, known, likely, moment
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief, from_bytes, learn, look_ahead, to_bytes
from vanlife_supply.forecast.calendar import Calendar
from vanlife_supply.forecast.hindsight import helped, look_back
from vanlife_supply.forecast.weather import Weather
from vanlife_supply.rig.model import FRESH, GREY, PROPANE

RIG = '[rig]\npeople = 1\n[[container]]\nsupply = "propane"\nlabel = "cylinder"\ncapacity = "18 kg"\ntare = "12 kg"\n'
DAY_0 = int(START // 86_400)
DAY = 86_400.0


def told(means: list[float], first: int = DAY_0) -> Weather:
    """Those means on the days from `first` on."""
    found = Weather.of([(first + i, mean) for i, mean in enumerate(means)])
    assert found is not None
    return found


def test_heating_goes_by_degree_days() -> None:
    """A day's heating degrees are 65 °F less its mean, none above (NOAA's definition of heating degree days, from
    memory): 40 °F for a day are 25 °F of heating, 13.9 kelvins."""
    weather = told([(f - 32) / 1.8 for f in (40.0, 65.0, 80.0, 55.0)])
    day = (START // DAY) * DAY
    each = [float(weather.strength(PROPANE, day + i * DAY, day + (i + 1) * DAY, 0.0)) * 10 * 1.8 for i in range(4)]
    assert each == pytest.approx([25.0, 0.0, 0.0, 10.0], abs=1e-9)
    whole = float(weather.strength(PROPANE, day, day + 4 * DAY, 0.0)) * 4 * 10 * 1.8
    assert whole == pytest.approx(35.0, abs=1e-9)


def test_water_needs_heat_and_gray_nothing() -> None:
    """Cold does nothing to water, a day at 35 °C counts as ten degrees above 25; gray follows the water."""
    weather = told([0.0, 35.0])
    day = (START // DAY) * DAY
    each = [float(weather.strength(FRESH, day + i * DAY, day + (i + 1) * DAY, 0.0)) for i in range(2)]
    assert each == pytest.approx([0.0, 1.0])
    assert weather.strength(GREY, day, day + DAY, 0.0) == 0.0


def test_days_not_told_are_like_that_time_of_another_year() -> None:
    """With last year told, next January is as cold as last; without, it is as lately."""
    year = [10 - 13 * math.cos((d % 365.25 - 15) / 365.25 * 2 * math.pi) for d in range(DAY_0 - 365, DAY_0)]
    january = (date(2027, 1, 15) - date(1970, 1, 1)).days * DAY
    seen, lately = told(year, DAY_0 - 365), told(year[-30:], DAY_0 - 30)
    assert float(seen.strength(PROPANE, january, january + DAY, 0.0)) == pytest.approx((18.33 + 3) / 10, abs=0.1)
    assert float(lately.strength(PROPANE, january, january + DAY, 0.0)) < 0.8


def heated(days: int, heating: float) -> tuple[list[tuple[int, float]], list[Entry]]:
    """From May on: .1 kg a day for cooking, `heating` kg for ten degrees; weighed every fifth day, filled when low."""
    draw = random.Random(4)
    temps = [(d, 10 - 13 * math.cos((d % 365.25 - 15) / 365.25 * 2 * math.pi) + draw.gauss(0, 2))
             for d in range(DAY_0 - 365, DAY_0 + days)]  # fmt: skip
    log, left, means = [entry(0, "fill", "propane", to="full")], 18.0, dict(temps)
    for i in range(days):
        cold = max(0.0, 18.33 - means[DAY_0 + i]) / 10
        left -= draw.gammavariate(3, 0.1 / 3) + heating * cold
        if left < 1.5:
            log.append(entry(i + 0.95, "fill", "propane", 18.0 - left, "kg", to="full"))
            left = 18.0
        elif i % 5 == 4:
            log.append(entry(i + 0.9, "reading", "propane", left, "kg", method="scale"))
    return temps, log


def foreseen(temps: list[tuple[int, float]] | None, log: list[Entry], day: float) -> Belief:
    """What is known on that day, with the temperatures of days then over."""
    weather = Weather.of(temps) if temps else None
    weather = weather.until(moment(day).epoch, 0.0) if weather else None
    return learn(Belief(calendar=Calendar(weather=weather)), arrangements(RIG), log)


def test_winter_is_foreseen_before_it_comes() -> None:
    """At the end of September a log with temperatures knows that what lasted the summer will not last into winter."""
    temps, log = heated(150, 0.35)
    soon = known(look_ahead(foreseen(temps, log, 150), moment(150)), "propane")
    late = known(look_ahead(foreseen(None, log, 150), moment(150)), "propane")
    assert likely(soon.days_left) < 0.9 * likely(late.days_left)
    told_band, untold_band = soon.days_left, late.days_left
    assert told_band and untold_band and told_band.p10 and untold_band.p10
    assert (told_band.p90 or 365) / told_band.p10 < (untold_band.p90 or 365) / untold_band.p10


def test_what_heating_takes_is_learned() -> None:
    """Ten degrees take 3.5 times a day's cooking; who only cooks is soon known not to heat."""
    for heating, low, high in ((0.35, 0.25, 0.45), (0.0, 0.0, 0.03)):
        temps, log = heated(240, heating)
        habit = foreseen(temps, log, 240).threads["propane"].habit
        rate = float(habit.weight.sum(axis=(1, 2)) @ habit.rates)
        assert low <= rate * habit.factors["the temperature"].mean <= high


def test_kept_with_temperatures_is_rebuilt() -> None:
    """Kept as bytes and read again under the same temperatures, the next entries teach the same to the last digit."""
    temps, log = heated(120, 0.35)
    whole = foreseen(temps, log, 120)
    half = from_bytes(to_bytes(foreseen(temps, log[:12], 120)), arrangements(RIG))
    half.calendar.weather = whole.calendar.weather
    again = learn(half, arrangements(RIG), log[12:])
    assert look_ahead(again, moment(120)) == look_ahead(whole, moment(120))


def test_whether_it_helped_is_scored() -> None:
    """For somebody who heats, forecasts made with temperatures miss by less, and only days then over were known."""
    temps, log = heated(270, 0.35)
    weather = Weather.of(temps)
    end = moment(270).epoch
    with_, without = look_back(arrangements(RIG), log, end, weather=weather), look_back(arrangements(RIG), log, end)
    (score,) = helped(with_, without)
    assert score.supply == "propane" and score.count >= 30
    assert score.told < score.untold
    assert helped(without, without) == ()
    early = [(day, mean if day < DAY_0 + 200 else 30.0) for day, mean in temps]
    other = look_back(arrangements(RIG), log, end, weather=Weather.of(early))
    before = moment(200).epoch
    assert [o.said for o in with_ if o.start < before] == [o.said for o in other if o.start < before]
