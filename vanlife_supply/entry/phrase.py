"""A whole phrase as a person types it → what was typed, field by field: `filled water b 5 3.50 last night`.

The grammar is loose on purpose: a verb, then supply, container, amount, money and time in the order
people say them. `read_phrase` only sorts the words; `build` checks what they mean.
"""

from __future__ import annotations

import re
from dataclasses import replace

from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.entry.fitting import takes_gross
from vanlife_supply.entry.plain import FAILED, NOUNS, plainly
from vanlife_supply.entry.spans import DATED, FIRST_WORDS, read_span
from vanlife_supply.moment import WEEKDAYS, Moment, read_when
from vanlife_supply.quantity import number, parse_amount, parse_share, unit_named
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import FILLS, FRESH, SPOKEN, Container, Rig, called
from vanlife_supply.rig.presets import USUAL_USES

VERBS: dict[str, tuple[str, str]] = {
    # first words: the kind of entry, the way it was read
    **dict.fromkeys(("filled", "fill", "topped", "added", "bought", "got"), (m.FILL, "")),
    **dict.fromkeys(("dumped", "dump", "emptied"), (m.DUMP, "")),
    **dict.fromkeys(("next", "opened"), (m.NEXT, "")),
    **dict.fromkeys(("ran out", "ran-out", "out"), (m.RAN_OUT, "")),
    **dict.fromkeys(("looked", "look", "reading", "read", "left"), (m.READING, "sight")),
    **dict.fromkeys(("weighed", "weigh"), (m.READING, "scale")),
    **dict.fromkeys(("dipped", "measured"), (m.READING, "stick")),
    "counted": (m.READING, "count"),
    **dict.fromkeys(("used", "use", "took"), (m.USE, "")),
    **dict.fromkeys(("traded", "traded in", "exchanged", "exchange"), (m.EXCHANGE, "")),
    **dict.fromkeys(("spilled", "spilt", "spill", "leaked", "lost"), (m.SPILL, "")),
    **dict.fromkeys(("poured", "pour"), (m.POUR, "")),
    **dict.fromkeys(("note", "noted"), (m.NOTE, "")),
}

_DONE = dict.fromkeys(("had", "did", "made"), (m.USE, ""))
"""First words that are understood and not offered."""

TIME_WORDS = (
    "last night", "yesterday", "yesterday morning", "yesterday evening", "this morning", "this afternoon", "now",
    "mon", "tue", "wed", "thu", "fri", "sat", "sun",
)  # fmt: skip
"""Words of time to finish or to propose; many more are understood."""
_FILLER = {"of", "the", "with", "to", "up", "about", "in", "and", "for"}
_WHOLE = ("some", "a bit", "almost", "full", "to the top", "to top", "empty", "now empty", "almost full", "all")
_MONEY = re.compile(r"[$€£][0-9]+(?:[.,][0-9]{1,2})?|[0-9]+[.,][0-9]{2}(?:[$€£])?|[0-9]+c")
_CENTS = re.compile(r"[0-9]+(?:[.,][0-9]+)?c")
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_AHEAD = re.compile(rf"(?:on )?(?:tomorrow|tonight|next|{'|'.join(WEEKDAYS)})")
_PRICE = re.compile(
    r"(?:(?:^|\s)(?:at|for)\s+|@\s?|(?<=\s))(?P<each>[$€£]?[0-9]+(?:[.,][0-9]{1,2})?c?)\s?(?:/\s?|\sper\s)(?P<unit>[A-Za-z]+)",
    re.IGNORECASE,
)


def read_phrase(text: str, rig: Rig, now: Moment) -> Typed:
    """`text` sorted into its parts. Refusal names the first word that fits nowhere and the nearest right one."""
    words = text.split()
    if not words:
        raise Refusal("Nothing was typed: say what happened, like 'filled water' or 'dumped'.")
    price = _PRICE.search(text)
    if price and unit_named(price["unit"]):
        return _priced(read_phrase(f"{text[: price.start()]} {text[price.end() :]}", rig, now), price, " ".join(words))
    rest, place = (words, "") if words[0].lower() in DATED else _at_place(words, now, rig.zone)
    if place:
        return replace(read_phrase(" ".join(rest), rig, now), place=place, typed=" ".join(words))
    span = read_span(" ".join(words), rig)
    if span is not None:
        return span
    if VERBS.get(words[0].lower(), ("",))[0] == m.NOTE:
        return Typed(m.NOTE, word=" ".join(words[1:]), typed=" ".join(words))
    said, when = _time_at_end(words[1:], now, rig.zone)
    return replace(_event([words[0], *said], when, rig), at=when, typed=" ".join(words))


def _event(words: list[str], when: str, rig: Rig) -> Typed:
    """What happened, its time taken off."""
    words = plainly(words, rig, _named(words, rig)) or words
    unsaid = _without_verb(words, rig)
    if isinstance(unsaid, Typed):
        return unsaid
    kind, method, rest = unsaid or _verb(words)
    typed = Typed(kind, method=method)
    if kind == m.POUR:
        return _poured(typed, rest, rig)
    if words[0].lower() in (m.DUMP, m.FILL) and _AHEAD.match(when.lower()):
        past = "dumped" if kind == m.DUMP else "filled"
        raise Refusal(f"Was that so, or is it planned? Say {past} {when}, or plan {words[0].lower()} {when}.")
    supply, rest = take_supply(rest, rig)
    if supply and kind in (m.FILL, m.READING, m.RAN_OUT) and not _named(words, rig):
        _refuse_either(supply, rest, rig)
    if kind == m.NEXT:
        supply = supply or FRESH
    if kind == m.USE:
        word, rest = _what_for(rest)
        typed, supply = replace(typed, word=word), supply or (FRESH if word else "")
    if kind == m.READING and method == "sight":
        rest = [w for w in rest if w not in ("left", "remaining")]
    container, rest = take_container(rest, supply, rig)
    supply, container = _of_container(supply, container, rest, kind, rig)
    if kind == m.NEXT:
        rest = [w for w in rest if w.lower() not in ("jug", "next")]
    if kind == m.NEXT and words[0].lower() == "opened":
        typed, container = replace(typed, into=container), ""
    amount, paid, rest = _take_amount(rest, kind, supply, rig)
    rest = [w for w in rest if w.lower().removesuffix("s") not in NOUNS]
    if rest and all(w.lower() in _FILLER for w in rest):
        rest = []
    if kind == m.FILL and supply and paid and not amount and len(rest) == 1 and _CENTS.fullmatch(rest[0].lower()):
        each = f"{rest[0]}/{rig.supply(supply).unit}"
        return replace(typed, supply=supply, container=container, paid=paid, price_per=each)
    if kind == m.USE and not (amount or typed.word) and len(rest) == 1 and rest[0].isalpha() and not _meant(rest[0], rig):
        typed, supply, rest = replace(typed, word=rest[0].lower()), supply or FRESH, []
    if rest:
        raise Refusal(_stray(rest, supply, rig))
    amount = _as_weighed(amount, method, supply, rig)
    return replace(typed, supply=supply, container=container, amount=amount, paid=paid)


def _priced(typed: Typed, price: re.Match[str], text: str) -> Typed:
    """What was filled at so much a unit: the sum follows from the amount, or the amount from the sum."""
    if typed.kind != m.FILL:
        raise Refusal(f"'{price[0].strip()}' is the price of a fill: leave it out here, or say the sum, like $3.")
    return replace(typed, price_per=f"{price['each']}/{price['unit']}", typed=text)


def _at_place(words: list[str], now: Moment, zone: str) -> tuple[list[str], str]:
    """`filled water 12 @Old Mill $3 last night`, `dumped at Old Mill` → the words without the place, and the place."""
    start = next((i for i, word in enumerate(words) if i and (word.startswith("@") or word.lower() == "at")), len(words))
    name = [word for word in (*words[start : start + 1], *words[start + 1 :]) if word not in ("@", "at")]
    name[:1] = [word.removeprefix("@") for word in name[:1]]
    said, when = _time_at_end(name, now, zone)
    if when and not said and not words[start].startswith("@"):
        return words, ""
    name, after = (said, when.split()) if said else (name, [])
    if len(name) > 1 and _MONEY.fullmatch(name[-1]):
        after = [name.pop(), *after]
    return (words[:start] + after, " ".join(name)) if name else (words, "")


def _without_verb(words: list[str], rig: Rig) -> Typed | tuple[str, str, list[str]] | None:
    """`water half`, `b empty`, `2 gal left` was looked at, `water a frozen` is set aside, `shower` was taken, `12 for $3` is
    water filled; None when there is a verb."""
    if " ".join(words[:2]).lower() in VERBS or words[0].lower() in (*VERBS, *_DONE):
        return None
    if words[0].lower() in USUAL_USES:
        return m.USE, "", words
    supply, rest = take_supply(words, rig)
    container, rest = take_container(rest, supply, rig)
    if (supply or container) and words[-1].lower() in FAILED:
        supply, container = _of_container(supply, container, rest, m.ASIDE, rig)
        return Typed(m.ASIDE, supply, container=container, word=words[-1].lower())
    paid = any(w[0] in "$€£" for w in words)
    if paid and _NUMBER.fullmatch(words[0]) and rig.of(FRESH):
        return m.FILL, "", [FRESH, *words]
    level = words[-1].lower() in ("left", "remaining") or parse_share(words[-1].lower()) is not None
    first = take_supply(words[:1], rig)[0]
    return (m.READING, "sight", words) if len(words) > 1 and (first or level) else None


def _refuse_either(supply: str, rest: list[str], rig: Rig) -> None:
    """Refusal where the letter of a supply is that of a container of another one too, and nothing said tells which."""
    letter = next(word for word, name in SPOKEN.items() if name == supply)
    if take_container(rest, supply, rig)[0]:
        return
    for c in rig.containers:
        if c.letter.lower() == letter and c.supply != supply and len(rig.of(c.supply)) > 1:
            each = f"{rig.say(supply)}, or {rig.say(c.supply)} {letter} ({c.label})"
            raise Refusal(f"Which one is '{letter}'? Say {each}.")


def _of_container(supply: str, container: str, rest: list[str], kind: str, rig: Rig) -> tuple[str, str]:
    """The supply that a container, or what containers are called, belongs to where none was said, and the container.

    Refusal where a letter could be of several.
    """
    if supply or not (container or rest):
        return supply, container
    named = [c for c in rig.containers if c.label.lower() == container.lower()]
    lettered = [c for c in rig.containers if c.letter.lower() == container.lower() and len(rig.of(c.supply)) > 1]
    nouns = {w.lower().removesuffix("s") for w in rest} & set(NOUNS)
    spoken = {c.supply for c in rig.containers if nouns & set(c.label.lower().split())}
    fits = {c.supply for c in named or lettered} or spoken
    if kind != m.DUMP and len(fits) > 1:
        fits = {name for name in fits if rig.supply(name).direction != FILLS}
    if len(fits) > 1 and lettered and not named:
        each = " or ".join(f"{rig.say(c.supply)} {container} ({c.label})" for c in lettered if c.supply in fits)
        raise Refusal(f"Which one is '{container}'? Say {each}.")
    return (fits.pop() if len(fits) == 1 else ""), container


def first_words() -> list[str]:
    """The verbs a phrase may begin with, for completion."""
    return [*VERBS, *FIRST_WORDS]


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
    raise Refusal(f"'{words[0]}' is not something to note{nearest(words[0], first_words())}: start with filled, dumped, "
                  "next, ran out, looked, weighed, used, poured or spilled.")  # fmt: skip


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


def take_supply(words: list[str], rig: Rig) -> tuple[str, list[str]]:
    """The supply named by a word or two, else by its letter in front; and the rest. The `a` of `a gallon` is no letter."""
    known = SPOKEN | {s.name.lower(): s.name for s in rig.supplies}
    carried = {s.name for s in rig.supplies}
    lowered = [w.lower() for w in words]
    for length in (2, 1):
        for i in range(len(words) - length + 1):
            said = " ".join(lowered[i : i + length])
            if len(said) > 1 and known.get(said) in carried:
                return known[said], words[:i] + words[i + length :]
    if not words or _is_share(lowered, 0) or unit_named(" ".join(words[1:2])) or known.get(lowered[0]) not in carried:
        return "", words
    return known[lowered[0]], words[1:]


def _named(words: list[str], rig: Rig) -> str:
    """The supply named anywhere by more than a letter."""
    return take_supply([w for w in words if len(w) > 1], rig)[0]


def _what_for(words: list[str]) -> tuple[str, list[str]]:
    """`shower`, `2 gal for the laundry` → what it was for, and the rest."""
    lowered = [w.lower() for w in words]
    usual = next((i for i, word in enumerate(lowered) if word in USUAL_USES), -1)
    if usual >= 0:
        return lowered[usual], words[:usual] + words[usual + 1 :]
    said = lowered.index("for") if "for" in lowered else len(words)
    what = [word for word in lowered[said + 1 :] if word not in _FILLER]
    return (" ".join(what), words[:said]) if what and all(word.isalpha() for word in what) else ("", words)


def take_container(words: list[str], supply: str, rig: Rig) -> tuple[str, list[str]]:
    """A label (however many words) or a letter anywhere before the amount; `a quarter` is no container."""
    mine = rig.of(supply) if supply else rig.containers
    lowered = [w.lower() for w in words]
    for c in mine:
        label = c.label.lower().split()
        for i in range(len(words) - len(label) + 1):
            if lowered[i : i + len(label)] == label and not _is_share(lowered, i):
                return c.label, words[:i] + words[i + len(label) :]
    lettered = (c.letter.lower() for c in mine if supply or len(rig.of(c.supply)) > 1)
    if words and not _is_share(lowered, 0) and lowered[0] in lettered:
        return words[0], words[1:]
    return "", words


def _is_share(words: list[str], i: int) -> bool:
    return words[i] == "a" and words[i + 1 : i + 2] != [] and words[i + 1] in ("half", "quarter", "third", "bit")


def _take_amount(words: list[str], kind: str, supply: str, rig: Rig) -> tuple[str, str, list[str]]:
    """The longest run of words that is an amount, and money beside it."""
    words, paid = _marked_money(words)
    text = " ".join(w for w in words if w.lower().removesuffix("s") not in NOUNS).lower()
    if text in _WHOLE:
        return text, paid, []
    for end in range(len(words), 0, -1):
        head = " ".join(words[:end])
        try:
            amount = parse_amount(head)
            if supply:
                rig.canonical(amount, supply, rig.of(supply)[0].label)
        except Refusal:
            continue
        rest = words[end:]
        after = [w.lower() for w in rest]
        if kind == m.FILL and after[:1] == [m.FULL]:
            head, rest = f"{head} full", rest[1:]
        elif kind == m.DUMP and m.EMPTY in after[:2] and after[0] in ("now", m.EMPTY):
            head, rest = f"{head} empty", rest[after.index(m.EMPTY) + 1 :]
        if not paid and rest and _NUMBER.fullmatch(rest[0]) and kind in (m.FILL, m.EXCHANGE, m.DUMP):
            return head, rest[0], rest[1:]
        return head, paid, rest
    return "", paid, words


def _marked_money(words: list[str]) -> tuple[list[str], str]:
    """Money that shows itself: $3, 3.50 after another number, 35c."""
    for i, word in enumerate(words):
        marked = word[0] in "$€£" or word[-1] in "$€£c"
        second = any(_NUMBER.fullmatch(w) or unit_named(w) for w in words[:i])
        if _MONEY.fullmatch(word) and (marked or second):
            return words[:i] + words[i + 1 :], word
    return words, ""


def _as_weighed(amount: str, method: str, supply: str, rig: Rig) -> str:
    """A bare number from the scale is the weight with the container, where its tare is known."""
    if method == "scale" and _NUMBER.fullmatch(amount) and supply and takes_gross(supply, rig):
        return f"{amount} {rig.scale} gross"
    return amount


def _poured(typed: Typed, words: list[str], rig: Rig) -> Typed:
    """`poured 1 L from can into canister 1`, the supply found from the containers."""
    lowered = [w.lower() for w in words]
    into = next((lowered.index(w) for w in ("into", "to") if w in lowered), -1)
    if "from" not in lowered or into < 0:
        raise Refusal("Say both: poured 1 L from can into canister 1.")
    start = lowered.index("from")
    ends = sorted((start, into, len(words)))
    parts = {lowered[i]: " ".join(words[i + 1 : next(e for e in ends if e > i)]) for i in (start, into)}
    source, target = parts["from"], parts.get("into", parts.get("to", ""))
    supply, before = take_supply(words[: min(start, into)], rig)
    amount = " ".join(w for w in before if w.lower() not in _FILLER)
    if not supply:
        supply = _supply_of(source, target, amount, rig)
    return replace(typed, supply=supply, amount=amount, container=source, into=target)


def _supply_of(source: str, target: str, amount: str, rig: Rig) -> str:
    """The supply that has both, and the amount in the one poured out of. Refusal where there is none, or several."""
    both = [(s.name, called(rig.of(s.name), source), called(rig.of(s.name), target)) for s in rig.supplies]
    fits = [name for name, one, other in both if one and other and _holds(one, amount, rig)]
    if len(fits) > 1:
        each = " or ".join(f"poured {rig.say(name)}" for name in fits)
        raise Refusal(f"'{source}' and '{target}' are of {' and of '.join(rig.say(f) for f in fits)}: say {each} first.")
    if not fits:
        missing = next((label for label in (source, target) if called(rig.containers, label) is None), source)
        known = [c.label for c in rig.containers]
        raise Refusal(f"No container '{missing}'{nearest(missing, known)} for that: there is {', '.join(known)}.")
    return fits[0]


def _holds(holder: Container, amount: str, rig: Rig) -> bool:
    try:
        return not amount or rig.canonical(parse_amount(amount), holder.supply, holder.label) <= holder.capacity
    except Refusal:
        return True


def _stray(words: list[str], supply: str, rig: Rig) -> str:
    word, whole = words[0], " ".join(words)
    if word[0].isdigit() and "," in word:
        number(word)
    where = f" in what you said of {rig.say(supply)}" if supply else ""
    time = nearest(whole, [t for t in TIME_WORDS if " " in t])
    return f"'{whole if time else word}' fits nowhere{where}{time or _meant(word, rig)}."


def _meant(word: str, rig: Rig) -> str:
    single = [w for w in (*SPOKEN, *TIME_WORDS) if len(w) > 1 and " " not in w]
    return nearest(word, [*single, *(c.label for c in rig.containers), "gal", "gallons", "half", "some", *USUAL_USES])
