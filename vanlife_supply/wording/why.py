"""How a figure is known, in at most four lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vanlife_supply.deciding.model import Look
from vanlife_supply.forecast.facts import Balance, Condition, Fact, Readings, Returning, Usual
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import FILLS, Rig, Supply
from vanlife_supply.wording.amounts import amount, bare, chance, number, rate
from vanlife_supply.wording.days import band_json
from vanlife_supply.wording.deciding import look_line
from vanlife_supply.wording.entries import lowered
from vanlife_supply.wording.names import limit_name, thing_name
from vanlife_supply.wording.times import about, ago, day, days_since, spell

FIRST = "first"
LEAST_CHANCE, LEAST_NARROWING = 0.05, 0.01
"""What is less likely first, or narrows less, is not told."""
_BY = ("1 chance in 10", "an even chance", "9 chances in 10")
_WAYS = {
    "exact": "an exact event", "reset": "as noted", "some": "a fill by some", "left-at-fill": "filled to the top",
    "in-at-dump": "dumped empty", "sight": "a look", "stick": "measured", "scale": "weighed", "probe": "the gauge",
    "count": "counted", "plain": "said",
}  # fmt: skip


def why_lines(facts: Sequence[Fact], look: Look | None, supply: str, rig: Rig, now: Moment) -> list[str]:
    """The balance; the readings and their weight; the usual with the condition that holds; what would change it."""
    its = rig.supply(supply)
    lines = [_balance(f, its, now) for f in facts if isinstance(f, Balance)]
    lines += [_readings(f, its, now) for f in facts if isinstance(f, Readings)]
    usual = [_usual(f, its) for f in facts if isinstance(f, Usual)]
    conditions = [_condition(f) for f in facts if isinstance(f, Condition)]
    conditions += [_returning(f) for f in facts if isinstance(f, Returning)]
    if usual:
        lines.append("; ".join([*usual, *conditions]) + ".")
    lines.append(_change(look, its, rig))
    return lines


def _balance(f: Balance, its: Supply, now: Moment) -> str:
    start, end = (day(at(epoch, now.zone, now.offset)) for epoch in (f.start, f.end))
    moved = f" {'+' if f.came > 0 else '−'} {bare(abs(f.came), its)}" if abs(f.came) > 1e-6 else ""
    used = f"{amount(f.used, its)} in {spell(f.days)}, {rate(f.used / f.days, its)} a day."
    first, last = bare(f.first, its), bare(f.last, its)
    if its.direction == FILLS:
        return f"From {start} to {end} it rose from {first}{moved} to {last}: {used}"
    return f"From {start} to {end}: {first}{moved} − {last} left = {used}"


def _readings(f: Readings, its: Supply, now: Moment) -> str:
    when = ago(days_since(f.at, now))
    told = f"{f.count} readings so far" if f.count != 1 else "One reading so far"
    weight = "taken as sure" if f.trusted else "taken as an estimate"
    return f"{told}; the last, {_WAYS[f.what]}, {when}: {amount(f.level, its)}, give or take {bare(f.sd, its)}; {weight}."


def _usual(f: Usual, its: Supply) -> str:
    low, likely, high = (rate(q or 0.0, its) for q in (f.per_day.p10, f.per_day.p50, f.per_day.p90))
    return f"Your usual is {likely} {its.unit} a day, {low} to {high} on 8 days in 10"


def _condition(f: Condition) -> str:
    source = "as learned here" if f.learned else "a first guess"
    return f"{f.word} on: {number(f.factor.p50 or 1.0)} times as much, {source}"


def _returning(f: Returning) -> str:
    often = f"1 day in {number(round(1.0 / f.share))}" if f.share < 0.4 else f"{number(round(10 * f.share))} days in 10"
    return f"{f.word}, on {often} lately, is reckoned to come back: {number(f.factor)} times as much"


def _change(look: Look | None, its: Supply, rig: Rig) -> str:
    if look is None:
        act = "a note of a dump" if its.direction == FILLS else "a note of a fill to the top"
        return f"What would change it: {act}, or how much is in it."
    if look.narrows_own < 0.01:
        return "What would change it: the next exact event; a look now would tell little."
    surer = f"would make its days surer by {look.narrows_own * 100:.0f}%"
    return f"What would change it: {lowered(look_line(look, rig))} {surer}."


def opened(word: str, forecast: Forecast, best: Look | None, rig: Rig) -> list[str]:
    """Behind `first`, or behind a dated limit: at most four lines; [] for a word that is neither."""
    if word == FIRST:
        return _first(forecast, best, rig)
    limit = next((each for each in forecast.limits if each.word == word), None)
    if limit is None:
        return []
    chances = forecast.first.chances if forecast.first else {}
    return [
        f"{limit_name(word)} is up {about(limit.at, forecast.as_of)}, in {spell(limit.days_left)}: you said so.",
        f"That it is what stops you first: {chance(chances.get(word, 0.0))}.",
        f"What would change it: another date, like: limit {word} --at sat; or limit {word} --drop.",
    ]


def _first(forecast: Forecast, best: Look | None, rig: Rig) -> list[str]:
    first, now = forecast.first, forecast.as_of
    if first is None:
        return ["Nothing is known that could stop you: note when something is full or how much is left."]
    told = sorted(first.chances.items(), key=lambda each: -each[1])
    each = ", ".join(f"{lowered(thing_name(what, rig))} {chance(p)}" for what, p in told if p >= LEAST_CHANCE)
    ends = [(said, q) for said, q in zip(_BY, (first.days_left.p10, first.days_left.p50, first.days_left.p90), strict=True)]
    by = ", ".join(f"{said} by {about(now.plus(q), now)}" for said, q in ends if q is not None)
    lines = [f"Which comes first: {each}.", f"That anything does: {by}." if by else "",
             "Whichever it is counts: all together may end before each of them alone."]  # fmt: skip
    if best is None or best.narrows_first < LEAST_NARROWING:
        lines.append("What would change it: the next exact event; a look now would tell little.")
    else:
        share = f"{best.narrows_first * 100:.0f}%"
        lines.append(f"What would change it: {lowered(look_line(best, rig))} would make it surer by {share}.")
    return [line for line in lines if line]


def why_json(facts: Sequence[Fact], look: Look | None, supply: str, rig: Rig, now: Moment) -> dict[str, Any]:
    """`why --json`: the lines and the numbers behind them."""
    balance = next((f for f in facts if isinstance(f, Balance)), None)
    usual = next((f for f in facts if isinstance(f, Usual)), None)
    return {
        "supply": supply,
        "lines": why_lines(facts, look, supply, rig, now),
        "balance": None if balance is None else {
            "start": at(balance.start, now.zone, now.offset).iso(), "end": at(balance.end, now.zone, now.offset).iso(),
            "first": balance.first, "came": balance.came, "last": balance.last, "used": balance.used,
        },
        "use_per_day": None if usual is None else band_json(usual.per_day),
        "conditions": {f.word: band_json(f.factor) for f in facts if isinstance(f, Condition)},
    }  # fmt: skip
