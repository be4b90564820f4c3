"""The first sentence: how long, what stops you first, when."""

from __future__ import annotations

from dataclasses import replace

from vanlife_supply.forecast.model import First, Forecast
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import chance
from vanlife_supply.wording.names import supply_name, thing_name
from vanlife_supply.wording.times import about, count_on, spell

NOTHING_KNOWN = "Nothing is known yet.", "Say what is full or how much is left, and the days follow."
NO_END = "Nothing here stops you within a year.", "What is not known yet is not counted."


def sentence(forecast: Forecast, rig: Rig) -> str:
    """The answer in one line, single spaced."""
    return " ".join(answer(forecast, rig))


def answer(forecast: Forecast, rig: Rig) -> tuple[str, str]:
    """The answer in two parts: how long, and what stops you first about when."""
    first = forecast.first
    if first is None:
        return NOTHING_KNOWN
    likely = first.days_left.p50
    if likely is None:
        return NO_END
    if likely <= 0:
        return "Count on nothing more.", f"{_verdict(first, rig)} now."
    sure, end = first.days_left.p10, _own_end(forecast, likely)
    told = count_on(replace(first.days_left, p50=end))
    opening = f"Count on {told}"
    if sure is not None and sure <= 0:
        opening = f"Count on nothing for sure, likely {told.split(', likely ')[-1]}"
    when = about(forecast.as_of.plus(end), forecast.as_of)
    return f"{opening}.", f"{_verdict(first, rig)} first, about {when}.{_others(forecast, first, rig)}"


def _own_end(forecast: Forecast, likely: float) -> float:
    """When the first thing ends by its own row, unless a rival makes that far too late: one moment has one name."""
    own = next((s.days_left for s in forecast.supplies if forecast.first and s.supply == forecast.first.what), None)
    return own.p50 if own and own.p50 is not None and own.p50 < likely + _SAME_DAYS + _SAME_SHARE * own.p50 else likely


def _others(forecast: Forecast, first: First, rig: Rig) -> str:
    """Why one may count on less than any row says: another thing may well come first."""
    alone = [s.days_left.p10 for s in forecast.supplies if s.days_left and s.days_left.p10 is not None]
    alone += [x.days_left for x in forecast.limits]
    chances = {what: p for what, p in first.chances.items() if what != first.what}
    other = max(chances, key=chances.__getitem__, default="")
    sure = first.days_left.p10
    if not other or chances[other] < _MAY_WELL or sure is None or sure > min(alone):
        return ""
    if spell(sure, down=True) == spell(min(alone), down=True):
        return ""
    return f" Or {thing_name(other, rig).lower()}, {chance(chances[other])}: so count on less than on either."


_SAME_DAYS, _SAME_SHARE = 0.2, 0.35
_MAY_WELL = 0.2


def _verdict(first: First, rig: Rig) -> str:
    for supply in rig.supplies:
        if supply.name == first.what:
            return f"{supply_name(supply.name, rig)} is {'full' if supply.direction == FILLS else 'out'}"
    return f"{thing_name(first.what, rig)} is up"
