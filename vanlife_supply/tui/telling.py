"""Set-up in a person's own words: each line they type → containers, what is in them, and the rig.toml and entries of it.

`7 gal half, 5 gal full` · `6 gal, 2 in it, stop at 5.5` · `2 x 1.2 L full, can 1 gal half` · `20 lb TW 17.1 weighs 24.3`
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field, replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.quantity import NUMBER_WORDS, convert, number, parse_amount, parse_share, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STANDARD, STOVE_FUEL
from vanlife_supply.tui.held import Held, read_line

GRAY_STOP = 0.9
"""Proposed stop mark of gray water, share of the brim: common practice, no source."""
UNKNOWN = {"", "?", "dunno", "i don't know", "don't know", "dont know", "unknown", "no idea", "not sure"}
NONE = {"none", "no", "-", "nothing"}

_COUNT = rf"(?:([0-9]{{1,2}})|({'|'.join(NUMBER_WORDS)}|an?|my|our))"
_PERSON = (r"(?:person|people|persons|adults?|kids?|child|children|bab(?:y|ies)|of us|wife|husband|"
           r"partner|friend|girlfriend|boyfriend)")  # fmt: skip
_SELF = re.compile(r"(?:just )?(?:me|i|myself)|solo|alone")
_PEOPLE = re.compile(rf"{_COUNT}(?: {_PERSON})?")
_PET = re.compile(rf"(?:{_COUNT} )?((?:big |small |old )?(?:dog|cat|puppy|puppie|kitten|bird|horse|rabbit))(s?)\b(.*)")
_DAYS = {
    "a": 1.0,
    "a couple of": 2.0,
    "couple of": 2.0,
    "a few": 3.0,
    **{w: float(n) for n, w in enumerate(NUMBER_WORDS, 1)},
}


@dataclass(frozen=True, slots=True)
class Told:
    """All answers of the set-up."""

    people: float = 1.0
    pets: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()
    filled: str = ""
    lasts: float | None = None
    zone: str = "UTC"
    units: str = field(default="us")


def read_people(text: str) -> tuple[float, tuple[str, ...]]:
    """`1`, `2 and a dog 50 lb`, `me and a cat` → people, pets."""
    plain = text.strip().lower()
    if plain in UNKNOWN:
        return 1.0, ()
    parts = re.split(rf",|\band\b|\+|&| (?=[0-9]{{1,2}} {_PERSON})", plain)
    count, pets = 0.0, list[str]()
    for part in (p.strip() for p in parts if p.strip()):
        pet = _PET.fullmatch(part)
        if part in ("we", "us", "couple", "a couple"):
            count += 2
        elif _SELF.fullmatch(part):
            count += 1
        elif told := _PEOPLE.fullmatch(part):
            count += _counted(told[1], told[2])
        elif pet:
            pets += [f"{pet[3]}{pet[5]}".replace("puppie", "puppy")] * int(_counted(pet[1], pet[2]))
        else:
            raise Refusal(f"'{part}' is neither a number of people nor a pet: write 1, or 2 and a dog 50 lb.")
    return count or 1.0, tuple(pets)


def _counted(digits: str | None, word: str | None) -> float:
    return float(digits) if digits else float(NUMBER_WORDS.index(word) + 1) if word in NUMBER_WORDS else 1.0


def read_filled(text: str) -> str:
    """`sunday`, `last filled tue`, `on tuesday` → the time words; "" for not known."""
    plain = re.sub(r"^(?:(?:i )?(?:last )?filled(?: it| them| up)*\b ?)", "", " ".join(text.split()).lower()).strip()
    return "" if plain in UNKNOWN | NONE else plain


def read_days(text: str) -> float | None:
    """`10`, `10 days`, `2 weeks`, `about 8` → days; None for not known."""
    plain = re.sub(r"^(?:about|around|roughly|maybe|some) ", "", text.strip().lower().removesuffix("."))
    if plain in UNKNOWN | NONE:
        return None
    count = rf"([0-9]+(?:[.,][0-9]+)?|{'|'.join(sorted(_DAYS, key=len, reverse=True))})"
    told = re.fullmatch(rf"{count}(?: ?(?:-|–|to|or) ?{count})? ?(days?|d|weeks?|w)?", plain)
    if told is None:
        raise Refusal(f"'{text}' is not a number of days: write 10, or 2 weeks, or leave it empty.")
    ends = [_DAYS.get(word) or number(word) for word in (told[1], told[2] or told[1])]
    days = sum(ends) / 2 * (7 if (told[3] or "d").startswith("w") else 1)
    if not 0 < days <= 366:
        raise Refusal(f"'{text}' is not a number of days: write 10, or 2 weeks, or leave it empty.")
    return days


def read_held(text: str, supply: str, units: str) -> tuple[Held, ...]:
    """One line about the containers of a supply. Refusal names the part that is not understood."""
    plain = " ".join(text.split())
    if plain.lower() in UNKNOWN | NONE:
        return ()
    return _named(read_line(text, supply, units))


def _named(found: tuple[Held, ...]) -> tuple[Held, ...]:
    """Each with a label of its own: by size where sizes differ, numbered where they do not."""
    nouns = [h.label.split()[-1] for h in found]
    several = [h for h in found if nouns.count(h.label) > 1]
    sized = [replace(h, label=f"{_short(h.size)} {h.label}") if h in several and _differ(found, h) else h for h in found]
    out: list[Held] = []
    for h in sized:
        same = [x for x in sized if x.label == h.label]
        before = sum(1 for x in out if x.label.rsplit(" ", 1)[0] == h.label and x.label != h.label)
        out.append(replace(h, label=f"{h.label} {before + 1}") if len(same) > 1 else h)
    return tuple(out)


def _differ(found: tuple[Held, ...], held: Held) -> bool:
    """Whether some of what is called the same are of another size, or have a name."""
    return any(h.size != held.size for h in found if h.label.split()[-1] == held.label)


def _short(size: str) -> str:
    amount = parse_amount(size)
    return f"{amount.value:g} {amount.unit}"


def units_of(text: str) -> str:
    """Which system of units a line speaks: metric when it says L or kg and never gal or lb."""
    said = {unit_named(w) for w in re.findall(r"[a-z]+", text.lower())}
    return "metric" if said & {"L", "mL", "kg", "g"} and not said & {"gal", "lb", "qt", "oz"} else "us"


def to_toml(told: Told) -> str:
    """The rig.toml of all that was told; what was proposed stands in it to be changed."""
    lines = ["[rig]", f"people = {told.people:g}", f"pets = {json.dumps(list(told.pets))}", f'units = "{told.units}"',
             f'timezone = "{told.zone}"', f'currency = "{"USD" if told.units == "us" else "EUR"}"']  # fmt: skip
    if told.lasts and any(h.supply == FRESH for h in told.held):
        lines += ["", "[[supply]]", 'name = "fresh"', f'lasts = "{told.lasts:g} days"']
    for h in told.held:
        lines += ["", "[[container]]", f'supply = "{h.supply}"', f"label = {json.dumps(h.label)}", f'capacity = "{h.size}"']
        if h.supply == GREY:
            lines.append(f"usable = {h.stop if h.stop < 1 else GRAY_STOP:g}")
        if h.tare:
            lines.append(f'tare = "{h.tare}"')
        if h.label.endswith("tank"):
            lines.append("portable = false")
    return "\n".join(lines) + "\n"


def first_entries(told: Told) -> tuple[Typed, ...]:
    """What is in each container now, and when water was filled before that."""
    said = [Typed(m.FILL, FRESH, at=told.filled, typed="set-up")] if fill_tells(told) else []
    for h in sorted(told.held, key=_in_turn):
        if not h.state:
            continue
        sure = parse_share(h.state) in (0.0, 100.0)
        method = "scale" if h.state.endswith("gross") else "count" if sure else "sight"
        said.append(Typed(m.READING, h.supply, h.state, container=h.label, method=method, typed="set-up"))
    return tuple(said)


def _in_turn(h: Held) -> tuple[int, float]:
    """Supply by supply; the can after the canisters that are filled from it: else they would seem filled since."""
    amount, (_, measure, density, *_) = parse_amount(h.size), STANDARD[h.supply]
    large = convert(amount.value, amount.unit, measure, density) if h.supply == STOVE_FUEL else 0.0
    return list(STANDARD).index(h.supply), large


def fill_tells(told: Told) -> bool:
    """Whether the fill before now says more than what is in the jugs now.

    What is all full was filled since. What is in the first, which is drawn from first, must be known where another's is:
    else what was used since would be taken out of what is said to be full now.
    """
    states = [h.state for h in told.held if h.supply == FRESH] if told.filled else []
    return not all(parse_share(state) == 100.0 for state in states) and bool(states[0] or not any(states))


def heard(held: tuple[Held, ...]) -> str:
    """What was understood, for the line under the answer."""
    parts = []
    for h in held:
        unweighed = h.supply == PROPANE and not h.tare
        state = h.state or f"how full: not known{'; a weight tells, with the TW on its collar' if unweighed else ''}"
        stop = f", stop at {(h.stop if h.stop < 1 else GRAY_STOP) * 100:.0f}% of it" if h.supply == GREY else ""
        size = "" if h.label.startswith(_short(h.size)) else f" {_short(h.size)}"
        parts.append(f"{h.label}{size} ({state}{stop}{f', empty weight {h.tare}' if h.tare else ''})")
    return "; ".join(parts) or "none"
