"""Everyday words → the terse ones of the grammar: `i showered`, `filled the 5`, `water ran out`, `half a jug left`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from vanlife_supply.entry import model as m
from vanlife_supply.entry.naming import NOUNS, is_noun, take_container, take_supply
from vanlife_supply.moment import WEEKDAYS
from vanlife_supply.quantity import NUMBER_WORDS, convert, number, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, PROPANE, SPOKEN, STOVE_FUEL, Container, Rig, called
from vanlife_supply.rig.presets import USUAL_USES

FAILED = ("frozen", "froze", "split", "cracked", "bad", "leaking", "leaks", "broken")
_SMALL = {"the", "an", "my", "our", "is", "are", "was", "were", "about", "around", "roughly", "maybe", "probably", "only",
          "still"}  # fmt: skip
"""Words that change nothing: little ones, and those of doubt."""
_BEFORE = {"i", "we", "i've", "we've", "i'm", "we're", "it's", "its", "have", "just", "ok", "so"}
LEVEL_WORDS = {"full", "empty", "half", "quarter", "third", "bit", "little", "low", "dry", "almost", "nearly", "some", "to",
               "out", *FAILED}  # fmt: skip
"""Words that say how much there is."""
_WEEKDAY = rf"(?:{'|'.join(WEEKDAYS)})"
_CONDITION = rf"({'|'.join(m.CONDITIONS)})"
_NOUN = rf"(?:{'|'.join(NOUNS)})"
_UNIT = r"(?:(?:gal(?:lon)?|l|lit(?:er|re)|qt|quart|cup|lb|pound|kg|kilo)s?(?!\S))"
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"

_Table = tuple[tuple[re.Pattern[str], str], ...]


def _table(*rows: tuple[str, str]) -> _Table:
    return tuple((re.compile(rf"(?<!\S)(?:{said})(?!\S)", re.IGNORECASE), terse) for said, terse in rows)


_SPANS = _table(
    (r"'?til|untill", "till"), ("^(?:the )?heat", "heater"),
    (rf"^(?:turn|turned|put|switched) (on|off) (?:the )?{_CONDITION}", r"\2 \1"),
    (rf"^(?:turn|turned|put|switched) (?:the )?{_CONDITION} (on|off)", r"\1 \2"),
    (rf"^(?:ran|used|had) (?:the )?{_CONDITION}|^{_CONDITION} (?:is|was)", r"\1\2"),
    (r"^(?:going|went|gone) away|^(?:gone|out of town)(?= till| until| for)", "away"),
    (r"^(?:back )?home(?: again)?|^back(?: again)?$", "away off"),
    (r"^cold snap", "cold"), (r"^heat ?wave", "hot"), (r"^sav(?:e|ing) (?:water|mode)", "saving"),
    (rf"^(?:stopped|no) (?:the )?{_CONDITION}$|^{_CONDITION} stopped$", r"\1\2 off"), (rf"^{_CONDITION} runs$", r"\1"),
    ("^set aside", "aside"), (r"^(?:put|set) (.+) aside$", r"aside \1"), ("^there are", ""),
    (r"^(?:look|looked|check|checked) at|^check(?:ed)?", "looked"),
    (r"^(?:will|i'll|we'll|going to|gonna|need to|must|have to|want to) (dump|fill)", r"planned \1"),
    (r"^(?:plan|planned|planning) (?:to |a )?(dump|fill)", r"planned \1"), (r"^cancel (?:the )?(dump|fill)", r"no \1"),
    (r"^(dump|fill)((?: \S+)?) planned", r"planned \1\2"), (r"^(dump|fill)((?: \S+)?)(?= tomorrow)", r"planned \1\2"),
    (r"^(dump|fill)((?: \S+)?) every", r"planned \1\2 every"),
    (rf"^(?:must |have to |need to )?(?:leave|move|go) by|^leaving(?= {_WEEKDAY})", "limit move by"),
    (r"^(?:groceries|food) runs? out(?: on)?", "limit food till"), ("^groceries", "food"),
    (r"^enough food|^food (?:lasts|is enough|enough)", "food"),
)  # fmt: skip
"""What is about times; `a friend left` and such are read elsewhere."""
_DOUBLED = _table((rf"({_NUMBER} ?{_UNIT}) {_UNIT}", r"\1"), (r"([a-z]+|[0-9.,]+ ?%) %", r"\1"))
"""A unit typed in front of the one that stood there."""
_COUNTED = _table(
    (rf"half(?: an?)?(?= {_UNIT})", "0.5"), (rf"half an?(?= {_NOUN})", "half"), (rf"an?(?= {_UNIT}| {_NOUN} of)", "1"),
    *((rf"{word}(?! quarters?| thirds?)(?= \S)", f"{n}") for n, word in enumerate(NUMBER_WORDS, 1)),
    (r"(?:a )?couple(?: of)?(?= \S)", "2"), (rf"(?:almost|nearly)(?= {_NUMBER})", ""), (r"or so", ""),
    ("both|everything", "all"), ("twice|x2|2x", "2 times"),
    (rf"({_NUMBER}) (?:bucks?|dollars?)", r"$\1"), (rf"paid ({_NUMBER})", r"$\1"),
)  # fmt: skip
_DID = _table(
    ("^showered", "used shower"), (r"^wash(?:ed)? (?:up|.*dishes)", "used dishes"), (r"^washed(?= [0-9]|$)", "used wash"),
    ("^washed", "used"), (r"^cooked(.*)", r"used {fuel}\1 for cooking"), (r"^drank(.*)", r"used {water}\1 for drinking"),
    (r"^(?:gave )?(?:the )?(dog|cat)(?: drank| water)?(?= .*[0-9])(.*)", r"used {water}\2 for \1"),
    (rf"^(?:took |had |made )?([0-9]+) ({'|'.join(USUAL_USES)})e?s?", r"used \1 times \2"),
    (r"^(propane|gas|cylinder) died$", r"ran out \1"), (r"^(?!dump|empt)(.*)down to", r"\1"),
    (r"^(?:the )?scale(?: says)?(?= [0-9])", "weighed"), (r"^(.+?) weighs(?: now)?", r"weighed \1"),
    (r"^(?:weighed )?(.+) on (?:the |a )?scale", r"weighed \1"), (r"^(\S+) refill", r"filled \1"),
)  # fmt: skip
_ENDED = re.compile(
    r"no(?: more)? (?P<none>.+?)(?: left)?|"
    r"(?P<what>.+?) (?:(?:has|have|is|are|all) )*(?:(?:ran|run) (?:out|dry)|went dry|out|gone|finished)",
    re.IGNORECASE,
)
_FROM = re.compile(r"(?:filled|fill|refilled|topped)(?: up)? (?P<into>.+) from (?:the )?(?P<source>.+)", re.IGNORECASE)
_SIZES = tuple(
    re.compile(rf"(?<!\S){said}(?!\S)", re.IGNORECASE)
    for said in (
        rf"the (?P<size>{_NUMBER})(?: ?(?P<unit>{_UNIT}))?(?: (?P<noun>{_NOUN}))?",
        rf"(?:the )?(?P<noun>{_NOUN}) (?P<size>{_NUMBER})(?: ?(?P<unit>{_UNIT}))?",
        rf"(?:the )?(?P<size>{_NUMBER}) ?(?P<unit>{_UNIT}) (?P<noun>{_NOUN})",
    )
)
_LETTERED = re.compile(rf"(?<!\S)(?P<noun>{_NOUN}) (?P<letter>[a-z])(?!\S)", re.IGNORECASE)
_RANKED = re.compile(
    rf"(?<!\S)(?:the )?(?:(?P<large>big|large)|small|little)(?:g?er|g?est)? (?P<noun>{_NOUN}|one)(?!\S)", re.IGNORECASE
)


def begun(text: str) -> str:
    """The text without what people say before they begin, and with times said as limits, plans and conditions are."""
    text = re.sub(r"^((?:the )?\w{3,})'s ", r"\1 ", text.replace("’", "'"))
    words = [w.rstrip(",.!;:") or w for w in text.split()]
    while len(words) > 1 and words[0].lower() in _BEFORE and " ".join(words[:2]).lower() not in ("just me", "have a"):
        words = words[1:]
    return _put(_SPANS, " ".join(words))


def undoubled(text: str) -> str:
    """The text with one unit behind a number, the first, where two stand."""
    return _put(_DOUBLED, text)


def plainly(words: list[str], rig: Rig, supply: str) -> list[str]:
    """`words` with a container told by its size named by its label, numbers in digits, without little words.

    `supply` is the one named among them, "" for none. What a label or a supply of the rig says is left alone.
    """
    text = _put(_COUNTED, labelled(undoubled(" ".join(words)), rig, supply))
    fuel = next((s.name for s in rig.supplies if s.name in (STOVE_FUEL, PROPANE)), "") if not supply else ""
    text = _put(_DID, text).replace("{fuel}", fuel).replace("{water}", "" if supply else FRESH)
    labels = {word for c in rig.containers for word in c.label.lower().split()} | {s.name.lower() for s in rig.supplies}
    words = [w for w in _turned(text, rig).split() if w.lower() in labels or w.lower() not in _SMALL]
    return [w for i, w in enumerate(words) if w.lower() in labels or not _article(words, i, supply)]


def _put(table: _Table, text: str) -> str:
    for said, terse in table:
        text = said.sub(terse, text)
    return " ".join(text.split())


def _turned(text: str, rig: Rig) -> str:
    """`water ran out`, `no more water` → `ran out water`; `filled canister 1 from the can` → poured from one to another."""
    ended, drawn = _ENDED.fullmatch(text), _FROM.fullmatch(text)
    what = (ended["none"] or ended["what"]) if ended else ""
    if ended and _names(what.split(), rig):
        return f"ran out {what}"
    if drawn and called(rig.containers, drawn["source"]):
        return f"poured from {drawn['source']} into {drawn['into'].removeprefix('the ')}"
    return text


def _names(words: list[str], rig: Rig) -> bool:
    """Whether they say a supply, a container or both, and nothing else."""
    supply, rest = take_supply([w for w in words if w.lower() not in _SMALL], rig)
    container, rest = take_container(rest, supply, rig)
    return bool(supply or container) and all(is_noun(w) for w in rest)


def _article(words: list[str], i: int, supply: str) -> bool:
    """Whether a lone `a` is the article, not the letter of a supply or container."""
    after = words[i + 1].lower() if words[i].lower() == "a" and i + 1 < len(words) and not supply else ""
    return after.isalpha() and len(after) > 1 and after not in LEVEL_WORDS and not unit_named(after)


def labelled(text: str, rig: Rig, supply: str) -> str:
    """`filled the 5`, `jug b half`, `the big jug` → the one container meant, by its supply and label."""
    mine = rig.of(supply) if supply else rig.containers
    if any(f" {c.label.lower()} " in f" {text.lower()} " for c in mine if c.label.lower() not in NOUNS):
        return text
    for pattern, meant in ((_LETTERED, _by_letter), (_RANKED, _by_rank), *((size, _by_size) for size in _SIZES)):
        known = [(found, fits[0]) for found in pattern.finditer(text) if len(fits := meant(found, mine, rig)) == 1]
        for found, c in reversed(known):
            named = "" if supply or found is not known[0][0] else f"{c.supply} "
            text = f"{text[: found.start()]}{named}{c.label}{text[found.end() :]}"
        if known:
            return text
    return _by_name(text, mine, supply, rig)


def _by_letter(found: re.Match[str], mine: Sequence[Container], rig: Rig) -> list[Container]:
    lettered = [c for c in mine if c.letter.lower() == found["letter"].lower() and len(rig.of(c.supply)) > 1]
    return _so_called(lettered, found["noun"])


def _by_rank(found: re.Match[str], mine: Sequence[Container], rig: Rig) -> list[Container]:
    """The largest or smallest of those called so; of the water where it is only `the big one`."""
    noun = found["noun"].lower()
    fits = [c for c in mine if noun in c.label.lower().split() or (noun == "one" and c.supply == FRESH)]
    fits = [c for c in fits if c.supply == FRESH] or fits
    end = (max if found["large"] else min)((c.capacity for c in fits), default=0.0)
    return [c for c in fits if c.capacity == end and any(o.capacity != end for o in fits)]


def _by_size(found: re.Match[str], mine: Sequence[Container], rig: Rig) -> list[Container]:
    fits = [c for c in mine if _is_size(c, found["size"], found["unit"] or "", rig)]
    return _so_called(fits, (found["noun"] or "").lower())


def _so_called(fits: list[Container], noun: str) -> list[Container]:
    """Those whose label has that noun, or all where none has."""
    return [c for c in fits if noun and noun.lower() in c.label.lower().split()] or fits


def _by_name(text: str, mine: Sequence[Container], supply: str, rig: Rig) -> str:
    """`blue half` → `fresh blue jug half`: a word that only one label has."""
    for c in mine:
        for word in (w for w in c.label.lower().split() if _is_name(w, rig)):
            found = re.search(rf"(?<!\S)(?:the )?{word}(?: {_NOUN})?(?!\S)", text, re.IGNORECASE)
            if found and sum(word in o.label.lower().split() for o in mine) == 1:
                named = "" if supply else f"{c.supply} "
                return f"{text[: found.start()]}{named}{c.label}{text[found.end() :]}"
    return text


def _is_name(word: str, rig: Rig) -> bool:
    known = {*SPOKEN, *LEVEL_WORDS, *(s.name.lower() for s in rig.supplies)}
    return word.isalpha() and len(word) > 1 and word not in known and not (is_noun(word) or unit_named(word))


def _is_size(c: Container, size: str, unit: str, rig: Rig) -> bool:
    its = rig.supply(c.supply)
    try:
        told = convert(number(size), unit_named(unit) or its.unit, its.measure, its.density)
    except Refusal:
        return False
    return abs(told - c.capacity) < 0.02 * c.capacity
