"""The containers of one supply as the log has them: which holds what, which is in use, which is set aside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import exp, hypot, log, sqrt

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.rig.model import FILLS, PROPANE, STOVE_FUEL, Container, Supply, called
from vanlife_supply.rig.presets import FULL_LASTS_DAYS

# Common practice, no source: how exactly a fill to the top or a full one at the shop is what it is called,
# how far what is usual may be off, and the size of a can that canisters are filled from.
TOP_ERROR = 0.01
GUESSED_ERROR = 0.3
STORE_RATIO = 2.5
HALF_LIFE_ANCHORS = 8.0
# Which jugs were emptied unnoted, checked on open cases: sd of the log of use between two looks; how seldom one that was
# begun is left for another, and only some of those between were emptied; what is left in one that counts as begun.
REACHED_SD = 0.6
LEFT_BEGUN, SOME_EMPTIED = 0.1, 0.3
NOT_BEGUN = 0.95


@dataclass(slots=True)
class Vessel:
    """One container: `level` as the log last said it (None: never), its sd, why it is set aside ("" if it is not)."""

    spec: Container
    level: float | None = None
    sd: float = 0.0
    aside: str = ""

    @property
    def held(self) -> float:
        """The level; what nobody ever spoke of counts for nothing."""
        return self.level or 0.0

    def set(self, level: float, sd: float) -> None:
        """The log says so."""
        self.level, self.sd = min(max(level, 0.0), self.spec.capacity), sd

    def fill(self) -> None:
        """To the top."""
        self.set(self.spec.stop, TOP_ERROR * self.spec.capacity)

    @property
    def spent(self) -> bool:
        """Known to hold nothing that could be used."""
        return self.level is not None and self.level <= self.spec.dead + 0.02 * self.spec.capacity


@dataclass(slots=True)
class Shelf:
    """All containers of one supply. `in_use` is an index; `pace` the running mean use between known levels;
    `noted`, `missed`: refills from the can that were written down, and that were not.

    Since the last known level `came` was added, `drawn` is already taken off the one in use, and `loose` was poured in
    without a word into which.
    """

    supply: Supply
    vessels: list[Vessel]
    in_use: int = 0
    anchor_at: float | None = None
    anchor_total: float = 0.0
    came: float = 0.0
    drawn: float = 0.0
    loose: float = 0.0
    pace_days: float = 0.0
    pace_used: float = 0.0
    noted: float = 0.0
    missed: float = 0.0
    stores: frozenset[int] = field(default_factory=frozenset)

    @classmethod
    def carried(cls, supply: Supply, specs: Sequence[Container], old: Shelf | None) -> Shelf:
        """A shelf for these containers; what is known of those with the same label carries on."""
        known = {v.spec.label: v for v in old.vessels} if old else {}
        vessels = [Vessel(spec) for spec in specs]
        for vessel in vessels:
            before = next((known[name] for name in vessel.spec.names if name in known), None)
            if before is not None and before.level is not None:
                vessel.set(before.level, before.sd)
            if before is not None:
                vessel.aside = before.aside
        shelf = cls(supply, vessels, stores=stores(supply, specs))
        if old is not None:
            shelf.pace_days, shelf.pace_used = old.pace_days, old.pace_used
            shelf.noted, shelf.missed = old.noted, old.missed
            same = [i for i, v in enumerate(vessels) if old.open.spec.label in v.spec.names]
            shelf.in_use = same[0] if same else 0
        return shelf

    def copy(self) -> Shelf:
        """An independent shelf."""
        return replace(self, vessels=[replace(v) for v in self.vessels])

    @property
    def open(self) -> Vessel:
        """The one in use."""
        return self.vessels[self.in_use]

    @property
    def fills(self) -> bool:
        """Whether trouble is at the top (gray)."""
        return self.supply.direction == FILLS

    @property
    def specs(self) -> tuple[Container, ...]:
        """The containers as the rig has them."""
        return tuple(v.spec for v in self.vessels)

    @property
    def known(self) -> bool:
        """Whether the log ever said anything of any of them."""
        return any(v.level is not None for v in self.vessels)

    @property
    def unknown(self) -> int:
        """How many the log never spoke of."""
        return sum(v.level is None for v in self.vessels)

    @property
    def brim(self) -> float:
        """Sum of the brims."""
        return sum(v.spec.capacity for v in self.vessels)

    @property
    def top(self) -> float:
        """Sum of the levels they are filled to (gray: the stop marks)."""
        return sum(v.spec.stop for v in self.vessels)

    def total(self, but: Vessel | None = None) -> float:
        """What all of them hold, or all but one."""
        return sum(v.held for v in self.vessels if v is not but)

    def error(self, but: Vessel | None = None) -> float:
        """Sd of `total`; what was never spoken of is a constant of unknown size, not an error of reading."""
        own = sum(v.sd * v.sd for v in self.vessels if v is not but and v.level is not None)
        return sqrt(own + (TOP_ERROR * self.brim) ** 2)

    def named(self, label: str) -> Vessel | None:
        """The container of that label or letter."""
        spec = called(self.specs, label)
        return next((v for v in self.vessels if v.spec is spec), None)

    def serves(self, index: int) -> bool:
        """Whether that one can be in use: not the can that others are filled from, not set aside."""
        return index not in self.stores and not self.vessels[index].aside

    def put_in_use(self, vessel: Vessel) -> None:
        """That one is in use now."""
        index = self.vessels.index(vessel)
        if index not in self.stores:
            self.in_use = index

    def open_next(self, *, spent: bool = False) -> None:
        """The next in order that can serve: a full one; for gray, or `spent`, any."""
        count = len(self.vessels)
        for step in range(1, count):
            index = (self.in_use + step) % count
            if self.serves(index) and (self.fills or spent or not self.vessels[index].spent):
                self.in_use = index
                return

    @property
    def a_day(self) -> float | None:
        """Usual use a day; None while nothing is usual yet."""
        return self.pace_used / self.pace_days if self.pace_days >= 1.0 and self.pace_used > 0 else None

    def anchor(self, at: float, before: float | None, after: float) -> None:
        """A trusted level: the use since the last one joins the running mean."""
        if self.anchor_at is not None and before is not None:
            days = (at - self.anchor_at) / SECONDS_PER_DAY
            used = self.anchor_total + self.came - before
            used = -used if self.fills else used
            if days >= 0.25 and used >= 0:
                keep = 0.5 ** (1.0 / HALF_LIFE_ANCHORS)
                self.pace_days = keep * self.pace_days + days
                self.pace_used = keep * self.pace_used + used
        self.anchor_at, self.anchor_total, self.came = at, after, 0.0
        self.drawn = self.loose = 0.0

    def draw(self, at: float, otherwise: float = 0.0) -> None:
        """What has been used since the last known level is off the one in use: as usual, or `otherwise`, if not known."""
        usual = self.expected(at)
        gone = otherwise if usual is None else usual - self.drawn
        one = self.open
        if one.level is not None and not self.fills and gone > 0:
            gone = min(gone, max(one.level - one.spec.dead, 0.0))
            one.set(one.level - gone, max(one.sd, GUESSED_ERROR * gone))
            self.drawn += gone

    def reach(self, vessel: Vessel, used: float, at: float) -> None:
        """The log speaks of another one than the one thought to be in use, `used` of it being gone.

        Were those between emptied and nobody wrote it, or was the wrong one thought to be in use? What fits the usual use
        since the last known level; while nothing is usual yet, the owner's own guess.
        """
        target = self.vessels.index(vessel)
        if target in self.stores:
            return
        # In one round of looks nothing is used between one and the next.
        between = [] if self.anchor_at == at else self._between(target)
        expected = self.expected(at) or self._guessed(at)
        if expected is not None and self.supply.name != PROPANE and between:
            for one, chance in zip(between, self._emptied(between, used, expected), strict=True):
                doubt = sqrt(chance * (1.0 - chance)) * one.held
                if chance > 0.5:
                    one.set(one.spec.dead, doubt)
                else:
                    one.set(one.held, hypot(one.sd, doubt))
        self.in_use = target

    def _emptied(self, between: Sequence[Vessel], used: float, expected: float) -> list[float]:
        """The chance of each of those in order to have been emptied, when `used` more is gone and `expected` is usual."""
        begun = not between[0].spent and between[0].held < NOT_BEGUN * between[0].spec.stop
        none = LEFT_BEGUN if begun else 1.0
        gone = [used + sum(one.held for one in between[:count]) for count in range(len(between) + 1)]
        prior = [none, *(SOME_EMPTIED for _ in between[1:]), 1.0]
        off = [log(max(each, 0.02 * self.brim) / expected) / REACHED_SD for each in gone]
        # Of all that are far off, the least far is taken.
        near = min(each * each for each in off)
        fit = [chance * exp(0.5 * (near - each * each)) for chance, each in zip(prior, off, strict=True)]
        return [sum(fit[count + 1 :]) / sum(fit) for count in range(len(between))]

    def _between(self, target: int) -> list[Vessel]:
        found = []
        index = self.in_use
        while index != target:
            if self.serves(index):
                found.append(self.vessels[index])
            index = (index + 1) % len(self.vessels)
        return found

    def expected(self, at: float) -> float | None:
        """Usual use since the last known level; None while nothing is usual yet."""
        if self.anchor_at is None or self.a_day is None:
            return None
        return max(self.a_day * (at - self.anchor_at) / SECONDS_PER_DAY, 0.02 * self.brim)

    def _guessed(self, at: float) -> float | None:
        """Use since the last known level by how long a full load lasts, as the owner or else practice has it; else None."""
        lasts = self.supply.lasts or FULL_LASTS_DAYS.get(self.supply.name)
        if self.anchor_at is None or lasts is None:
            return None
        return max(self.brim / lasts * (at - self.anchor_at) / SECONDS_PER_DAY, 0.02 * self.brim)

    def state(self, vessel: Vessel) -> str:
        """full, open, empty, aside or unknown, as the log has it."""
        if vessel.aside:
            return "aside"
        if vessel.level is None:
            return "unknown"
        if vessel is self.open and not (vessel.spent and not self.fills):
            return "open"
        if vessel.spent:
            return "empty"
        return "full" if vessel.level >= 0.97 * vessel.spec.stop else "open"


def stores(supply: Supply, specs: Sequence[Container]) -> frozenset[int]:
    """The can that canisters are filled from: nothing burns from it directly."""
    if supply.name != STOVE_FUEL or len(specs) < 2:
        return frozenset()
    least = min(c.capacity for c in specs)
    found = [i for i, c in enumerate(specs) if c.kind.lower() == "can" or c.capacity >= STORE_RATIO * least]
    return frozenset(found) if len(found) < len(specs) else frozenset()
