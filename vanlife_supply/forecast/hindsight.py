"""Forecasts judged by what came: the log replayed, each look ahead made only with what was written down by then.

Between two trusted levels a known amount was used. A forecast made some days before the later one says how long
such an amount lasts (p10, p50, p90); the log says how long it did. Imported entries count as written when they
happened; an entry taken out since counts as never written.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry import model as m
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast.belief import Belief, learn
from vanlife_supply.forecast.facts import Balance, Helped, Outcome, Score
from vanlife_supply.forecast.outlook import look_ahead
from vanlife_supply.forecast.suppose import level_leaving, with_entries, with_level, with_only
from vanlife_supply.forecast.weather import Weather
from vanlife_supply.forecast.why import balances
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import FRESH, GREY, Arrangement

LEADS = (1, 3, 7)
"""Days ahead that forecasts are judged at."""
LONGEST_STRETCH = {1: 2.0, 3: 5.0, 7: 400.0}
"""A stretch longer than this is judged at a longer lead only: it would be the same forecast again."""
LEAST_DAYS = 0.75
TOGETHER_S = 3600.0
"""Two levels written down within an hour of each other (set-up, catching up) judge no forecast: none lay between."""
MOST = 20
"""Outcomes looked back at, a supply and lead."""


class Past:
    """What was known at any time, from a history of entries among which corrected ones still stand."""

    def __init__(
        self, arrangements: Sequence[Arrangement], history: Sequence[Entry], weather: Weather | None = None
    ) -> None:
        self._arrangements = arrangements
        self._weather = weather
        self._history = sorted(history, key=m.order)
        self._known: list[tuple[list[str], Belief]] = []

    def visible(self, at: float) -> list[Entry]:
        """The entries that had happened and were written down by then, corrections applied as far as they were."""
        seen = [e for e in self._history if e.at.epoch <= at and e.recorded <= at]
        gone = {e.replaces for e in seen if e.replaces}
        return [e for e in seen if e.id not in gone]

    def belief(self, at: float) -> Belief:
        """What was believed then. Times asked in order cost one pass over the log; a late entry rebuilds from its date."""
        entries = self.visible(at)
        ids = [e.id for e in entries]
        while self._known and self._known[-1][0] != ids[: len(self._known[-1][0])]:
            self._known.pop()
        done, before = self._known[-1] if self._known else ([], None)
        if self._weather is not None:
            before = before.copy() if before else Belief()
            before.calendar.weather = self._weather.until(at, entries[-1].at.offset if entries else 0.0)
        belief = learn(before, self._arrangements, entries[len(done) :])
        self._known.append((ids, belief))
        return belief


def look_back(
    arrangements: Sequence[Arrangement],
    history: Sequence[Entry],
    now: float,
    step: Callable[[int, int], None] = lambda done, of: None,
    weather: Weather | None = None,
) -> tuple[Outcome, ...]:
    """The last outcomes of every supply and lead, oldest first. `step` is told how far it is.

    Of the `weather` each look ahead knew the days that were over.
    """
    past = Past(arrangements, history)
    stretches = _stretches(past.belief(now), written(history))
    asked = sorted(
        (min(b.end - lead * SECONDS_PER_DAY, b.start), supply, lead, i)
        for supply, found in stretches.items()
        for lead in LEADS
        for i, b in [(i, b) for i, b in enumerate(found) if b.days <= LONGEST_STRETCH[lead]][-MOST:]
    )
    past = Past(arrangements, history, weather)
    outcomes = []
    for done, (made, supply, lead, i) in enumerate(asked):
        step(done, len(asked))
        outcomes.append(_outcome(past.belief(made), made, supply, lead, stretches[supply][: i + 1]))
    return tuple(sorted((o for o in outcomes if o is not None), key=lambda o: (o.end, o.supply, o.lead)))


def outcome_of(
    now: Belief, believed: Callable[[float], Belief], entry: Entry, noted: Mapping[tuple[str, float], float]
) -> Outcome | None:
    """What an entry, folded into `now`, says of the forecast made at the trusted level before it; None: nothing.

    `believed` gives what was known at a time (epoch seconds), `noted` is `written` of the log.
    """
    stretches = _stretches(now, noted).get(entry.supply, [])
    ended = [i for i, b in enumerate(stretches) if b.end == entry.at.epoch]
    if not ended:
        return None
    made = stretches[ended[-1]].start
    return _outcome(believed(made), made, entry.supply, LEADS[0], stretches[: ended[-1] + 1])


def written(entries: Sequence[Entry]) -> dict[tuple[str, float], float]:
    """Supply and time of a note → when it was first written down (epoch seconds)."""
    found: dict[tuple[str, float], float] = {}
    for e in entries:
        key = e.supply, e.at.epoch
        found[key] = min(found.get(key, e.recorded), e.recorded)
    return found


def _stretches(belief: Belief, noted: Mapping[tuple[str, float], float]) -> dict[str, list[Balance]]:
    """Every stretch worth judging by; where nothing was exact, weighed or counted, looks have to do."""
    found = {}
    for name, thread in belief.threads.items():
        between = balances(thread) or balances(thread, all_levels=True)
        found[name] = [b for b in between if b.days >= LEAST_DAYS and not _together(name, b, noted)]
    return found


def _together(supply: str, stretch: Balance, noted: Mapping[tuple[str, float], float]) -> bool:
    begun, ended = (noted.get((supply, epoch)) for epoch in (stretch.start, stretch.end))
    return begun is not None and ended is not None and abs(ended - begun) < TOGETHER_S


def _outcome(belief: Belief, made: float, supply: str, lead: int, stretches: Sequence[Balance]) -> Outcome | None:
    """The last of the stretches as the belief of `made` foresaw it."""
    stretch = stretches[-1]
    if supply not in belief.threads:
        return None
    start = Moment(stretch.start, int(_offset(belief, supply)))
    known = with_only(belief, supply, FRESH) if supply == GREY else with_only(belief, supply)
    level = level_leaving(known.replay.shelves[supply], stretch.used)
    known = with_level(known, supply, level, stretch.sd, start)
    end = Moment(stretch.end, start.offset)
    plan = Entry("", m.PLANNED, start, supply, word=m.DUMP if supply == GREY else m.FILL, until=end)
    told = look_ahead(with_entries(known, [plan]), start).supply(supply)
    if told is None or told.days_left is None or told.planned is None or told.planned.chance_fails_before is None:
        return None
    earlier = [b for b in stretches if b.end <= made]
    mean = sum(b.used for b in earlier) / sum(b.days for b in earlier) if earlier else 0.0
    pit = 1.0 - told.planned.chance_fails_before
    mean_days = stretch.used / mean if mean > 0 else None
    return Outcome(supply, lead, made, stretch.start, stretch.end, stretch.used, told.days_left, pit, mean_days)


def _offset(belief: Belief, supply: str) -> float:
    rows = belief.threads[supply].rows
    return rows[-1].offset if rows else 0.0


def scores(outcomes: Sequence[Outcome]) -> tuple[Score, ...]:
    """All together, each lead, then each supply and each supply at each lead; only what has outcomes."""
    supplies = list(dict.fromkeys(o.supply for o in outcomes))
    found = [_score(outcomes, name, lead) for name in ("", *supplies) for lead in (0, *LEADS)]
    return tuple(score for score in found if score.count)


def _score(outcomes: Sequence[Outcome], supply: str, lead: int) -> Score:
    mine = [o for o in outcomes if supply in ("", o.supply) and lead in (0, o.lead)]
    compared = [(o.loss, o.mean_loss) for o in mine if o.mean_loss is not None]
    theirs = sum(b for _, b in compared if b is not None)
    ratio = sum(a for a, _ in compared) / theirs if theirs > 0 else None
    return Score(supply, lead, len(mine), sum(o.inside for o in mine), ratio)


def helped(told: Sequence[Outcome], untold: Sequence[Outcome]) -> tuple[Helped, ...]:
    """What knowing the temperatures was worth: the same forecasts made with them and without, supply by supply."""
    found = []
    for supply in dict.fromkeys(o.supply for o in told):
        without = {(o.made, o.lead, o.end): o for o in untold if o.supply == supply}
        both = [(o, without[key]) for o in told if o.supply == supply and (key := (o.made, o.lead, o.end)) in without]
        days = sum(o.days for o, _ in both)
        if days > 0 and any(a.said != b.said for a, b in both):
            misses = (sum(pair[i].loss for pair in both) / days for i in (0, 1))
            found.append(Helped(supply, len(both), *misses))
    return tuple(found)
