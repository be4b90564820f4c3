"""Files of daily temperatures: what is understood, and that one bad line keeps all of it out."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanlife_supply.entry.temperatures import read_temperatures
from vanlife_supply.refusal import Refusal

MAY_7 = (date(2026, 5, 7) - date(1970, 1, 1)).days


@pytest.mark.parametrize(("text", "unit"), [
    ("date,mean C\n2026-05-07,15\n", ""), ("Date;x,Temp (°C)\n2026-05-07,15\n", ""), ("date,mean F\n2026-05-07,59\n", ""),
    ("day,tmin_c,tmax_c\n2026-05-07,10,20\n", ""), ("date,place,high F,low F\n2026-05-07,camp,68,50\n", ""),
    ("date,temperature\n2026-05-07T00:00,59.0\n", "F"), ("\ufeffdate,avg\r\n2026-05-07,15\r\n\r\n", "c"),
])  # fmt: skip
def test_many_ways_to_write_a_mean_of_15_degrees(text: str, unit: str) -> None:
    """A mean, or the middle of least and most, in °C or °F: 59 °F are 15 °C exactly."""
    ((day, mean),) = read_temperatures(text, unit)
    assert day == MAY_7
    assert mean == pytest.approx(15.0, abs=1e-9)


@pytest.mark.parametrize(("text", "unit", "said"), [
    ("", "", "nothing to take in"), ("date,mean C\n", "", "nothing to take in"), ("a,b\n1,2\n", "", "first line must name"),
    ("date,mean\n2026-05-07,15\n", "", "C or F"), ("date,tmin C,tmax F\n2026-05-07,1,2\n", "", "C or F"),
    ("date,mean C\n7.5.2026,15\n", "", "line 2: '7.5.2026' is no date"),
    ("date,mean C\n2026-05-07,15\n2026-05-08,warm\n", "", "line 3: 'warm' is no temperature"),
    ("date,mean C\n2026-05-07,15\n2026-05-07,16\n", "", "line 3: this day stands twice"),
    ("date,mean C\n2026-05-07,nan\n", "", "line 2"), ("date,mean C\n2026-05-07\n", "", "line 2"),
    ("date,mean C\n2026-05-07,68\n", "", "C and F may be mixed up"),
    (f"date,mean C\n2026-05-07,{'1' * 200_000}\n", "", "not the text of a table"),
])  # fmt: skip
def test_what_does_not_fit_is_named(text: str, unit: str, said: str) -> None:
    """One sentence with the line and what is wrong there."""
    with pytest.raises(Refusal, match=said.replace("?", r"\?")):
        read_temperatures(text, unit)


@given(st.text(alphabet="date,meanCF\n20-57.:\"'é ", max_size=80))
def test_any_text_is_taken_in_or_refused(text: str) -> None:
    """Whatever the file holds, it ends in days in order or in a refusal."""
    try:
        days = read_temperatures(text)
    except Refusal:
        return
    assert days == tuple(sorted(days)) and days
