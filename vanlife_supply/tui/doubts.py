"""Questions in plain words with one-key answers: what each answer would note. No screen here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.company import Guests
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.planning import asked_as
from vanlife_supply.forecast.model import SupplyOutlook
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import number
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.times import day


@dataclass(frozen=True, slots=True)
class Answer:
    """One way to answer: the id of its action, its words, what it notes (None: `look` or nothing)."""

    act: str
    words: str
    said: Typed | None = None
    look: bool = False
    """How much is left is asked next."""
    key: str = ""
    """The key shown, where its action has several."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is asked, what it is about, and the answers. `once`: remembered under this, never asked again."""

    asked: str
    told: str
    supply: str
    answers: tuple[Answer, ...]
    once: str = ""


def impossible(outlook: SupplyOutlook, entries: Sequence[Entry], rig: Rig, now: Moment) -> Doubt:
    """By the balance it should be over: something came in, less was used, or nobody was there."""
    name, fills = supply_name(outlook.supply, rig), outlook.direction == FILLS
    mine = [e.at.epoch for e in entries if e.supply == outlook.supply and e.kind in (m.FILL, m.DUMP, m.READING, m.NEXT)]
    since = at(max([*mine, outlook.last_trusted or 0.0]) or now.epoch - 86_400, now.zone, now.offset)
    gap = f"between {since.iso()} and {now.iso()}"
    if fills:
        missing = Answer("missing", "A dump is missing", Typed(m.DUMP, outlook.supply, at=gap), key="d")
        less = Answer("less", "Less went in: say how much is in it", look=True)
    else:
        missing = Answer("missing", "A fill is missing", Typed(m.FILL, outlook.supply, "some", at=gap))
        less = Answer("less", "I used less: say how much is left", look=True)
    away = Typed(m.CONDITION, word="away", at=since.iso(), until=now.iso())
    told = f"The last sure word of it is from {day(since)}."
    asked = f"{name} should be {'full' if fills else 'gone'} by now. What was it?"
    return Doubt(asked, told, outlook.supply, (missing, less, Answer("was_away", "I was away", away)))


def guests(its: Guests, now: Moment) -> Doubt:
    """Are they gone? Asked once."""
    since = its.entry.until if its.over and its.entry.until else its.entry.at
    aboard, lives = number(its.aboard), number(its.lives)
    if its.over:
        asked = "Is the guest gone?"
        told = f"{aboard} aboard were noted until {day(since)}; since then {lives}."
        gone = Answer("gone", "Yes, gone as noted")
        stays = Answer("stays", "No, still here", Typed(m.PEOPLE, amount=f"{its.aboard:g}", word=m.GUEST, at=since.iso()))
    else:
        asked = "Is the guest gone?"
        told = f"{aboard} aboard since {day(since)}, where {lives} live."
        gone = Answer("gone", "Yes, gone", Typed(m.PEOPLE, amount=f"{its.lives:g}", at="now"))
        stays = Answer("stays", "No, still here")
    return Doubt(asked, told, "", (gone, stays), once=its.entry.id)


def planned(plan: Entry, rig: Rig) -> Doubt:
    """Was it done as planned? Asked once."""
    assert plan.until is not None
    deed = "Filled to the top" if plan.word == m.FILL else "Dumped"
    asked = f"{supply_name(plan.supply, rig)}: was it {'filled' if plan.word == m.FILL else 'dumped'} as planned?"
    said = Typed(plan.word, plan.supply, at=plan.until.iso(), place=plan.place)
    done = Answer("gone", f"Yes: {deed.lower()} {day(plan.until)}", said)
    return Doubt(asked, f"Planned for {day(plan.until)}; nothing was noted of it.", plan.supply,
                 (done, Answer("stays", "No, it was not")), once=asked_as(plan))  # fmt: skip
