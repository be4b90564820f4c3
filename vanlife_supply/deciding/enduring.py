"""Drinking only: how long the drinking water aboard keeps people and pets when nothing else is used.

A planning rule, not medical advice. The reserve is released; what is set aside or not for drinking does not count.
"""

from __future__ import annotations

from vanlife_supply.deciding import arithmetic
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.lasting import days_until
from vanlife_supply.deciding.model import Enduring
from vanlife_supply.forecast.model import Band, ContainerOutlook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, Container


def drinking_only(known: Ground, until: Moment | None = None, *, hot: bool | None = None) -> Enduring:
    """The endurance at the heat that is on (or `hot` as said), and what is missing to a date.

    Refusal while nothing is known of the water, or when nobody is aboard.
    """
    told, _, _, _ = known.known(FRESH)
    heat = known.hot() if hot is None else hot
    people, pets = known.outlook.people, known.pets()
    rule = known.drinking_rule(heat)
    need = known.drinking() if heat == known.hot() else rule
    if need <= 0:
        raise Refusal("Nobody is aboard, so nobody drinks: say who is, like: people 1")
    specs = {c.label: c for c in known.rig.of(FRESH)}
    counted = [(c, specs[c.label]) for c in told.containers if _counts(c, specs[c.label])]
    litres = Band(*(sum(_held(c, spec, i) for c, spec in counted) for i in range(3)))
    days = Band(*((litre or 0.0) / need for litre in (litres.p10, litres.p50, litres.p90)))
    left_out = tuple(c.label for c in told.containers if not _counts(c, specs[c.label]))
    short = None
    if until is not None:
        short = arithmetic.short_of(litres.p50 or 0.0, need, days_until(known.now, until))
    return Enduring(known.now, litres, need, people, pets, heat, days, left_out, until, short, rule)


def _counts(c: ContainerOutlook, spec: Container) -> bool:
    return spec.drinking and c.state != "aside"


def _held(c: ContainerOutlook, spec: Container, quantile: int) -> float:
    """What can be drunk of one container; one never spoken of counts as nothing."""
    if c.level is None:
        return 0.0
    level = (c.level.p10, c.level.p50, c.level.p90)[quantile] or 0.0
    return max(0.0, level - spec.dead)
