"""A whole phrase as a person types it → what was typed, field by field: `filled water b 5 3.50 last night`.

The grammar is loose on purpose: a verb, then supply, container, amount, money and time in the order
people say them. `read_phrase` only sorts the words; `build` checks what they mean.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import takewhile

from vanlife_supply.entry import model as m
from vanlife_supply.entry.amounts import MONEY, NUMBER, WHOLE, as_read, take_amount
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.fitting import takes_gross
from vanlife_supply.entry.naming import (
    FILLER,
    is_noun,
    of_container,
    one_filled,
    refuse_both_of_many,
    refuse_either,
    supply_in,
    take_container,
    take_supply,
)
from vanlife_supply.entry.plain import FAILED, begun, plainly
from vanlife_supply.entry.pouring import poured
from vanlife_supply.entry.spans import DATED, FIRST_WORDS, read_span
from vanlife_supply.moment import WEEKDAYS, Moment, read_when
from vanlife_supply.quantity import number, parse_amount, parse_share, unit_named
from vanlife_supply.refusal import USAGE, Refusal, nearest
from vanlife_supply.rig.model import FRESH, PROPANE, SPOKEN, Rig
from vanlife_supply.rig.presets import USUAL_USES

VERBS: dict[str, tuple[str, str]] = {
    # first words: the kind of entry, the way it was read
    **dict.fromkeys(("filled", "fill", "refilled", "topped", "top", "added", "put", "bought", "got"), (m.FILL, "")),
    **dict.fromkeys(("dumped", "dump", "emptied"), (m.DUMP, "")),
    **dict.fromkeys(("next", "opened", "started", "switched", "swapped", "changed"), (m.NEXT, "")),
    **dict.fromkeys(("ran out", "ran-out", "run out", "ran dry", "out"), (m.RAN_OUT, "")),
    **dict.fromkeys(("looked", "look", "reading", "read", "left"), (m.READING, "sight")),
    **dict.fromkeys(("weighed", "weigh"), (m.READING, "scale")),
    **dict.fromkeys(("dipped", "measured"), (m.READING, "stick")),
    "counted": (m.READING, "count"),
    **dict.fromkeys(("used", "use", "took"), (m.USE, "")),
    **dict.fromkeys(("traded", "traded in", "exchanged", "exchange"), (m.EXCHANGE, "")),
    **dict.fromkeys(("spilled", "spilt", "spill", "leaked", "leak", "lost"), (m.SPILL, "")),
    **dict.fromkeys(("poured", "pour", "moved"), (m.POUR, "")),
    **dict.fromkeys(("note", "noted"), (m.NOTE, "")),
}

_DONE = dict.fromkeys(("had", "did", "made", "have", "take", "do", "make"), (m.USE, ""))
"""First words that are understood and not offered."""
_RESTORED = ("thawed", "back", "fixed")
_MOVED = {*FILLER, "on", "next", "one", "new", "other", "over"}
_TO_THE_TOP = ("filled", "fill", "refilled", "topped", "top")
"""First words of a fill that say, without an amount, how full it got; `bought` and `got` do not."""

TIME_WORDS = (
    "last night", "yesterday", "yesterday morning", "yesterday evening", "this morning", "this afternoon", "now",
    "mon", "tue", "wed", "thu", "fri", "sat", "sun",
)  # fmt: skip
"""Words of time to finish or to propose; many more are understood."""
_CENTS = re.compile(r"[0-9]+(?:[.,][0-9]+)?c")
_AHEAD = re.compile(rf"(?:on )?(?:tomorrow|tonight|next|{'|'.join(WEEKDAYS)})")
_PRICE = re.compile(
    r"(?:(?:^|\s)(?:at|for)\s+|@\s?|(?<=\s))(?P<each>[$€£]?[0-9]+(?:[.,][0-9]{1,2})?c?)\s?(?:/\s?|\sper\s)(?P<unit>[A-Za-z]+)",
    re.IGNORECASE,
)


def read_phrase(text: str, rig: Rig, now: Moment) -> Typed:
    """`text` sorted into its parts. Refusal names the first word that fits nowhere and the nearest right one."""
    plain = " ".join(text.split())
    if VERBS.get(plain.partition(" ")[0].lower(), ("",))[0] == m.NOTE:
        return Typed(m.NOTE, word=plain.partition(" ")[2], typed=plain)
    told = replace(_read(begun(plain), rig, now), typed=plain)
    if not told.container:
        refuse_both_of_many(plain.split(), told.supply, rig)
    return told


def _read(text: str, rig: Rig, now: Moment) -> Typed:
    """The same without the words before it: price, place and time are taken off what happened."""
    words = text.split()
    if not words:
        raise Refusal("Nothing was typed: say what happened, like 'filled water' or 'dumped'.")
    price = _PRICE.search(text)
    if price and unit_named(price["unit"]):
        return _priced(_read(f"{text[: price.start()]} {text[price.end() :]}", rig, now), price)
    rest, place = (words, "") if words[0].lower() in DATED else _at_place(words, now, rig.zone)
    if place:
        return replace(_read(" ".join(rest), rig, now), place=place)
    span = read_span(" ".join(words), rig)
    if span is not None:
        return span
    said, when = _time_at_end(words[1:], now, rig.zone)
    return replace(_event([words[0], *said], when, rig), at=when)


def _event(words: list[str], when: str, rig: Rig) -> Typed:
    """What happened, its time taken off."""
    words = plainly(words, rig, supply_in(words, rig)) or words
    unsaid = _without_verb(words, rig)
    if isinstance(unsaid, Typed):
        return unsaid
    kind, method, rest = unsaid or _verb(words)
    verb = words[0].lower()
    if kind == m.POUR:
        return poured(Typed(kind), rest, rig)
    if verb in (m.DUMP, m.FILL) and _AHEAD.match(when.lower()):
        past = "dumped" if kind == m.DUMP else "filled"
        raise Refusal(f"Was that so, or is it planned? Say {past} {when}, or plan {verb} {when}.")
    supply, rest = take_supply(rest, rig)
    if supply and kind in (m.FILL, m.READING, m.RAN_OUT) and not supply_in(words, rig):
        refuse_either(supply, rest, rig)
    word, rest = _what_for(rest) if kind == m.USE else ("", rest)
    if kind == m.READING and method == "sight":
        rest = [w for w in rest if w not in ("left", "remaining")]
    rest, level = _down_to(rest) if kind == m.DUMP else (rest, "")
    if kind == m.NEXT:
        return _next(verb, supply, rest, rig)
    container, rest = take_container(_led(rest), supply, rig)
    supply, container = of_container(supply, container, rest, kind, rig)
    supply = supply or _unsaid(kind, method, word, rig)
    typed = Typed(kind, supply, down_to=level, container=container, word=word, method=method)
    if kind == m.FILL and not container:
        typed = replace(typed, container=one_filled(rest, supply, rig))
    return _measured(typed, verb, rest, rig)


def _measured(typed: Typed, verb: str, words: list[str], rig: Rig) -> Typed:
    """An event with its amount and what was paid. Refusal for what is left over."""
    kind, supply = typed.kind, typed.supply
    if kind == m.USE:
        typed, words = _used(typed, words, rig)
        supply = typed.supply
    if kind == m.READING and not typed.container and ("all" in words or any(is_noun(w) and w[-1] == "s" for w in words)):
        words = _all_alike(words, supply, rig)
        typed = replace(typed, method="count")
    amount, paid, rest = (typed.amount, "", words) if typed.amount else take_amount(words, kind, supply, rig)
    if rest and is_noun(rest[0]) and NUMBER.fullmatch(amount):
        raise Refusal(f"How much is '{amount} {rest[0]}'? Say it in gal or L, or which one is full.")
    rest = [w for w in rest if not (is_noun(w) or w.lower() in FILLER)]
    if kind == m.FILL and supply and paid and not amount and len(rest) == 1 and _CENTS.fullmatch(rest[0].lower()):
        return replace(typed, paid=paid, price_per=f"{rest[0]}/{rig.supply(supply).unit}")
    if kind == m.RAN_OUT and [w.lower() for w in rest] == [m.COLD]:
        typed, rest = replace(typed, word=m.COLD), []
    if rest:
        raise Refusal(_stray(rest, supply, rig, sized=bool(NUMBER.fullmatch(amount)), first=rest[0] == words[0]))
    if kind == m.RAN_OUT and amount:
        raise Refusal(f"'{amount}' does not belong to what ran out: say looked {rig.say(supply)} {amount} for what is left.")
    if kind == m.FILL and verb in _TO_THE_TOP:
        supply = supply or FRESH
    elif kind == m.FILL:
        amount = amount or "some"
    if typed.method == "sight" and parse_share(amount) in (0.0, 100.0):
        typed = replace(typed, method="")
    return replace(typed, supply=supply, amount=as_read(amount, typed.method, supply, rig), paid=paid)


def _used(typed: Typed, words: list[str], rig: Rig) -> tuple[Typed, list[str]]:
    """A use with what it was for (`hair 1 gal`, `2 gal laundry`) and how often (`2 times`), and the rest."""
    if "times" in words[1:]:
        at = words.index("times")
        return replace(typed, amount=" ".join(words[at - 1 : at + 1])), words[: at - 1] + words[at + 1 :]
    what = [w for w in words if w.isalpha() and w.lower() not in ("a", "an") and not _has_meaning(w, rig)]
    ahead, after = words[: len(what)] == what, words[-len(what) :] == what and (not words[1:2] or unit_named(words[1]))
    if not what or not (ahead or after):
        return typed, words
    return replace(typed, word=typed.word or " ".join(what).lower(), supply=typed.supply or FRESH), [
        w for w in words if w not in what
    ]


def _has_meaning(word: str, rig: Rig) -> bool:
    """Whether it may be part of an amount, or a slip of something else."""
    said = word.lower()
    return bool(said in FILLER or said in WHOLE or unit_named(said) or parse_share(said) is not None or _slip(word, rig))


def _all_alike(words: list[str], supply: str, rig: Rig) -> list[str]:
    """What is said of all of a supply. Refusal unless all are full or empty: one level does not tell what each holds."""
    nouns = {w.lower().removesuffix("s") for w in words if is_noun(w)}
    mine = rig.of(supply)
    meant = [c for c in mine if nouns & set(c.label.lower().split())] or list(mine)
    said = [w for w in words if not is_noun(w) and w not in ("all", str(len(meant)), *FILLER)]
    if len(mine) > 1 and not (said in ([m.FULL], [m.EMPTY]) and len(meant) == len(mine)):
        each = ", then ".join(f"{rig.say(supply)} {c.letter.lower()} {' '.join(said)}" for c in meant)
        raise Refusal(f"One at a time: {each}.")
    return said


def _unsaid(kind: str, method: str, word: str, rig: Rig) -> str:
    """The supply meant where none was named, "" where it must be."""
    if kind == m.NEXT or (kind == m.USE and (word or rig.of(FRESH))):
        return FRESH
    return PROPANE if method == "scale" and rig.of(PROPANE) and takes_gross(PROPANE, rig) else ""


def _next(verb: str, supply: str, words: list[str], rig: Rig) -> Typed:
    """`next water b`, `switched from a to b`: the one named is opened, the one after `from` is the empty one."""
    lowered = [*(w.lower() for w in words), "from"]
    start = lowered.index("from")
    end = next((i for i in range(start, len(words)) if lowered[i] == "to"), len(words))
    into, rest = _one_moved(words[:start] + words[end:], supply, rig)
    emptied, more = _one_moved(words[start + 1 : end], supply, rig)
    named = into if len(into) > 1 else emptied if len(emptied) > 1 else ""
    supply = supply or of_container("", named, [], m.NEXT, rig)[0] or FRESH
    if verb in ("swapped", "changed") and supply == PROPANE and len(rig.of(supply)) == 1:
        return _measured(Typed(m.EXCHANGE, supply), verb, rest, rig)
    amount, _, rest = take_amount([*rest, *more], m.NEXT, supply, rig)
    if rest:
        raise Refusal(_stray(rest, supply, rig))
    return Typed(m.NEXT, supply, amount, container=emptied, into=into)


def _one_moved(words: list[str], supply: str, rig: Rig) -> tuple[str, list[str]]:
    """A label anywhere, or a letter of water unless another supply was said; and what is left but little words."""
    label, rest = take_container(words, supply, rig)
    if len(label) < 2:
        label, rest = "", words
    rest = [w for w in rest if not (is_noun(w) or w.lower() in _MOVED)]
    return (label, rest) if label else take_container(rest, supply or FRESH, rig)


def _led(words: list[str]) -> list[str]:
    """`3 gal to b` → `b 3 gal`: a letter stands in front."""
    at = next((i for i, w in enumerate(words) if i and len(w) == 1 and w.isalpha() and words[i - 1].lower() in FILLER), 0)
    return [words[at], *words[: at - 1], *words[at + 1 :]] if at else words


def _down_to(words: list[str]) -> tuple[list[str], str]:
    """`2 days' worth down to 1 gal` → the words before, and the level it was brought to."""
    lowered = [w.lower() for w in words]
    at = next((i for i in range(len(words) - 2) if lowered[i : i + 2] == ["down", "to"]), len(words))
    return words[:at], " ".join(words[at + 2 :])


def _priced(typed: Typed, price: re.Match[str]) -> Typed:
    """What was filled at so much a unit: the sum follows from the amount, or the amount from the sum."""
    if typed.kind != m.FILL:
        raise Refusal(f"'{price[0].strip()}' is the price of a fill: leave it out here, or say the sum, like $3.")
    return replace(typed, price_per=f"{price['each']}/{price['unit']}")


def _at_place(words: list[str], now: Moment, zone: str) -> tuple[list[str], str]:
    """`filled water 12 @Old Mill $3 last night`, `dumped at Old Mill` → the words without the place, and the place."""
    start = next((i for i, word in enumerate(words) if i and (word.startswith("@") or word.lower() == "at")), len(words))
    name = [word for word in (*words[start : start + 1], *words[start + 1 :]) if word not in ("@", "at")]
    name[:1] = [word.removeprefix("@") for word in name[:1]]
    said, when = _time_at_end(name, now, zone)
    if ((when and not said) or _is_amount(name)) and not words[start].startswith("@"):
        return words, ""
    name, after = (said, when.split()) if said else (name, [])
    if len(name) > 1 and MONEY.fullmatch(name[-1]):
        after = [name.pop(), *after]
    return (words[:start] + after, " ".join(name)) if name else (words, "")


def _without_verb(words: list[str], rig: Rig) -> Typed | tuple[str, str, list[str]] | None:
    """`water half`, `b empty`, `2 gal left` was looked at, `water a frozen` is set aside, `shower` was taken, `12 for $3` is
    water filled; None when there is a verb."""
    if " ".join(words[:2]).lower() in VERBS or words[0].lower() in (*VERBS, *_DONE):
        return None
    if any(w.lower() in USUAL_USES for w in words):
        return m.USE, "", words
    supply, rest = take_supply(words, rig)
    container, rest = take_container(rest, supply, rig)
    if (supply or container) and words[-1].lower() in (*FAILED, *_RESTORED):
        supply, container = of_container(supply, container, rest, m.ASIDE, rig)
        if words[-1].lower() in _RESTORED:
            return Typed(m.ASIDE, supply, down_to=m.BACK, container=container)
        return Typed(m.ASIDE, supply, container=container, word=words[-1].lower())
    first = take_supply(words[:1], rig)[0]
    if any(w[0] in "$€£" for w in words) and (first or (NUMBER.fullmatch(words[0]) and rig.of(FRESH))):
        return m.FILL, "", words if first else [FRESH, *words]
    tail = [" ".join(words[i:]).lower() for i in (-1, -2)]
    level = bool({"left", "remaining"} & {w.lower() for w in words}) or any(parse_share(said) is not None for said in tail)
    level = level or (bool(supply) and (words[0][-1] == "%" or parse_share(words[0].lower()) is not None))
    return (m.READING, "sight", words) if level or (len(words) > 1 and (first or container)) else None


def first_words() -> list[str]:
    """The verbs a phrase may begin with, for completion."""
    return [*VERBS, *FIRST_WORDS]


def beginnings() -> list[str]:
    """The words to offer for one that begins nothing, as far as no rig is needed to know them."""
    return [*first_words(), *USUAL_USES, *(word for word in SPOKEN if len(word) > 1)]


def next_words(text: str, rig: Rig) -> list[str]:
    """Words that may follow what is typed so far: verbs, then supplies, then containers and units."""
    words = text.lower().split()
    if not words:
        return first_words()
    try:
        kind, _, rest = _verb(words)
    except Refusal:
        return [v for v in first_words() if v.startswith(words[0])]
    supply, rest = take_supply(rest, rig)
    if not supply:
        uses = list(USUAL_USES) if kind == m.USE else []
        return [rig.say(s.name) for s in rig.supplies] + uses
    held = [c.label for c in rig.of(supply)]
    return [*held, rig.supply(supply).unit, "half", "some", "now", "last night", "yesterday", "this morning"]


def _verb(words: list[str]) -> tuple[str, str, list[str]]:
    lowered = [w.lower() for w in words]
    for length in (2, 1):
        found = (VERBS | _DONE).get(" ".join(lowered[:length]))
        if found and len(words) >= length:
            rest = words[length:]
            if found[0] == m.RAN_OUT and rest and rest[0].lower() == "of":
                rest = rest[1:]
            return found[0], found[1], rest
    single = [word for word in beginnings() if " " not in word]
    if len(words) > 1 and words[0].isalpha() and not nearest(words[0], single) and _is_amount(words[1:]):
        used = f"used {' '.join(words[1:])} for {words[0]}"
        raise Refusal(f"'{words[0]}' is not something to note: was it for that? Say {used}.", USAGE)
    raise Refusal(f"'{words[0]}' is not something to note{nearest(words[0], single)}: start with filled, dumped, "
                  "next, ran out, looked, weighed, used, poured or spilled.", USAGE)  # fmt: skip


def _is_amount(words: list[str]) -> bool:
    try:
        unit = parse_amount(" ".join(words)).unit
    except Refusal:
        return False
    return not unit or unit_named(unit) is not None


def _time_at_end(words: list[str], now: Moment, zone: str) -> tuple[list[str], str]:
    """The longest run of words at the end that is a time, taken off."""
    for start in range(len(words)):
        tail = " ".join(words[start:])
        if not re.search(r"[A-Za-z:]|\d{4}-", tail) or unit_named(tail):
            continue
        try:
            read_when(tail, now, zone)
        except Refusal:
            continue
        return words[:start], tail
    return words, ""


def _what_for(words: list[str]) -> tuple[str, list[str]]:
    """`shower`, `2 gal for the laundry` → what it was for, and the rest."""
    lowered = [w.lower() for w in words]
    usual = next((i for i, word in enumerate(lowered) if word in USUAL_USES), -1)
    if usual >= 0:
        return lowered[usual], words[:usual] + words[usual + 1 :]
    said = lowered.index("for") if "for" in lowered else len(words)
    after = [word for word in lowered[said + 1 :] if word not in FILLER]
    what = list(takewhile(str.isalpha, after))
    return (" ".join(what), words[:said] + after[len(what) :]) if what else ("", words)


def _stray(words: list[str], supply: str, rig: Rig, *, sized: bool = False, first: bool = False) -> str:
    """Why words left over fit nowhere; `sized`: after a bare number, `first`: where a supply might have been said."""
    word, whole = words[0], " ".join(words)
    if word[0] == "-" or (word[0].isdigit() and "," in word):
        number(word)
    if word.lower() in VERBS or (supply and len(words) > 1 and take_container(words, supply, rig)[0]):
        return f"'{whole}' is one more thing: one at a time."
    time = nearest(whole, [t for t in TIME_WORDS if " " in t])
    if time or not word.isalpha() or not (sized or (first and not supply)):
        where = f" in what you said of {rig.say(supply)}" if supply else ""
        return f"'{whole if time else word}' fits nowhere{where}{time or _meant(word, rig)}."
    if sized:
        return f"'{word}' is neither a unit nor a container{_meant(word, rig)}."
    return f"'{word}' is not a supply{_meant(word, rig)}: there is {', '.join(rig.say(s.name) for s in rig.supplies)}."


def _meant(word: str, rig: Rig) -> str:
    return _slip(word, rig) or nearest(word, [t for t in TIME_WORDS if " " not in t])


def _slip(word: str, rig: Rig) -> str:
    """The name, unit or use that the word may be a slip of."""
    named = [w for w in SPOKEN if len(w) > 1 and " " not in w]
    return nearest(word, [*named, *(c.label for c in rig.containers), "gal", "gallons", "half", "some", *USUAL_USES])
