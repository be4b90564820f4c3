"""The town list as plain text that fits a phone photo, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import Any

from vanlife_supply.forecast.model import Forecast
from vanlife_supply.resupply import Errand, Stop, TownList, what_of_supply
from vanlife_supply.rig.model import FILLS, PROPANE, STOVE_FUEL, Rig, Supply
from vanlife_supply.wording.amounts import amount, bare, sized
from vanlife_supply.wording.days import rounded
from vanlife_supply.wording.entries import lowered
from vanlife_supply.wording.names import limit_name, printable, supply_name
from vanlife_supply.wording.places import LOCAL_RULES, place_name
from vanlife_supply.wording.sentence import answer
from vanlife_supply.wording.times import clock, day, spell

WIDTH = 38
"""Columns: what a phone shows of a photo without turning it, and two of them on an ordinary terminal."""
WIDE = 76
"""Columns of an ordinary terminal."""
_COOL = "Burner out and cool before alcohol is poured."
_USELESS = ("split", "cracked", "broken", "leaking", "leaks")
_NET = "Traded propane: ask how much is in it; the rest of yours is gone."


def town_text(listed: TownList, forecast: Forecast, rig: Rig, stop: Stop | None = None, width: int = WIDTH) -> str:
    """What to take out and to get, in the order to do it, and what one may count on after.

    With a stop, what is not to be had at its place stands apart.
    """
    lines = [f"TOWN  {day(forecast.as_of)}, {clock(forecast.as_of)}", *_wrapped(" ".join(answer(forecast, rig)), width)]
    if stop and stop.option:
        sure = all(task.answer.word == "yes" for task in stop.option.tasks if task.what == stop.for_what)
        lines += _wrapped(f"Where: {place_name(stop.option.place)}{'' if sure else ' (ask first)'}", width)
    parts = _parts(listed, stop)
    for head, errands in parts:
        if errands:
            lines += ["", head, *(line for errand in errands for line in _wrapped(_errand(errand, rig), width, "[ ] "))]
    if not any(errands for _, errands in parts):
        lines += ["", "Nothing to take out or to get."]
    ample = [supply_name(s, rig) for s in listed.enough if listed.after is None or s != listed.after[1]]
    enough = f"Enough: {', '.join(ample)}." if ample else ""
    dated = [f"{limit_name(limit.word)}: you said till {day(limit.at)}." for limit in listed.limits]
    told = [enough, *dated, *_broken(forecast, rig), _after(listed, rig, elsewhere=bool(parts[-1][1])), *_cautions(listed)]
    lines += ["", *(line for text in told if text for line in _wrapped(text, width))]
    return "\n".join(printable(line).rstrip() for line in lines) + "\n"


def _parts(listed: TownList, stop: Stop | None) -> Sequence[tuple[str, Sequence[Errand]]]:
    """Headings and what stands below them; the last one is what has to be done at another place."""
    there = {task.what for task in stop.option.tasks} if stop and stop.option else None

    def split(errands: Sequence[Errand], *, here: bool) -> list[Errand]:
        return [e for e in errands if (there is None or what_of_supply(e.supply) in there) is here]

    parts = (("DUMP", listed.out), ("WATER", listed.water), ("FUEL", listed.fuels))
    here = [(head, found) for head, errands in parts if (found := split(errands, here=True))]
    elsewhere = [e for _, errands in parts for e in split(errands, here=False)]
    return [*((f"{i} {head}", errands) for i, (head, errands) in enumerate(here, 1)), ("NOT THERE, ELSEWHERE", elsewhere)]


def _errand(errand: Errand, rig: Rig) -> str:
    """`Water A jug 7 gal: get about 4.5`."""
    its, container = rig.supply(errand.supply), errand.container
    name = supply_name(its.name, rig)
    lead = "" if container.label.lower().startswith(name.lower()) else f"{name} "
    return f"{lead}{sized(container.label, container.capacity, its)}: {_to_do(errand, its, bare)}"


def short_list(listed: TownList, rig: Rig) -> tuple[tuple[str, str], ...]:
    """Supply and what to do: `jug B: get about 4.1 gal`, `dump sink jug: about 2.5 gal in it`; () where nothing is known."""
    errands = (*listed.out, *listed.water, *listed.fuels)
    known = any(e.amount is not None for e in errands)
    return tuple((e.supply, printable(_short(e, rig))) for e in errands) if known else ()


def _short(errand: Errand, rig: Rig) -> str:
    its = rig.supply(errand.supply)
    return f"{'dump ' if its.direction == FILLS else ''}{errand.container.label}: {_to_do(errand, its, amount)}"


def _to_do(errand: Errand, its: Supply, say: Callable[[float, Supply], str]) -> str:
    if errand.amount is None:
        return "not known, have a look"
    told = say(errand.amount, its)
    if its.direction == FILLS:
        return f"about {told} in it"
    if errand.pours:
        return f"fill the others from it, then get about {told}"
    return f"get {'' if errand.container.state in ('full', 'empty') else 'about '}{told}"


def _broken(forecast: Forecast, rig: Rig) -> list[str]:
    """What was set aside because it no longer holds anything."""
    broken = [(s, c) for s in forecast.supplies for c in s.containers if c.why in _USELESS]
    return [f"{supply_name(s.supply, rig)} {c.label} is {c.why}: replace it." for s, c in broken]


def _after(listed: TownList, rig: Rig, *, elsewhere: bool) -> str:
    if listed.after is None:
        return ""
    days, what = listed.after
    limit = next((one for one in listed.limits if one.word == what), None)
    if limit:
        then = f"{lowered(limit_name(what))} comes first, till {day(limit.at)}"
    else:
        then = f"{lowered(supply_name(what, rig))} is {'full' if rig.supply(what).direction == FILLS else 'out'} first"
    return f"After {'all of ' if elsewhere else ''}this count on {spell(days, down=True)}; {then}."


def _cautions(listed: TownList) -> list[str]:
    fuels = {errand.supply for errand in listed.fuels}
    minds = ((bool(listed.out), LOCAL_RULES), (PROPANE in fuels, _NET), (STOVE_FUEL in fuels, _COOL))
    return [mind for holds, mind in minds if holds]


def _wrapped(text: str, width: int, lead: str = "") -> list[str]:
    return textwrap.wrap(text, width, initial_indent=lead, subsequent_indent=" " * len(lead), break_on_hyphens=False)


def town_json(listed: TownList, forecast: Forecast, rig: Rig, stop: dict[str, Any] | None) -> dict[str, Any]:
    """The stable object of `town --json`."""
    return {
        "as_of": forecast.as_of.iso(),
        "dump": [_item(e, rig) for e in listed.out],
        "water": [_item(e, rig) for e in listed.water],
        "fuel": [_item(e, rig) for e in listed.fuels],
        "enough": list(listed.enough),
        "limits": [{"word": limit.word, "at": limit.at.iso()} for limit in listed.limits],
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
