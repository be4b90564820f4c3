"""The town list as plain text that fits a phone photo, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from vanlife_supply.forecast.model import Forecast
from vanlife_supply.resupply import Errand, Stop, TownList
from vanlife_supply.rig.model import FILLS, PROPANE, STOVE_FUEL, Rig
from vanlife_supply.wording.amounts import amount, bare
from vanlife_supply.wording.days import rounded
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.places import LOCAL_RULES, place_name, printable
from vanlife_supply.wording.sentence import answer
from vanlife_supply.wording.times import clock, day, spell

WIDTH = 38
"""Columns: what a phone shows of a photo without turning it, and two of them on an ordinary terminal."""
_COOL = "Burner out and cool before alcohol is poured."
_NET = "Traded propane: ask how much is in it; the rest of yours is gone."


def town_text(listed: TownList, forecast: Forecast, rig: Rig, stop: Stop | None = None) -> str:
    """What to take out and to get, in the order to do it, and what one may count on after."""
    lines = [f"TOWN  {day(forecast.as_of)}, {clock(forecast.as_of)}", *_wrapped(" ".join(answer(forecast, rig)))]
    if stop and stop.option:
        sure = all(task.answer.word == "yes" for task in stop.option.tasks if task.what == stop.for_what)
        lines += _wrapped(f"Where: {place_name(stop.option.place)}{'' if sure else ' (ask first)'}")
    parts = (("1 DUMP FIRST", listed.out), ("2 THEN WATER", listed.water), ("3 THEN FUEL", listed.fuels))
    for head, errands in parts:
        if errands:
            lines += ["", head, *(line for errand in errands for line in _errand(errand, rig))]
    if not any(errands for _, errands in parts):
        lines += ["", "Nothing to take out or to get."]
    lines += [""] + (_wrapped(f"Enough: {', '.join(supply_name(s, rig) for s in listed.enough)}.") if listed.enough else [])
    lines += _after(listed, rig)
    lines += [line for mind in _cautions(listed) for line in _wrapped(mind)]
    return "\n".join(printable(line).rstrip() for line in lines) + "\n"


def _errand(errand: Errand, rig: Rig) -> Sequence[str]:
    """`[ ] Water A jug 7 gal: get about 4.5`."""
    its, container = rig.supply(errand.supply), errand.container
    fills = its.direction == FILLS
    label = container.label if container.label.lower().startswith(supply_name(its.name, rig).lower()) else (
        f"{supply_name(its.name, rig)} {container.label}"
    )  # fmt: skip
    size = amount(container.capacity, its)
    if errand.amount is None:
        told = "not known, have a look"
    elif container.state in ("full", "empty") and not fills:
        told = f"get {bare(errand.amount, its)}"
    else:
        told = f"about {bare(errand.amount, its)} {'in it' if fills else 'to get'}"
    return _wrapped(f"{label} {size}: {told}", "[ ] ")


def _after(listed: TownList, rig: Rig) -> list[str]:
    if listed.after is None:
        return []
    days, supply = listed.after
    end = "full" if rig.supply(supply).direction == FILLS else "out"
    return _wrapped(f"After this count on {spell(days, down=True)}; {supply_name(supply, rig)} is {end} first.")


def _cautions(listed: TownList) -> list[str]:
    fuels = {errand.supply for errand in listed.fuels}
    minds = ((bool(listed.out), LOCAL_RULES), (PROPANE in fuels, _NET), (STOVE_FUEL in fuels, _COOL))
    return [mind for holds, mind in minds if holds]


def _wrapped(text: str, lead: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead), break_on_hyphens=False)


def town_json(listed: TownList, forecast: Forecast, rig: Rig, stop: dict[str, Any] | None) -> dict[str, Any]:
    """The stable object of `town --json`."""
    return {
        "as_of": forecast.as_of.iso(),
        "dump": [_item(e, rig) for e in listed.out],
        "water": [_item(e, rig) for e in listed.water],
        "fuel": [_item(e, rig) for e in listed.fuels],
        "enough": list(listed.enough),
        "after": None if listed.after is None else {"days": rounded(listed.after[0]), "first": listed.after[1]},
        "next_stop": stop,
    }


def _item(errand: Errand, rig: Rig) -> dict[str, Any]:
    return {
        "supply": errand.supply,
        "container": errand.container.letter,
        "label": errand.container.label,
        "amount": None if errand.amount is None else round(errand.amount, 3),
        "unit": rig.supply(errand.supply).canonical,
    }
