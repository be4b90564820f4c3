"""One supply looked at closely: how it is known, what was said of it and what came, its use a day over time."""

from __future__ import annotations

from vanlife_supply.deciding.ground import Ground, ground
from vanlife_supply.deciding.judging import learned, look_back, offers, reasons
from vanlife_supply.deciding.looking import look_at
from vanlife_supply.deciding.model import Closer
from vanlife_supply.forecast import look_ahead
from vanlife_supply.forecast.facts import Outcome
from vanlife_supply.forecast.model import Band
from vanlife_supply.forecast.suppose import with_only, with_reserve_released
from vanlife_supply.forecast.usage import use_over_time
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH, GREY


def closer(book: Logbook, supply: str, now: Moment) -> Closer:
    """Everything behind one supply. Refusal while nothing is known of it."""
    known = ground(book, now)
    facts = reasons(known, supply)
    said = _one_a_stretch([o for o in look_back(book, now) if o.supply == supply])
    taught = tuple(each for each in learned(book, known) if each.supply == supply)
    offer = next(iter(offers(book, taught)), None)
    use = use_over_time(known.belief, supply)
    last_drop, load = _to_the_last_drop(known, supply), known.outlook.load
    return Closer(supply, facts, look_at(known, supply), taught, use, said, last_drop, offer, load)


def _one_a_stretch(outcomes: list[Outcome]) -> tuple[Outcome, ...]:
    """The forecast made last before each stretch, oldest first."""
    latest = {o.end: o for o in sorted(outcomes, key=lambda o: o.made)}
    return tuple(latest[end] for end in sorted(latest))


def _to_the_last_drop(known: Ground, supply: str) -> Band | None:
    """Days left with nothing kept back; None where nothing is."""
    told = known.outlook.supply(supply)
    if told is None or not (told.reserve or any(c.kept_back for c in known.rig.of(supply))):
        return None
    others = (FRESH,) if supply == GREY else ()
    released = look_ahead(with_only(with_reserve_released(known.belief), supply, *others), known.now).supply(supply)
    return released.days_left if released else None
