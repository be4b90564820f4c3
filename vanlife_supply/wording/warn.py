"""Each warning in a line, and what to do about it. Drinking water is never told to be cut."""

from __future__ import annotations

from collections.abc import Callable

from vanlife_supply.forecast.model import Forecast, Warning
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import FILLS, FRESH, Rig
from vanlife_supply.wording.amounts import amount, chance, rate
from vanlife_supply.wording.entries import lowered
from vanlife_supply.wording.names import limit_name, supply_name
from vanlife_supply.wording.times import about, by_when, day, named_day, spell


def warning_text(warning: Warning, forecast: Forecast, rig: Rig) -> str:
    """What threatens, when, with which chance: one sentence."""
    return _TEXTS[warning.code](warning, forecast, rig)


def warning_cure(warning: Warning, forecast: Forecast, rig: Rig) -> str:
    """What would help, the least first: one sentence."""
    return _CURES[warning.code](warning, forecast, rig)


def _full(w: Warning, f: Forecast, rig: Rig) -> str:
    return f"{supply_name(w.supply, rig)} is full{_before(w, 'dump', f)}: {_odds(w)}{_about(w, f)}."


def _full_cure(w: Warning, f: Forecast, rig: Rig) -> str:
    by = _count_on_until(w.supply, f)
    sure = " where it is sure" if w.place else ""
    dump = f"Dump by {by_when(by)}{sure}" if by else f"Dump now{sure}"
    # More than a whole load cannot be kept out of the sink: it has to be dumped before.
    if w.amount and w.before is not None and w.amount < rig.capacity(w.supply):
        kept = amount(w.amount, rig.supply(w.supply))
        dump += f", or keep {kept} out of the sink until {_on(w.before, f)}"
    return _unsure(w, f, f"{dump}.")


def _out(w: Warning, f: Forecast, rig: Rig) -> str:
    return f"{supply_name(w.supply, rig)} is out{_before(w, 'fill', f)}: {_odds(w)}{_about(w, f)}."


def _out_cure(w: Warning, f: Forecast, rig: Rig) -> str:
    by = _count_on_until(w.supply, f)
    sure = " where it is sure" if w.place else ""
    fill = f"Fill by {by_when(by)}{sure}" if by else f"Fill now{sure}"
    its = f.supply(w.supply)
    usual = its.use_per_day.p50 if its and its.use_per_day else None
    if w.per_day is None or w.before is None or usual is None:
        return _unsure(w, f, f"{fill}.")
    until, supply = _on(w.before, f), rig.supply(w.supply)
    if w.supply == FRESH:
        fill += f", or wash with {amount(usual - w.per_day, supply)} a day less until {until}; drink as always."
        return _unsure(w, f, fill)
    return _unsure(w, f, f"{fill}, or use at most {rate(w.per_day, supply)} {supply.unit} a day until {until}.")


def _limit(w: Warning, f: Forecast, rig: Rig) -> str:
    moment = _moment(w.at, f)
    if moment is None:
        return f"{limit_name(w.word or w.supply)} is up soon."
    return f"{limit_name(w.word or w.supply)} is up {day(moment)}, in {spell(moment.days_since(f.as_of))}."


def _limit_cure(w: Warning, f: Forecast, rig: Rig) -> str:
    return "Be done by then, or say the new date."


def _impossible(w: Warning, f: Forecast, rig: Rig) -> str:
    name = supply_name(w.supply, rig)
    if w.reason == "above":
        return f"{name}: by what was noted there is more than fits."
    return f"{name}: by what was noted it should be {'empty' if rig.supply(w.supply).direction == FILLS else 'gone'} by now."


def _impossible_cure(w: Warning, f: Forecast, rig: Rig) -> str:
    if rig.supply(w.supply).direction == FILLS:
        return "A dump is missing, less went in, or you were away: say which, or say what is in it."
    if w.reason == "above":
        return "A fill is wrong, more was used, or some leaked: say which, or say what is left."
    return "A fill is missing, you used less, or you were away: say which, or say what is left."


def _questioned(w: Warning, f: Forecast, rig: Rig) -> str:
    of = f" of {supply_name(w.supply, rig).lower()}" if w.supply else ""
    return f"One entry{of} looks odd."


def _questioned_cure(w: Warning, f: Forecast, rig: Rig) -> str:
    return "Say whether it is right, a mistake, or what it was."


def _not_known(w: Warning, f: Forecast, rig: Rig) -> str:
    return f"{supply_name(w.supply, rig)} is not known yet."


def _not_known_cure(w: Warning, f: Forecast, rig: Rig) -> str:
    if rig.supply(w.supply).direction == FILLS:
        return "Note when it is dumped empty, or how much is in it."
    return "Note when it is filled to the top, or how much is left."


def _on(epoch: float | None, f: Forecast) -> str:
    """`Monday` within a week, else `Mon 18 May`."""
    moment = _moment(epoch, f)
    return "the plan" if moment is None else named_day(moment, f.as_of)


def _before(w: Warning, deed: str, f: Forecast) -> str:
    """` before Monday's dump`; where that one is in doubt, ` before a sure dump`."""
    if w.place:
        return f" before a sure {deed}"
    return f" before {_on(w.before, f)}'s {deed}" if w.before is not None else ""


def _unsure(w: Warning, f: Forecast, cure: str) -> str:
    """The cure, behind what is not confirmed if that is so."""
    if not w.place:
        return cure
    return f"The one planned {_on(w.before, f)} at {w.place} is not confirmed: {lowered(cure)}"


def _odds(w: Warning) -> str:
    return "likely" if w.chance is None else chance(w.chance)


def _about(w: Warning, f: Forecast) -> str:
    """About when, unless the first sentence says so already, or the likely end is after the plan it is to come before."""
    moment = _moment(w.at, f)
    late = moment is not None and w.before is not None and moment.epoch >= w.before
    if late or (f.first and f.first.what == w.supply):
        return ""
    return f", about {about(moment, f.as_of)}" if moment and moment.epoch > f.as_of.epoch else ""


def _moment(epoch: float | None, f: Forecast) -> Moment | None:
    return None if epoch is None else at(epoch, f.as_of.zone, f.as_of.offset)


def _count_on_until(supply: str, f: Forecast) -> Moment | None:
    """Until when one may count on a supply; None when that is already past."""
    its = f.supply(supply)
    sure = its.days_left.p10 if its and its.days_left else None
    return f.as_of.plus(sure) if sure is not None and sure > 1 / 24 else None


_TEXTS: dict[str, Callable[[Warning, Forecast, Rig], str]] = {
    "full-before-dump": _full,
    "out-before-fill": _out,
    "limit-soon": _limit,
    "impossible-level": _impossible,
    "questioned": _questioned,
    "not-known": _not_known,
}
_CURES: dict[str, Callable[[Warning, Forecast, Rig], str]] = {
    "full-before-dump": _full_cure,
    "out-before-fill": _out_cure,
    "limit-soon": _limit_cure,
    "impossible-level": _impossible_cure,
    "questioned": _questioned_cure,
    "not-known": _not_known_cure,
}
