"""Whatever is noted, every figure can be explained."""

from __future__ import annotations

from hypothesis import given

from tests.forecast.logs import JUGS, believed, moment, rig
from tests.forecast.test_learning import EVENTS, SLOW, written
from vanlife_supply.forecast import look_ahead
from vanlife_supply.forecast.why import why
from vanlife_supply.wording.why import why_lines


@SLOW
@given(EVENTS)
def test_every_figure_is_explained(events: list[tuple[float, tuple[str, str, float | None, str]]]) -> None:
    """After any notes each supply has at most four lines of reasons, none of them empty."""
    belief, now = believed(JUGS, written(events)), moment(46)
    for outlook in look_ahead(belief, now).supplies:
        facts = why(belief, outlook.supply, now, outlook.use_per_day)
        lines = why_lines(facts, None, outlook.supply, rig(JUGS), now)
        assert len(lines) <= 4
        assert all(lines)
