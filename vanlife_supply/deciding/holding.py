"""The chance that things hold until a date, each alone and all together with the dated limits."""

from __future__ import annotations

from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.model import Day
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief
from vanlife_supply.forecast.suppose import with_entries, without_plans
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import EMPTIES

_DATE = "the date asked about"


def chances(known: Ground, belief: Belief, at: Moment) -> Day:
    """Chances that nothing refilled holds until `at`.

    A limit at that date comes first exactly when all else holds until then; a plan at that date says it of each.
    """
    supposed = [Entry("", m.LIMIT, known.now, word=_DATE, until=at)]
    for supply in known.rig.supplies:
        kind = m.FILL if supply.direction == EMPTIES else m.DUMP
        supposed.append(Entry("", m.PLANNED, known.now, supply.name, word=kind, until=at))
    told = known.ahead(with_entries(without_plans(belief), supposed))
    each = {
        one.supply: 1.0 - one.planned.chance_fails_before
        for one in told.supplies if one.planned is not None and one.planned.chance_fails_before is not None
    }  # fmt: skip
    together = told.first.chances.get(_DATE, 0.0) if told.first else 1.0
    # The step of a limit lies a moment before it: all together is never the likelier.
    return Day(at, each, min([together, *each.values()]), None)
