"""A planned trip in plain lines: what to do where, why, how sure it is, and what would mend it when nothing holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from vanlife_supply.quantity import minor_digits
from vanlife_supply.rig.model import PROPANE, Rig, spoken
from vanlife_supply.trip.answer import Answer, where
from vanlife_supply.trip.bands import Expected
from vanlife_supply.trip.change import Followed, StopKey
from vanlife_supply.trip.cures import Break
from vanlife_supply.trip.explain import LongerStay, WithoutPlace
from vanlife_supply.trip.flexible import Stretched
from vanlife_supply.trip.model import Interval, Place, Plan, Stay, Supply, Trip, Visit
from vanlife_supply.trip.weight import LegWeight
from vanlife_supply.wording.amounts import amount, bare, chance, counted, money
from vanlife_supply.wording.laden import weight
from vanlife_supply.wording.times import day_of

MOST_STOPS_SAID = 2
"""Of the stops that changed: one sentence, the plan itself stands below."""


@dataclass(frozen=True, slots=True)
class Voice:
    """How amounts, money and supplies are said: in the rig's units and currency, without a rig in L, kg, plain numbers."""

    rig: Rig | None = None

    def supply(self, name: str) -> str:
        """water, gray, alcohol, propane, or the owner's own word."""
        return spoken(name, self.rig.units if self.rig else "us").replace("_", " ")

    def unit(self, name: str) -> str:
        """L or kg, in which it is reckoned."""
        if self.rig:
            return self.rig.supply(name).canonical
        return "kg" if name == PROPANE else "L"

    def amount(self, name: str, value: float) -> str:
        """An amount with the unit it is shown in."""
        return amount(value, self.rig.supply(name)) if self.rig else f"{value:.1f} {self.unit(name)}"

    def band(self, name: str, low: float, high: float) -> str:
        """`5.5 to 8 gal`, or one amount where both ends say the same."""
        first = bare(low, self.rig.supply(name)) if self.rig else f"{low:.0f}"
        last = self.amount(name, high) if self.rig else f"{high:.0f} {self.unit(name)}"
        return last if last.startswith(f"{first} ") else f"{first} to {last}"

    def money(self, value: float) -> str:
        """Money; a saving has its sign in front."""
        if self.rig is None:
            return f"{value:.2f}"
        told = money(round(abs(value) * 10 ** minor_digits(self.rig.currency)), self.rig.currency)
        return f"-{told}" if value <= -0.005 else told

    def money_band(self, low: float, high: float) -> str:
        """`$3.00 to $4.50`, or one sum."""
        first, last = self.money(low), self.money(high)
        return last if first == last else f"{first} to {last}"


def told(answer: Answer, stops: Sequence[Sequence[Expected]], voice: Voice) -> list[str]:
    """The heading, where the trip is today, what became of the plan before, and a line for each stop."""
    trip, plan = answer.trip, answer.plan
    head = f"{trip.name or 'Trip'}: {counted(trip.nights, 'night')} from {day_name(trip, 0)} {trip.start.year}"
    lines = [head]
    here = where(trip)
    if here is not None:
        night = f", night {here.night} of {here.nights}" if here.night else ", the last day"
        lines.append(f"Today {stay_name(trip, here.stay)}{night}; {counted(here.days - here.day, 'night')} to go.")
    if answer.followed is not None:
        lines += told_change(trip, answer.followed, voice)
    lines.append(_verdict(answer, voice))
    width = max((len(place_name(trip, visit.place)) for visit in plan.visits), default=0)
    lines += [_visit(trip, v, services, width, voice) for v, services in zip(plan.visits, stops, strict=True)]
    if plan.left > 0.0:
        lines.append(f"Of the cost, {voice.money(plan.left)} is for refilling after the trip what is missing at its end.")
    return lines


def _verdict(answer: Answer, voice: Voice) -> str:
    plan = answer.plan
    stops = f"{counted(len(plan.visits), 'stop')}, {voice.money(plan.cost)} in all"
    if plan.status == "optimal":
        return f"{stops}: the cheapest there is."
    if plan.status == "infeasible":
        if not plan.visits:
            return "No plan is as sure as demanded, and no stop on the way would make it surer."
        return f"No plan is as sure as demanded. The surest there is, {stops}:"
    dearer = answer.followed.dearer if answer.followed is not None and answer.followed.kept else 0.0
    if dearer and plan.bound >= plan.cost - dearer - 0.005:
        return f"{stops}. The cheapest there is would save {voice.money(dearer)}, not worth a change."
    return f"{stops}. There may be one cheaper by {voice.money(plan.cost - plan.bound)} at most: the search was cut short."


def told_change(trip: Trip, followed: Followed, voice: Voice) -> list[str]:
    """One sentence: what changed in the plan and why; nothing when the stops are the same."""
    if followed.kept or not (followed.dropped or followed.added):
        return []
    if followed.gone is not None:
        why = f"{_stop(trip, followed.gone)} is not possible any more"
    elif followed.failing is not None:
        why = _failing(followed, voice)
    else:
        why = f"It saves {voice.money(followed.saves)}"
    dropped, added = (_stops(trip, keys) for keys in (followed.dropped, followed.added))
    if dropped and added:
        return [f"{why}: {added} instead of {dropped}."]
    return [f"{why}: {added} as well." if added else f"{why}: {dropped} is not needed."]


def _failing(followed: Followed, voice: Voice) -> str:
    failing = followed.failing
    assert failing is not None
    name = voice.supply(failing.supply)
    if followed.before is not None and followed.now is not None:
        before, now = (voice.amount(failing.supply, x) for x in (followed.before, followed.now))
        if before != now:
            return f"{name.capitalize()} now goes by {now} a night, not {before}"
    what = f"Room for {name}" if name in ("gray", "grey") else name.capitalize()
    return f"{what} is no longer sure to last under the plan before"


def _stops(trip: Trip, keys: Sequence[StopKey]) -> str:
    shown = ", ".join(_stop(trip, key) for key in keys[:MOST_STOPS_SAID])
    return shown if len(keys) <= MOST_STOPS_SAID else f"{shown} and {len(keys) - MOST_STOPS_SAID} more"


def _stop(trip: Trip, key: StopKey) -> str:
    return f"{place_name(trip, key[1])} on {day_of(date.fromisoformat(key[0]))}"


def told_sureness(
    trip: Trip, plan: Plan, whole: float, tightest: Interval | None, longer: float | None, voice: Voice
) -> list[str]:
    """How sure it is: the least sure interval, all together, the tightest and what a night longer would do."""
    lines = [f"Least sure stretch: {chance(plan.confidence)}; the whole trip: {chance(whole)}."]
    if tightest is not None:
        more = "" if longer is None else f"; with a night more, {chance(longer)}"
        ends = f"from {_mark(trip, tightest.start, tightest.first_day)} to {_mark(trip, tightest.end, tightest.last_day)}"
        lines.append(f"Tightest: {voice.supply(tightest.supply)} {ends}, {chance(tightest.p)}{more}.")
    return lines


def told_slack(slack: dict[str, int], voice: Voice) -> list[str]:
    """Nights to spare by supply."""
    if not slack:
        return []
    return [f"Nights to spare: {', '.join(f'{voice.supply(name)} {nights}' for name, nights in slack.items())}."]


def told_stops(trip: Trip, reasons: Iterable[WithoutPlace], voice: Voice) -> list[str]:
    """Why each stop: what the trip costs without it."""
    lines = []
    for reason in reasons:
        name = place_name(trip, reason.place)
        if reason.extra is None:
            lines.append(f"{name} cannot be done without.")
            continue
        instead = ", ".join(f"{place_name(trip, place)} on {day_name(trip, day)}" for day, place in reason.instead)
        more = f"{voice.money(reason.extra)} more" if reason.extra >= 0.005 else "no dearer"
        lines.append(f"Without {name}: {more}{f' ({instead} instead)' if instead else ''}.")
    return lines


def told_longer(trip: Trip, longer: Iterable[LongerStay], voice: Voice) -> list[str]:
    """The price of one more night at each stay; later dates move with it, so it may be less than nothing."""
    known = [(stay_name(trip, one.stay), one.extra) for one in longer]
    prices = [f"{name} {voice.money(extra)}" for name, extra in known if extra is not None]
    fails = [name for name, extra in known if extra is None]
    lines = [f"One more night: {', '.join(prices)} (dates move)."] if prices else []
    return [*lines, f"With one more night {_either(fails)} no plan holds."] if fails else lines


def told_flexible(trip: Trip, stretched: Iterable[Stretched], voice: Voice) -> list[str]:
    """What each length of a stay "as long as we can" would cost."""
    lines = []
    for one in stretched:
        cost = [f"{x.nights} for {voice.money(x.cost)}" for x in one.lengths if x.cost is not None]
        fails = [str(x.nights) for x in one.lengths if x.cost is None]
        proven = "" if one.cheapest else " Sharing the nights in another way may be cheaper: the search was cut short."
        if one.more:
            proven = f" Up to {counted(one.more, 'night')} more in all were not ruled out: the search was cut short."
        if not cost:
            least = f"no plan holds, not even for {counted(one.taken, 'night')}"
            lines.append(f"As long as we can, {stay_name(trip, one.stay)}: {least}.")
            continue
        held = f"{counted(one.taken, 'night')}. Nights and the cost then: {', '.join(cost)}"
        no = f"; no plan holds for {', '.join(fails)}" if fails else ""
        lines.append(f"As long as we can, {stay_name(trip, one.stay)}: {held}{no}.{proven}")
    return lines


def told_weights(trip: Trip, weights: Sequence[LegWeight], voice: Voice) -> list[str]:
    """Expected weight of the supplies on each leg; what exceeds the rating is said."""
    told = [f"{_leg(trip, w.leg)}: {_kg(w.heaviest, voice)}" for w in weights]
    lines = [f"Supplies weigh at most: {'; '.join(told)}."] if told else []
    if trip.payload is not None:
        over = [w for w in weights if w.heaviest > trip.payload]
        carried = f"more than the {_kg(trip.payload, voice)} it may carry"
        lines += [f"Too heavy: {_leg(trip, w.leg)} with {_kg(w.heaviest, voice)} is {carried}." for w in over]
    return lines


def _leg(trip: Trip, leg: int) -> str:
    return "the way home" if leg > len(trip.stays) else f"leg {leg}"


def _kg(value: float, voice: Voice) -> str:
    return weight(value, voice.rig) if voice.rig else f"{value:.0f} kg"


def told_break(trip: Trip, found: Break, voice: Voice) -> list[str]:
    """Where a supply breaks and what would mend it, each cure by itself."""
    supply = trip.supply(found.supply)
    cures = list(_cures(trip, supply, found, voice))
    head = f"{voice.supply(found.supply).capitalize()} holds until {day_name(trip, found.reaches)}. "
    best = f"At best: {_short_of(found.attainable, supply)}; asked for: {chance(supply.confidence)}."
    if not cures:
        return [f"{head}{best} No single cure mends it."]
    return [f"{head}{best} Any one of these mends it:", *(f"  {cure}" for cure in cures)]


def _cures(trip: Trip, supply: Supply, found: Break, voice: Voice) -> Iterable[str]:
    if found.reading:
        yield "look how much is in it: the level at the start is too uncertain"
    if found.less_use is not None:
        how = ", washing first, never the drinking" if supply.name == "fresh" else ""
        yield f"use {found.less_use}% less{how}"
    if found.containers is not None:
        state = "empty" if supply.fills else "full"
        more = counted(found.containers, "more container")
        yield f"carry {more} of {voice.amount(supply.name, found.size)}, {state} at the start"
    if found.stop_days:
        yield f"one more place for it on {_either([day_name(trip, day) for day in found.stop_days])}"
    if chance(found.attainable) != chance(0.0):
        yield f"be content with {_short_of(found.attainable, supply)}"


def _short_of(p: float, supply: Supply) -> str:
    """A chance below the one asked for, told apart from it where both round to the same words."""
    said = chance(p)
    return f"a little under {said}" if said == chance(supply.confidence) else said


def _visit(trip: Trip, visit: Visit, services: Sequence[Expected], width: int, voice: Voice) -> str:
    done = ", ".join(served(trip, one, voice) for one in services)
    low, high = stop_cost(visit, services)
    when, name = day_name(trip, visit.day), place_name(trip, visit.place)
    return f"  {when:10}  {name:{width}}  {voice.money_band(low, high)}  {done}"


def stop_cost(visit: Visit, services: Sequence[Expected]) -> tuple[float, float]:
    """What a stop may come to, with everything done there."""
    return visit.cost + sum(one.cost_low for one in services), visit.cost + sum(one.cost_high for one in services)


def served(trip: Trip, one: Expected, voice: Voice) -> str:
    """One service of a stop: `fill water 5.5 to 8 gal`, `dump gray 3 to 5 gal`, `exchange propane ×1`."""
    service = one.served
    name, much = voice.supply(service.supply), voice.band(service.supply, one.low, one.high)
    if trip.supply(service.supply).fills:
        return f"dump {name} {much}"
    if service.containers:
        return f"exchange {name} ×{service.containers}"
    level = "" if service.level >= 1.0 else f" (to {service.level:.0%} full)"
    return f"fill {name} {much}{level}"


def listed(name: str, trip: Trip) -> str:
    """A loaded trip in a line."""
    return f"{name}: {nights_told(trip)}, {counted(len(trip.stays), 'stay')}"


def nights_told(trip: Trip) -> str:
    """`9 nights from Thu 7 May 2026`."""
    more = " or more" if any(stay.flexible for stay in trip.stays) else ""
    return f"{counted(trip.nights, 'night')}{more} from {day_name(trip, 0)} {trip.start.year}"


def stay_name(trip: Trip, stay: int) -> str:
    """`at the lake`, or `at stay 2` where it has no name."""
    its: Stay = trip.stays[stay - 1]
    return f"at {its.name}" if its.name else f"at stay {stay}"


def place_name(trip: Trip, place: str) -> str:
    """The name of a place, its id where it has none or is not on the trip any more."""
    found: Place | None = next((p for p in trip.places if p.id == place), None)
    return found.name if found is not None and found.name else place


def _mark(trip: Trip, label: str, day: int) -> str:
    place = label.rpartition("@")[0]
    if label == "start" and trip.today:
        return f"today ({day_name(trip, trip.today)})"
    return f"{place_name(trip, place) if place else f'the {label}'} ({day_name(trip, day)})"


def _either(words: Sequence[str]) -> str:
    return _joined(words, "or")


def all_of(words: Sequence[str]) -> str:
    """`water, gray and propane`."""
    return _joined(words, "and")


def _joined(words: Sequence[str], last: str) -> str:
    return "".join(words) if len(words) < 2 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def day_name(trip: Trip, day: int) -> str:
    """Weekday, day and month in fixed English, whatever the locale."""
    return day_of(trip.date_of(day))
