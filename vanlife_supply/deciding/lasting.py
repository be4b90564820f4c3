"""Make it last until a date: how much a day that leaves, what must be cut, what stops you next."""

from __future__ import annotations

from dataclasses import replace

from vanlife_supply.deciding import arithmetic
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.holding import chances
from vanlife_supply.deciding.model import Allowance, Lasting
from vanlife_supply.deciding.sizes import size_of
from vanlife_supply.forecast.model import First, Forecast
from vanlife_supply.forecast.suppose import with_only, with_pace
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, GREY

LONGEST_DAYS = 365.0
WASHING = ("shower", "dishes")
"""What an allowance of water is also said in."""


def make_it_last(known: Ground, supply: str, until: Moment) -> Lasting:
    """The allowance a day that makes a supply last until then, reserve kept, at 9 in 10 and at even chances.

    Who keeps to an allowance decides how fast it goes; what stays unsure is how much there is. Drinking water for
    people and pets is never cut: what must go is washing. Refusal for a date that is past or beyond a year, and
    for a supply nothing is known of.
    """
    days = days_until(known.now, until)
    told, usable, use, left = known.known(supply)
    usual = use.p50 or 0.0
    coming = max(usual, (usable.p50 or 0.0) / left.p50) if left.p50 else usual
    drinking = known.drinking() if supply == FRESH else None
    sure, likely = (_allowance(amount or 0.0, days, coming, drinking) for amount in (usable.p10, usable.p50))
    drained = known.belief.drains(supply)
    pace = max(1.0 - sure.cut, min(1.0, drinking / coming) if drinking and coming else 0.0)
    first = known.outlook.first
    if sure.cut:
        first = _beside_gray(known, days) if drained else _paced(known, supply, pace, until)
    return Lasting(
        supply, known.now, until, days, usual, coming, usable, told.reserve, sure, likely, drinking,
        drain_share(known.outlook) if drained else None,
        chances(known, known.belief, until).each[supply], first,
        {word: size_of(word, known.entries, known.rig)[0] for word in WASHING} if drained or supply == FRESH else {},
    )  # fmt: skip


def _paced(known: Ground, supply: str, pace: float, until: Moment) -> First | None:
    """What stops you first when the supply goes so much slower until then."""
    return known.ahead(with_pace(known.belief, supply, pace, known.now, until)).first


def _beside_gray(known: Ground, days: float) -> First | None:
    """What stops you before gray is let reach its mark; what is kept out of the sink is used all the same, so no water is
    saved."""
    others = (s.name for s in known.rig.supplies if s.name != GREY)
    first = known.ahead(with_only(known.belief, *others)).first
    likely = first.days_left.p50 if first else None
    return first if likely is not None and likely < days else None


def days_until(now: Moment, until: Moment) -> float:
    """True days until a date ahead; Refusal for one that is past or beyond a year."""
    days = until.days_since(now)
    if days <= 0:
        raise Refusal(f"{until.local():%Y-%m-%d %H:%M} is past: give a time ahead.")
    if days > LONGEST_DAYS:
        raise Refusal(f"{until.local():%Y-%m-%d} is over a year ahead: nothing here sees that far.")
    return days


def drain_share(outlook: Forecast) -> float | None:
    """The part of the water used that reaches the gray, by the usual rates; None while either is not known."""
    fresh, gray = outlook.supply(FRESH), outlook.supply(GREY)
    used = fresh.use_per_day.p50 if fresh and fresh.use_per_day else None
    drained = gray.use_per_day.p50 if gray and gray.use_per_day else None
    return drained / used if used and drained else None


def _allowance(usable: float, days: float, coming: float, drinking: float | None) -> Allowance:
    per_day = arithmetic.allowance(usable, days)
    plain = Allowance(per_day, arithmetic.cut(per_day, coming))
    if drinking is None:
        return plain
    return replace(plain, washing=max(0.0, per_day - drinking), drinks=per_day >= drinking)
