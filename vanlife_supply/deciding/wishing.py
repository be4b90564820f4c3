"""Can I: a shower, the dishes, a guest, so much water; is there water, is there room, and what stops you then."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.deciding import arithmetic
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.holding import chances
from vanlife_supply.deciding.lasting import days_until
from vanlife_supply.deciding.model import Part, Wish
from vanlife_supply.deciding.sizes import GUEST, size_of
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.sizes import knows
from vanlife_supply.forecast.model import Band, Forecast, SupplyOutlook
from vanlife_supply.forecast.suppose import days_lived, with_entries, with_moved, with_one_more
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH, GREY, Rig

GUEST_DAYS = 2.0
"""A guest stays until the next plan, or so long when nothing is planned: common practice, no source."""
NOT_DRAINED = ("coffee",)
WORTH_SAYING = 0.1
"""A rise of a chance of trouble that makes a yes a tight one."""


def can_i(known: Ground, word: str, *, outside: bool = False, until: Moment | None = None) -> Wish:
    """Whether there is water for it and room for what runs off (all of it, unless `outside`), and what comes of it.

    `word` is shower, dishes, wash, coffee, a use noted before, guest (stays `until`, else to the next plan) or an
    amount such as `2 gal`. Refusal for any other word, and while nothing is known of the water.
    """
    plain = " ".join(word.lower().split())
    if plain in (GUEST, "guests", "a guest"):
        return _guest(known, until)
    need, own = size_of(plain, known.entries, known.rig)
    _, usable, _, _ = known.known(FRESH)
    drained = 0.0 if outside or plain in NOT_DRAINED else need
    after = with_moved(known.belief, FRESH, -need, known.now)
    gray = known.outlook.supply(GREY)
    if gray is not None and drained:
        after = with_moved(after, GREY, drained, known.now)
    then = known.ahead(after)
    parts = [_part(FRESH, need, usable, known.outlook, then)]
    if gray is not None and gray.usable is not None and drained:
        parts.append(_part(GREY, drained, gray.usable, known.outlook, then))
    name = plain if knows(plain, known.entries, known.rig) else ""
    return Wish(name, _verdict(parts, known.rig), tuple(parts), known.outlook, then, _outside(parts, then, known), own)


def _part(supply: str, need: float, left: Band, before: Forecast, after: Forecast) -> Part:
    sure, likely = left.p10 or 0.0, left.p50 or 0.0
    fits = "yes" if need <= sure else "likely" if need <= likely else "no"
    was, now = _plan(before.supply(supply)), _plan(after.supply(supply))
    if was is None or now is None:
        return Part(supply, need, left, fits)
    return Part(supply, need, left, fits, now[0], now[1], was[1])


def _plan(told: SupplyOutlook | None) -> tuple[Moment, float] | None:
    if told is None or told.planned is None or told.planned.chance_fails_before is None:
        return None
    return told.planned.at, told.planned.chance_fails_before


def _verdict(parts: Sequence[Part], rig: Rig) -> str:
    fits = {part.fits for part in parts}
    if "no" in fits:
        return "no"
    if any(_endangers(part, rig) for part in parts):
        return "tight"
    return "likely" if "likely" in fits else "yes"


def _endangers(part: Part, rig: Rig) -> bool:
    """Whether it makes trouble before the plan noticeably likelier, and more so than the person puts up with."""
    if part.risk is None or part.risk_before is None:
        return False
    return part.risk > 1.0 - rig.confidence and part.risk - part.risk_before > WORTH_SAYING


def _outside(parts: Sequence[Part], after: Forecast, known: Ground) -> float | None:
    """How much of it must stay out of the sink to be all right."""
    gray = next((part for part in parts if part.supply == GREY), None)
    if gray is None or (gray.fits == "yes" and not _endangers(gray, known.rig)):
        return None
    keep = max(0.0, gray.need - (gray.left.p10 or 0.0))
    told = after.supply(GREY)
    if gray.plan is not None and told is not None and told.days_left is not None and told.use_per_day is not None:
        days = gray.plan.days_since(known.now)
        daily = told.use_per_day.p50 or 0.0
        keep = max(keep, arithmetic.to_keep_out(0.0, daily, days, daily * (told.days_left.p10 or 0.0)))
    return min(keep, gray.need) or None


def _guest(known: Ground, until: Moment | None) -> Wish:
    """One person more until then: the chance that all holds so long decides."""
    _, usable, use, _ = known.known(FRESH)
    end = until or _next_plan(known.outlook) or known.now.plus(GUEST_DAYS)
    days_until(known.now, end)
    belief = with_one_more(known.belief, known.now, end)
    then = known.ahead(belief)
    before, after = chances(known, known.belief, end), chances(known, belief, end)
    refilled = chances(known, with_entries(belief, _refilling(known)), end)
    parts = []
    for supply, left, daily in ((FRESH, usable, use), _gray_of(known.outlook)):
        told = then.supply(supply)
        if left is None or daily is None or told is None or told.use_per_day is None or supply not in after.each:
            continue
        beside = (daily.p50 or 0.0) * days_lived(known.belief, supply, known.now, end)
        need = max(0.0, (told.use_per_day.p50 or 0.0) * days_lived(belief, supply, known.now, end) - beside)
        holds = after.each[supply]
        fits = "yes" if holds >= known.rig.confidence else "likely" if holds >= 0.5 else "no"
        risk, risk_before, once_refilled = (1.0 - day.each[supply] for day in (after, before, refilled))
        parts.append(Part(supply, need, left, fits, end, risk, risk_before, beside, once_refilled))
    return Wish(GUEST, _verdict(parts, known.rig), tuple(parts), known.outlook, then, until=end)


def _refilling(known: Ground) -> list[Entry]:
    """Water filled to the top and gray dumped empty, now."""
    acts = ((FRESH, m.FILL, m.FULL), (GREY, m.DUMP, m.EMPTY))
    return [Entry("", kind, known.now, supply, to=to) for supply, kind, to in acts if known.rig.of(supply)]


def _gray_of(outlook: Forecast) -> tuple[str, Band | None, Band | None]:
    gray = outlook.supply(GREY)
    return GREY, gray.usable if gray else None, gray.use_per_day if gray else None


def _next_plan(outlook: Forecast) -> Moment | None:
    plans = [told.planned.at for told in outlook.supplies if told.planned is not None]
    return min(plans, key=lambda at: at.epoch, default=None)
