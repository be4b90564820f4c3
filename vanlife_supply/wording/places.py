"""Places, the next stop and the town list in words and as JSON. Local rules decide where gray water may go."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from vanlife_supply.constants import KM_PER_MILE
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.moment import Moment, at
from vanlife_supply.place.answers import Answer
from vanlife_supply.place.conditions import ago, own_words
from vanlife_supply.place.distance import Distance
from vanlife_supply.place.model import OWN, WHATS, Place, What
from vanlife_supply.quantity import money_text
from vanlife_supply.resupply import Atlas, Cost, Option, Staying, Stop, Task
from vanlife_supply.rig.model import GREY, Rig
from vanlife_supply.wording.amounts import amount, money, number
from vanlife_supply.wording.entries import lowered, raised
from vanlife_supply.wording.names import limit_name, printable, supply_name
from vanlife_supply.wording.times import about, day
from vanlife_supply.wording.times import clock as at_clock

_NEAR_KM = 10.0
"""So near the time of arrival is as good as now."""
LOCAL_RULES = "Local rules decide where gray water may go."
UNVOUCHED = "Water nobody vouches for is not called safe: ask there before drinking it."
MAP_FIRST = "A map of a whole region comes in on the command line: vanlife-supply place import FILE."
"""How places come in by the hundred."""
NO_PLACES = 'No place is known yet: place add "NAME" --gives water,gray, or place import FILE (a map export).'
NOTHING_CALLS = "Nothing that is known of the supplies calls for a stop: note what is full or how much is left."

_DEEDS: dict[What, str] = {
    "grey": "dump gray",
    "toilet": "empty the toilet",
    "fresh": "fill water",
    "propane": "get propane",
    "stove_fuel": "get stove alcohol",
}
_SHORT: dict[What, str] = {
    "fresh": "water", "grey": "gray", "toilet": "toilet", "propane": "propane", "stove_fuel": "alcohol",
}  # fmt: skip
_KINDS = ("amenity", "waterway", "man_made", "natural", "tourism", "shop", "vending")
HAD = {"yes": "yes", "no": "no", "ask": "ask there"}
"""An answer as it is said."""
_QUIET = ("name", "description", "note", "comment")


def place_name(place: Place) -> str:
    """Its name; without one, what the map calls it and its id or position."""
    if place.name:
        return place.name
    kind = next((place.tags[key].replace("_", " ") for key in _KINDS if key in place.tags), "place")
    spot = f"{place.lat:.5f},{place.lon:.5f}" if place.point else ""
    return f"{kind} ({place.source_ref or spot})"


def what_word(what: What) -> str:
    """water, gray, toilet, propane, alcohol."""
    return _SHORT[what]


# one place and the list


def list_json(known: Atlas, shown: Iterable[Place]) -> list[dict[str, Any]]:
    """The stable list of `place list --json`."""
    return [_listed(place, known) for place in shown]


def _listed(place: Place, known: Atlas) -> dict[str, Any]:
    said = known.answers(place)
    return {
        "name": place.name,
        "lat": place.lat,
        "lon": place.lon,
        "tags": dict(place.tags),
        "answers": {what: said[what].word for what in WHATS},
        "source": place.source,
        "ref": place.source_ref or None,
        "note": place.note,
        "licence": place.licence,
        "reasons": {what: said[what].reason for what in WHATS},
    }


def list_text(known: Atlas, shown: Sequence[Place], units: str) -> str:
    """A line a place: name, what is had there, what is to be asked, how far."""
    lines = [f"{printable(place_name(place))}: {_line(place, known, units)}" for place in shown]
    return "".join(f"{line}\n" for line in lines)


def _line(place: Place, known: Atlas, units: str) -> str:
    said = known.answers(place)
    parts = [
        f"{word} {', '.join(_SHORT[what] + _age(a, known) for what, a in said.items() if a.word == word and a.hinted)}"
        for word in ("yes", "ask", "no")
        if any(a.word == word and a.hinted for a in said.values())
    ]
    road = known.from_here(place)
    return "; ".join([*(parts or ["nothing is known of it"]), *([far(road, units)] if road else [])])


def _age(said: Answer, known: Atlas) -> str:
    return f" (you, {ago(known.as_of.epoch - said.since)})" if said.own and said.since is not None else ""


def page(place: Place, known: Atlas, units: str, currency: str) -> str:
    """Everything known of one place: answers and why, the map's own words, what it cost, what was done there."""
    lines = [place_name(place)]
    if place.point:
        lines.append(f"  {place.lat:.5f}, {place.lon:.5f}")
    road = known.from_here(place)
    if road:
        lines.append(f"  {far(road, units)}{f', {road.how}' if road.high else ''}")
    for what, said in known.answers(place).items():
        paid = told_paid(known.cost(place, what), currency, known.as_of)
        if said.hinted or paid:
            lines.append(f"  {_SHORT[what]}: {said.word}. {said.reason}{f' {raised(paid)}.' if paid else ''}")
    fitting = known.fits(place)
    lines += [f"  fits: {fitting[0]}. {raised(fitting[1])}."] if fitting[1] else []
    words = own_words(place.tags)
    lines += [f'  its text: "{words}"'] if words else []
    lines += [f"  your note: {place.note}"] if place.note else []
    lines += [f"  {key} = {value}" for key, value in place.tags.items() if key not in _QUIET]
    origin = "noted by you" if place.source == OWN else f"from {place.source}"
    lines.append("  " + ", ".join(part for part in (origin, place.source_ref, place.licence) if part))
    return "\n".join(printable(line) for line in lines) + "\n"


def stay_line(stay: Staying, now: Moment) -> str:
    """`Mesa camp: stay limit 14 days in 28: 9 of 14 days used, here since Tue 28 Apr; move by Tue 12 May, 7:10 pm.`"""
    told = stay_clock(stay, now)
    return printable(f"{place_name(stay.place)}: {lowered(told)}")


def stay_clock(stay: Staying, now: Moment) -> str:
    """The limit of a place and where the clock stands, in a sentence."""
    clock = stay.clock
    used = f"Stay limit {stay.said}: {number(clock.used_days)} of {number(clock.rule.max_days)} days used"
    if clock.left_days <= 0:
        return f"{used}; it is up, and a stay is allowed again from {day(clock.back_from)}."
    if stay.since is None:
        return f"{used}; arriving now one may stay till {day(clock.move_by)}."
    since = day(at(stay.since, now.zone, now.offset))
    return f"{used}, here since {since}; move by {day(clock.move_by)}, {at_clock(clock.move_by)}."


def far(road: Distance, units: str) -> str:
    """`12 to 20 mi`, in kilometres for metric rigs."""
    if road.high == 0:
        return road.how
    unit, size = ("mi", KM_PER_MILE) if units == "us" else ("km", 1.0)
    low, high = number(road.low / size), number(road.high / size)
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def told_paid(cost: Cost, currency: str, now: Moment) -> str:
    """`paid $5.00 3 days ago`, "" where nothing was."""
    if cost.paid is None:
        return ""
    return f"paid {money(cost.paid, currency)}{f' {ago(now.epoch - cost.on)}' if cost.on is not None else ''}"


def _fees(option: Option) -> list[str]:
    """What the map says of fees, once for everything it holds for: `By the map: it costs something; 5.00 USD.`"""
    of: dict[str, list[str]] = {}
    for task in option.tasks:
        if task.cost.text:
            of.setdefault(task.cost.text, []).append(_SHORT[task.what])
    whole = len(of) == 1 and all(task.cost.text for task in option.tasks)
    for_what = {text: "" if whole else f" ({', '.join(whats)})" for text, whats in of.items()}
    return [f"By the map{whats}: {_costs(text)}." for text, whats in for_what.items()]


def _costs(text: str) -> str:
    """`fee yes; 5.00 USD` → `it costs something; 5.00 USD`."""
    plain = {"fee yes": "it costs something", "fee no": "free", "fee donation": "a donation is asked for"}
    return "; ".join(plain.get(part, part) for part in text.split("; "))


# the next stop


@dataclass(frozen=True, slots=True)
class Ways:
    """How one says where one is, and that a place did not work: typed, or by key."""

    here: str
    failed: str


TYPED = Ways("'place here NAME'", "'place confirm NAME WHAT no'")


def stop_text(stop: Stop, forecast: Forecast, rig: Rig, ways: Ways = TYPED) -> str:
    """Where, by when, what to do there and at what cost, how far, what if it is closed."""
    lines = [headline(stop, forecast, rig)]
    if stop.option:
        lines += [f"  {_task(task, rig, forecast.as_of)}" for task in stop.option.tasks]
        told = [*_fees(stop.option), _way(stop, rig, ways, forecast.as_of), _hours(stop.option, stop.by), _size(stop.option)]
        lines += [f"  {line}" for line in told if line]
        lines.append(if_closed(stop, rig, ways))
    lines += _asides(stop, forecast, rig)
    return "\n".join(printable(line) for line in lines) + "\n"


def headline(stop: Stop, forecast: Forecast, rig: Rig) -> str:
    """`Next stop: Old Mill, by Sun 10 May, noon: dump gray, fill water.`"""
    when = _by(stop.by, forecast)
    if stop.option is None:
        return f"Next stop, {when}: {_deed(stop.for_what, rig)}. No place known serves that."
    asks = ((task.what, "" if task.answer.word == "yes" else " (ask)") for task in stop.option.tasks)
    deeds = ", ".join(f"{_deed(what, rig)}{ask}" for what, ask in asks)
    return f"Next stop: {place_name(stop.option.place)}, {when}: {deeds}."


def _deed(what: What, rig: Rig) -> str:
    """`dump gray`, in the spelling of the rig."""
    return f"dump {lowered(supply_name(GREY, rig))}" if what == GREY else _DEEDS[what]


def _by(moment: Moment, forecast: Forecast) -> str:
    return "now" if moment.epoch <= forecast.as_of.epoch else f"by {about(moment, forecast.as_of)}"


def _task(task: Task, rig: Rig, now: Moment) -> str:
    its = rig.supply(task.supply)
    much = f" about {amount(task.amount, its)}" if task.amount is not None else ""
    cost = told_paid(task.cost, rig.currency, now)
    said = f"{_deed(task.what, rig).capitalize()}{much}: {HAD[task.answer.word]}. {task.answer.reason}"
    return f"{said} {raised(cost)}." if cost else said


def _way(stop: Stop, rig: Rig, ways: Ways, now: Moment) -> str:
    option, here = stop.option, stop.position
    if option is None:
        return ""
    if option.distance is None:
        return f"How far is not known{f': say where you are with {ways.here}' if here is None else ''}."
    if option.distance.high == 0:
        return "You are there."
    since = f", where you were {ago(now.epoch - here.at)}" if here else ""
    start = f" from {place_name(here.place)}{since}" if here else ""
    return f"{far(option.distance, rig.units)}{start} ({option.distance.how})."


def _hours(option: Option, by: Moment) -> str:
    """`Closed about 5:40 pm, when you would be there; opens Mon 11 May, 8:00 am: Mo-Sa 08:00-17:00.`"""
    opening = option.opening
    if opening is None:
        return ""
    there = option.distance is not None and option.distance.likely > _NEAR_KM
    when = f"about {at_clock(option.arrival)}, when you would be there" if there else "now"
    if opening.word == "ask":
        return f"Open? Ask: {opening.reason}."
    if opening.word == "yes":
        return f"Open {when}: {opening.reason}."
    late = opening.opens is not None and opening.opens.epoch > by.epoch
    opens = f"; opens {day(opening.opens)}, {at_clock(opening.opens)}" if opening.opens else ""
    return f"Closed {when}{opens}{', later than you can count on' if late else ''}: {opening.reason}."


def _size(option: Option) -> str:
    return f"Does it fit? Ask: {option.size}." if option.size else ""


def if_closed(stop: Stop, rig: Rig, ways: Ways = TYPED) -> str:
    """What to do when the place does not work out."""
    if stop.runner_up is None:
        return f"If it is closed: no other place is known; go early, and note it with {ways.failed}."
    other = stop.runner_up
    task = next(task for task in other.tasks if task.what == stop.for_what)
    onward = f", {far(stop.onward, rig.units)} on" if stop.onward and stop.onward.high > 0 else ""
    return f"If it is closed: {place_name(other.place)}{onward}: {HAD[task.answer.word]}. {task.answer.reason}"


def _asides(stop: Stop, forecast: Forecast, rig: Rig) -> list[str]:
    lines = []
    for other in stop.missing if stop.option else ():
        where = f"try {place_name(other.place)}" if other.place else "no place known serves that"
        lines.append(f"Not there: {_deed(other.what, rig)}, {_by(other.by, forecast)}; {where}.")
    sooner = [limit for limit in forecast.limits if limit.at.epoch < stop.by.epoch]
    lines += [f"Before that: {limit_name(limit.word)} till {day(limit.at)}." for limit in sooner]
    for doubt in stop.doubts:
        when = f" {day(doubt.plan.until)}" if doubt.plan.until else ""
        where = place_name(doubt.place)
        lines.append(f"The {doubt.plan.word} planned{when} at {where} is not certain: {doubt.answer.reason}")
    tasks = stop.option.tasks if stop.option else ()
    lines += [LOCAL_RULES] if any(task.what == "grey" for task in tasks) else []
    lines += [UNVOUCHED] if any(task.what == "fresh" and task.answer.word == "ask" for task in tasks) else []
    return lines


def stop_json(stop: Stop | None, forecast: Forecast, rig: Rig) -> dict[str, Any] | None:
    """The stable object of `next-stop --json` and of `next_stop` in `days --json`."""
    if stop is None:
        return None
    nowhere: dict[str, Any] = {"place": None, "certain": False, "do": [], "distance": None, "size": None, "hours": None}
    return {
        **(_option_json(stop.option, forecast, rig) if stop.option else nowhere),
        "by": _iso(stop.by.epoch, forecast.as_of),
        "because": stop.supply,
        "runner_up": _option_json(stop.runner_up, forecast, rig) if stop.runner_up else None,
        "onward": _road_json(stop.onward),
        "if_closed": if_closed(stop, rig) if stop.option else None,
        "not_here": [
            {"what": o.what, "by": _iso(o.by.epoch, forecast.as_of), "place": place_name(o.place) if o.place else None}
            for o in stop.missing
        ],
        "position": None if stop.position is None else {
            "name": stop.position.place.name, "since": _iso(stop.position.at, forecast.as_of),
        },
        "doubts": [
            {"kind": d.plan.word, "supply": d.plan.supply, "place": d.place.name, "answer": d.answer.word,
             "reason": d.answer.reason} for d in stop.doubts
        ],
        "text": headline(stop, forecast, rig),
    }  # fmt: skip


def _option_json(option: Option, forecast: Forecast, rig: Rig) -> dict[str, Any]:
    place = option.place
    return {
        "place": {
            "name": place.name, "lat": place.lat, "lon": place.lon, "ref": place.source_ref or None, "source": place.source,
        },
        "certain": bool(option.tasks) and all(task.certain for task in option.tasks if task.due),
        "do": [_task_json(task, forecast, rig) for task in option.tasks],
        "distance": _road_json(option.distance),
        "size": option.size or None,
        "hours": None if option.opening is None else {
            "open": option.opening.word, "reason": option.opening.reason, "at": option.arrival.iso(),
            "opens": option.opening.opens.iso() if option.opening.opens else None,
        },
    }  # fmt: skip


def _task_json(task: Task, forecast: Forecast, rig: Rig) -> dict[str, Any]:
    cost = task.cost
    return {
        "what": task.what,
        "supply": task.supply,
        "do": _DEEDS[task.what],
        "answer": task.answer.word,
        "confirmed": task.certain,
        "reason": task.answer.reason,
        "amount": None if task.amount is None else round(task.amount, 3),
        "unit": rig.supply(task.supply).canonical,
        "due": task.due,
        "by": _iso(forecast.as_of.plus(task.days).epoch, forecast.as_of),
        "cost": {
            "paid": None if cost.paid is None else money_text(cost.paid, rig.currency),
            "currency": rig.currency,
            "on": None if cost.on is None else _iso(cost.on, forecast.as_of),
            "text": cost.text,
        },
    }


def _road_json(road: Distance | None) -> dict[str, Any] | None:
    if road is None:
        return None
    low, likely, high = (round(km, 2) for km in (road.low, road.likely, road.high))
    return {"low_km": low, "likely_km": likely, "high_km": high, "how": road.how}


def _iso(epoch: float, now: Moment) -> str:
    return at(float(round(epoch)), now.zone, now.offset).iso()


def taken_back(counts: dict[str, int], about: list[str], *, again: bool = False) -> str:
    """What an undo took back when it was about places or trips; `about`: their names, said where it is one."""
    names = {
        "place": "place", "finding": "answer", "whereabouts": "stay", "track": "line", "trip": "trip",
        "trip_place": "note about a place of a trip", "stay_rule": "stay limit",
        "temperature": "day of temperatures",
    }  # fmt: skip
    parts = [f"{count} {names[kind]}{'s' if count > 1 else ''}" for kind, count in counts.items() if count]
    name = f" ({printable(about[0])})" if len(about) == 1 else ""
    return f"{'Noted again' if again else 'Taken back'}: {', '.join(parts) or 'the last change'}{name}."
