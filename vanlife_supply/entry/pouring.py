"""From one container into another: `poured 1 L from can into canister 1`."""

from __future__ import annotations

from dataclasses import replace

from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.naming import FILLER, supply_in, take_supply
from vanlife_supply.quantity import parse_amount
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import Container, Rig, called


def poured(typed: Typed, words: list[str], rig: Rig) -> Typed:
    """`poured 1 L from can into canister 1`, the supply found from the containers."""
    lowered = [w.lower() for w in words]
    into = next((lowered.index(w) for w in ("into", "to") if w in lowered), -1)
    if "from" not in lowered and into > 0 and called(rig.containers, " ".join(words[:into])):
        words, lowered, into = ["from", *words], ["from", *lowered], into + 1
    if "from" not in lowered or into < 0:
        raise Refusal("Say both, from which one and into which: poured 1 L from can into canister 1.")
    start = lowered.index("from")
    ends = sorted((start, into, len(words)))
    parts = {lowered[i]: " ".join(words[i + 1 : next(e for e in ends if e > i)]) for i in (start, into)}
    named, source = _without_supply(parts["from"], rig)
    target = _without_supply(parts.get("into", parts.get("to", "")), rig)[1]
    supply, before = take_supply(words[: min(start, into)], rig)
    amount = " ".join(w for w in before if w.lower() not in FILLER)
    supply = supply or named
    if not supply:
        supply = _supply_of(source, target, amount, rig)
    return replace(typed, supply=supply, amount=amount, container=source, into=target)


def _without_supply(name: str, rig: Rig) -> tuple[str, str]:
    """`water jug b` → the supply and the name."""
    supply = supply_in(name.split(), rig)
    return supply, " ".join(take_supply(name.split(), rig)[1]) if supply else name


def _supply_of(source: str, target: str, amount: str, rig: Rig) -> str:
    """The supply that has both, and the amount in the one poured out of. Refusal where there is none, or several."""
    both = [(s.name, called(rig.of(s.name), source), called(rig.of(s.name), target)) for s in rig.supplies]
    fits = [name for name, one, other in both if one and other and _holds(one, amount, rig)]
    if len(fits) > 1:
        each = " or ".join(f"poured {rig.say(name)}" for name in fits)
        raise Refusal(f"'{source}' and '{target}' are of {' and of '.join(rig.say(f) for f in fits)}: say {each} first.")
    if not fits:
        missing = next((label for label in (source, target) if called(rig.containers, label) is None), source)
        known = [c.label for c in rig.containers]
        raise Refusal(f"No container '{missing}'{nearest(missing, known)} for that: there is {', '.join(known)}.")
    return fits[0]


def _holds(holder: Container, amount: str, rig: Rig) -> bool:
    try:
        return not amount or rig.canonical(parse_amount(amount), holder.supply, holder.label) <= holder.capacity
    except Refusal:
        return True
