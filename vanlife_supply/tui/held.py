"""One set-up line about the containers of a supply: its words sorted into sizes, counts, nouns and levels.

A level belongs to the container named last, comma or not; only a size opens a new one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from vanlife_supply.quantity import (
    MASS,
    NUMBER_WORDS,
    PERCENT,
    SHARE_WORDS,
    convert,
    number,
    parse_amount,
    parse_share,
    unit_named,
)
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STANDARD, STOVE_FUEL, spoken

NUMBER = r"(?:[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?)(?![0-9a-z./])"
_UNIT = (
    r"(?:(?:imp(?:erial)? )?gal(?:lon)?s?|l|lit(?:er|re)s?|ltr|ml|qts?|quarts?|cups?|fl oz|"
    r"kgs?|kilos?|g|grams?|lbs?|pounds?|oz)(?![a-z])"
)
_NOUNS = ("jug", "tank", "canister", "can", "cylinder", "bottle", "jerrycan", "bag", "bladder", "bucket")
_NOUN = rf"(?:{'|'.join(_NOUNS)})s?(?![a-z])"
_USUAL = {FRESH: "jug", GREY: "jug", STOVE_FUEL: "canister", PROPANE: "cylinder"}
_WORDS = "|".join(NUMBER_WORDS)
_SHARES = rf"(?:about |roughly )?(?:{'|'.join(SHARE_WORDS)})(?![a-z])(?! ?(?:gal|lit|l\b))(?: full| left)?"
_NAMES = (
    "red|blue|green|white|black|yellow|orange|brown|tan|clear|steel|metal|plastic|round|square|flat|tall|old|new|big|large|"
    "small|little|front|rear|spare"
)
"""What people tell containers apart by."""
_LEVELS = ["full", "half", "empty", "quarter", "third"]
_NO_SLIPS = {"fuel", "fully"}
_UNKNOWN = r"don'?t know(?: how (?:full|much))?|do not know|not sure|no idea|not known|unknown|dunno|\?"
_AMOUNT = rf"({NUMBER}) ?(%|{_UNIT})?"
_ITEMS: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, re.compile(pattern))
    for name, pattern in (
        ("sep", r"[,;]|and\b|\+|&"),
        ("tare", rf"(?:t\.?w\.?|tare|empty weight)(?: is)? ?{_AMOUNT}"),
        ("gross", rf"(?:(?:now )?weighs|weigh|weight|gross|scale)(?: (?:says|now|is))? ?{_AMOUNT}"),
        ("gross", rf"{_AMOUNT} ?(?:gross|on (?:the |a )?scales?)"),
        ("stop", rf"stop(?:s| mark)?(?: at)? ?{_AMOUNT}"),
        ("share", rf"()([0-9]+/[0-9]+)(?! ?{_UNIT})(?: (?:full|left|in it))?"),
        ("left", rf"(?:about )?{_AMOUNT} ?(?:in it|left|inside|in there|remaining)"),
        ("now", rf"now ?{_AMOUNT}"),
        ("unknown", _UNKNOWN),
        ("share", rf"(both|all|each) (?:are |of them )?({_SHARES})"),
        ("each", rf"({_WORDS}|[0-9]{{1,2}}) (?:is |are |of them )*({_SHARES})"),
        ("share", rf"()({NUMBER} ?%|{_SHARES})"),
        ("count", rf"([0-9]{{1,2}}) ?[x×*] ?(?=[0-9a-z])|([0-9]{{1,2}}) (?={_NOUN}(?<=s))"
                  rf"|([1-9]|1[0-2]) (?=(?![0-9]+/)(?:{NUMBER}|{_WORDS}) ?{_UNIT})"
                  rf"|({_WORDS}) (?={NUMBER}|{_NOUN})"),
        ("size", rf"({NUMBER}|{_WORDS}|half(?: an?)?|an?) ?({_UNIT})|({NUMBER})"),
        ("name", rf"({_NAMES})(?![a-z])"),
        ("noun", rf"({_NOUN})"),
        ("filler", r"[^\s,;]+"),
    )
)  # fmt: skip
_ALONE = re.compile(r"[,;+&] ?$")
"""Before a word that stands alone as if it were one more container."""
_COUNTED = {word: n for n, word in enumerate(NUMBER_WORDS, 1)}


@dataclass(frozen=True, slots=True)
class Held:
    """One container as told: its size, what is in it (an amount as typed, "" unknown), its tare and stop mark."""

    supply: str
    label: str
    size: str
    state: str = ""
    tare: str = ""
    stop: float = 1.0


@dataclass(slots=True)
class _Group:
    """Containers told of in one breath: `many` of one size."""

    size: float
    unit: str
    many: int = 1
    noun: str = ""
    state: str = ""
    tare: str = ""
    stop: str = ""
    said: bool = False
    closed: bool = False
    name: str = ""
    alike: bool = False
    """Whether it was told as one of several."""


@dataclass(slots=True)
class _Line:
    """What a line has told so far."""

    supply: str
    units: str
    groups: list[_Group] = field(default_factory=list)
    count: int = 0
    shared: bool = False
    noun: str = ""
    state: str = ""
    name: str = ""

    def last(self) -> _Group | None:
        return self.groups[-1] if self.groups else None


def read_line(text: str, supply: str, units: str) -> tuple[Held, ...]:
    """A line about the containers of a supply → those containers. Refusal names the part not understood."""
    plain = _plain(text)
    line, at = _Line(supply, units), 0
    while at < len(plain):
        if plain[at] == " ":
            at += 1
            continue
        name, found = next((n, m) for n, p in _ITEMS if (m := p.match(plain, at)) and (n != "each" or _splits(line, m)))
        if name == "filler" and _ALONE.search(plain[:at]) and found.end() == len(plain):
            raise Refusal(f"'{found[0]}' is not understood: write it like 7 gal half, or 20 L full.")
        _TAKE[name](line, found)
        at = found.end()
    if len(line.groups) == 1:
        _settle(line)
    if not line.groups or line.count not in (0, len(line.groups)) or (line.noun and not line.count):
        raise Refusal(f"'{text.strip()}' has no size for each: write it like 7 gal half, or 20 L full.")
    return tuple(h for group in line.groups for h in _held(group, line))


def _plain(text: str) -> str:
    """Lower case, one blank, fractions spelled out, `10L` and `2x` apart."""
    plain = " ".join(text.lower().split()).replace("’", "'")
    for glyph, spelled in {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3"}.items():
        plain = re.sub(rf"(?<=[0-9]) ?{glyph}", f" {spelled}", plain).replace(glyph, spelled)
    return re.sub(rf"(?<=[0-9a-z])-(?={_UNIT})|(?<=[0-9])(?={_UNIT})", " ", plain)


def _take_sep(line: _Line, found: re.Match[str]) -> None:
    group = line.last()
    if group:
        group.closed = True


def _take_size(line: _Line, found: re.Match[str]) -> None:
    group, word = line.last(), found[1] or found[3]
    unit = unit_named(found[2] or "") or ""
    value = 0.5 if word.startswith("half") else 1.0 if word in ("a", "an") else float(_COUNTED.get(word, 0)) or number(word)
    weighed = group is not None and line.supply == PROPANE and bool(group.tare) and not unit
    if group and not group.said and (not group.closed or weighed):
        _level(group, value, unit, line)
        return
    if group and not group.unit and not group.said and unit:
        group.unit = unit
    line.groups.append(_Group(value, unit, 1, line.noun, line.state, said=bool(line.state), name=line.name))
    line.state = line.name = ""
    if not line.shared:
        line.groups[-1].many, line.count, line.noun = line.count or 1, 0, ""


def _take_count(line: _Line, found: re.Match[str]) -> None:
    word = next(g for g in found.groups() if g)
    _settle(line)
    line.count = int(word) if word.isdigit() else _COUNTED[word]
    line.shared = re.match(_NOUN, found.string[found.end() :]) is not None


def _settle(line: _Line) -> None:
    """`two jugs, 7 gal`: the count that was said before the size."""
    if line.shared and line.groups:
        line.groups[-1].many, line.count, line.shared, line.noun = line.count, 0, False, ""


def _take_noun(line: _Line, found: re.Match[str]) -> None:
    group, noun = line.last(), found[1].removesuffix("s")
    if group and not group.closed and not group.noun:
        group.noun, group.name, line.name = noun, line.name or group.name, ""
    else:
        if line.shared and len(line.groups) == 1:
            _settle(line)
        line.noun = noun


def _take_share(line: _Line, found: re.Match[str]) -> None:
    group = line.last()
    if group is None:
        line.state = found[2]
        return
    if not found[1] and group.state not in ("", found[2]):
        raise Refusal(f"Which is {group.state} and which {found[2]}? Say each with its size: 1 L full, 1 L half.")
    for each in line.groups if found[1] else [group]:
        if each is group or not each.said:
            each.state, each.said = found[2], True


def _splits(line: _Line, found: re.Match[str]) -> bool:
    """Whether so many stand differently from the others of their size; a bare number may as well be one more size."""
    group = line.last()
    several = group is not None and (group.alike or group.many > 1 or (line.shared and len(line.groups) == 1))
    return several or not found[1].isdigit()


def _take_each(line: _Line, found: re.Match[str]) -> None:
    """`one full one half` of several alike."""
    if len(line.groups) == 1:
        _settle(line)
    group, count = line.last(), _COUNTED.get(found[1]) or int(found[1])
    if group is None or group.said or not (group.alike or group.many > 1) or count > group.many:
        raise Refusal(f"Which is {found[0].strip()}? Say each with its size: 1 L full, 1 L half.")
    told = replace(group, many=count, state=found[2], said=True, alike=True)
    group.many, group.alike, group.closed = group.many - count, True, False
    line.groups[-1:] = [told, group] if group.many else [told]


def _take_name(line: _Line, found: re.Match[str]) -> None:
    line.name = found[1]


def _take_unknown(line: _Line, found: re.Match[str]) -> None:
    if group := line.last():
        group.state, group.said = "", True


def _take_left(line: _Line, found: re.Match[str]) -> None:
    if group := line.last():
        _level(group, number(found[1]), found[2] or "", line)


def _take_gross(line: _Line, found: re.Match[str]) -> None:
    if group := line.last():
        group.state, group.said = f"{number(found[1]):g} {_mass(found[2], line.units)} gross", True


def _take_tare(line: _Line, found: re.Match[str]) -> None:
    if group := line.last():
        group.tare = f"{number(found[1]):g} {_mass(found[2], line.units)}"


def _take_stop(line: _Line, found: re.Match[str]) -> None:
    if group := line.last():
        group.stop = f"{found[1]} {found[2] or ''}".strip()


def _take_filler(line: _Line, found: re.Match[str]) -> None:
    meant = "" if found[0] in _NO_SLIPS else nearest(found[0], _LEVELS, cutoff=0.75)
    if meant or any(c.isdigit() for c in found[0]):
        raise Refusal(f"'{found[0]}' is not understood{meant}: write it like 7 gal half, or 20 L full.")


_TAKE: dict[str, Callable[[_Line, re.Match[str]], None]] = {
    "sep": _take_sep, "tare": _take_tare, "gross": _take_gross, "stop": _take_stop, "left": _take_left, "now": _take_left,
    "unknown": _take_unknown, "share": _take_share, "each": _take_each, "name": _take_name, "count": _take_count,
    "size": _take_size, "noun": _take_noun, "filler": _take_filler,
}  # fmt: skip


def _level(group: _Group, value: float, word: str, line: _Line) -> None:
    """A number that tells how much is in it; above the brim of a cylinder it can only be the scale."""
    group.said = True
    if word == PERCENT:
        group.state = f"{value:g}%"
        return
    unit = unit_named(word) or _unit(line)
    measure, density = STANDARD[line.supply][1], STANDARD[line.supply][2]
    above = convert(value, unit, measure, density) > convert(group.size, group.unit or _unit(line), measure, density)
    gross = above and line.supply == PROPANE and unit in MASS
    group.state = f"{value:g} {unit}{' gross' if gross else ''}"


def _unit(line: _Line) -> str:
    _, _, _, us, metric = STANDARD[line.supply]
    return us if line.units == "us" else metric


def _mass(word: str | None, units: str) -> str:
    named = unit_named(word or "")
    return named if named is not None and named in MASS else ("lb" if units == "us" else "kg")


def _held(group: _Group, line: _Line) -> list[Held]:
    unit = group.unit or _unit(line)
    size = f"{group.size:.12g} {unit}"
    if not 0 < group.size < 1e5:
        raise Refusal(f"{size} is not a size a vehicle carries: check the number.")
    state = group.state
    if state.endswith("gross") and not group.tare:
        state = ""
    state = state.removeprefix("about ").removeprefix("roughly ").removesuffix(" left")
    share = parse_share(state)
    if share is not None and state[:1].isdigit():
        state = f"{share:.4g}%"
    under = f"{spoken(GREY, line.units)} " if line.supply == GREY else ""
    label = f"{group.name} {under}{group.noun or _USUAL[line.supply]}".strip()
    held = Held(line.supply, label, size, state, group.tare)
    if group.stop:
        held = replace(held, stop=_stop_share(group, unit, line))
    return [held] * group.many


def _stop_share(group: _Group, unit: str, line: _Line) -> float:
    said = parse_amount(group.stop)
    if said.unit == PERCENT:
        share = said.value / 100
    else:
        measure, density = STANDARD[line.supply][1], STANDARD[line.supply][2]
        share = convert(said.value, said.unit or unit, measure, density) / convert(group.size, unit, measure, density)
    if not 0 < share <= 1:
        raise Refusal(f"The stop mark {group.stop} is not below the brim ({group.size:g} {unit}): check the number.")
    return round(share, 4)
