"""Rounds of questions that end in one act: at a stop, and catching up after days of silence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.moment import Moment, read_when
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FILLS, FRESH, Rig
from vanlife_supply.tui.desk import Known
from vanlife_supply.tui.noting import completed
from vanlife_supply.tui.screens.lines import LinesScreen, Question
from vanlife_supply.wording.amounts import money
from vanlife_supply.wording.cautions import caution_after
from vanlife_supply.wording.entries import entry_line
from vanlife_supply.wording.names import supply_name

NO, YES = {"n", "no", "-", "none", "nothing"}, {"y", "yes", "full", "to the top", "empty"}
Now = Callable[[], Moment]


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of a round: the verb and supply it is about, what Enter alone means ("" nothing), days back?

    `gap`: a time for "yes, some time in between", its ± as wide as the gap.
    """

    question: Question
    verb: str
    supply: str = ""
    on_enter: str = ""
    back: bool = False
    gap: str = ""


def stop_round(rig: Rig) -> tuple[Asked, ...]:
    """Time and place first, then what fills up, then what runs out; gray and water are taken as done by Enter."""
    when = Question("when", "When", "When and where? Enter: just now.", "an hour ago, Riverside")
    asked = [Asked(when, "")]
    for its in sorted(rig.supplies, key=lambda s: s.direction != FILLS):
        name, fills = supply_name(its.name, rig), its.direction == FILLS
        usual = fills or its.name == FRESH
        what = "dumped empty" if fills else "filled to the top"
        enter = f"Enter: {what}; n: no" if usual else f"Enter: no; y: {what}"
        question = Question(its.name, name, f"{name}? {enter}; or how much, and what was paid.", "3 gal $1.50")
        asked.append(Asked(question, "dumped" if fills else "filled", its.name, "y" if usual else ""))
    return tuple(asked)


def catch_up_round(rig: Rig, since: str = "") -> tuple[Asked, ...]:
    """Filled? dumped? what is left now? Enter alone says no. `since`: when something was noted last."""
    asked: list[Asked] = []
    gap = f"between {since} and now" if since else ""
    some = "Enter: no; y: yes, some time; or when." if gap else "Enter: no; or when."
    for its in rig.supplies:
        name = supply_name(its.name, rig)
        if its.name == FRESH:
            said = f"Was water filled meanwhile? {some}"
            asked.append(Asked(Question(FRESH, name, said, "tue"), "filled", FRESH, back=True, gap=gap))
        elif its.direction == FILLS:
            said = f"Was {name.lower()} dumped meanwhile? {some}"
            asked.append(Asked(Question(its.name, name, said, "yesterday"), "dumped", its.name, back=True, gap=gap))
    if rig.of(FRESH):
        several = len(rig.of(FRESH)) > 1
        said = "What is in each jug now?" if several else "How much water is left?"
        example = "a empty, b half" if several else "half, or 4 gal"
        asked.append(Asked(Question("left", "Left", f"{said} Enter: not looked.", example), "looked", FRESH))
    return tuple(asked)


def said_in(round_: tuple[Asked, ...], answers: list[str], rig: Rig, now: Moment) -> tuple[Typed, ...]:
    """What the answers so far say, oldest question first. Refusal when one is not understood."""
    at, place = "", ""
    said: list[Typed] = []
    for asked, answer in zip(round_, answers, strict=False):
        if not asked.verb:
            at, place = _when_and_where(answer, rig, now)
            continue
        said += [replace(t, at=t.at or at, place=t.place or place) for t in _each(asked, answer, rig, now)]
    return tuple(said)


def _each(asked: Asked, answer: str, rig: Rig, now: Moment) -> list[Typed]:
    """What one answer says: nothing, one thing, or one thing a jug (`a empty, b half`)."""
    text = answer.strip().lower() or asked.on_enter
    if not text or text in NO:
        return []
    if asked.verb != "looked":
        rest = "" if text in YES else completed(text)
        typed = read_phrase(f"{asked.verb} {asked.supply} {rest}".strip(), rig, now)
        if asked.gap and text in YES:
            typed = replace(typed, at=asked.gap)
        if asked.back and not typed.at:
            raise Refusal("When? Say tue, yesterday, 3 days ago, or now.")
        return [replace(typed, supply=asked.supply)]
    return [_looked(asked.supply, part.strip(), rig, now) for part in text.split(", ") if part.strip()]


def _looked(supply: str, text: str, rig: Rig, now: Moment) -> Typed:
    first, _, rest = text.partition(" ")
    named = next((c.label for c in rig.of(supply) if c.letter.lower() == first and rest), "")
    typed = read_phrase(f"looked {supply} {rest if named else text}", rig, now)
    return replace(typed, supply=supply, container=named or typed.container)


def _when_and_where(text: str, rig: Rig, now: Moment) -> tuple[str, str]:
    """`last night, Riverside` → the time and the place, in either order; either may be missing."""
    at, place = "", ""
    for part in (p.strip() for p in text.split(",") if p.strip()):
        word = completed(part)
        try:
            read_when(word, now, rig.zone)
            at = word
        except Refusal:
            place = part
    return at, place


def asking(title: str, round_: tuple[Asked, ...], rig: Rig, now: Now, known: Known) -> LinesScreen:
    """The screen of a round."""

    def understood(answers: list[str]) -> str:
        asked = round_[len(answers) - 1]
        if not asked.verb:
            at, place = _when_and_where(answers[-1], rig, now())
            return f"{at or 'just now'}{f', at {place}' if place else ''}"
        done = [build(typed, rig, now()) for typed in said_in(round_, answers, rig, now())]
        said = done[len(done) - len(_each(asked, answers[-1], rig, now())) :]
        told = "; ".join(f"{entry_line(e, rig)}{_paid(e, rig)}" for e in said) or "nothing"
        before = (*known.entries, *done[:-1])
        mind = "" if asked.back or not said else caution_after(said[-1], rig, before, known.arrangements)
        return "\n".join(filter(None, (told, mind)))

    return LinesScreen(title, tuple(a.question for a in round_), understood)


def _paid(entry: Entry, rig: Rig) -> str:
    return "" if entry.paid is None else f", paid {money(entry.paid, rig.currency)}"
