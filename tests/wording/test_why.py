"""Whatever is noted, every figure can be explained."""

from __future__ import annotations

from hypothesis import given

from tests.forecast.logs import JUGS, believed, entry, moment, rig
from tests.forecast.test_learning import EVENTS, SLOW, written
from vanlife_supply.forecast import look_ahead
from vanlife_supply.forecast.why import why
from vanlife_supply.wording.why import why_lines


def test_jugs_looked_at_together_are_told_together() -> None:
    """Half of one jug and another full, noted one after the other: the reading is both, an estimate, of last night."""
    seen = [entry(0.5, "reading", "fresh", 10.0, container="A", method="sight"),
            entry(0.5, "reading", "fresh", 20.0, container="B", method="count")]  # fmt: skip
    facts = why(believed(JUGS, seen), "fresh", moment(0.75), None)
    told = next(line for line in why_lines(facts, None, "fresh", rig(JUGS), moment(0.75)) if "reading" in line)
    assert "as noted, yesterday: 7.9 gal" in told and told.endswith("taken as an estimate.")


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
