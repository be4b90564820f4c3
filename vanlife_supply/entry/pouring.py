"""From one container into another: `poured 1 L from can into canister 1`."""

from __future__ import annotations

from dataclasses import replace

from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.naming import FILLER, take_supply
from vanlife_supply.quantity import parse_amount
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import Container, Rig, called


def poured(typed: Typed, words: list[str], rig: Rig) -> Typed:
    """`poured 1 L from can into canister 1`, the supply found from the containers."""
    lowered = [w.lower() for w in words]
    into = next((lowered.index(w) for w in ("into", "to") if w in lowered), -1)
    if "from" not in lowered or into < 0:
        raise Refusal("Say both: poured 1 L from can into canister 1.")
    start = lowered.index("from")
    ends = sorted((start, into, len(words)))
    parts = {lowered[i]: " ".join(words[i + 1 : next(e for e in ends if e > i)]) for i in (start, into)}
    source, target = parts["from"], parts.get("into", parts.get("to", ""))
    supply, before = take_supply(words[: min(start, into)], rig)
    amount = " ".join(w for w in before if w.lower() not in FILLER)
    if not supply:
        supply = _supply_of(source, target, amount, rig)
    return replace(typed, supply=supply, amount=amount, container=source, into=target)


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
