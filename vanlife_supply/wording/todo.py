"""At most three things worth doing now, the most pressing first; at most one of them is a question."""

from __future__ import annotations

from dataclasses import dataclass

from vanlife_supply.entry.company import Guests
from vanlife_supply.entry.model import FILL, Entry
from vanlife_supply.forecast.model import Forecast, Question, SupplyOutlook, Warning
from vanlife_supply.rig.model import FILLS, PROPANE, Rig
from vanlife_supply.wording.asking import question_text
from vanlife_supply.wording.entries import lowered
from vanlife_supply.wording.names import limit_name, supply_name
from vanlife_supply.wording.state import age_days
from vanlife_supply.wording.times import by_when, day, days_since
from vanlife_supply.wording.warn import warning_cure, warning_text

MOST = 3
_PRESSING = {"full-before-dump", "out-before-fill"}
_ASKING = {"impossible-level", "questioned"}
NOT_TODAY = "Esc: not today."
_SILENT_DAYS = 5
_SHORT_DAYS = 2.0
_OLD_DAYS = 14
"""A guess older than this is worth a look: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Todo:
    """One thing to do. `text`: what threatens (may be empty); `cure`: what to do, in a line.

    `warning`, `question`: where it is from.
    """

    text: str
    cure: str
    supply: str = ""
    warning: Warning | None = None
    pressing: bool = False
    question: Question | None = None
    asks: str = ""
    """Which question it is: a warning's code, "silence", "switch", "plan" or "guests"; "" where nothing is asked."""


def things_to_do(
    forecast: Forecast, rig: Rig, guests: Guests | None = None, plan: Entry | None = None, *, quiet: bool = False
) -> list[Todo]:
    """Warnings first, what presses above all; the one question of the day, always among them (none when `quiet`); the look
    that would help."""
    found = [_from_warning(w, forecast, rig) for w in forecast.warnings]
    # What was noted just now and looks odd is asked first, while it is known what was meant.
    odd = [t for t in found if t.asks == "questioned"]
    others = [t for t in found if t.asks and t.asks != "questioned"]
    questions = [*odd, *_silence(forecast, rig), *_switch(forecast, rig), *others]
    questions += [*_planned(plan, forecast, rig), *_company(guests)]
    asked = [] if quiet else questions[:1]
    pressing = [t for t in found if t.pressing]
    silent = any(t.asks == "silence" for t in asked)
    # What should be gone by what was noted is asked about first: its figures press nobody.
    doubted = {t.supply for t in (found if silent else asked) if t.asks == "impossible-level"}
    pressing += _short(forecast, rig, doubted | {t.supply for t in pressing})
    pressing.sort(key=lambda todo: not _comes_first(todo.supply, forecast))
    found = [*pressing[: MOST - len(asked)], *asked, *(t for t in found if not t.pressing and not t.asks)]
    known = {t.supply for t in found}
    found += [_look(s, forecast, rig) for s in _unsure(forecast) if s.supply not in known and not silent]
    return found[:MOST]


def in_lines(forecast: Forecast, rig: Rig) -> list[str]:
    """All there is to do, a line each without keys: what presses first, then every other warning."""
    told = {w.supply for w in forecast.warnings if w.code in (*_PRESSING, "impossible-level")}
    presses: list[tuple[str, str]] = []
    others: list[tuple[str, str]] = []
    for w in forecast.warnings:
        line = f"{warning_text(w, forecast, rig)} {warning_cure(w, forecast, rig)}"
        (presses if w.code in _PRESSING else others).append((w.supply, line))
    presses += [(todo.supply, todo.cure) for todo in _short(forecast, rig, told)]
    presses.sort(key=lambda each: not _comes_first(each[0], forecast))
    return [line for _, line in (*presses, *others)]


def _comes_first(supply: str, forecast: Forecast) -> bool:
    """Whether it is what the first line names: that is urged before all else."""
    return forecast.first is not None and forecast.first.what == supply


def _short(forecast: Forecast, rig: Rig, told: set[str]) -> list[Todo]:
    """What may be over within a day or two while nothing is planned, the soonest first."""
    found = []
    for s in forecast.supplies:
        sure = s.days_left.p10 if s.days_left else None
        if s.supply in told or sure is None or sure > _SHORT_DAYS:
            continue
        deed = "dump" if s.direction == FILLS else "get more"
        when = f" by {by_when(forecast.as_of.plus(sure))}" if sure > 1 / 24 else " now"
        told_so = f"{supply_name(s.supply, rig)}: {deed}{when}; nothing is planned."
        found.append((sure, Todo("", told_so, s.supply, pressing=True)))
    return [todo for _, todo in sorted(found, key=lambda pair: pair[0])]


def _silence(forecast: Forecast, rig: Rig) -> list[Todo]:
    """With what cannot be by now: catching up asks about it too."""
    days = 0 if forecast.last_entry is None else days_since(forecast.last_entry, forecast.as_of)
    over = [w.supply for w in forecast.warnings if w.code == "impossible-level"]
    ends = {s: "full" if rig.supply(s).direction == FILLS else "gone" for s in over}
    gone = " and ".join(f"{lowered(supply_name(s, rig))} would be {end}" for s, end in ends.items())
    by_now = f"; as usual, {gone} by now" if over else ""
    told = f"Nothing was noted for {days} days{by_now}. Catch up: three short questions. {NOT_TODAY}"
    return [Todo("", told, asks="silence")] if days >= _SILENT_DAYS else []


def _planned(plan: Entry | None, forecast: Forecast, rig: Rig) -> list[Todo]:
    if plan is None or plan.until is None:
        return []
    deed = "filled" if plan.word == FILL else "dumped"
    when = day(plan.until)
    told = f"{supply_name(plan.supply, rig)}: was it {deed} on {when}, as planned? {NOT_TODAY}"
    return [Todo("", told, plan.supply, asks="plan")]


def _company(guests: Guests | None) -> list[Todo]:
    return [Todo("", f"Is the guest gone? {NOT_TODAY}", asks="guests")] if guests else []


def _from_warning(w: Warning, forecast: Forecast, rig: Rig) -> Todo:
    name = supply_name(w.supply, rig) if w.supply else limit_name(w.word or "one entry")
    cure = warning_cure(w, forecast, rig)
    text = warning_text(w, forecast, rig)
    pressing = w.code in _PRESSING
    told = f"{name}: {lowered(cure)}" if pressing else f"{text} {cure}"
    if w.code in _ASKING:
        return Todo(text, f"{told} {NOT_TODAY}", w.supply, w, asks=w.code)
    return Todo(text, told, w.supply, w, pressing)


def _switch(forecast: Forecast, rig: Rig) -> list[Todo]:
    q = forecast.question
    return [Todo("", f"{question_text(q, forecast, rig)} {NOT_TODAY}", q.supply, question=q, asks="switch")] if q else []


def _unsure(forecast: Forecast) -> list[SupplyOutlook]:
    """Supplies whose level is an old guess, the oldest first."""
    old = [(age_days(s, forecast) or 0, s) for s in forecast.supplies if s.days_left is not None]
    return [s for age, s in sorted(old, key=lambda pair: -pair[0]) if age >= _OLD_DAYS][:1]


def _look(s: SupplyOutlook, forecast: Forecast, rig: Rig) -> Todo:
    name, age = supply_name(s.supply, rig), age_days(s, forecast) or 0
    act = "Weighing it" if s.supply == PROPANE else "A look at it"
    return Todo("", f"{name} is a guess, {age} days old. {act} would help most.", s.supply)
