"""The containers as they stand, and where a figure comes from."""

from __future__ import annotations

from vanlife_supply.forecast.model import ContainerOutlook, Forecast, SupplyOutlook
from vanlife_supply.rig.model import FILLS, Rig, Supply
from vanlife_supply.wording.amounts import amount, as_weighed, bare, sized
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.times import days_since

_STALE_DAYS = 10
"""A level not seen for this many days is marked with its age: common practice, no source."""

_MARKS = {"balance": "", "looked": "looked at", "noted": "one note", "said": "you said", "guess": "guess"}


def mark(outlook: SupplyOutlook, forecast: Forecast) -> str:
    """Where the figures of a supply come from, in two words: `guess`, `you said`, `looked at`, `` when learned."""
    told = _MARKS.get(outlook.source, "")
    age = age_days(outlook, forecast)
    if age is not None and age >= _STALE_DAYS:
        return f"{told or 'last known'}, {age} days old"
    return told


def short_mark(outlook: SupplyOutlook, forecast: Forecast) -> str:
    """`mark` in at most five letters: guess, said, seen, old."""
    age = age_days(outlook, forecast)
    old = "old" if age is not None and age >= _STALE_DAYS else ""
    return {"balance": old, "looked": "seen", "noted": "noted", "said": "said"}.get(outlook.source, "guess")


def left_now(usable: float, outlook: SupplyOutlook, forecast: Forecast, its: Supply) -> str:
    """`6.5 gal`, `room 2.5 gal`; what was looked at or weighed today as finely as it was read: `9.3 lb`."""
    read_today = outlook.source != "guess" and age_days(outlook, forecast) == 0
    say = as_weighed if read_today else amount
    return f"{'room ' if outlook.direction == FILLS else ''}{say(usable, its)}"


def age_days(outlook: SupplyOutlook, forecast: Forecast) -> int | None:
    """Days since the last level that was no guess, None if there is none."""
    return None if outlook.last_trusted is None else days_since(outlook.last_trusted, forecast.as_of)


def containers_line(outlook: SupplyOutlook, rig: Rig) -> str:
    """`Water: A jug 7 gal open, about 2.5; B jug 5 gal full`."""
    return f"{supply_name(outlook.supply, rig)}: " + "; ".join(container_text(c, outlook, rig) for c in outlook.containers)


def container_text(c: ContainerOutlook, outlook: SupplyOutlook, rig: Rig) -> str:
    """One container as it stands: letter, label, size, state."""
    its = rig.supply(outlook.supply)
    fixed = next((k for k in rig.of(outlook.supply) if k.label == c.label), None)
    back = " (kept back)" if fixed is not None and fixed.kept_back else ""
    alone = len(outlook.containers) == 1
    lettered = not alone and c.label.split()[-1] != c.letter
    name = f"{c.letter} " if lettered else ""
    return f"{name}{sized(c.label, c.capacity, its)} {state_words(c, outlook, rig)}{back}"


def short_container(c: ContainerOutlook, outlook: SupplyOutlook, rig: Rig) -> str:
    """`container_text` by letter alone where there are several, by label where it is the only one."""
    its = rig.supply(outlook.supply)
    name = c.label if len(outlook.containers) == 1 else c.letter
    kept = any(k.kept_back for k in rig.of(outlook.supply) if k.label == c.label)
    return f"{sized(name, c.capacity, its)} {state_words(c, outlook, rig)}{' (kept back)' if kept else ''}"


def state_words(c: ContainerOutlook, outlook: SupplyOutlook, rig: Rig) -> str:
    """`full`, `empty`, `open, about 2.5`, `set aside (frozen)`, `not known`; gray: `with about 2.9 in it`."""
    its = rig.supply(outlook.supply)
    if c.state == "aside":
        return f"set aside ({c.why})" if c.why else "set aside"
    if c.state in ("full", "empty"):
        return c.state
    if c.level is None or c.level.p50 is None:
        return "not known"
    told = bare(c.level.p50, its)
    if told == "0":
        return "nearly empty"
    return f"with about {told} in it" if outlook.direction == FILLS else f"open, about {told}"
