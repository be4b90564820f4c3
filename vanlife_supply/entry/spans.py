"""Phrases about times rather than amounts: who is aboard, conditions, limits, plans, containers set aside."""

from __future__ import annotations

import re
from dataclasses import replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.naming import take_supply
from vanlife_supply.entry.plain import labelled
from vanlife_supply.moment import WEEKDAYS
from vanlife_supply.quantity import NUMBER_WORDS
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE, Rig

DATED = ("limit", "planned", "plan")
"""What follows these is dated: `at` names a time, no place."""
FIRST_WORDS = (*m.CONDITIONS, "condition", "people", "guest", "aside", "back", *DATED)
LIMITS = ("food", "stay", "move")
_OWN = re.compile(r"(?P<word>.+?)(?: (?P<rest>(?:on|off|since|until|till|for)\b.*))?")
_COLD = re.compile(r"(?:the )?(?:flame|burner|stove) (?:died|went out|is out|out|stopped)\b.*\bcold\b")

_FLAME = re.compile(r"(?:the )?(?:flame|burner) (?:died|went out|is out|out|stopped|won'?t light)")
_UNTIL = re.compile(r"\b(?:until|till)\b|\b(?=for\b)")
_COUNT = rf"(?P<count>[0-9]+|an?|{'|'.join(NUMBER_WORDS)})"
_MANY = _COUNT.replace("count", "many")
_PEOPLE = re.compile(rf"(?:people {_COUNT}|{_MANY} (?:people|persons?|of us)|(?:just|only) me|alone)"
                     r"(?: aboard| now| again| here)?(?P<with> with guests)?(?: (?P<rest>.+))?")  # fmt: skip
_KIN = "(?:mom|mum|dad|sister|brother|son|daughter|girlfriend|boyfriend|partner)"
_GUESTS = re.compile(rf"(?:(?P<no>no)|{_COUNT}|my|our|the)?(?: more)? ?(?:(?:guest|friend|visitor)s?|{_KIN})"
                     r"(?: (?:is|are|has|have|will|stays?|com(?:es?|ing)|came|here|aboard|visiting|over|on))*"
                     r"(?: (?P<rest>.+))?")  # fmt: skip
_GONE = re.compile(r"(?:off|out|no|none|0|gone|leaves?|leaving|left|went(?: home)?|away|until now)(?: (?P<at>.+))?")
_AT = re.compile(r"\b(?:at|on|by)\b")
_SOME_DAY = re.compile(rf"(?:from |on )?(?:{'|'.join(WEEKDAYS)})[a-z]*", re.IGNORECASE)
LASTS = re.compile(rf"(?:[0-9]+|an?|a few|{'|'.join(NUMBER_WORDS)}) ?(?:h|hours?|d|days?|nights?|weeks?)")
"""How long, without a word before it: `3 days`, `a week`."""


def read_span(text: str, rig: Rig) -> Typed | None:
    """`heater until fri`, `people 2 until sun`, `aside small jug frozen`, `limit food till thu`, `planned dump mon 10:00`,
    `limit food drop`, `back small jug`, `condition fridge until fri`, `guest for 3 days`, `guest gone`.

    None if the phrase begins with no such word.
    """
    head, _, rest = " ".join(text.split()).partition(" ")
    word = head.lower()
    if word in m.CONDITIONS:
        return _condition(word, rest, text)
    if word == "condition":
        return condition_said(rest, text)
    company = _company(text)
    if company is not None:
        return company
    if word == "aside":
        return _set_aside(labelled(rest, rig, ""), rig)
    if word == "back":
        return replace(_set_aside(labelled(rest, rig, ""), rig), down_to=m.BACK, word="")
    if word == "limit":
        return _limit(rest, text)
    if word in LIMITS and _UNTIL.search(rest):
        return _limit(f"{word} {rest}", text)
    none = re.fullmatch(rf"no ({m.DUMP}|{m.FILL})(?: (.+))?", text.lower())
    if none:
        if none[2] and not take_supply(none[2].split(), rig)[0]:
            raise Refusal(f"Which {none[1]} is off? Say no {none[1]} for all planned, then plan those that are left.")
        return Typed(m.PLANNED, none[2] or "", word=none[1], down_to=m.DROP, typed=text)
    if _FLAME.fullmatch(text.lower()):
        raise Refusal("Out, or only too cold? Say ran out of propane, or flame died in the cold.")
    if _COLD.match(text.lower()):
        return Typed(m.RAN_OUT, PROPANE, word=m.COLD, typed=text)
    if word in ("planned", "plan"):
        return _planned(rest, rig)
    return None


def condition_said(said: str, text: str) -> Typed:
    """`heater until monday`, `big fan off` → the condition, and from when until when it is on."""
    known, _, after = said.partition(" ")
    if known.lower() in m.CONDITIONS:
        return _condition(known.lower(), after, text)
    own = _OWN.fullmatch(said)
    return _condition(own["word"], own["rest"] or "", text) if own else Typed(m.CONDITION, typed=text)


def _company(text: str) -> Typed | None:
    """How many are aboard: `2 people until sun`, `just me`; or guests on top of who lives there: `2 guests for 3 days`."""
    plain = text.lower()
    people = _PEOPLE.fullmatch(plain)
    if people:
        count = people["count"] or people["many"] or "1"
        word = m.GUEST if people["with"] else ""
        return Typed(m.PEOPLE, amount=_number(count), word=word, **_when(people["rest"]), typed=text)
    if plain.startswith("people "):
        said = plain.removeprefix("people ")
        return _company(said) or Typed(m.PEOPLE, amount=said, typed=text)
    guests = _GUESTS.fullmatch(plain)
    if guests is None:
        return None
    count, rest = guests["count"] or "1", guests["rest"] or ""
    if rest.split(" ")[0].isdecimal() and not guests["count"] and not LASTS.fullmatch(rest):
        count, _, rest = rest.partition(" ")
    rest = re.sub(r"^leav(?:es?|ing)(?= )", "until", rest)
    gone = _GONE.fullmatch(rest)
    if guests["no"] or gone or count == "0":
        return Typed(m.PEOPLE, amount="+0", word=m.GUEST, at=(gone["at"] if gone else rest) or "", typed=text)
    return Typed(m.PEOPLE, amount=f"+{_number(count)}", word=m.GUEST, **_when(rest), typed=text)


def _number(count: str) -> str:
    return count if count.isdecimal() else str(NUMBER_WORDS.index(count) + 1) if count in NUMBER_WORDS else "1"


def _when(rest: str | None) -> dict[str, str]:
    """`yesterday until sun`, `3 days` → since when, and until when."""
    if LASTS.fullmatch(rest or ""):
        rest = f"for {rest}"
    start, until = _split(_UNTIL, rest or "")
    if _SOME_DAY.fullmatch(start):
        raise Refusal(f"Since {start}, or is that to come? Say since {start}; what is to come is noted when it comes.")
    return {"at": start.removeprefix("since").strip(), "until": until}


def _set_aside(text: str, rig: Rig) -> Typed:
    """The longest name of a container that `text` begins with, its supply before it or not, and why; a name nobody knows
    is the first word."""
    words = text.split()
    supply = take_supply(words[:1], rig)[0] if len(words) > 1 else ""
    words = words[1:] if supply else words
    names = {name.lower() for c in rig.containers for name in (c.label, c.letter)}
    known = (i for i in range(len(words), 0, -1) if " ".join(words[:i]).lower() in names)
    end = next(known, 1)
    return Typed(m.ASIDE, supply, container=" ".join(words[:end]), word=" ".join(words[end:]))


def _condition(word: str, rest: str, text: str) -> Typed:
    if rest.lower() == m.OFF:
        return Typed(m.CONDITION, word=word, down_to=m.OFF, typed=text)
    off = re.fullmatch(rf"{m.OFF} (.+)", rest, re.IGNORECASE)
    if off:
        return Typed(m.CONDITION, word=word, down_to=m.OFF, at=off[1].removeprefix("since "), typed=text)
    rest = rest.removeprefix("on").strip()
    return Typed(m.CONDITION, word=word, **_when(rest), typed=text)


def _limit(rest: str, text: str) -> Typed:
    if rest.endswith(f" {m.DROP}"):
        return Typed(m.LIMIT, word=rest.removesuffix(m.DROP).strip(), down_to=m.DROP, typed=text)
    word, when = _split(re.compile(f"{_UNTIL.pattern}|{_AT.pattern}"), rest)
    word, _, often = word.partition(" every ")
    when, _, every = when.partition(" every ")
    every = often or every
    when = f"in {when[4:]}" if when.startswith("for ") else when or _first(every)
    return Typed(m.LIMIT, word=word, at=when, every=every, typed=text)


def _planned(rest: str, rig: Rig) -> Typed:
    """`dump mon 10:00`, `dump gray on sunday`, `fill water every fri`, `dump drop`."""
    kind, _, said = rest.partition(" ")
    supply, words = take_supply(said.split(), rig)
    when, _, every = f" {' '.join(w for w in words if w.lower() not in ('at', 'on', 'by'))}".partition(" every ")
    drop = when.strip() == m.DROP
    return Typed(m.PLANNED, supply, down_to=m.DROP if drop else "", word=kind.lower(),
                 at="" if drop else when.strip() or _first(every), every=every)  # fmt: skip


def _first(every: str) -> str:
    """When what repeats without a date is first: `every fri` on Friday, `every 5 days` in five days."""
    return f"in {every}" if every[:1].isdigit() else every


def _split(mark: re.Pattern[str], text: str) -> tuple[str, str]:
    """What stands before and after the first mark word."""
    found = mark.search(text)
    if found is None:
        return text, ""
    return text[: found.start()].strip(), text[found.end() :].strip()
