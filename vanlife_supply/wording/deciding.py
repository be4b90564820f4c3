"""Decisions in words: make it last, can I, what if, stay or go, drinking only, which look. Drinking is never rationed."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.deciding.model import Allowance, Compared, Day, Enduring, Lasting, Look, Part, Staying, Wish
from vanlife_supply.forecast.model import First, Forecast
from vanlife_supply.moment import Moment
from vanlife_supply.quantity import shown
from vanlife_supply.rig.model import FILLS, FRESH, GREY, PROPANE, STOVE_FUEL, Rig, Supply
from vanlife_supply.wording.amounts import amount, chance, halves, number, rate
from vanlife_supply.wording.days import aligned
from vanlife_supply.wording.entries import lowered
from vanlife_supply.wording.names import supply_name, thing_name
from vanlife_supply.wording.times import about, count_on, day, named_day, spell
from vanlife_supply.wording.times import part as time_of_day

NOT_ADVICE = "Planning rules, not medical advice; drinking is never rationed."
WORTH_TELLING = 1.05
"""From this much more than usual on it is told what may come up."""
LEAST_SHOWN, WORTH_A_LOOK = 0.01, 0.1
"""Narrowings that are told at all, and that are worth a look though it says nothing of what comes first."""
_TARE = "To weigh a cylinder, read its empty weight (TW) off the collar and write it into the rig as its tare."
ALL_OF_IT = 0.97
"""A cut beyond this leaves nothing to speak of."""
LEAST_SHARE = 0.1
"""Less than this share of what is wished for is not worth offering."""
WORTH_DOING = 0.05
"""A fill or dump that lowers the chance of trouble by less is not told."""
_HOW = {"scale": "Weighing", "sight": "Looking at"}


# --- make it last ---------------------------------------------------------------------------


def lasting_text(told: Lasting, rig: Rig) -> str:
    """What may be used a day until the date, what goes, what is kept, what stops you next: a line each."""
    its, name = rig.supply(told.supply), supply_name(told.supply, rig)
    fills = its.direction == FILLS
    until, most = about(told.until, told.now), "at most " if fills else ""
    sure, likely = rate(told.sure.per_day, its), rate(told.likely.per_day, its)
    counted = f"{most}{sure} {its.unit} a day to count on it, {likely} likely" if sure != "0" else _nothing(likely, its)
    lines = [
        f"{name} until {until}, {spell(told.days)}: {counted}. {_usual(told, its)}",
        _cuts(told),
    ]
    if told.drinking is not None:
        lines += _drinking(told, rig)
    elif told.sizes:
        more = " More goes elsewhere, or dump before." if told.sure.cut else ""
        lines.append(f"Into the sink that is {_loads(told.sure.per_day, told.sizes)}.{more}")
    if told.reserve:
        lines.append(f"{amount(told.reserve, its)} stays in reserve.")
    if told.next_first is not None:
        lines.append(_next(told, rig))
    return "\n".join(line for line in lines if line) + "\n"


def _nothing(likely: str, its: Supply) -> str:
    return f"nothing at all to count on it{f', {likely} {its.unit} a day likely' if likely != '0' else ''}"


def _next(told: Lasting, rig: Rig) -> str:
    """`Then gray is full first, about …`; what comes before the date asked about is not then."""
    assert told.next_first is not None
    likely = told.next_first.days_left.p50
    if likely is not None and likely < told.days:
        return f"Before that {_first(told.next_first, told.now, rig)}."
    return f"{'Then' if told.sure.cut else 'As you live,'} {_first(told.next_first, told.now, rig)}."


def _usual(told: Lasting, its: Supply) -> str:
    """`Usual is 0.2, 0.34 with what may come up.`"""
    more = f", {rate(told.coming, its)} with what may come up" if told.coming > WORTH_TELLING * told.usual else ""
    return f"Usual is {rate(told.usual, its)}{more}."


def _cuts(told: Lasting) -> str:
    if not told.sure.cut and told.chance_as_usual > 0.85:
        return f"It lasts as you live: {chance(told.chance_as_usual)}."
    if not told.sure.cut:
        return f"As you live it lasts so long: {chance(told.chance_as_usual)}."
    sure, likely = _less(told.sure), _less(told.likely)
    if told.sure.cut > ALL_OF_IT:
        return f"As you live it lasts so long: {chance(told.chance_as_usual)}."
    cut = sure if sure == likely or not told.likely.cut else f"{sure}, likely {likely} will do"
    return f"That is {cut}. As you live it lasts so long: {chance(told.chance_as_usual)}."


def _less(allowance: Allowance) -> str:
    return f"{5 * max(1, round(allowance.cut * 20))}% less"


def _drinking(told: Lasting, rig: Rig) -> list[str]:
    its = rig.supply(told.supply)
    if not told.sure.cut:
        return [f"Beside drinking that is {_loads(told.sure.washing or 0.0, told.sizes)}."]
    drinking = f"Drinking takes about {rate(told.drinking or 0.0, its)} {its.unit} a day, pets with you, and is never cut"
    if told.sure.drinks:
        left = told.sure.washing or 0.0
        loads = _loads(left, told.sizes)
        return [f"{drinking}: wash less. For washing and all else {rate(left, its)} {its.unit} a day: {loads}."]
    return [f"{drinking}. Washing less is not enough to count on it: fill before then, drink as always."]


def _loads(per_day: float, sizes: dict[str, float]) -> str:
    """`a shower every 3 days, or the dishes twice a day`."""
    shower, dishes = (per_day / sizes[word] for word in ("shower", "dishes"))
    return f"{_often('a shower', 'showers', shower)}, or {_often('the dishes', 'times the dishes', dishes)}"


def _often(one: str, many: str, a_day: float) -> str:
    if a_day >= 1.5:
        return f"{halves(int(a_day * 2) / 2)} {many} a day"
    if a_day >= 0.9:
        return f"{one} a day"
    if a_day < 1 / 30:
        return f"no {many.removeprefix('times ')}"
    every = 1.0 / a_day
    return f"{one} every {number(every) if every < 2 else halves(int(every * 2 + 0.999) / 2)} days"


def _first(first: First, now: Moment, rig: Rig) -> str:
    """`gray is full first, about Sun 10 May, morning`."""
    likely = first.days_left.p50
    when = "beyond a year" if likely is None else f"about {about(now.plus(likely), now)}"
    return f"{_ends(first.what, rig)} first, {when}"


def _ends(what: str, rig: Rig) -> str:
    supply = next((s for s in rig.supplies if s.name == what), None)
    verb = "is up" if supply is None else "is full" if supply.direction == FILLS else "is out"
    return f"{lowered(thing_name(what, rig))} {verb}"


# --- can I ----------------------------------------------------------------------------------

_VERDICTS = {"yes": "yes", "likely": "likely, not surely", "tight": "yes, but", "no": "no"}


def wish_text(told: Wish, rig: Rig) -> str:
    """The verdict, each supply, the cure, and what stops you first before and after: a line each."""
    lines = [f"{_wished(told, rig)}: {_VERDICTS[told.verdict]}."]
    lines += [_part(part, told, rig) for part in told.parts]
    cure = wish_cure(told, rig)
    if cure:
        lines.append(cure)
    if told.verdict != "no":
        lines.append(before_after(told.before, told.after, rig))
    return "\n".join(lines) + "\n"


def _wished(told: Wish, rig: Rig) -> str:
    if told.until is not None:
        return f"A guest until {about(told.until, told.before.as_of)}"
    need = amount(told.parts[0].need, rig.supply(FRESH))
    own = ", your usual" if told.own else ""
    return f"{told.word.capitalize()}, {need}{own}" if told.word else f"{need} of water"


def _part(part: Part, told: Wish, rig: Rig) -> str:
    its = rig.supply(part.supply)
    fills = its.direction == FILLS
    sure, likely = amount(part.left.p10 or 0.0, its), amount(part.left.p50 or 0.0, its)
    room = "room" if fills else "left"
    counted = f"{sure} to count on"
    beside = f" beside the usual {amount(part.beside, its)}" if part.beside else ""
    held = {"no": likely, "likely": f"{likely}, {counted}"}.get(part.fits, counted)
    line = f"{supply_name(part.supply, rig)}: {part.fits}, {room} {held}, takes {amount(part.need, its)}{beside}."
    if part.plan is None or part.risk is None or part.risk_before is None or part.risk - part.risk_before < 0.05:
        return line
    trouble = "full" if fills else "out"
    before = named_day(part.plan, told.before.as_of)
    return f"{line[:-1]}; {trouble} before {before}: {chance(part.risk)}, without it {chance(part.risk_before)}."


def wish_cure(told: Wish, rig: Rig) -> str:
    """What would make it all right, "" where nothing needs to."""
    if told.verdict == "yes":
        return ""
    if told.until is not None:
        return _guest_cure(told, rig)
    water = next(part for part in told.parts if part.supply == FRESH)
    its, cures = rig.supply(FRESH), []
    if water.need > rig.capacity(FRESH):
        return f"Cure: none. All that can be aboard is {amount(rig.capacity(FRESH), its)}."
    if water.fits != "yes":
        most = water.left.p10 or 0.0
        cures.append("fill first" + (f" or take at most {amount(most, its)}" if most > LEAST_SHARE * water.need else ""))
    if told.outside is not None:
        need = next(part.need for part in told.parts if part.supply == GREY)
        kept = f"keep {amount(told.outside, rig.supply(GREY))} of it out of the sink"
        dump = " or dump first" if need <= sum(c.stop for c in rig.of(GREY)) else ""
        cures.append(("do it outside" if told.outside >= 0.95 * need else kept) + dump)
    return f"Cure: {', and '.join(cures)}." if cures else ""


def _guest_cure(told: Wish, rig: Rig) -> str:
    """`Cure: fill and dump first.`, with what must be done once more before the guest leaves."""
    doubt = 1.0 - rig.confidence
    short = [part for part in told.parts if (part.risk or 0.0) > doubt]
    first = [part for part in short if (part.risk or 0.0) - (part.refilled or 0.0) > WORTH_DOING]
    later = [part for part in short if (part.refilled or 0.0) > doubt]
    cures = [f"{_deeds(first, rig)} first"] if first else []
    if later and told.until is not None:
        again = "again" if later == first else _deeds(later, rig) + (" again" if set(later) & set(first) else "")
        cures.append(f"{again} before {named_day(told.until, told.before.as_of)}")
    shorter = "" if any((part.risk_before or 0.0) > doubt for part in short) else ", or let the guest stay shorter"
    return f"Cure: {', and '.join(cures)}{shorter}."


def _deeds(parts: Sequence[Part], rig: Rig) -> str:
    return " and ".join("dump" if rig.supply(part.supply).direction == FILLS else "fill" for part in parts)


def before_after(before: Forecast, after: Forecast, rig: Rig) -> str:
    """What stops you first as things stand and then: `First now: gray, 2 days, likely 3. Then: gray, 14 hours.`"""
    return f"First now: {_soonest(before, rig)}. Then: {_soonest(after, rig)}."


def _soonest(forecast: Forecast, rig: Rig) -> str:
    first = forecast.first
    return f"{lowered(thing_name(first.what, rig))}, {count_on(first.days_left)}" if first else "nothing known"


# --- what if --------------------------------------------------------------------------------


def compared_text(told: Compared, rig: Rig) -> str:
    """What is supposed, every supply now and then, what stops you first; the log is as it was."""
    rows = [["", "now", "then"]]
    for one in told.before.supplies:
        then = told.after.supply(one.supply)
        now_said = count_on(one.days_left) if one.days_left else "not known yet"
        then_said = count_on(then.days_left) if then and then.days_left else "not known yet"
        if one.supply == told.left_out:
            then_said = "left alone"
        rows.append([supply_name(one.supply, rig), now_said, "the same" if then_said == now_said else then_said])
    lines = [f"What if: {', '.join(told.supposed)}.", *aligned(rows), before_after(told.before, told.after, rig)]
    if told.stand_in is not None:
        lines.append(_stand_in(told, rig))
    return "\n".join([*lines, "Nothing was noted."]) + "\n"


def _stand_in(told: Compared, rig: Rig) -> str:
    other = rig.supply(PROPANE if told.left_out == STOVE_FUEL else STOVE_FUEL)
    say = supply_name(other.name, rig)
    line = f"{say} does the cooking: {rate(told.stand_in or 0.0, other)} {other.unit} a day more, on the same pots."
    if other.name == STOVE_FUEL and "heater" in told.before.conditions:
        line += " The heater stays off. Never heat a room with a stove: carbon monoxide."
    return line


# --- stay or go -----------------------------------------------------------------------------


def staying_text(told: Staying, rig: Rig, most: int | None = None) -> str:
    """By when to leave, then a line for each of the next days.

    `most`: of the supplies only so many, those that hold worst, and nothing of the last drop, for a narrow page.
    """
    holds = {s.name: sum(d.each[s.name] for d in told.days)
             for s in rig.supplies if all(s.name in d.each for d in told.days)}  # fmt: skip
    shown_supplies = [name for name in holds if name in sorted(holds, key=holds.__getitem__)[:most]]
    usual = time_of_day(told.days[0].at)
    head = [f"until {usual}", "all", *(supply_name(name, rig) for name in shown_supplies)]
    drops = most is None and any(d.last_drop is not None for d in told.days)
    rows = [head + ["last drop"] * drops]
    rows += [_day_row(d, shown_supplies, drops, usual) for d in told.days]
    return "\n".join([leave_line(told, rig), *aligned(rows)]) + "\n"


def leave_line(told: Staying, rig: Rig) -> str:
    """`Leave by Sat 9 May, noon: until then 9 chances in 10 that everything holds. Gray is full first, …`"""
    sure = chance(told.confidence)
    if told.leave_by is None:
        return f"Stay: everything holds until {day(told.days[-1].at)}, {sure} or better."
    why = f" Then {_first(told.first, told.now, rig)}." if told.first else ""
    if told.leave_by.epoch - told.now.epoch < 3600:
        return f"Go: that everything holds even for hours is less than {sure}.{why}"
    return f"Leave by {about(told.leave_by, told.now)}: until then {sure} that everything holds.{why}"


def _day_row(d: Day, supplies: list[str], drops: bool, usual: str) -> list[str]:
    when = time_of_day(d.at)
    held = (_odds(d.each[n]) if n in d.each else "" for n in supplies)
    cells = [day(d.at) if when == usual else f"{day(d.at)}, {when}", _odds(d.together), *held]
    return cells + ([_odds(d.last_drop) if d.last_drop is not None else ""] if drops else [])


def _odds(p: float) -> str:
    """`chance` without its noun, for a table: `3 in 4`, `1 in 2`, `sure`, `none`."""
    said = chance(p).replace(" chances in ", " in ").replace(" chance in ", " in ")
    return {"almost certain": "sure", "hardly any chance": "none", "an even chance": "1 in 2"}.get(said, said)


# --- drinking only --------------------------------------------------------------------------


def enduring_text(told: Enduring, rig: Rig) -> str:
    """How long the drinking water keeps those aboard, what is missing, what does not count."""
    its = rig.supply(FRESH)
    who = ", ".join([f"{told.people:g} {'person' if told.people == 1 else 'people'}", *told.pets])
    heat = " in the heat" if told.hot else ""
    sure, likely = spell(told.days.p10, down=True), spell(told.days.p50, down=True)
    long = sure if sure == likely else f"{sure}, likely {likely}"
    less = told.rule > WORTH_TELLING * told.need
    lines = [
        f"Drinking only: count on {long}, until about {about(told.now.plus(told.days.p50 or 0.0), told.now)}.",
        f"{amount(told.litres.p50 or 0.0, its)} of drinking water, the reserve with it; {who} drink about "
        f"{_fine(told.need, rig)} a day{heat}{', by your log' if less else ''}.",
    ]
    if less:
        by_rule = spell((told.litres.p10 or 0.0) / told.rule, down=True)
        lines.append(f"The rule is a generous {_fine(told.rule, rig)} a day: by it count on {by_rule}.")
    if told.until is not None and told.short is not None:
        when = about(told.until, told.now)
        lines.append(f"Short by {_fine(told.short, rig)} until {when}: get help or water before." if told.short
                     else f"Enough until {when}.")  # fmt: skip
    if told.left_out:
        lines.append(f"Not counted: {', '.join(told.left_out)}.")
    return "\n".join([*lines, NOT_ADVICE]) + "\n"


def _fine(litres: float, rig: Rig) -> str:
    """To two places: this is counted by the cup."""
    its = rig.supply(FRESH)
    return f"{shown(litres, its.unit, its.measure, its.density):.2f} {its.unit}"


# --- which look -----------------------------------------------------------------------------


def looks_text(looks: tuple[Look, ...], rig: Rig) -> str:
    """What each look would do, the best first."""
    if not looks:
        return "Nothing is known yet: any note of what is full or how much is left helps.\n"
    best = looks[0]
    lines = [_best(best if best.narrows_first >= LEAST_SHOWN else max(looks, key=lambda k: k.narrows_own), rig)]
    rows = [["", "what comes first", "its own days"]]
    rows += [[look_line(k, rig), _share(k.narrows_first), _share(k.narrows_own)] for k in looks]
    return "\n".join([*lines, *aligned(rows), *(_TARE for k in looks if _lacks_tare(k, rig))]) + "\n"


def _best(look: Look, rig: Rig) -> str:
    if look.narrows_first >= LEAST_SHOWN:
        return f"{look_line(look, rig)} would help most."
    if look.narrows_own >= WORTH_A_LOOK:
        return f"{look_line(look, rig)} would say most, though not of what comes first."
    return "No look would tell much now."


def _lacks_tare(look: Look, rig: Rig) -> bool:
    return look.how == "scale" and any(c.label == look.container and not c.tare for c in rig.of(look.supply))


def look_line(look: Look, rig: Rig) -> str:
    """`Weighing the cylinder`, `Looking at water tall jug`."""
    name = lowered(supply_name(look.supply, rig))
    container = look.container if look.container.lower().startswith(name) else f"{name} {look.container}"
    return f"{_HOW[look.how]} {container}"


def _share(narrower: float) -> str:
    return f"surer by {narrower * 100:.0f}%" if narrower >= LEAST_SHOWN else "no change"
