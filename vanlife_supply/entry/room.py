"""Fills larger than the room there can have been, dumps of more than was in it, weights that rose though nothing came
in, the last of it gone though much should be left, the next one opened twice: a forgotten entry, or a slip."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import inf, sqrt

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.evidence import ADDED, USED, Evidence
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.shelf import Shelf, Vessel
from vanlife_supply.entry.states import Replay
from vanlife_supply.rig.model import FRESH, PROPANE, STOVE_FUEL, Arrangement, Rig

NO_ROOM = "more than there was room for"
NOT_IN_IT = "more than there was in it"
RISEN = "more than was in it before, and no fill was noted"
STILL_IN_IT = "too soon by what was noted, some should be left"
STILL_ROOM = "too soon by what was noted, there should be room in it"
AT_ONCE_S = 20 * 60.0
"""No container is emptied, nor one for gray filled, so soon after it was filled (emptied), looked at or opened. Within hours
the next one may follow: some was drawn from it before. Common practice, no source."""
SURE = ("scale", "stick", "count")
"""Looks that are seldom so far off."""
FASTEST_DAYS = 2.0
"""Nobody is taken to use up, or to fill the gray with, all that fits faster than this: common practice, no source."""
FASTEST_A_DAY = {PROPANE: 2.2, STOVE_FUEL: 1.0}
"""The most of a fuel that is burnt a day, kg and L, unless the heater was on or usual use says more: common practice, no
source (30 lb in a week of winter heat; one burner for five hours)."""
USUAL_TIMES = 3.0
"""So many times the usual use of a fuel is still nothing odd: common practice, no source."""
WATER_TIMES, WATER_DAYS = 2.0, 14.0
"""So many times the usual use of water, once so many days of it are known, unless guests or a condition were aboard. Of
the 948 fills of the invented lives beside the project 4 are asked about, each of more than the log leaves room for."""
NOTED_TIMES = 1.5
"""Of what was used at least two thirds are noted by whoever notes any: common practice, no source."""
HEATER = "heater"
MARGIN = 0.1
"""A share of the brim that levels and amounts may be off together: common practice, no source."""


def doubts(entries: Iterable[Entry], arrangements: Sequence[Arrangement]) -> list[str]:
    """For each entry of a log, in order of time, why it cannot be: no room for that fill, not so much to dump, a weight
    rose by itself, run out or the next one opened too soon.

    "" where nothing is odd. What was used, or ran into the gray, since the level was last known is granted
    generously; what was never known raises no doubt.
    """
    replay, known = Replay(), _Known()
    found = []
    for entry in entries:
        replay.arrange(arrangements, entry.at.epoch)
        shelf = replay.shelves.get(entry.supply)
        found.append(_doubt(entry, shelf, replay, known) if shelf is not None else "")
        before = _levels(shelf)
        told = replay.fold(entry)
        if entry.kind == m.NEXT and shelf is not None:
            known.opened[entry.supply] = (shelf.open.spec.label, entry.at.epoch)
        changed = [label for label, level in _levels(shelf).items() if level != before[label]]
        known.learn(entry, told, changed, replay.rig.people if replay.rig else 0.0)
    return found


@dataclass(slots=True)
class _Known:
    """Since when the level of a supply ("") or a container is known, and what was noted as used of the supply since."""

    since: dict[tuple[str, str], float] = field(default_factory=dict)
    used: dict[str, float] = field(default_factory=dict)
    opened: dict[str, tuple[str, float]] = field(default_factory=dict)
    """Of each supply the container last said to be opened, and when."""
    spells: dict[str, float] = field(default_factory=dict)
    """Until when a condition held, and under "people" more people were aboard than live there, as far as it was said."""

    def learn(self, entry: Entry, told: Sequence[Evidence], changed: Sequence[str], lives: float) -> None:
        """What an entry said, of which containers the level moved, and how many people live aboard."""
        if entry.kind == m.CONDITION:
            ended = list(self.spells) if entry.word == m.ALL else [entry.word]
            self.spells |= dict.fromkeys(ended, _end(entry, entry.to != m.OFF))
        if entry.kind == m.PEOPLE:
            self.spells[m.PEOPLE] = _end(entry, (entry.amount or 0.0) > lives)
        told = [one for one in told if not one.is_hint]
        noted = sum(one.after for one in told if one.what == USED)
        self.used[entry.supply] = self.used.get(entry.supply, 0.0) + noted
        if any(one.what not in (ADDED, USED) for one in told):
            self.since[entry.supply, ""], self.used[entry.supply] = entry.at.epoch, 0.0
        guessed = not entry.container and all(one.what == ADDED for one in told)
        # What was full and is filled to the top again is known anew, though its level did not move.
        again = [entry.container] if entry.container and entry.to in (m.FULL, m.EMPTY) else []
        for label in (*changed, *again):
            if guessed:  # nobody said which one it went into or came out of
                self.since.pop((entry.supply, label), None)
            else:
                self.since[entry.supply, label] = entry.at.epoch

    def moved(self, shelf: Shelf, label: str, at: float, brim: float) -> float | None:
        """The most that can have been used, or come into the gray, by `at`; None where no level is known."""
        name = shelf.supply.name
        begun = self.since.get((name, label))
        if begun is None:
            return None
        a_day = self._a_day(shelf, begun, brim)
        return max(a_day * (at - begun) / SECONDS_PER_DAY, NOTED_TIMES * self.used.get(name, 0.0))

    def _a_day(self, shelf: Shelf, begun: float, brim: float) -> float:
        name, most = shelf.supply.name, brim / FASTEST_DAYS
        usual = shelf.a_day or 0.0
        if name == FRESH and shelf.pace_days >= WATER_DAYS:
            as_ever = all(until <= begun for word, until in self.spells.items() if word != HEATER)
            return min(most, WATER_TIMES * usual) if as_ever else most
        if name in FASTEST_A_DAY and not (name == PROPANE and self.spells.get(HEATER, -inf) > begun):
            return min(most, max(FASTEST_A_DAY[name], USUAL_TIMES * usual))
        return most


def _end(spell: Entry, begins: bool) -> float:
    if not begins:
        return spell.at.epoch
    return spell.until.epoch if spell.until else inf


def _levels(shelf: Shelf | None) -> dict[str, float | None]:
    return {} if shelf is None else {v.spec.label: v.level for v in shelf.vessels}


def _doubt(entry: Entry, shelf: Shelf, replay: Replay, known: _Known) -> str:
    if entry.questioned or replay.rig is None:
        return ""
    named = shelf.named(entry.container) if entry.container else None
    if entry.kind == m.READING:
        return _risen(entry, named or shelf.open, replay.rig) if not shelf.fills else ""
    if entry.kind == m.NEXT:
        return _at_once(entry, named or shelf.open, shelf, known)
    gone = entry.kind == m.RAN_OUT and entry.word != m.COLD
    if not gone and (entry.kind not in (m.FILL, m.DUMP) or entry.said is None):
        return ""
    held: list[Vessel] = [named] if named else [v for v in shelf.vessels if not v.aside]
    label = named.spec.label if named else ""
    brim = sum(v.spec.capacity for v in held)
    # All that is used may have come out of the one that ran out.
    moved = known.moved(shelf, label, entry.at.epoch, sum(v.spec.capacity for v in shelf.vessels) if gone else brim)
    amount = replay.rig.sized(entry.said, entry.supply, label) if entry.said else 0.0
    if moved is None or amount is None or any(v.level is None for v in held):
        return ""
    inside = sum(v.held for v in held)
    off = moved + 2.0 * sqrt(sum(v.sd * v.sd for v in held))
    if gone:
        return STILL_IN_IT if inside - off > MARGIN * brim else ""
    if entry.kind == m.FILL:
        return NO_ROOM if amount > min(brim, brim - inside + off) + MARGIN * brim else ""
    there = min(brim, inside + (off if shelf.fills else off - moved))
    return NOT_IN_IT if amount > there + MARGIN * brim else ""


def _at_once(entry: Entry, vessel: Vessel, shelf: Shelf, known: _Known) -> str:
    """Why the next one cannot have been opened already: a key pressed twice opens it, and the one after it.

    Whoever names the emptied one may note several at once.
    """
    name, label, at = shelf.supply.name, vessel.spec.label, entry.at.epoch
    opened, when = known.opened.get(name, ("", -inf))
    last = max(known.since.get((name, label), -inf), when if opened == label and not entry.container else -inf)
    if vessel.level is None or at - last + 3600.0 * entry.slack_h > AT_ONCE_S:
        return ""
    off = NOTED_TIMES * known.used.get(name, 0.0) + 2.0 * vessel.sd
    left = (vessel.spec.stop - vessel.held if shelf.fills else vessel.held) - off
    why = STILL_ROOM if shelf.fills else STILL_IN_IT
    return why if left > MARGIN * vessel.spec.capacity else ""


def _risen(entry: Entry, vessel: Vessel, rig: Rig) -> str:
    """Why a look cannot be: there is more than at the last one, though only fills bring more."""
    amount = rig.sized(entry.said, entry.supply, vessel.spec.label) if entry.said else None
    if entry.method not in SURE or vessel.level is None or amount is None:
        return ""
    return RISEN if amount > vessel.held + 2.0 * vessel.sd + MARGIN * vessel.spec.capacity else ""
