"""What if: other people, a use, one container more, a condition, a fuel that is not allowed; beside now, log untouched."""

from __future__ import annotations

from dataclasses import dataclass, replace

from vanlife_supply.deciding import arithmetic
from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.lasting import days_until
from vanlife_supply.deciding.model import Compared
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief
from vanlife_supply.forecast.suppose import FOR_GOOD_DAYS, SLOWEST, with_container, with_entries, with_moved, with_pace
from vanlife_supply.moment import Moment
from vanlife_supply.quantity import MASS, VOLUME, parse_amount
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL, Container, supply_named

HEATER = "heater"


@dataclass(frozen=True, slots=True)
class Supposed:
    """What to suppose, as typed; empty fields change nothing.

    `uses`: amounts of water used now, into the sink unless `outside`.  `containers`: more of them, brought full:
    `5 gal`, `5 gal water`, `1 L alcohol`, `6 gal gray` (brought empty).  `on`, `off`: conditions.
    `without`: a fuel not to be used, its heat to come from the other.  `until`: the end of people, conditions and
    `without`; none: for good.
    """

    people: float | None = None
    uses: tuple[str, ...] = ()
    outside: bool = False
    containers: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    off: tuple[str, ...] = ()
    without: str = ""
    until: Moment | None = None


def what_if(known: Ground, what: Supposed) -> Compared:
    """The outlook now beside the supposed one. Refusal when nothing is supposed or a part cannot be understood."""
    belief, stand_in = supposed(known, what)
    said = _said(known, what)
    if not said:
        raise Refusal("What if what? Say 2 people, 5 gal jug, heater, hot, heater off or no alcohol, and until when.")
    return Compared(said, known.outlook, known.ahead(belief), stand_in, _fuel(known, what.without) if what.without else "")


def supposed(known: Ground, what: Supposed) -> tuple[Belief, float | None]:
    """The belief with all of it, and how much of the other fuel a day stands in for one left out (canonical units)."""
    if what.until is not None:
        days_until(known.now, what.until)
    belief = with_entries(known.belief, _entries(known, what))
    for amount in what.uses:
        belief = _used(known, belief, amount, what.outside)
    for number, text in enumerate(what.containers, 1):
        spec = _container(known, text, number)
        belief = with_container(belief, spec, 0.0 if spec.supply == GREY else spec.capacity, known.now)
    if not what.without:
        return belief, None
    return _without(known, belief, what)


def _entries(known: Ground, what: Supposed) -> list[Entry]:
    found, until = [], what.until or known.now.plus(FOR_GOOD_DAYS)
    if what.people is not None:
        found.append(Entry("", m.PEOPLE, known.now, amount=what.people, until=until))
    for word in what.off:
        if word not in known.outlook.conditions:
            on = ", ".join(known.outlook.conditions) or "nothing"
            raise Refusal(f"{word} is not on{nearest(word, list(known.outlook.conditions))}: {on} is on now.")
    # What is on already is switched off first: it must not count twice.
    off = [*what.off, *(word for word in what.on if word in known.outlook.conditions)]
    found += [Entry("", m.CONDITION, known.now, word=word, to=m.OFF) for word in off]
    found += [Entry("", m.CONDITION, known.now, word=word, until=until) for word in what.on]
    return found


def _used(known: Ground, belief: Belief, text: str, outside: bool) -> Belief:
    litres = known.rig.canonical(parse_amount(text), FRESH)
    belief = with_moved(belief, FRESH, -litres, known.now)
    drained = not outside and any(s.name == GREY for s in known.rig.supplies)
    return with_moved(belief, GREY, litres, known.now) if drained else belief


def _container(known: Ground, text: str, number: int) -> Container:
    """`5 gal`, `5 gal water`, `1 L alcohol`, `6 gal gray` → a container the rig does not have."""
    words = text.replace(" of ", " ").split()
    supply = FRESH
    if len(words) > 1 and not words[-1][0].isdigit():
        try:
            supply = supply_named(words[-1], tuple(s.name for s in known.rig.supplies))
            words = words[:-1]
        except Refusal:
            supply = FRESH
    its = known.rig.supply(supply)
    amount = parse_amount(" ".join(words))
    if amount.unit and amount.unit not in VOLUME and amount.unit not in MASS:
        raise Refusal(f"'{text}' is not the size of a container: write it like 5 gal, or 1 L alcohol.")
    size = known.rig.canonical(amount, supply)
    if size <= 0:
        raise Refusal(f"A container of {text} holds nothing: give its size.")
    name = f"supposed {number}"
    usual = next((c for c in known.rig.of(its.name) if c.usable < 1.0), None)
    spec = Container(supply, name, name, size)
    return replace(spec, usable=usual.usable) if supply == GREY and usual else spec


def _without(known: Ground, belief: Belief, what: Supposed) -> tuple[Belief, float]:
    """The fuel is left alone and the other does its cooking, as much a day as is usual now; no stove heats a room."""
    fuel = _fuel(known, what.without)
    other = PROPANE if fuel == STOVE_FUEL else STOVE_FUEL
    told, _, left_out, _ = known.known(fuel)
    if fuel == PROPANE and HEATER in known.outlook.conditions:
        cold = known.ahead(with_entries(known.belief, _entries(known, Supposed(off=(HEATER,)))))
        left_out = next((s.use_per_day for s in cold.supplies if s.supply == told.supply and s.use_per_day), left_out)
    _, _, carries, _ = known.known(other)
    heat = arithmetic.stands_in_propane if fuel == STOVE_FUEL else arithmetic.stands_in_alcohol
    more, usual = heat(left_out.p50 or 0.0), carries.p50 or 0.0
    factor = (usual + more) / usual if usual > 0 else 1.0
    belief = with_pace(belief, fuel, SLOWEST, known.now, what.until)
    return with_pace(belief, other, factor, known.now, what.until), more


def _fuel(known: Ground, word: str) -> str:
    fuel = supply_named(word, tuple(s.name for s in known.rig.supplies))
    if fuel not in (STOVE_FUEL, PROPANE):
        raise Refusal(f"Only one fuel can stand in for another: no alcohol or no propane, not {word}.")
    return fuel


def _said(known: Ground, what: Supposed) -> tuple[str, ...]:
    found = []
    if what.people is not None:
        found.append(f"{what.people:g} {'person' if what.people == 1 else 'people'}")
    where = " outside" if what.outside else ""
    found += [f"{amount} of water used{where}" for amount in what.uses]
    found += [f"one container more, {text}" for text in what.containers]
    already = known.outlook.conditions
    found += [f"{word} on{', as it is' if word in already and what.until is None else ''}" for word in what.on]
    found += [f"{word} off" for word in what.off]
    if what.without:
        found.append(f"no {known.rig.say(_fuel(known, what.without))}")
    return tuple(found)
