"""Set-up in a person's own words: each line they type → containers, what is in them, and the rig.toml and entries of it.

`7 gal half, 5 gal full` · `6 gal, 2 in it, stop at 5.5` · `2 x 1.2 L full, can 1 gal half` · `20 lb TW 17.1 weighs 24.3`
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field, replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.quantity import MASS, convert, number, parse_amount, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STANDARD, STOVE_FUEL

GRAY_STOP = 0.9
"""Proposed stop mark of gray water, share of the brim: common practice, no source."""
UNKNOWN = {"", "?", "don't know", "dont know", "unknown", "no idea", "not sure"}
NONE = {"none", "no", "-", "nothing"}

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?(?: ?[½¼¾])?|[½¼¾]|[0-9]+/[0-9]+"
_SIZE = re.compile(rf"({_NUMBER}) ?([a-z]+(?: gal)?)?\b", re.IGNORECASE)
_COUNT = re.compile(r"^(?:(\d{1,2}) ?[x×*] ?|(\d{1,2}) (?=[a-z]+s\b)|(two|three|four|five|six) )", re.IGNORECASE)
_COUNTED = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_TW = re.compile(rf"\b(?:tw|tare|empty weight) ?({_NUMBER}) ?([a-z]+)?", re.IGNORECASE)
_GROSS = re.compile(rf"\b(?:weighs|weigh|weight|gross|scale) ?({_NUMBER}) ?([a-z]+)?", re.IGNORECASE)
_STOP = re.compile(rf"\bstop(?:s| mark)?(?: at)? ?({_NUMBER}) ?(%|[a-z]+)?", re.IGNORECASE)
_LEFT = re.compile(rf"({_NUMBER}) ?(%|[a-z]+)? ?(?:in it|left|inside|in there)", re.IGNORECASE)
_PEOPLE = re.compile(
    r"(\d{1,2})(?: (?:person|people|adults?|of us))?|(me|i|just me|solo|alone|one)(?: person)?|(we|two(?: people)?)"
)
_STATES = ("almost full", "almost empty", "three quarters", "two thirds", "a quarter", "a third", "half", "quarter", "third",
           "full", "empty")  # fmt: skip
_NOUNS = ("jug", "tank", "can", "canister", "cylinder", "bottle", "jerrycan", "bag", "bladder", "bucket")
_NOUN = {FRESH: "jug", GREY: "gray jug", STOVE_FUEL: "canister", PROPANE: "cylinder"}


@dataclass(frozen=True, slots=True)
class Held:
    """One container as told: its size, what is in it (an amount as typed, "" unknown), its tare and stop mark."""

    supply: str
    label: str
    size: str
    state: str = ""
    tare: str = ""
    stop: float = 1.0


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
    parts = [p.strip() for p in re.split(r",|\band\b|\+|&", plain) if p.strip()]
    count, pets = 0.0, []
    for part in parts:
        told = _PEOPLE.fullmatch(part)
        if told:
            count += float(told[1]) if told[1] else 2.0 if told[3] else 1.0
        elif re.match(r"(?:a |an |1 |my )?(dog|cat|puppy|bird|horse|rabbit)", part):
            pets.append(re.sub(r"^(?:a|an|1|my) ", "", part))
        else:
            raise Refusal(f"'{part}' is neither a number of people nor a pet: write 1, or 2 and a dog 50 lb.")
    return count or 1.0, tuple(pets)


def read_filled(text: str) -> str:
    """`sunday`, `last filled tue`, `on tuesday` → the time words; "" for not known."""
    plain = re.sub(r"^(?:(?:i )?(?:last )?filled(?: it| them| up)*\b ?)", "", " ".join(text.split()).lower()).strip()
    return "" if plain in UNKNOWN | NONE else plain


def read_days(text: str) -> float | None:
    """`10`, `10 days`, `2 weeks`, `about 8` → days; None for not known."""
    plain = text.strip().lower().removeprefix("about ").removesuffix(".")
    if plain in UNKNOWN | NONE:
        return None
    told = re.fullmatch(rf"({_NUMBER}) ?(days?|d|weeks?|w)?", plain)
    if told is None or not 0 < number(told[1]) <= 366:
        raise Refusal(f"'{text}' is not a number of days: write 10, or 2 weeks, or leave it empty.")
    return number(told[1]) * (7 if (told[2] or "d").startswith("w") else 1)


def read_held(text: str, supply: str, units: str) -> tuple[Held, ...]:
    """One line about the containers of a supply. Refusal names the part that is not understood."""
    plain = " ".join(text.split())
    if plain.lower() in UNKNOWN | NONE:
        return ()
    found: list[Held] = []
    for part in re.split(r"[,;](?=\s)|\band\b|\+", plain):
        if found and _belongs(part):
            found[-1] = _with_facts(found[-1], part, supply, units)
        elif part.strip():
            found += _containers(part.strip(), supply, units)
    return _named(found)


def _belongs(part: str) -> bool:
    """Whether a part only adds to the container before it."""
    bare = _TW.sub("", _GROSS.sub("", _STOP.sub("", _LEFT.sub("", part)))).lower()
    bare = " ".join(w for w in bare.split() if w not in ("about", "now", "maybe", "it", "is"))
    return bare in ("", *_STATES, *UNKNOWN)


def _containers(part: str, supply: str, units: str) -> list[Held]:
    counted = _COUNT.match(part)
    many = int(counted[1] or counted[2] or _COUNTED[counted[3].lower()]) if counted else 1
    rest = part[counted.end() :] if counted else part
    size = _SIZE.search(_TW.sub("", _GROSS.sub("", rest)))
    if size is None:
        raise Refusal(f"'{part}' has no size: write it like 7 gal half, or 20 L full.")
    unit = unit_named(size[2] or "") or _unit(supply, units)
    label = _label(rest, size, supply)
    after = rest[: size.start()] + rest[size.end() if unit_named(size[2] or "") else size.end(1) :]
    told = parse_amount(f"{size[1]} {unit}")
    return [_with_facts(Held(supply, label, f"{told.value:g} {unit}"), after, supply, units)] * many


def _unit(supply: str, units: str) -> str:
    return STANDARD[supply][3] if units == "us" else STANDARD[supply][4]


def _label(rest: str, size: re.Match[str], supply: str) -> str:
    """The noun said before or after the size, else the usual one."""
    for word in re.findall(r"[a-z]+", f"{rest[: size.start()]} {rest[size.end() :]}".lower()):
        if word.removesuffix("s") in _NOUNS:
            return str(word.removesuffix("s"))
    return _NOUN[supply]


def _with_facts(held: Held, text: str, supply: str, units: str) -> Held:
    tare, gross, stop = _TW.search(text), _GROSS.search(text), _STOP.search(text)
    if tare:
        held = replace(held, tare=f"{tare[1]} {_mass(tare[2], units)}")
    if stop:
        held = replace(held, stop=_share(stop, held, supply, units))
    if gross:
        return replace(held, state=f"{gross[1]} {_mass(gross[2], units)} gross")
    bare = _STOP.sub("", _TW.sub("", text)).lower()
    left = _LEFT.search(bare) or re.search(rf"({_NUMBER}) ?(%|[a-z]+)?", bare)
    if left:
        return replace(held, state=f"{left[1]} {_left_unit(left[2], supply, units)}")
    return replace(held, state=next((s for s in _STATES if re.search(rf"\b{s}\b", bare)), held.state))


def _left_unit(word: str | None, supply: str, units: str) -> str:
    return unit_named(word or "") or _unit(supply, units)


def _mass(word: str | None, units: str) -> str:
    named = unit_named(word or "")
    return named if named is not None and named in MASS else ("lb" if units == "us" else "kg")


def _share(stop: re.Match[str], held: Held, supply: str, units: str) -> float:
    value = number(stop[1])
    if stop[2] == "%":
        share = value / 100
    else:
        measure, density = STANDARD[supply][1], STANDARD[supply][2]
        said, brim = parse_amount(f"{value} {_left_unit(stop[2], supply, units)}"), parse_amount(held.size)
        share = convert(said.value, said.unit, measure, density) / convert(brim.value, brim.unit, measure, density)
    if not 0 < share <= 1:
        raise Refusal(f"The stop mark {stop[1]} is not below the brim ({held.size}): check the number.")
    return round(share, 4)


def _named(found: list[Held]) -> tuple[Held, ...]:
    """Each with a label of its own: by size where sizes differ, numbered where they do not."""
    several = [h for h in found if [x.label for x in found].count(h.label) > 1]
    sized = [replace(h, label=f"{_short(h.size)} {h.label}") if h in several and _differ(several, h) else h for h in found]
    out: list[Held] = []
    for h in sized:
        same = [x for x in sized if x.label == h.label]
        before = sum(1 for x in out if x.label.rsplit(" ", 1)[0] == h.label and x.label != h.label)
        out.append(replace(h, label=f"{h.label} {before + 1}") if len(same) > 1 else h)
    return tuple(out)


def _differ(several: list[Held], held: Held) -> bool:
    return len({h.size for h in several if h.label == held.label}) > 1


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
    said: list[Typed] = []
    if told.filled and any(h.supply == FRESH for h in told.held):
        said.append(Typed(m.FILL, FRESH, at=told.filled, typed="set-up"))
    for h in told.held:
        if not h.state or (h.supply == FRESH and told.filled and h.state == "full"):
            continue
        method = "scale" if h.state.endswith("gross") else "count" if h.state in ("full", "empty") else "sight"
        said.append(Typed(m.READING, h.supply, h.state, container=h.label, method=method, typed="set-up"))
    return tuple(said)


def heard(held: tuple[Held, ...]) -> str:
    """What was understood, for the line under the answer."""
    parts = []
    for h in held:
        state = h.state or "how full: not known"
        stop = f", stop at {(h.stop if h.stop < 1 else GRAY_STOP) * 100:.0f}% of it" if h.supply == GREY else ""
        size = "" if h.label.startswith(_short(h.size)) else f" {_short(h.size)}"
        parts.append(f"{h.label}{size} ({state}{stop}{f', empty weight {h.tare}' if h.tare else ''})")
    return "; ".join(parts) or "none"
