"""What a vehicle carries: supplies, their containers, people.

Canonical units: litres; kilograms for what is measured by mass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanlife_supply.constants import ALCOHOL_KG_PER_LITRE, PROPANE_KG_PER_LITRE, WATER_KG_PER_LITRE
from vanlife_supply.quantity import GROSS, MASS, PERCENT, VOLUME, Amount, convert
from vanlife_supply.refusal import Refusal, nearest

FRESH, GREY, STOVE_FUEL, PROPANE = "fresh", "grey", "stove_fuel", "propane"
EMPTIES, FILLS = "empties", "fills"
TARE_OFF = 0.08
"""Scale and stamped tare may be off by this share of it together; what weighs less was misread: common practice."""


@dataclass(frozen=True, slots=True)
class Supply:
    """One thing that runs out (`empties`) or fills up (`fills`).

    `measure` is "volume" (L) or "mass" (kg); `density` kg/L or None; `unit` the display unit;
    `reserve` is kept back inside the containers (canonical); `lasts` the owner's own guess of days for a full load.
    """

    name: str
    direction: str = EMPTIES
    measure: str = "volume"
    density: float | None = WATER_KG_PER_LITRE
    unit: str = "L"
    reserve: float = 0.0
    lasts: float | None = None

    @property
    def canonical(self) -> str:
        """The unit everything is kept in."""
        return "L" if self.measure == "volume" else "kg"


@dataclass(frozen=True, slots=True)
class Container:
    """One jug, tank, canister or cylinder. Amounts are canonical units of its supply, tare kilograms.

    `usable`: gray: the stop mark as a share of the brim; others: the part that may be filled.
    `dead` cannot be reached by the pump. `kept_back`: the whole container is reserve.
    """

    supply: str
    letter: str
    label: str
    capacity: float
    usable: float = 1.0
    dead: float = 0.0
    tare: float = 0.0
    drinking: bool = True
    idle_loss_per_week: float = 0.0
    kept_back: bool = False
    portable: bool = True
    kind: str = ""
    """The label without its number when several alike were declared together; it doubles as a unit ("3 jugs")."""
    was: tuple[str, ...] = ()
    """The labels it had in earlier arrangements; no other container may take one."""

    @property
    def names(self) -> tuple[str, ...]:
        """Its label and those it had, the newest first."""
        return (self.label, *reversed(self.was))

    @property
    def stop(self) -> float:
        """The level a person fills it to, or stops at when it is gray."""
        return self.capacity * self.usable


def called(containers: Sequence[Container], name: str) -> Container | None:
    """The one of that label, else the one of that letter; None where there is neither."""
    plain = name.strip().lower()
    by_label = (c for c in containers if c.label.lower() == plain)
    by_letter = (c for c in containers if c.letter.lower() == plain)
    return next(by_label, None) or next(by_letter, None)


@dataclass(frozen=True, slots=True)
class Vehicle:
    """The outer measures of the vehicle in metres, its weight in tonnes; None = not known. `country`: two letters, or ""."""

    height: float | None = None
    length: float | None = None
    width: float | None = None
    weight: float | None = None
    country: str = ""


@dataclass(frozen=True, slots=True)
class Rig:
    """Everything aboard that can stop a stay, and who lives from it."""

    supplies: tuple[Supply, ...]
    containers: tuple[Container, ...]
    people: float = 1.0
    pets: tuple[str, ...] = ()
    units: str = "us"
    zone: str = "UTC"
    currency: str = "USD"
    confidence: float = 0.9
    vehicle: Vehicle = Vehicle()
    payload: float | None = None
    """Kilograms that water, waste and fuel together may weigh, by the owner's word; None = nobody said."""

    def supply(self, name: str) -> Supply:
        """The supply of that canonical name; Refusal if this rig carries none."""
        for supply in self.supplies:
            if supply.name == name:
                return supply
        carried = ", ".join(self.say(s.name) for s in self.supplies)
        raise Refusal(f"This rig carries no {self.say(name)}: it carries {carried}. First add it to the rig.")

    @property
    def scale(self) -> str:
        """The unit weights are told in."""
        return "lb" if self.units == "us" else "kg"

    def say(self, supply: str) -> str:
        """The word for a supply in a sentence of this rig's owner."""
        return spoken(supply, self.units)

    def of(self, supply: str) -> tuple[Container, ...]:
        """The containers of a supply in rig order."""
        return tuple(c for c in self.containers if c.supply == supply)

    def capacity(self, supply: str) -> float:
        """Sum of the brims."""
        return sum(c.capacity for c in self.of(supply))

    def container(self, supply: str, name: str) -> Container:
        """The container of that label or letter (labels first); Refusal naming those there are."""
        mine = self.of(supply)
        found = called(mine, name)
        if found is not None:
            return found
        there = ", ".join(f"{c.letter} ({c.label})" if c.label != c.letter else c.letter for c in mine)
        hint = nearest(name, [c.label for c in mine])
        raise Refusal(f"No container '{name}' for {self.say(supply)}{hint}: there is {there or 'none'}.")

    def canonical(self, amount: Amount, supply: str, container: str = "") -> float:
        """An amount as typed → litres or kilograms of that supply.

        % is of the brim of what is named (container, else supply); "lb gross" takes the tare off;
        a container's label counts full ones; no unit is the display unit.
        """
        its = self.supply(supply)
        named = self.container(supply, container) if container else None
        if amount.unit == PERCENT:
            return amount.value / 100 * (named.capacity if named else self.capacity(supply))
        if amount.unit in (*GROSS, "gross"):
            return self._net(amount, its, named)
        if not amount.unit:
            return convert(amount.value, its.unit, its.measure, its.density)
        if amount.unit in VOLUME or amount.unit in MASS:
            return convert(amount.value, amount.unit, its.measure, its.density)
        return amount.value * self._size_of(amount.unit, supply)

    def sized(self, amount: Amount, supply: str, container: str = "") -> float | None:
        """`canonical`, None where this rig cannot size it: an old entry may be told in a container that is gone."""
        try:
            return self.canonical(amount, supply, container)
        except Refusal:
            return None

    def _net(self, amount: Amount, its: Supply, named: Container | None) -> float:
        unit = GROSS.get(amount.unit, its.unit if its.unit in MASS else "kg")
        holder = named or (self.of(its.name)[0] if len(self.of(its.name)) == 1 else None)
        if holder is None:
            raise Refusal(f"{amount} was weighed with its container: say which one.")
        net = amount.value * MASS[unit] - holder.tare
        if not holder.tare:
            raise Refusal(f"{amount} needs the empty weight of {holder.label}: add tare = ... to rig.toml.")
        if net < -TARE_OFF * holder.tare:
            raise Refusal(f"{amount} is less than {holder.label} weighs empty: check the scale or its tare.")
        return max(0.0, convert(net, "kg", its.measure, its.density))

    def _size_of(self, word: str, supply: str) -> float:
        plain = word.lower()
        for c in self.of(supply):
            names = {name.lower() for name in (*c.names, c.kind)}
            if plain in names or plain.removesuffix("s") in names - {""}:
                return c.capacity
        known = ["gal", "L", "lb", "kg", *(c.label for c in self.of(supply))]
        raise Refusal(f"'{word}' is neither a unit nor a container of {self.say(supply)}{nearest(word, known)}.")


@dataclass(frozen=True, slots=True)
class Arrangement:
    """A rig as it was from `since` (epoch seconds) on; the first one holds for all times before."""

    since: float
    rig: Rig


STANDARD: dict[str, tuple[str, str, float, str, str]] = {
    # name: direction, measure, density, US unit, metric unit
    FRESH: (EMPTIES, "volume", WATER_KG_PER_LITRE, "gal", "L"),
    GREY: (FILLS, "volume", WATER_KG_PER_LITRE, "gal", "L"),
    STOVE_FUEL: (EMPTIES, "volume", ALCOHOL_KG_PER_LITRE, "L", "L"),
    PROPANE: (EMPTIES, "mass", PROPANE_KG_PER_LITRE, "lb", "kg"),
}

SPOKEN: dict[str, str] = {
    **dict.fromkeys(("w", "water", "fresh", "fresh water"), FRESH),
    **dict.fromkeys(("g", "gray", "grey", "gray water", "grey water"), GREY),
    **dict.fromkeys(("a", "alcohol", "stove", "stove_fuel", "stove fuel", "spirit", "meths"), STOVE_FUEL),
    **dict.fromkeys(("p", "propane", "gas", "lpg", "lp gas"), PROPANE),
}
"""What people type for the four standard supplies → the canonical name."""


def spoken(supply: str, units: str = "us") -> str:
    """The word for a supply in a sentence: water, gray (grey in metric rigs), alcohol, propane, or its own name."""
    grey = "gray" if units == "us" else "grey"
    return {FRESH: "water", GREY: grey, STOVE_FUEL: "alcohol"}.get(supply, supply)


def supply_named(word: str, own: tuple[str, ...] = ()) -> str:
    """The canonical supply a typed word means; `own` are the names the rig adds. Refusal with the nearest word."""
    plain = " ".join(word.lower().split())
    if plain in SPOKEN:
        return SPOKEN[plain]
    for name in own:
        if plain == name.lower():
            return name
    raise Refusal(f"'{word}' is not a supply{nearest(word, [*SPOKEN, *own])}: say water, gray, alcohol or propane.")
