"""Rounds of questions that end in one act: at a stop, and catching up after days of silence."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from vanlife_supply.actions import key_of
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.fitting import takes_gross
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.naming import take_supply
from vanlife_supply.entry.phrase import VERBS, read_phrase
from vanlife_supply.entry.plain import LEVEL_WORDS
from vanlife_supply.entry.prices import traded_for
from vanlife_supply.moment import Moment, read_when
from vanlife_supply.quantity import NUMBER_WORDS
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FILLS, FRESH, GREY, PROPANE, STOVE_FUEL, Rig
from vanlife_supply.tui.begun import completed
from vanlife_supply.tui.desk import Known
from vanlife_supply.tui.letters import letters
from vanlife_supply.tui.noting import store
from vanlife_supply.tui.screens.lines import LinesScreen, Question
from vanlife_supply.wording.amounts import money
from vanlife_supply.wording.cautions import caution_after
from vanlife_supply.wording.entries import entry_full, entry_line
from vanlife_supply.wording.names import supply_name

NO, YES = {"n", "no", "-", "none", "nothing"}, ("y", "yes")
_ALSO = {"weighs": "weighed", "refill": "filled", "refilled": "filled",
         **dict.fromkeys(("trade", "swap", "swapped"), "traded")}  # fmt: skip
"""Words for a verb, where only that can be meant."""
_ALL = ("both", "all", "each")
_LEVELS = {word: word for word in ("empty", "full", "half", "quarter", "three quarters")} | {"dry": "empty", "gone": "empty"}
"""A word for how full it is, which its beginning stands for too → the word for it in a phrase."""
_EXAMPLES = {
    GREY: ("$5", "€5"), FRESH: ("12 gal $3", "45 L €2"), STOVE_FUEL: ("1 gal $18", "5 L €15"),
    PROPANE: ("3 gal $12, or traded $22", "6 kg €15, or traded €22"),
}  # fmt: skip
"""Supply → what a stop may look like in US units and metric: common practice, no source."""
Now = Callable[[], Moment]


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of a round: the verb and supply it is about, what Enter alone means ("" nothing), days back?

    `gap`: a time for what has none, some time in between, its ± as wide as the gap. `open`: other supplies may be named.
    """

    question: Question
    verb: str
    supply: str = ""
    on_enter: str = ""
    back: bool = False
    gap: str = ""
    open: bool = False


def stop_round(rig: Rig) -> tuple[Asked, ...]:
    """Time and place first, then what fills up, then what runs out; gray and water are taken as done by Enter."""
    when = Question("when", "When", "When and where? Enter: just now.", "an hour ago, Riverside")
    asked = [Asked(when, "")]
    for its in sorted(rig.supplies, key=lambda s: s.direction != FILLS):
        name, fills = supply_name(its.name, rig), its.direction == FILLS
        usual = fills or its.name == FRESH
        can = store(rig, its.name)
        what = "dumped empty" if fills else f"{f'{can.label} ' if can else ''}filled to the top"
        enter = f"Enter: {what}; n: no" if usual else f"Enter: no; y: {what}"
        traded = f"; {key_of('traded_in')}: traded in" if its.name == PROPANE else ""
        example = _EXAMPLES.get(its.name, ("5 gal $5", "20 L €5"))[rig.units != "us"]
        question = Question(its.name, name, f"{name}? {enter}{traded}; or how much, and what was paid.", example)
        asked.append(Asked(question, "dumped" if fills else "filled", its.name, YES[0] if usual else ""))
    return tuple(asked)


def catch_up_round(rig: Rig, since: str = "", helps: str = "") -> tuple[Asked, ...]:
    """Filled? dumped? what is left now? Enter alone says no. `since`: when something was noted last; `helps`: the supply a
    look at which would help most."""
    gap = f"between {since} and now" if since else ""
    some = "y: yes, some time; or when" if gap else "or when"
    asked: list[Asked] = []
    filled = sorted((s.name for s in rig.supplies if s.direction != FILLS), key=lambda name: name != FRESH)
    if filled:
        own = {name: letter for letter, name in letters(rig).items()}
        each = ", ".join(f"{own[name]} {supply_name(name, rig).lower()}" for name in filled)
        said = f"Was {supply_name(filled[0], rig).lower()} filled meanwhile? Enter: no; {some}."
        if len(filled) > 1:
            said = f"Filled or bought meanwhile? Enter: no; {each}: {'some time, or when' if gap else 'with the day'}."
        example = f"{own[filled[0]]} tue, {own[filled[-1]]} sat" if len(filled) > 1 else "tue"
        asked.append(Asked(Question("filled", "Filled", said, example), "filled", filled[0], back=True, gap=gap, open=True))
    for its in (s for s in rig.supplies if s.direction == FILLS):
        name = supply_name(its.name, rig)
        said = f"Was {name.lower()} dumped meanwhile? Enter: no; {some}."
        asked.append(Asked(Question(its.name, name, said, "yesterday"), "dumped", its.name, back=True, gap=gap))
    return (*asked, _left(rig, helps or filled[0])) if filled else tuple(asked)


def _left(rig: Rig, first: str) -> Asked:
    """What is left now, first of all of one supply; of others by name."""
    others = [s.name for s in rig.supplies if s.name != first]
    several, weighed = len(rig.of(first)) > 1, takes_gross(first, rig)
    what = "what is in each now" if several else "what does it weigh now" if weighed else "how much is in it now"
    also = f" Others by name: {', '.join(rig.say(name) for name in others)}." if others else ""
    said = f"{supply_name(first, rig)}: {what}?{also} Enter: not looked."
    example = "a empty, b half" if several else _seen(first, rig)
    named = f", {rig.say(others[-1])} {_seen(others[-1], rig)}" if others else ""
    return Asked(Question("left", "Left", said, f"{example}{named}"), "looked", first, open=True)


def _seen(supply: str, rig: Rig) -> str:
    """What may be said of a look: of a cylinder what the scale says."""
    return ("24.3" if rig.units == "us" else "11.2") if takes_gross(supply, rig) else "half"


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
    """What one answer says: nothing, one thing, or one after each comma (`a empty, b half`, `tue, p sat`)."""
    text = answer.strip().lower() or asked.on_enter
    if not text or text in NO:
        return []
    said, supply = list[Typed](), asked.supply
    for part in re.split(r", | and " if asked.verb == "looked" else ", ", text):
        words = part.split()
        lettered = asked.verb == "looked" and len(rig.of(supply)) > 1 and words[0] in _lettered(supply, rig)
        if asked.open and not lettered:
            supply, words = _supply_in(words, supply, rig)
        typed = _looked(supply, words, rig, now) if asked.verb == "looked" else [_done(asked, supply, words, rig, now)]
        said += [replace(each, supply=supply) for each in typed]
    return said


def _lettered(supply: str, rig: Rig) -> dict[str, str]:
    """Letter → label of the containers of a supply."""
    return {c.letter.lower(): c.label for c in rig.of(supply)}


def _supply_in(words: list[str], supply: str, rig: Rig) -> tuple[str, list[str]]:
    """The supply a part of an answer names, else the one spoken of; and the rest."""
    named, rest = take_supply(words, rig)
    own = letters(rig).get(words[0], "")
    return (named, rest) if named else (own, words[1:]) if own else (supply, words)


def _verb_said(words: list[str], verb: str) -> tuple[str, list[str]]:
    """`traded in $22` has a verb of its own; else it is the one asked about."""
    words = [_ALSO.get(word, word) for word in words[:1]] + words[1:]
    own = next((n for n in (2, 1) if " ".join(words[:n]) in VERBS), 0)
    return (" ".join(words[:own]), words[own:]) if own else (verb, words)


def _done(asked: Asked, supply: str, words: list[str], rig: Rig, now: Moment) -> Typed:
    """What was filled, dumped or traded in."""
    if supply == PROPANE and words[:1] == [key_of("traded_in")]:
        words = ["traded", *words[1:]]
    verb, words = _verb_said(words, asked.verb)
    if words and words[0] in YES:
        words = [m.FULL if verb == "filled" else m.EMPTY, *words[1:]]
    rest = " ".join(words[1:] if words and words[0] in _ALL else words)
    typed = read_phrase(f"{verb} {supply} {rest if rest in _lettered(supply, rig) else completed(rest)}".strip(), rig, now)
    whole = typed.kind == m.FILL and typed.amount in ("", m.FULL) and not typed.container
    can = store(rig, supply) if whole else None
    typed = traded_for(replace(typed, supply=supply, container=can.label if can else typed.container), rig)
    if asked.back and not (typed.at or asked.gap):
        raise Refusal("When? Say tue, yesterday, 3 days ago, or now.")
    return replace(typed, at=typed.at or asked.gap)


def _looked(supply: str, words: list[str], rig: Rig, now: Moment) -> list[Typed]:
    """What was seen: of one container, or of all of them (`both empty`)."""
    lettered, (first, *rest) = _lettered(supply, rig), words or [""]
    several, which = len(lettered) > 1, ", ".join(f"{letter} {label}" for letter, label in lettered.items())
    if several and first in NUMBER_WORDS:
        raise Refusal(f"Which {first}? By its letter: {which}.")
    if several and first in _ALL:
        return [each for letter in lettered for each in _looked(supply, [letter, *rest], rig, now)]
    named = lettered.get(first, "") if several else ""
    verb, said = _verb_said(rest if named else words, "looked")
    if verb == "looked" and takes_gross(supply, rig) and said and said[0][0].isdigit():
        verb = "weighed"
    if not said:
        raise Refusal(f"How much is in {named or rig.say(supply)}? Say empty, half, full, or a number.")
    typed = read_phrase(f"{verb} {supply} {' '.join([*said[:-1], _level(said[-1])])}", rig, now)
    container = named or typed.container
    if several and not container:
        raise Refusal(f"Which one? By its letter: {which}.")
    return [replace(typed, container=container)]


def _level(word: str) -> str:
    return next((told for whole, told in _LEVELS.items() if word.isalpha() and whole.startswith(word)), word)


def _when_and_where(text: str, rig: Rig, now: Moment) -> tuple[str, str]:
    """`last night, Riverside` → the time and the place, in either order; either may be missing."""
    at, place = "", ""
    for part in (p.strip() for p in text.split(",") if p.strip()):
        word = completed(part)
        try:
            read_when(word, now, rig.zone)
            at = word
        except Refusal:
            place = _as_place(part)
    return at, place


def _as_place(part: str) -> str:
    """The name of a place; Refusal where all of it says how much there is, or what was done."""
    if all(word in LEVEL_WORDS or word in VERBS or word.isdigit() for word in part.lower().split()):
        raise Refusal(f"{part!r} is no place: say here only when and where it was; how much is asked next.")
    return part


def asking(title: str, round_: tuple[Asked, ...], rig: Rig, now: Now, known: Known, leaves: str) -> LinesScreen:
    """The screen of a round. `leaves`: what Esc does at its first line."""

    def understood(answers: list[str]) -> str:
        asked = round_[len(answers) - 1]
        if not asked.verb:
            at, place = _when_and_where(answers[-1], rig, now())
            return f"{at or 'just now'}{f', at {place}' if place else ''}"
        done = [build(typed, rig, now()) for typed in said_in(round_, answers, rig, now())]
        said = done[len(done) - len(_each(asked, answers[-1], rig, now())) :]
        dated = asked.back or asked.open
        told = "; ".join(entry_full(e, rig, now()) if dated else f"{entry_line(e, rig)}{_paid(e, rig)}" for e in said)
        before = (*known.entries, *done[:-1])
        mind = "" if asked.back or not said else caution_after(said[-1], rig, before, known.arrangements)
        return "\n".join(filter(None, (told or "nothing", mind)))

    return LinesScreen(title, tuple(a.question for a in round_), understood, leaves=leaves)


def _paid(entry: Entry, rig: Rig) -> str:
    return "" if entry.paid is None else f", paid {money(entry.paid, rig.currency)}"
