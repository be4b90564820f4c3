"""Everything known after a log: containers, habits, calendar, plans. `learn` folds new entries in."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from math import exp, hypot, sqrt

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.acts import SPILLED_ERROR
from vanlife_supply.entry.evidence import SPARED, USED, Evidence
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.states import Replay
from vanlife_supply.forecast import prior
from vanlife_supply.forecast.calendar import PEOPLE_POWER, Calendar, Span
from vanlife_supply.forecast.factor import Factor
from vanlife_supply.forecast.future import OFTEN_DAYS
from vanlife_supply.forecast.grid import OFFSETS
from vanlife_supply.forecast.habit import LEAST_DAYS, Lapse
from vanlife_supply.forecast.thread import Row, Thread
from vanlife_supply.rig.model import FRESH, GREY, Arrangement, Rig, Supply

BELIEF_VERSION = "24"
"""Changes whenever a kept belief would no longer be what `learn` makes of the same log."""
WAITS_FOR = 32
"""Gray waits for the next level of fresh, which says what went down the drain; at most for so many more gray notes."""
LEAST_DOUBT = 0.1
LEAST_DRAINING = 0.05
"""Of the water used, whatever was noted as kept from the drain: what was used is only reckoned."""
EXTRAPOLATED_ERROR = 0.3
"""Relative sd of the fresh water used since its last known level."""


@dataclass(slots=True)
class Belief:
    """What is known. Never changed by those who hold it: `learn` copies first."""

    replay: Replay = field(default_factory=Replay)
    calendar: Calendar = field(default_factory=Calendar)
    threads: dict[str, Thread] = field(default_factory=dict)
    plans: list[Entry] = field(default_factory=list)
    limits: list[Entry] = field(default_factory=list)
    doubts: list[tuple[str, str, float]] = field(default_factory=list)
    last: float | None = None
    works: Mapping[str, float] = field(default_factory=dict)
    """Plan (its id) → the chance that it can be done where it is planned; a plan that is not here is certain."""

    @property
    def rig(self) -> Rig:
        """The rig that stands."""
        rig = self.replay.rig
        assert rig is not None
        return rig

    def copy(self) -> Belief:
        """An independent belief."""
        threads = {name: thread.copy() for name, thread in self.threads.items()}
        plans, limits, doubts = list(self.plans), list(self.limits), list(self.doubts)
        calendar = self.calendar.copy()
        return Belief(self.replay.copy(), calendar, threads, plans, limits, doubts, self.last, self.works)

    def factors(self, supply: str) -> Mapping[str, float]:
        """How each condition multiplies the use of a supply."""
        words = {span.word for span in self.calendar.spans if span.word}
        if self.calendar.weather is not None:
            words.add(prior.TEMPERATURE)
        if not words:
            return {}
        its, learned = self.rig.supply(supply), self.threads[supply].habit.factors
        return {w: learned[w].mean if w in learned else exp(prior.condition(w, its)[0]) for w in words}

    # --- taking in entries -------------------------------------------------------------------

    def take(self, entry: Entry, arrangements: Sequence[Arrangement]) -> None:
        """One entry, later than all before it; a plan stands whenever it was made."""
        if entry.kind == m.PLANNED:
            self.plans = _replaced(self.plans, entry)
            return
        self.arrange(arrangements, entry.at.epoch)
        if entry.kind in (m.PEOPLE, m.CONDITION):
            self.calendar.note(entry)
        elif entry.kind == m.LIMIT:
            self.limits = _replaced(self.limits, entry)
        else:
            for told in self.replay.fold(entry):
                self._add(entry.supply, told, entry.at.offset)
                self._spare(entry, told)
            if entry.questioned and not entry.settled:
                self.doubts.append((entry.id, entry.supply, entry.at.epoch))
        self.last = entry.at.epoch if self.last is None else max(self.last, entry.at.epoch)

    def arrange(self, arrangements: Sequence[Arrangement], at: float) -> None:
        """The rig as it stands then."""
        if not self.replay.is_due(arrangements, at):
            return
        before = self.replay.rig
        if before is not None:
            self.settle()  # what was noted under the old rig is folded under it
        told = self.replay.arrange(arrangements, at)
        if before is None:
            self.calendar.people = self.rig.people
        elif before.people != self.rig.people:
            self.calendar.spans.append(Span("", self.replay.since, None, self.rig.people))
        carried, self.threads = self.threads, {}
        for supply in self.rig.supplies:
            manner, brim = self._manner(supply), self.rig.capacity(supply.name)
            known, begun = carried.get(supply.name), Thread.begun(supply, manner, brim)
            self.threads[supply.name] = known.refitted(manner, brim) if known and known.rows else begun
        for name, evidence in told:
            self._add(name, evidence, 0.0)

    def _manner(self, supply: Supply) -> prior.Manner:
        """What is thought of a supply before anything is noted of it."""
        water, mine = self.rig.of(FRESH), self.rig.of(supply.name)
        size = prior.largeness(water or self.rig.containers)
        drains = supply.name == GREY and bool(water)
        if drains:
            rate = prior.drain_share(size, kept_apart=not all(c.drinking for c in water))
        else:
            rate = prior.rate(supply, mine, max(self.rig.people, 1.0) ** PEOPLE_POWER, size)
        return prior.manner(supply, mine, rate, drains, size)

    def _add(self, supply: str, told: Evidence, offset: float) -> None:
        row = Row(told, offset)
        gray = self.threads.get(GREY)
        if gray is not None and supply == FRESH and told.what == USED:
            gray.noted += told.after
        elif gray is not None and supply == GREY and row.is_level:
            gray.noted = 0.0
        if self.threads[supply].completed_by(row):
            if supply == FRESH and GREY in self.threads:
                self.threads[GREY].restart()
            return
        dropped = self.threads[supply].add(row)
        if dropped and supply == FRESH and GREY in self.threads:
            self.threads[GREY].drop_before(self.threads[FRESH].began)

    def _spare(self, entry: Entry, told: Evidence) -> None:
        """Water drunk or poured outside does not come down the drain."""
        share = prior.STAYS_OUT.get(entry.word.strip().lower(), 0.0)
        noted = entry.kind == m.USE and entry.supply == FRESH and not told.doubted
        if share and noted and self.drains(GREY) and GREY in self.threads and self.threads[GREY].rows:
            self._add(GREY, Evidence(told.at, SPARED, after=share * told.after), entry.at.offset)

    # --- folding it into habits --------------------------------------------------------------

    def settle(self) -> None:
        """Folds what came in into the habits; gray as far as fresh is known."""
        for name, thread in self.threads.items():
            if not self.drains(name):
                thread.fold(partial(self.between, thread))
        if GREY in self.threads and self.drains(GREY):
            self._fold_gray(final=False)
        starts = [thread.began for thread in self.threads.values() if thread.rows]
        if starts and self.last is not None:
            self.calendar.prune(min(min(starts), self.last - OFTEN_DAYS * SECONDS_PER_DAY))

    def settle_all(self) -> None:
        """Folds what still waits too: for a look ahead, on a copy."""
        if GREY in self.threads and self.drains(GREY):
            self._fold_gray(final=True)

    def drains(self, supply: str) -> bool:
        """Whether a supply is measured against the fresh water used."""
        return supply == GREY and FRESH in self.threads

    def between(self, thread: Thread, row: Row) -> Lapse:
        """What lies between the last level of a supply and a row."""
        start = thread.habit.at
        if start is None:
            return Lapse(0.0, 0.0, 0.0)
        name = thread.supply.name
        return self.lapse(name, start, row.told.at, row.offset)

    def lapse(self, supply: str, start: float, end: float, offset: float) -> Lapse:
        """What lies between two instants for a supply; the condition it matters most for is told apart."""
        word = self._telling(supply, start, end)
        plain, under, days = self.calendar.exposure(supply, start, end, offset, self.factors(supply), word)
        need = self.calendar.weather.strength(supply, start, end, offset) if self.calendar.weather else 0.0
        if need and word:
            more = 1.0 + float(need) * self.factors(supply)[prior.TEMPERATURE]
            plain, under = plain * more, under * more
        elif need:
            word, under = self._known(supply, prior.TEMPERATURE), plain * float(need)
        return Lapse(plain, days, (end - start) / SECONDS_PER_DAY, word=word, under=under)

    def _telling(self, supply: str, start: float, end: float) -> str:
        """The condition between two instants whose factor is least known, "" if all are known well enough."""
        its = self.rig.supply(supply)
        telling = [(prior.condition(word, its)[1], word) for word in self.calendar.words(start, end)]
        sd, word = max(telling, default=(0.0, ""))
        if sd < LEAST_DOUBT:
            return ""
        return self._known(supply, word)

    def _known(self, supply: str, word: str) -> str:
        """The condition, with a first guess of its factor where nothing is known of it."""
        factors = self.threads[supply].habit.factors
        if word not in factors:
            factors[word] = Factor.unlearned(*prior.condition(word, self.rig.supply(supply)))
        return word

    def process_days(self, start: float, end: float, offset: float) -> float:
        """Days of process of gray between two instants."""
        return self.calendar.exposure(GREY, start, end, offset, {})[2]

    def _fold_gray(self, *, final: bool) -> None:
        thread = self.threads[GREY]
        thread.fold(partial(self._drain_lapse, thread, final=final))

    def _drain_lapse(self, thread: Thread, row: Row, *, final: bool) -> Lapse | None:
        """The fresh water used between the last gray level and this row; None while it is better to wait."""
        knots = self.threads[FRESH].knots
        at = row.told.at
        index = bisect_left(knots, (at,))
        patience = thread.done + WAITS_FOR
        latest = thread.rows[patience].told.at if patience < len(thread.rows) else None
        known = index < len(knots) and (latest is None or knots[index][0] <= latest)
        if not known and latest is None and not final:
            return None
        total, unsure = self.drawn(at, row.offset, index, known=known, posterior=not known and latest is None)
        start = thread.habit.at
        amount, thread.mark = max(total - thread.mark, 1e-6), total
        if start is None:
            return Lapse(0.0, 0.0, 0.0)
        days = self.process_days(start, at, row.offset)
        amount = draining(amount, thread.habit.spared)
        return Lapse(amount, days, (at - start) / SECONDS_PER_DAY, min(amount, unsure))

    def drawn(self, at: float, offset: float, index: int, *, known: bool, posterior: bool) -> tuple[float, float]:
        """Fresh water used up to `at`, and the sd of what of it is only reckoned by the usual rate.

        `index` of the first knot not before; `known`: it may be used; `posterior`: nothing later is known either.
        """
        thread = self.threads[FRESH]
        knots = thread.knots
        rates = thread.habit.weight.sum(axis=(1, 2))
        rate = float((rates * thread.habit.rates).sum()) if posterior else exp(thread.manner.rate.mean)
        if not knots:
            return rate * self._living(self.threads[GREY].began, at, offset), 0.0
        if index == 0:
            return knots[0][1] - rate * self._living(at, knots[0][0], offset), 0.0
        start, amount = knots[index - 1]
        since = self._living(start, at, offset)
        if not known:
            return amount + rate * since, rate * since * (self._unsure(at) if posterior else EXTRAPOLATED_ERROR)
        end, later = knots[index]
        whole = self._living(start, end, offset)
        return amount + (later - amount) * (since / whole if whole > 0 else 1.0), 0.0

    def drained(self, since: float, at: float, offset: float) -> tuple[float, float]:
        """Fresh water used since gray's last level at `since`, and the sd of what of it is only reckoned."""
        water, mark = self.threads[FRESH], self.threads[GREY].mark
        last = water.habit.at
        if last is None:
            total, unsure = self.drawn(at, offset, 0, known=False, posterior=True)
            return max(total - mark, 0.0), unsure
        used, sd = water.habit.went(self.lapse(FRESH, last, at, offset))
        if since <= last:
            return max(water.knots[-1][1] - mark + used, 0.0), sd
        share = self._living(since, at, offset) / max(self._living(last, at, offset), LEAST_DAYS)
        noted, other = self.threads[GREY].noted, max(used - water.habit.logged, 0.0)
        return noted + share * other, hypot(sd * sqrt(share), SPILLED_ERROR * noted)

    def _unsure(self, at: float) -> float:
        """Relative sd of the fresh water reckoned since its last level."""
        habit = self.threads[FRESH].habit
        days = max((at - (habit.at or at)) / SECONDS_PER_DAY, LEAST_DAYS)
        rates = habit.weight.sum(axis=(1, 2))
        mean = float(rates @ OFFSETS)
        return sqrt(float(rates @ (OFFSETS - mean) ** 2) + habit.uneven / days)

    def _living(self, start: float, end: float, offset: float) -> float:
        """Exposure of fresh water between two instants, conditions by their first guess: it must not depend on when
        it is asked."""
        its = self.rig.supply(FRESH)
        factors = {word: exp(prior.condition(word, its)[0]) for word in self.calendar.words(start, end)}
        return self.calendar.exposure(FRESH, start, end, offset, factors)[0]


def draining(amount: float, spared: float) -> float:
    """What of the water used may have come down the drain: not what is known to have been kept from it."""
    return max(amount - spared, LEAST_DRAINING * amount)


def learn(belief: Belief | None, arrangements: Sequence[Arrangement], entries: Sequence[Entry]) -> Belief:
    """What is known after these entries too, which are in order of time and later than all the belief has.

    None: from scratch. `arrangements` are those of the whole log, oldest first, at least one.
    """
    known = belief.copy() if belief else Belief()
    if known.replay.rig is None:
        known.arrange(arrangements, entries[0].at.epoch if entries else float("-inf"))
    for entry in entries:
        known.take(entry, arrangements)
    known.settle()
    return known


def _replaced(kept: list[Entry], new: Entry) -> list[Entry]:
    """A limit or plan takes the place of the one for the same thing; `drop` only takes it away."""
    others = [e for e in kept if (e.word, e.supply) != (new.word, new.supply)]
    return others if new.to == m.DROP else [*others, new]
