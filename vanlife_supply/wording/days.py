"""The answer as plain text and as JSON: what the `days` command prints."""

from __future__ import annotations

from typing import Any

from vanlife_supply.forecast.model import (
    Band,
    ContainerOutlook,
    First,
    Forecast,
    LimitOutlook,
    PlannedOutlook,
    SupplyOutlook,
    Warning,
)
from vanlife_supply.moment import at
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import rate
from vanlife_supply.wording.asking import question_commands, question_json, question_text
from vanlife_supply.wording.names import limit_name, supply_name
from vanlife_supply.wording.sentence import answer, sentence
from vanlife_supply.wording.state import containers_line, left_now, mark
from vanlife_supply.wording.times import about, count_on, day, spell
from vanlife_supply.wording.todo import in_lines
from vanlife_supply.wording.warn import warning_cure, warning_text

Lasting = SupplyOutlook | LimitOutlook
_HEAD = ["", "left now", "a day", "count on", "", ""]


def days_text(forecast: Forecast, rig: Rig) -> str:
    """The sentence, a line for each thing that can stop you (soonest first), what to do, and the containers."""
    lines = ["  ".join(answer(forecast, rig)), ""]
    lines += aligned([_HEAD, *(_row(thing, forecast, rig) for thing in by_end(forecast))])
    things = in_lines(forecast, rig)
    lines += [""] * bool(things) + [f"{i} {thing}" for i, thing in enumerate(things, 1)]
    if forecast.question:
        asked = forecast.question
        lines += ["", f"? {question_text(asked, forecast, rig)}", f"  {question_commands(asked, forecast)}"]
    held = [containers_line(s, rig) for s in forecast.supplies if s.containers]
    return "\n".join([*lines, "", *held]).rstrip() + "\n"


def by_end(forecast: Forecast) -> list[Lasting]:
    """Everything that can stop you, who does so first at the top; what is not known yet last."""
    things: list[Lasting] = [*forecast.supplies, *forecast.limits]
    return sorted(things, key=_likely_end)


def _likely_end(thing: Lasting) -> float:
    if isinstance(thing, LimitOutlook):
        return thing.days_left
    if thing.days_left is None:
        return 1e9
    return 1e6 if thing.days_left.p50 is None else thing.days_left.p50


def _row(thing: Lasting, forecast: Forecast, rig: Rig) -> list[str]:
    if isinstance(thing, LimitOutlook):
        return [limit_name(thing.word), "", "", spell(thing.days_left), f"till {day(thing.at)}", "you said"]
    name, its = supply_name(thing.supply, rig), rig.supply(thing.supply)
    if thing.days_left is None or thing.usable is None or thing.usable.p50 is None:
        return [name, "not known yet", "", "", "", ""]
    fills = thing.direction == FILLS
    left = left_now(thing.usable.p50, thing, forecast, its)
    a_day = thing.use_per_day.p50 if thing.use_per_day else None
    used = rate(a_day, its) if a_day is not None else ""
    likely = thing.days_left.p50
    when = "" if likely is None else about(forecast.as_of.plus(likely), forecast.as_of)
    end = f"{'full' if fills else 'out'} {when}" if when else ""
    return [name, left, used, count_on(thing.days_left), end, mark(thing, forecast)]


def aligned(rows: list[list[str]]) -> list[str]:
    """Rows of cells as lines of a table, columns wide enough."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))] if rows else []
    return ["  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows]


def days_json(forecast: Forecast, rig: Rig) -> dict[str, Any]:
    """The stable JSON object of `days --json`."""
    load = forecast.load
    weight = {} if load is None else {"weight": {"unit": "kg", "aboard": rounded(load.kg), "payload": rounded(rig.payload)}}
    return {
        "as_of": forecast.as_of.iso(),
        "sentence": sentence(forecast, rig),
        "supplies": [_supply(s, forecast, rig) for s in forecast.supplies],
        "limits": [{"limit": x.word, "at": x.at.iso(), "days_left": rounded(x.days_left)} for x in forecast.limits],
        "first": _first(forecast.first),
        "warnings": [_warning(w, forecast, rig) for w in forecast.warnings],
        "question": question_json(forecast.question, forecast, rig),
        "next_stop": None,
        **weight,
    }


def _first(first: First | None) -> dict[str, Any] | None:
    if first is None:
        return None
    chances = {what: rounded(p) for what, p in first.chances.items()}
    return {"what": first.what, "days_left": band_json(first.days_left), "chances": chances}


def _supply(s: SupplyOutlook, forecast: Forecast, rig: Rig) -> dict[str, Any]:
    return {
        "supply": s.supply,
        "direction": s.direction,
        "unit": rig.supply(s.supply).canonical,
        "capacity": rounded(s.capacity),
        "reserve": rounded(s.reserve),
        "level": band_json(s.level),
        "use_per_day": band_json(s.use_per_day),
        "days_left": band_json(s.days_left),
        "last_trusted": _iso(s.last_trusted, forecast),
        "containers": [_container(c) for c in s.containers],
        "planned": _planned(s.planned),
    }


def _planned(plan: PlannedOutlook | None) -> dict[str, Any] | None:
    if plan is None:
        return None
    told = {"kind": plan.kind, "at": plan.at.iso(), "chance_fails_before": rounded(plan.chance_fails_before)}
    return {**told, "place": plan.place or None, "works": plan.works}


def _container(c: ContainerOutlook) -> dict[str, Any]:
    return {"name": c.letter, "label": c.label, "state": c.state, "level": band_json(c.level)}


def _warning(w: Warning, forecast: Forecast, rig: Rig) -> dict[str, Any]:
    return {
        "code": w.code,
        "supply": w.supply or None,
        "chance": rounded(w.chance),
        "at": _iso(w.at, forecast),
        "text": warning_text(w, forecast, rig),
        "cure": warning_cure(w, forecast, rig),
    }


def band_json(band: Band | None) -> dict[str, float | None] | None:
    """A band as the JSON answers give it."""
    return None if band is None else {"p10": rounded(band.p10), "p50": rounded(band.p50), "p90": rounded(band.p90)}


def rounded(value: float | None) -> float | None:
    """A number as the JSON answers give it."""
    return None if value is None else round(value, 5)


def _iso(epoch: float | None, forecast: Forecast) -> str | None:
    return None if epoch is None else at(round(epoch), forecast.as_of.zone, forecast.as_of.offset).iso()
