"""Stay limits as the person typed them, and the person's own clock against them. Never legal advice.

Rules differ from office to office (14 days in 28 and then 25 miles away; 14 days on several sites in 90; 30 days then
5 road miles; a cap a year), so a rule is data: how many days, counted in what window, how far away one must go.
A place with two caps has two rules; the tighter one binds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import Literal

from vanlife_supply.constants import KM_PER_MILE, SECONDS_PER_DAY
from vanlife_supply.moment import Moment, at, zone_named
from vanlife_supply.place.distance import great_circle_km
from vanlife_supply.place.model import Point
from vanlife_supply.refusal import Refusal

Kind = Literal["consecutive", "rolling", "from-first", "year"]
_AT_PLACE_KM = 1.0
_NUMBER = r"([0-9]{1,4}(?:[.,][0-9]{1,2})?)"
_MOST = re.compile(rf"(?:at most )?{_NUMBER} ?(hour|day|night|week|month)?s?\b(?: in a row| ?consecutive)?")
_CAPS = re.compile(r";|\band (?=[0-9]+ [^,;]*\b(?:in|within|of|per|year|days?|nights?)\b)")
_CLAUSES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, re.compile(pattern))
    for name, pattern in (
        ("radius", rf"(?:(?:then|within|go|and|for) )*{_NUMBER} ?(?:(air|road) )?(mile|mi|kilometer|kilometre|km)s?\b"
                   r"(?: (?:by )?(air|road))?(?: away)?"),
        ("away", rf"(?:then )?{_NUMBER} (hour|day|night|week|month)s? away"),
        ("first", r"(?:counted )?from (?:the )?first(?: night| day)?"),
        ("year", r"(?:(?:in )?an?|per|each|every) (?:calendar )?year"),
        ("window", rf"(?:in|within|out of|of|per)(?: any)? {_NUMBER}(?: (day|night|week|month)s?)?"),
    )
)  # fmt: skip
_UNIT_DAYS = {"hour": 1 / 24, "day": 1.0, "night": 1.0, "week": 7.0, "month": 30.0}


@dataclass(frozen=True, slots=True)
class StayRule:
    """At most `max_days` within `radius_km` of the place (0: at the place itself).

    `kind`: "consecutive" (the clock starts again after `window_days` away), "rolling" (in any `window_days`),
    "from-first" (in `window_days` counted from the first night; then away until they are over), "year" (calendar year;
    no window). `radius_kind`: by air or by road.
    Refusal for numbers that make no rule.
    """

    max_days: float
    kind: Kind = "consecutive"
    window_days: float = 1.0
    radius_km: float = 0.0
    radius_kind: Literal["air", "road"] = "air"
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.max_days <= 366 or not 0 < self.window_days <= 3660 or not 0 <= self.radius_km <= 2000:
            raise Refusal("A stay limit needs days from 1 to 366, a window of days above 0, and a radius up to 2000 km.")
        if self.kind in ("rolling", "from-first") and self.window_days < self.max_days:
            raise Refusal(
                f"{self.max_days:g} days in a window of {self.window_days:g} cannot be: the window must be the longer one."
            )


@dataclass(frozen=True, slots=True)
class Stay:
    """A stay of the person's: from when its clock ran (which may differ from the arrival) until it ended, seconds UTC.

    `end` None: still there. `road_km` is its distance by road from the place in question, if known.
    """

    start: float
    end: float | None
    point: Point | None = None
    place_id: str = ""
    road_km: float | None = None


@dataclass(frozen=True, slots=True)
class StayClock:
    """Where the clock stands at a place: days used and left, the moment to move by when staying on from now.

    `back_from`: having left then, a full stay is allowed again from that moment on.
    """

    rule: StayRule
    used_days: float
    left_days: float
    move_by: Moment
    back_from: Moment


def stay_clock(rule: StayRule, point: Point | None, place_id: str, stays: Iterable[Stay], now: Moment) -> StayClock:
    """The clock of one rule at one place, staying on from `now`; `stays` are all the person's, in any order."""
    begun = [stay for stay in stays if stay.start <= now.epoch and _counts(rule, stay, point, place_id)]
    used, move_by, back_from = _CLOCKS[rule.kind](rule, _joined([_span(stay, now) for stay in begun]), now)
    left = max(0.0, (move_by - now.epoch) / SECONDS_PER_DAY)
    return StayClock(rule, used / SECONDS_PER_DAY, left, _moment(max(move_by, now.epoch), now), _moment(back_from, now))


def tightest(
    rules: Iterable[StayRule], point: Point | None, place_id: str, stays: Sequence[Stay], now: Moment
) -> StayClock | None:
    """The clock of the rule that makes one move first; None without rules."""
    clocks = [stay_clock(rule, point, place_id, stays, now) for rule in rules]
    return min(clocks, key=lambda clock: clock.move_by.epoch, default=None)


def read_rules(text: str) -> tuple[StayRule, ...]:
    """`14 days in 28, then 25 miles`, `30 days then 5 road miles`, `14 days and 28 in any 60` → the rules it holds.

    `in`: in any so many days; with `from the first night` the window begins with the first stay; `a year`: the calendar
    year; `7 days away`: what starts the clock again. Refusal names the part that is not understood.
    """
    parts = [part for part in _CAPS.split(_plain(text)) if part]
    if not parts:
        raise Refusal("How long may one stay? Write it like 14 days in 28, then 25 miles.")
    return tuple(_rule(part.strip(" ,"), text) for part in parts)


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("-", " ").split()).strip(" .,;")


def _rule(part: str, text: str) -> StayRule:
    found = _MOST.match(part)
    if found is None:
        raise Refusal(f"'{part}' does not begin with how many days: write it like 14 days in 28, then 25 miles.")
    told: dict[str, re.Match[str]] = {}
    rest = part[found.end() :].strip(" ,;")
    while rest:
        name, clause = next(((n, m) for n, p in _CLAUSES if (m := p.match(rest)) and n not in told), ("", None))
        if clause is None:
            raise Refusal(f"'{rest}' in '{text.strip()}' is not understood: write it like 14 days in 28, then 25 miles.")
        told[name] = clause
        rest = rest[clause.end() :].strip(" ,")
    return _from_clauses(_days(found), told, part)


def _from_clauses(most: float, told: dict[str, re.Match[str]], part: str) -> StayRule:
    """The rule of the clauses found: what of it counts, where, and what starts the clock again."""
    radius, road = 0.0, False
    if near := told.get("radius"):
        radius = _value(near) * (1.0 if near[3].startswith("k") else KM_PER_MILE)
        road = "road" in (near[2], near[4])
    kind: Kind = "consecutive"
    window = _days(told["away"]) if "away" in told else 1.0
    if "year" in told:
        kind, window = "year", 366.0
    elif "window" in told:
        kind, window = "from-first" if "first" in told else "rolling", _days(told["window"])
    elif "first" in told:
        raise Refusal(f"'{part}' counts from the first night: in how many days? Write 14 days in 28 from the first night.")
    return StayRule(most, kind, window, radius, "road" if road else "air", note=part)


def _value(found: re.Match[str]) -> float:
    return float(found[1].replace(",", "."))


def _days(found: re.Match[str]) -> float:
    return _value(found) * _UNIT_DAYS[found[2] or "day"]


_Spans = list[tuple[float, float]]


def _span(stay: Stay, now: Moment) -> tuple[float, float]:
    return stay.start, max(stay.start, now.epoch if stay.end is None else min(stay.end, now.epoch))


def _counts(rule: StayRule, stay: Stay, point: Point | None, place_id: str) -> bool:
    if place_id and stay.place_id == place_id:
        return True
    if rule.radius_kind == "road" and stay.road_km is not None:
        return stay.road_km <= rule.radius_km
    # By air is never farther than by road: counting it may be too strict, never too lax.
    return stay.point is not None and point is not None and (
        great_circle_km(stay.point, point) <= max(rule.radius_km, _AT_PLACE_KM)
    )


def _joined(spans: _Spans) -> _Spans:
    joined: _Spans = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined


def _within(spans: _Spans, start: float, end: float) -> float:
    """Seconds of the spans between `start` and `end`."""
    return sum(max(0.0, min(to, end) - max(since, start)) for since, to in spans)


def _consecutive(rule: StayRule, spans: _Spans, now: Moment) -> tuple[float, float, float]:
    """Absences shorter than the window do not stop the clock."""
    away, began = rule.window_days * SECONDS_PER_DAY, now.epoch
    for start, end in reversed(spans):
        if began - end >= away:
            break
        began = start
    move_by = began + rule.max_days * SECONDS_PER_DAY
    return now.epoch - began, move_by, max(move_by, now.epoch) + away


def _rolling(rule: StayRule, spans: _Spans, now: Moment) -> tuple[float, float, float]:
    """Staying on, the days in the window never fall, so the moment they reach the limit is found by halving."""
    window, most = rule.window_days * SECONDS_PER_DAY, rule.max_days * SECONDS_PER_DAY

    def used_by(time: float) -> float:
        return _within([*spans, (now.epoch, time)], time - window, time)

    early, late = now.epoch, now.epoch + most
    if used_by(early) >= most:
        late = early
    while late - early > 1.0:
        middle = (early + late) / 2
        early, late = (early, middle) if used_by(middle) >= most else (middle, late)
    return used_by(now.epoch), float(round(late)), late + window


def _from_first(rule: StayRule, spans: _Spans, now: Moment) -> tuple[float, float, float]:
    """Windows follow each other; each starts with the first stay after the one before was over."""
    window, most = rule.window_days * SECONDS_PER_DAY, rule.max_days * SECONDS_PER_DAY
    opened: float | None = None
    for start, end in spans:
        if opened is None or start >= opened + window:
            opened = start
        while end > opened + window:  # stayed right through the end of a window
            opened += window
    if opened is None or now.epoch >= opened + window:
        return 0.0, now.epoch + most, now.epoch + window
    used = _within(spans, opened, now.epoch)
    move_by = now.epoch + max(0.0, most - used)
    if move_by > opened + window:
        opened += window
        move_by = opened + most
    return used, move_by, opened + window


def _year(rule: StayRule, spans: _Spans, now: Moment) -> tuple[float, float, float]:
    year, most = now.local().year, rule.max_days * SECONDS_PER_DAY
    used = _within(spans, _new_year(year, now), now.epoch)
    move_by, turn = now.epoch + max(0.0, most - used), _new_year(year + 1, now)
    if move_by > turn:
        move_by, turn = turn + most, _new_year(year + 2, now)
    return used, move_by, turn


def _new_year(year: int, now: Moment) -> float:
    zone = zone_named(now.zone) if now.zone else timezone(timedelta(seconds=now.offset))
    return datetime(year, 1, 1, tzinfo=zone).timestamp()


def _moment(epoch: float, now: Moment) -> Moment:
    return at(epoch, now.zone, now.offset)


_CLOCKS: dict[Kind, Callable[[StayRule, _Spans, Moment], tuple[float, float, float]]] = {
    "consecutive": _consecutive,
    "rolling": _rolling,
    "from-first": _from_first,
    "year": _year,
}
