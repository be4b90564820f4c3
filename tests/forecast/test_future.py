"""The days ahead: conditions that come back."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.calendar import Calendar, Span
from vanlife_supply.forecast.future import SPELL_DAYS, frequency, look, spells
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import PROPANE

NOW = Moment(1_780_000_000.0, 0)
FACTORS = {"heater": 10.0}
COARSE = 0.5
"""Days between two instants of the mesh that far ahead."""


def _calendar(*spells: tuple[float, float]) -> Calendar:
    """A heater that was on between those days before now."""
    spans = [Span("heater", NOW.epoch - a * SECONDS_PER_DAY, NOW.epoch - b * SECONDS_PER_DAY) for a, b in spells]
    return Calendar(1.0, spans)


@given(length=st.floats(2.0, 20.0), ago=st.floats(1.0, 30.0))
def test_the_next_spell_is_awaited_as_often_as_there_were_spells(length: float, ago: float) -> None:
    """Waits of a Poisson process: the share of time under the condition is what it was, whatever wait comes true."""
    calendar, since = _calendar((ago + length, ago)), NOW.epoch - 60 * SECONDS_PER_DAY
    usual = frequency(calendar, "heater", since, NOW.epoch)
    waits = spells(calendar, NOW.epoch, FACTORS, since)
    assert abs(sum(chance for chance, _ in waits) - 1.0) < 1e-12
    middle = sorted(spell.free for _, spell in waits)[len(waits) // 2]
    # The median of an exponential wait is ln 2 of its mean, the time between two spells.
    assert abs(middle / (np.log(2.0) * SPELL_DAYS * (1.0 - usual) / usual) - 1.0) < 1e-9


def test_a_spell_costs_what_it_lasts_and_nothing_before() -> None:
    """Until it begins nothing more is used than without the condition; by its end ten times as much a day has gone."""
    calendar, since = _calendar((20.0, 13.0)), NOW.epoch - 60 * SECONDS_PER_DAY
    early = [spell for _, spell in spells(calendar, NOW.epoch, FACTORS, since) if spell.free < 20]
    assert early
    for spell in early:
        future = look(calendar, PROPANE, NOW, FACTORS, since, 1.0, spell)
        before, after = future.at(np.array([0.9 * spell.free, spell.free + SPELL_DAYS]))[0]
        assert abs(before - 0.9 * spell.free) < 1e-6
        assert abs(after - before - 0.1 * spell.free - 10.0 * SPELL_DAYS) <= COARSE * 9.0


def test_what_never_was_is_not_awaited() -> None:
    """No spell is expected of a condition that was never said, nor of one that hardly changes the use."""
    since = NOW.epoch - 60 * SECONDS_PER_DAY
    assert spells(_calendar(), NOW.epoch, FACTORS, since) == []
    assert spells(_calendar((20.0, 13.0)), NOW.epoch, {"heater": 1.1}, since) == []
