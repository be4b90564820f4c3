"""A place on the screen: its row in the list, and the page with all that is known of it."""

from __future__ import annotations

from vanlife_supply.moment import Moment, at
from vanlife_supply.place.answers import ITS_TEXT, Answer
from vanlife_supply.place.conditions import ago, own_words
from vanlife_supply.place.model import OWN, Place, What
from vanlife_supply.resupply import Atlas, Staying
from vanlife_supply.rig.model import Rig
from vanlife_supply.wording.amounts import money
from vanlife_supply.wording.entries import entry_full, raised
from vanlife_supply.wording.map_tags import told_tags
from vanlife_supply.wording.names import printable
from vanlife_supply.wording.places import HAD, far, place_name, stay_clock, told_paid, what_word
from vanlife_supply.wording.times import day

Section = tuple[str, list[str]]
"""A heading ("" none) and its paragraphs."""


def answer_words(said: Answer, now: Moment) -> str:
    """`water yes, you 3 weeks ago`, `gray ask there`, `water no, map 2 years ago`."""
    if not said.hinted:
        return "nothing is known of it"
    who = "" if said.since is None else f", {'you' if said.own else 'map'} {ago(now.epoch - said.since)}"
    return f"{what_word(said.what)} {HAD[said.word]}{who}"


def road_words(place: Place, known: Atlas, units: str) -> str:
    """How far, `here`, or `?`."""
    road = known.from_here(place)
    if road is None:
        return "?"
    return far(road, units) if road.high > 0 else "here"


def detail(place: Place, known: Atlas, units: str) -> str:
    """All of a row in a paragraph: whole name, every answer, how far and how that is known, own note."""
    said = [answer_words(a, known.as_of) for a in known.answers(place).values() if a.hinted]
    way = known.from_here(place)
    road = f"{far(way, units)}, {way.how}" if way and way.high > 0 else ""
    note = f'your note: "{place.note}"' if place.note else ""
    parts = [place_name(place), "; ".join(said) or "nothing is known of it", road, note]
    return printable(". ".join(part for part in parts if part) + ".")


def ask_what(place: Place, what: What) -> str:
    """The question whose answer is yes or no."""
    return printable(f"{what_word(what).capitalize()} at {place_name(place)}?")


def sections(place: Place, known: Atlas, rig: Rig, stay: Staying | None = None) -> list[Section]:
    """The whole page of a place: answers, stay limit, its own text, what was done there at what cost, what the map says."""
    found: list[Section] = [("", [*_answers(place, known, rig), *([stay_clock(stay, known.as_of)] if stay else [])])]
    words = own_words(place.tags)
    if words:
        found.append(("Its text", [f'"{words}"']))
    if place.note:
        found.append(("Your note", [place.note]))
    done = _history(place, known, rig)
    if done:
        found.append(("Done there", done))
    tags, other = told_tags(place.tags)
    spot = f"{place.lat:.5f}, {place.lon:.5f}" if place.point else "where exactly is not known"
    origin = "noted by you" if place.source == OWN else f"from {place.source}"
    where = "; ".join(part for part in (spot, origin, place.licence) if part)
    told = [f"{raised(tags)}." if tags else "", f"Other: {other}." if other else ""]
    found.append(("From the map" if any(told) else "Where", [part for part in (*told, where) if part]))
    return [(head, [printable(text) for text in texts]) for head, texts in found]


def _answers(place: Place, known: Atlas, rig: Rig) -> list[str]:
    lines = []
    for what, said in known.answers(place).items():
        paid = told_paid(known.cost(place, what), rig.currency, known.as_of)
        if said.hinted or paid:
            cost = f" {raised(paid)}." if paid else ""
            before, quoted, _ = said.reason.partition(ITS_TEXT)  # the text itself stands below
            reason = f"{before}; see its text." if quoted else before
            lines.append(f"{what_word(what).capitalize()}: {HAD[said.word]}. {reason}{cost}")
    road = known.from_here(place)
    if road:
        lines.append(f"{raised(far(road, rig.units))}{f', {road.how}' if road.high else ''}.")
    fits, why = known.fits(place)
    if why:
        lines.append(f"Does the vehicle fit? {fits.capitalize()}: {why}.")
    return lines or ["Nothing is known of it."]


def _history(place: Place, known: Atlas, rig: Rig) -> list[str]:
    """What was noted and said there, the newest first, then what it cost altogether."""
    visits = known.visits.get(place.id, [])
    said = known.paid.get(place.id, [])
    lines = [(e.at.epoch, f"{entry_full(e, rig, known.as_of)}.") for e in visits]
    for finding in said:
        one = finding.said
        when = day(at(one.on, known.as_of.zone, known.as_of.offset))
        paid = f", paid {money(finding.paid, rig.currency)}" if finding.paid is not None else ""
        remark = f" ({one.remark})" if one.remark else ""
        lines.append((one.on, f"{when}: {what_word(one.what)} {one.answer}{paid}{remark}."))
    spent = [p for p in (*(e.paid for e in visits), *(f.paid for f in said)) if p is not None]
    total = [f"Paid there so far: {money(sum(spent), rig.currency)}."] if len(spent) > 1 else []
    return [*(text for _, text in sorted(lines, reverse=True)), *total]

