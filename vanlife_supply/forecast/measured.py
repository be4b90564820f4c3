"""What the log has measured of the containers: how much fits in, what stays in, what they weigh empty, what evaporates.

Pure arithmetic over the entries, no numpy. Nothing found here is used before somebody takes it over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot, sqrt
from statistics import NormalDist

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.books import PUMPED_ERROR
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.said import Said
from vanlife_supply.entry.shelf import TOP_ERROR, Shelf, Vessel
from vanlife_supply.entry.states import Replay
from vanlife_supply.forecast.calendar import AWAY, Calendar
from vanlife_supply.forecast.facts import CAPACITY, CHANCES, DEAD, IDLE_LOSS, STOP_MARK, TARE, Learned
from vanlife_supply.forecast.model import Band
from vanlife_supply.quantity import GROSS, MASS
from vanlife_supply.rig.model import PROPANE, STOVE_FUEL, Arrangement, Container, Rig

# Sd of what the owner wrote, as a share of the brim (tare: of the tare): common practice, no source.
WRITTEN_ERROR = {CAPACITY: 0.06, DEAD: 0.04, STOP_MARK: 0.08, TARE: 0.03}
# A canister that stands open loses about so much a week, give or take: common practice, no source.
IDLE_USUAL, IDLE_SPREAD = 0.05, 0.05
FARTHEST = 0.25
"""What is farther off than this share of what was written tells of a forgotten note, not of the container."""
SCALE_KG, SCALE_SHARE = 0.15, 0.015
EYE_ERROR = 0.06
"""Sd of a level by eye, and of what somebody calls full by eye, as a share of the brim."""
GUESS_WORTH = 10.0
"""Notes that the first guess of their own scatter is worth."""
IDLE_LEAST_DAYS = 7.0
HOME_DAYS, HOME_USE = 1.0, 0.08
"""Days at home an idle spell may hold, and litres a day that may have been burned in them."""
LEAST = {CAPACITY: 2, DEAD: 2, STOP_MARK: 2, TARE: 1, IDLE_LOSS: 2}
"""Measurements from which on a figure is offered: one filling or dump may hide a forgotten note, a scale does not."""
DOUBTLESS = 2.0
"""Sds that what was written must be off before it is asked about."""
NEGLIGIBLE = 0.01
Key = tuple[str, str]
"""Supply and label of a container."""
DRY, DRAINED, MARK, BRIM = "dry", "drained", "mark", "brim"


@dataclass(frozen=True, slots=True)
class _Seen:
    """One measurement and its sd."""

    value: float
    sd: float


@dataclass(slots=True)
class _Known:
    """What is known of a container for certain since the last entry that touched it."""

    how: str = ""
    at: float = 0.0
    level: float | None = None
    sd: float = 0.0
    used: float = 0.0


@dataclass(slots=True)
class _Measuring:
    known: dict[Key, _Known] = field(default_factory=dict)
    seen: dict[tuple[Key, str], list[_Seen]] = field(default_factory=dict)
    calendar: Calendar = field(default_factory=Calendar)

    def add(self, key: Key, what: str, value: float, sd: float) -> None:
        self.seen.setdefault((key, what), []).append(_Seen(value, sd))

    def forget(self, key: Key, what: str) -> None:
        self.seen.pop((key, what), None)


def measured(entries: Iterable[Entry], arrangements: Sequence[Arrangement], rig: Rig) -> tuple[Learned, ...]:
    """What a log, in order of time, shows of the containers of `rig`, in its order; () where it shows nothing."""
    replay, found = Replay(), _Measuring(calendar=Calendar(arrangements[0].rig.people))
    for entry in entries:
        if entry.kind in (m.PEOPLE, m.CONDITION):
            found.calendar.note(entry)
        replay.arrange(arrangements, entry.at.epoch)
        shelf = replay.shelves.get(entry.supply)
        if shelf is not None and replay.rig is not None:
            _notice(found, shelf, Said(replay.rig, shelf, entry))
            replay.fold(entry)
    return tuple(_concluded(found.seen, rig))


def _notice(found: _Measuring, shelf: Shelf, said: Said) -> None:
    """What one entry tells of the containers it touches, and what is known of them after it."""
    entry, vessel = said.entry, said.vessel()
    at = entry.at.epoch
    if entry.questioned and not entry.settled:
        _touched(found, shelf, entry, vessel)
    elif entry.kind == m.USE:
        known = found.known.get(_key(shelf, vessel or shelf.open))
        if known is not None:
            known.used += said.amount(vessel or shelf.open) or 0.0
    elif entry.kind == m.NEXT or (entry.kind == m.RAN_OUT and entry.word != m.COLD):
        ended = [vessel or shelf.open] if entry.kind == m.NEXT or vessel else [v for v in shelf.vessels if not v.aside]
        for each in ended:
            found.known[_key(shelf, each)] = _Known(MARK if shelf.fills else DRY, at)
    elif entry.kind == m.READING:
        _read(found, shelf, vessel or shelf.open, said)
    elif entry.kind == m.FILL and entry.to == m.FULL:
        _filled(found, shelf, vessel, said)
    elif entry.kind == m.DUMP and entry.to == m.EMPTY:
        _dumped(found, shelf, vessel, said)
    elif entry.kind == m.POUR:
        _poured(found, shelf, said)
    elif entry.kind == m.EXCHANGE:
        _exchanged(found, shelf, said)
    elif entry.kind in (m.FILL, m.DUMP, m.SPILL):
        _touched(found, shelf, entry, vessel)


def _key(shelf: Shelf, vessel: Vessel) -> Key:
    return shelf.supply.name, vessel.spec.label


def _touched(found: _Measuring, shelf: Shelf, entry: Entry, vessel: Vessel | None) -> None:
    """Something came or went: what was known of the one named, else of all of them, no longer holds."""
    for each in [vessel] if vessel is not None else shelf.vessels:
        found.known.pop(_key(shelf, each), None)


def _read(found: _Measuring, shelf: Shelf, vessel: Vessel, said: Said) -> None:
    entry, key, spec = said.entry, _key(shelf, vessel), vessel.spec
    known = found.known.get(key, _Known())
    weighed = _weight(entry, shelf)
    if weighed is not None and known.how == DRY:
        found.add(key, TARE, weighed, max(SCALE_KG, SCALE_SHARE * weighed))
        return
    level = said.amount(vessel)
    if level is None or (len(shelf.vessels) > 1 and not entry.container):
        return
    if shelf.fills and level >= 0.99 * spec.capacity:
        found.known[key] = _Known(BRIM, entry.at.epoch)
        return
    net_error = SCALE_KG / (shelf.supply.density or 1.0)
    sd = net_error if weighed is not None else EYE_ERROR * spec.capacity
    _idle(found, shelf, vessel, entry.at.epoch, level, sd)
    found.known[key] = _Known("", entry.at.epoch, level, sd)


def _weight(entry: Entry, shelf: Shelf) -> float | None:
    """Kilograms on the scale, container and all; None where it was not weighed so."""
    if entry.amount is None or entry.unit not in (*GROSS, "gross"):
        return None
    unit = GROSS.get(entry.unit, shelf.supply.unit if shelf.supply.unit in MASS else "kg")
    return entry.amount * MASS[unit]


def _filled(found: _Measuring, shelf: Shelf, vessel: Vessel | None, said: Said) -> None:
    """To the top: from dry or drained so much fits in; after an idle spell so much was gone."""
    amount, at = said.amount(vessel), said.entry.at.epoch
    if vessel is not None and amount is not None:
        key, spec = _key(shelf, vessel), vessel.spec
        how = found.known.get(key, _Known()).how
        sd = hypot(PUMPED_ERROR * spec.stop, TOP_ERROR * spec.capacity)
        if how in (DRY, DRAINED) and shelf.supply.name != PROPANE:
            found.add(key, how, amount, sd)
        _idle(found, shelf, vessel, at, spec.stop - amount, hypot(PUMPED_ERROR * amount, TOP_ERROR * spec.capacity))
    for each in [vessel] if vessel is not None else [v for v in shelf.vessels if not v.aside]:
        found.known[_key(shelf, each)] = _Known("", at, each.spec.stop, TOP_ERROR * each.spec.capacity)


def _dumped(found: _Measuring, shelf: Shelf, vessel: Vessel | None, said: Said) -> None:
    """Emptied: from the stop mark or the brim so much was in it."""
    amount, at = said.amount(vessel), said.entry.at.epoch
    if vessel is not None and amount is not None and shelf.fills:
        key, spec = _key(shelf, vessel), vessel.spec
        how = found.known.get(key, _Known()).how
        if how in (MARK, BRIM):
            share = EYE_ERROR if how == BRIM else TOP_ERROR
            sd = hypot(PUMPED_ERROR * spec.stop, share * spec.capacity)
            found.add(key, STOP_MARK if how == MARK else CAPACITY, amount, sd)
    for each in [vessel] if vessel is not None else shelf.vessels:
        found.known[_key(shelf, each)] = _Known(DRAINED, at)


def _poured(found: _Measuring, shelf: Shelf, said: Said) -> None:
    """Without an amount the one poured into is full now; of the one poured from nothing is known."""
    source, into = shelf.named(said.entry.container), said.into()
    for each in (source, into):
        if each is not None:
            found.known.pop(_key(shelf, each), None)
    if into is not None and said.entry.amount is None:
        top = _Known("", said.entry.at.epoch, into.spec.stop, 0.05 * into.spec.capacity)
        found.known[_key(shelf, into)] = top


def _exchanged(found: _Measuring, shelf: Shelf, said: Said) -> None:
    """Another shell came aboard: what the old one weighed says nothing of it. Nobody may have said which."""
    vessel = said.vessel()
    for each in [vessel] if vessel is not None else shelf.vessels:
        key = _key(shelf, each)
        found.known.pop(key, None)
        found.forget(key, TARE)


def _idle(found: _Measuring, shelf: Shelf, vessel: Vessel, at: float, level: float, sd: float) -> None:
    """What went from the canister in use while nobody was there to use it."""
    known = found.known.get(_key(shelf, vessel), _Known())
    if shelf.supply.name != STOVE_FUEL or vessel is not shelf.open or known.level is None:
        return
    days = (at - known.at) / SECONDS_PER_DAY
    home = _home_days(found.calendar, known.at, at)
    before, left = known.level, level + known.used
    if days < IDLE_LEAST_DAYS or home > HOME_DAYS or not 0.1 * before < left <= 1.05 * before:
        return
    kept = min(left / before, 1.0) ** (7.0 / days)
    error = hypot(hypot(sd, HOME_USE * home) / left, known.sd / before)
    found.add(_key(shelf, vessel), IDLE_LOSS, 1.0 - kept, 7.0 / days * kept * error)


def _home_days(calendar: Calendar, start: float, end: float) -> float:
    pieces = calendar.pieces(start, end)
    there = (b - a for a, b in pieces if AWAY not in calendar.conditions(a) and calendar.aboard(a) > 0)
    return sum(there) / SECONDS_PER_DAY


# --- what it comes to -----------------------------------------------------------------------


def _concluded(seen: Mapping[tuple[Key, str], Sequence[_Seen]], rig: Rig) -> Iterator[Learned]:
    for spec in rig.containers:
        key, brim = (spec.supply, spec.label), spec.capacity
        dry, full = list(seen.get((key, DRY), ())), list(seen.get((key, DRAINED), ()))
        if _keeps_some(spec, dry):
            left = [_Seen(spec.stop - s.value, s.sd) for s in dry]
            yield from _one(spec, DEAD, spec.dead, spec.dead, WRITTEN_ERROR[DEAD] * brim, brim, left)
        else:
            full += [_Seen(s.value + spec.dead, s.sd) for s in dry]
        brims = [*(_Seen(s.value / spec.usable, s.sd / spec.usable) for s in full), *seen.get((key, CAPACITY), ())]
        yield from _one(spec, CAPACITY, brim, brim, WRITTEN_ERROR[CAPACITY] * brim, brim, brims)
        marks = [_Seen(s.value / brim, s.sd / brim) for s in seen.get((key, STOP_MARK), ())]
        yield from _one(spec, STOP_MARK, spec.usable, spec.usable, WRITTEN_ERROR[STOP_MARK], 1.0, marks)
        tares = seen.get((key, TARE), ())
        yield from _one(spec, TARE, spec.tare, spec.tare, WRITTEN_ERROR[TARE] * spec.tare, spec.tare, tares)
        written = spec.idle_loss_per_week
        losses = seen.get((key, IDLE_LOSS), ())
        yield from _one(spec, IDLE_LOSS, written, written or IDLE_USUAL, IDLE_SPREAD, 1.0, losses)


def _keeps_some(spec: Container, dry: Sequence[_Seen]) -> bool:
    """Whether what stays when the pump draws air explains how little a tank takes; a jug is poured to the last drop."""
    return not spec.portable and bool(dry) and sum(s.value for s in dry) / len(dry) < spec.stop


def _one(
    spec: Container, what: str, written: float, guess: float, spread: float, size: float, seen: Sequence[_Seen]
) -> Iterator[Learned]:
    """The estimate of one figure: what was written and what was measured, each by its error; sizes scale `FARTHEST`."""
    credible = [s for s in seen if abs(s.value - guess) <= FARTHEST * size]
    if not credible or spread <= 0:
        return
    mean, sd = estimate(guess, spread, [(s.value, s.sd) for s in credible])
    normal = NormalDist(mean, sd)
    below = normal.cdf(0.0)  # nothing of this is less than nothing
    band = Band(*(normal.inv_cdf(below + p * (1.0 - below)) for p in CHANCES))
    worth = len(credible) >= LEAST[what] and abs(mean - written) > max(DOUBTLESS * sd, NEGLIGIBLE * size)
    yield Learned(what, spec.supply, band, len(credible), spec.label, written, worth)


def estimate(guess: float, spread: float, seen: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Mean and sd of a figure guessed as `guess` ± `spread` and measured as (value, sd): conjugate Gaussian.

    What the measurements scatter beside what their sds say makes them count for less or more (Birge's ratio, shrunk).
    """
    weights = [1.0 / sd**2 for _, sd in seen]
    middle = sum(w * value for w, (value, _) in zip(weights, seen, strict=True)) / sum(weights)
    scatter = sum(w * (value - middle) ** 2 for w, (value, _) in zip(weights, seen, strict=True))
    honest = (GUESS_WORTH + scatter) / (GUESS_WORTH + len(seen) - 1.0)
    known, told = 1.0 / spread**2, sum(weights) / honest
    return (known * guess + told * middle) / (known + told), 1.0 / sqrt(known + told)
