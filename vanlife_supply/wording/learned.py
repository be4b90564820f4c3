"""What the log has taught of the rig and the life in it, with bands, and what is offered to be written anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vanlife_supply.forecast.facts import CAPACITY, DEAD, IDLE_LOSS, STOP_MARK, TARE, Learned
from vanlife_supply.quantity import MASS, shown
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import number
from vanlife_supply.wording.days import band_json
from vanlife_supply.wording.entries import lowered, raised
from vanlife_supply.wording.names import supply_name

OFFERED = "Offered, never taken over by itself: the rig stays as you wrote it until you say so, the past in any case."
NOTHING = "Nothing yet that the log could teach of the rig.\n"
_NOTES = {
    CAPACITY: ("fill", "it holds {}"), DEAD: ("fill", "{} stays in when the pump draws air"),
    STOP_MARK: ("dump", "you stop at {}"), TARE: ("weighing", "it weighs {} empty"),
    IDLE_LOSS: ("absence", "{} evaporates in a week"),
}  # fmt: skip


def learned_text(found: Sequence[Learned], offers: Sequence[Learned], rig: Rig) -> str:
    """All that is learned, a line each; then the offers, numbered."""
    if not found:
        return NOTHING
    lines = [learned_line(f, rig) for f in found]
    if offers:
        lines.append(OFFERED)
    for i, f in enumerate(offers, 1):
        lines.append(f"{i} {offer_line(f, rig)}: learned take {i}.  Leave it and ask no more: learned keep {i}.")
    return "\n".join(lines) + "\n"


def learned_line(f: Learned, rig: Rig) -> str:
    """`Big jug: 3 fills say it holds 6.6 to 6.9 gal, you wrote 7.` · `Drain share: about 55% of the water used ...`"""
    if f.container:
        return _measured(f, rig)
    quantiles = [q or 0.0 for q in (f.band.p10, f.band.p50, f.band.p90)]
    name = lowered(supply_name(f.supply, rig))
    if f.what == "drain share":
        low, likely, high = (f"{5 * round(q * 20)}" for q in quantiles)
        return f"Drain share: about {likely}% of the water used reaches the {name}, {low} to {high}% ({f.count} levels)."
    low, likely, high = (number(q) for q in quantiles)
    return f"{f.what.capitalize()}: {name} goes about {likely} times as fast, {low} to {high} ({f.count} levels)."


def _measured(f: Learned, rig: Rig) -> str:
    one, told = _NOTES[f.what]
    if f.what == CAPACITY and rig.supply(f.supply).direction == FILLS:
        one = "dump"
    notes = f"1 {one} says" if f.count == 1 else f"{f.count} {one}s say"
    low, high, unit = _figure(f.band.p10 or 0.0, f, rig), _figure(f.band.p90 or 0.0, f, rig), unit_of(f, rig)
    between = told.format(f"{low}{unit}" if low == high else f"{low} to {high}{unit}")
    wrote = f"you wrote {_figure(f.written or 0.0, f, rig)}" if f.written else "you wrote nothing of it"
    return f"{raised(f.container)}: {notes} {between}, {wrote}."


def taken_line(f: Learned, rig: Rig) -> str:
    """What taking an offer did."""
    return f"Written: {_meant(f, rig)} for {f.container} from now on; before that all stays as it was. 'undo' takes it back."


def kept_line(f: Learned, rig: Rig) -> str:
    """What declining it did."""
    left = f"{_figure(f.written or 0.0, f, rig)}{unit_of(f, rig)}"
    return f"It stays at {left} for {f.container}, and is not asked about again."


def _meant(f: Learned, rig: Rig) -> str:
    what = {DEAD: " that stays in", STOP_MARK: " as the stop mark", IDLE_LOSS: " a week", TARE: " as the empty weight"}
    return f"{_figure(f.band.p50 or 0.0, f, rig)}{unit_of(f, rig)}{what.get(f.what, '')}"


def offer_line(f: Learned, rig: Rig) -> str:
    """`Write 6.7 gal for big jug from now on`."""
    return f"Write {_meant(f, rig)} for {f.container} from now on"


def as_written(f: Learned, rig: Rig) -> dict[str, str | float]:
    """What an offer changes in rig.toml: its key and the likely value."""
    likely = f.band.p50 or 0.0
    if f.what in (STOP_MARK, IDLE_LOSS):
        return {f.what: round(min(likely, 1.0), 3)}
    return {f.what: f"{_figure(likely, f, rig)}{unit_of(f, rig)}"}


def _figure(value: float, f: Learned, rig: Rig) -> str:
    """The number in the unit of `unit_of`: to a tenth, below 2 to a hundredth."""
    if f.what == IDLE_LOSS:
        return f"{value * 100:.0f}"
    if f.what == TARE:
        told = value / MASS[rig.scale]
    else:
        its = rig.supply(f.supply)
        litres = value * rig.container(f.supply, f.container).capacity if f.what == STOP_MARK else value
        told = shown(litres, its.unit, its.measure, its.density)
    return f"{told:.{1 if told >= 2 else 2}f}".rstrip("0").rstrip(".")


def unit_of(f: Learned, rig: Rig) -> str:
    """The unit an estimate is said in, with its space."""
    if f.what == IDLE_LOSS:
        return "%"
    if f.what == TARE:
        return f" {rig.scale}"
    return f" {rig.supply(f.supply).unit}"


def learned_json(found: Sequence[Learned], offers: Sequence[Learned], rig: Rig) -> list[dict[str, Any]]:
    """`learned --json`: canonical units; `offer` is the number `learned take` goes by, null where nothing is offered."""
    return [
        {"what": f.what, "supply": f.supply, "band": band_json(f.band), "levels": f.count,
         "container": f.container or None, "written": f.written,
         "offer": offers.index(f) + 1 if f in offers else None, "text": learned_line(f, rig)}
        for f in found
    ]  # fmt: skip
