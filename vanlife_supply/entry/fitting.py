"""Whether an amount fits what is named, and whether a weight is said with its container."""

from __future__ import annotations

from vanlife_supply.entry.model import Entry
from vanlife_supply.quantity import GROSS, Amount, parse_amount
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE, Container, Rig

REFUSED_OVER = 1.25
"""A typed amount over this many brims of what is named is refused; between one brim and this it is questioned."""


def takes_gross(supply: str, rig: Rig) -> bool:
    """Whether a bare weight of this supply is said with its container on the scale (all its tares are known)."""
    return supply == PROPANE and all(c.tare for c in rig.of(supply))


def as_weighed(text: str, scale: bool, entry: Entry, rig: Rig) -> str:
    """A weight off the scale, or one that is more than fits in, is with the container, unless it says net or is less
    than the container weighs empty."""
    plain = " ".join(text.split())
    if plain.lower().endswith(" net"):
        return plain[:-4]
    if not plain or not takes_gross(entry.supply, rig):
        return text
    amount = parse_amount(text)
    if scale and not amount.unit:
        return f"{text} gross"
    net = Amount(amount.value, amount.unit or rig.supply(entry.supply).unit)
    gross = Amount(amount.value, f"{net.unit} gross")
    mine = [rig.container(entry.supply, entry.container)] if entry.container else rig.of(entry.supply)
    if gross.unit not in GROSS or not (scale or rig.canonical(net, entry.supply) > sum(c.capacity for c in mine)):
        return text
    return str(gross) if any(_weighs(gross, c, rig) for c in mine) else text


def doubt(amount: Amount, entry: Entry, rig: Rig) -> str:
    """Why an amount is odd ("" if it is not); Refusal beyond 1.25 brims of what is named."""
    brim, name, holder = _named_brim(amount, entry, rig)
    value = rig.canonical(amount, entry.supply, holder)
    if value > REFUSED_OVER * brim * (1 + 1e-9):
        raise Refusal(f"{amount} is more than {_most(amount, brim, name, entry.supply, rig)}: check the number or the unit.")
    return f"more than {name} holds" if value > brim * (1 + 1e-6) else ""


def _named_brim(amount: Amount, entry: Entry, rig: Rig) -> tuple[float, str, str]:
    if entry.container:
        return rig.container(entry.supply, entry.container).capacity, entry.container, entry.container
    mine = rig.of(entry.supply)
    if amount.unit in GROSS:
        fits = [c for c in mine if c.tare and _weighs(amount, c, rig)]
        if not fits:
            known = [c for c in mine if c.tare] or list(mine)
            return known[0].capacity, known[0].label, known[0].label
        return fits[0].capacity, fits[0].label, fits[0].label
    name = mine[0].label if len(mine) == 1 else f"everything for {rig.say(entry.supply)} together"
    return rig.capacity(entry.supply), name, ""


def _weighs(amount: Amount, c: Container, rig: Rig) -> bool:
    value = rig.sized(amount, c.supply, c.label)
    return value is not None and value <= REFUSED_OVER * c.capacity


def _most(amount: Amount, brim: float, name: str, supply: str, rig: Rig) -> str:
    """What stands against an amount: what the container holds, or, for one weighed with it, what it weighs full."""
    tare = next((c.tare for c in rig.of(supply) if c.label == name and amount.unit in GROSS), None)
    if tare is None:
        return f"{name} holds ({_told(brim, supply, rig)})"
    full = Amount((brim + tare) / rig.canonical(Amount(1.0, GROSS[amount.unit]), supply), GROSS[amount.unit])
    return f"{name} weighs when full ({full.value:.3g} {full.unit})"


def _told(value: float, supply: str, rig: Rig) -> str:
    its = rig.supply(supply)
    return f"{value / rig.canonical(Amount(1.0, its.unit), supply):.3g} {its.unit}"
