"""A change of the rig in mid-life, said in a few words → the rig.toml that holds from then on.

`6 gal` · `gone` · `called blue jug` · `stop at 5.5` · `tare 17 lb` · `dead 0.2 gal` · `kept back` · `for washing` of a
container; `reserve 1 gal` · `unit L` · `lasts 10 days` of a supply; `new water 5 gal jug full` · `new 2 x 1 gal bottle` ·
`new toilet fills 5 gal` · `units metric` · `zone America/Denver` · `currency CAD` · `payload 300 lb` of the rig.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from vanlife_supply.quantity import MASS, PERCENT, SHARE_WORDS, VOLUME, Amount, number, parse_amount, parse_share, unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.amend import Tables, opened, written
from vanlife_supply.rig.load import free_letter, read_rig, supply_word
from vanlife_supply.rig.model import Rig, supply_named

Row = dict[str, Any]

_LEVEL = re.compile(
    rf"((?:new|add|another) .*?)[ ,]+(?:(?:it )?is )?(?:about )?({'|'.join(SHARE_WORDS)})(?: full| left)?", re.IGNORECASE
)
_NEW = re.compile(r"(?:new|add|another) (.+)", re.IGNORECASE)
_MANY = re.compile(r"([2-9]) ?x ?(.+)", re.IGNORECASE)
_FILLS = re.compile(r"(\S+) (fills|empties) (.+)", re.IGNORECASE)


def with_level(said: str) -> tuple[str, str]:
    """`new water 6 gal jug full` → (`new water 6 gal jug`, `full`): the change, and how full it comes ("" not said)."""
    found = _LEVEL.fullmatch(" ".join(said.split()))
    return (found[1], found[2].lower()) if found else (said, "")


def changed(text: str, zone: str, supply: str, label: str, said: str, past: Sequence[Rig] = ()) -> str:
    """`text`, a rig.toml in force with times told in `zone`, as it is after the change `said` of a container, of a supply
    (`label` ""), or of the rig (both ""). A container keeps its letter as long as it is carried, and what is new takes no
    letter or name that one of its supply had in the rigs of the `past`. Refusal when it is not understood, cannot be, or
    changes nothing."""
    before = read_rig(text)
    tables = opened(text, zone)
    plain = " ".join(with_level(said)[0].split())
    new = _NEW.fullmatch(plain)
    if new:
        _add(tables, before, supply, new[1], past)
    elif not _changes(tables, before, supply, label, plain):
        raise Refusal(f"'{plain}' is no change I know: {_HINTS[bool(supply) + bool(label)]}.")
    if written(opened(text, zone)) == written(tables):
        raise Refusal("That is how it is already.")
    _letter(tables, before, past)
    after = written(tables)
    read_rig(after)
    return after


def _letter(tables: Tables, before: Rig, past: Sequence[Rig]) -> None:
    """Writes down the letters of a supply where its containers in their order would get others."""
    for its in read_rig(written(tables)).supplies:
        rows = [r for r in tables["container"] if supply_word("", r["supply"]) == its.name]
        taken = {c.letter for rig in (*past, before) for c in rig.of(its.name)}
        letters: list[str] = []
        for row in rows:
            names = (row["label"], *row.get("was", []))
            had = next((c.letter for c in before.of(its.name) if c.label in names), "")
            letters.append(had or free_letter({*taken, *letters}))
        now = [c.letter for c in read_rig(written(tables)).of(its.name)]
        for row, letter in zip(rows, letters if letters != now else (), strict=False):
            row["letter"] = letter


def subject(said: str, rig: Rig) -> tuple[str, str, str]:
    """`water b 6 gal` → ("fresh", "jug B", "6 gal"): supply, label and change; "" where none is named."""
    words = said.split()
    try:
        supply = supply_named(words[0], tuple(s.name for s in rig.supplies)) if words else ""
    except Refusal:
        supply = ""
    if supply and all(s.name != supply for s in rig.supplies):
        supply = ""
    rest = words[1:] if supply else words
    mine = rig.of(supply) if supply else rig.containers
    for end in range(len(rest) - 1, 0, -1):
        name = " ".join(rest[:end]).lower()
        found = [c for c in mine if c.label.lower() == name or (supply and c.letter.lower() == name)]
        if found:
            return found[0].supply, found[0].label, " ".join(rest[end:])
    return supply, "", " ".join(rest)


_HINTS = (
    "say new water 5 gal jug, new toilet fills 5 gal, units metric, zone America/Denver, payload 300 lb",
    "say reserve 1 gal, unit L, lasts 10 days, new 5 gal jug",
    "say 6 gal, gone, called blue jug, stop at 5.5, tare 17 lb, kept back",
)
"""What may be said of the rig, of a supply, of a container."""


def _changes(tables: Tables, rig: Rig, supply: str, label: str, said: str) -> bool:
    """Makes the change in the tables; whether one was understood."""
    only = rig.of(supply) if supply and not label else ()
    if len(only) == 1 and _changes(tables, rig, supply, only[0].label, said):
        return True
    if label:
        row = next(r for r in tables["container"] if (supply_word("", r["supply"]), r["label"]) == (supply, label))
        if re.fullmatch(r"gone|out|lost|sold|split|remove", said.lower()):
            tables["container"].remove(row)
            return True
        return _first(_OF_CONTAINER, row, rig, supply, said) or _sized(row, rig, supply, said)
    if supply:
        rows = [r for r in tables["supply"] if supply_word("", r.get("name")) == supply]
        if not rows:
            rows = [{"name": supply}]
            tables["supply"] += rows
        return _first(_OF_SUPPLY, rows[0], rig, supply, said)
    return _first(_OF_RIG, tables["rig"], rig, supply, said)


def _first(patterns: dict[str, _Setter], row: Row, rig: Rig, supply: str, said: str) -> bool:
    for pattern, take in patterns.items():
        found = re.fullmatch(pattern, said, re.IGNORECASE)
        if found:
            take(row, found, rig, supply)
            return True
    return False


def _add(tables: Tables, rig: Rig, supply: str, said: str, past: Sequence[Rig]) -> None:
    """One more container, or several alike, of a supply carried or of one the rig lacked."""
    own = _FILLS.fullmatch(said)
    if own:
        supply, said = own[1].lower(), own[3]
        tables["supply"].append({"name": supply, "direction": own[2].lower()})
    else:
        first, _, rest = said.partition(" ")
        named = _named(first, rig) if rest else ""
        supply, said = (named, rest) if named else (supply or _of_its_kind(said, rig), said)
    if not supply:
        raise Refusal(f"Of what? Say new water {said}; of your own: new toilet fills 5 gal.")
    several = _MANY.fullmatch(said)
    size, kind = _size_and_name(several[2] if several else said)
    for _ in range(int(several[1]) if several else 1):
        label = next(_free_names(size, kind, supply, tables, past))
        tables["container"].append({"supply": supply, "label": label, "capacity": _text(size, rig, supply)})


def _of_its_kind(said: str, rig: Rig) -> str:
    """The supply whose containers alone are called as the new one is: of water where only water is in jugs, else ""."""
    nouns = {word.lower() for word in said.split() if word.isalpha() and not unit_named(word)}
    fits = {c.supply for c in rig.containers if nouns & set(c.label.lower().split())}
    return fits.pop() if len(fits) == 1 else ""


def _free_names(size: str, kind: str, supply: str, tables: Tables, past: Sequence[Rig]) -> Iterator[str]:
    """`jug`, where another supply has a jug `6 gal jug`, where this one has or had it `jug 2`."""
    aboard = [(supply_word("", r["supply"]), {r["label"], *r.get("was", [])}) for r in tables["container"]]
    gone = [(c.supply, {c.label}) for rig in past for c in rig.containers]
    elsewhere = {name.lower() for its, names in aboard if its != supply for name in names}
    taken = {name.lower() for its, names in (*aboard, *gone) if its == supply for name in names}
    name = f"{size} {kind}" if kind.lower() in elsewhere and size != kind else kind
    numbered = (f"{name}{f' {n}' if n > 1 else ''}" for n in range(1, 99))
    return (one for one in numbered if one.lower() not in taken | elsewhere)


def _named(word: str, rig: Rig) -> str:
    try:
        return supply_named(word, tuple(s.name for s in rig.supplies))
    except Refusal:
        return ""


def _size_and_name(said: str) -> tuple[str, str]:
    """`5 gal blue jug`, `blue jug 5 gal` → `5 gal`, `blue jug`; without a name the size is the name."""
    words = said.split()
    spans = [(i, j) for i in range(len(words)) for j in range(len(words), i, -1)]
    for start, end in spans:
        size = " ".join(words[start:end])
        try:
            unit = parse_amount(size).unit
        except Refusal:
            continue
        if unit in ("", *VOLUME, *MASS):
            return size, " ".join([*words[:start], *words[end:]]) or size
    raise Refusal(f"How big? Say it like new water 5 gal jug, not '{said}'.")


def _text(said: str, rig: Rig, supply: str) -> str:
    """An amount with its unit, as rig.toml has it."""
    amount = parse_amount(said)
    carried = next((s.unit for s in rig.supplies if s.name == supply), "gal" if rig.units == "us" else "L")
    return str(amount if amount.unit else Amount(amount.value, carried))


_Setter = Callable[[Row, "re.Match[str]", Rig, str], None]


def _sized(row: Row, rig: Rig, supply: str, said: str) -> bool:
    try:
        size = _text(said.removeprefix("holds ").removeprefix("is "), rig, supply)
    except Refusal:
        return False
    row.pop("wc", None)
    row["capacity"] = size
    return True


def _call(row: Row, found: re.Match[str], rig: Rig, supply: str) -> None:
    row.update(was=[*(w for w in row.get("was", []) if w != found[1]), row["label"]], label=found[1])
    row.pop("kind", None)


def _stop(row: Row, found: re.Match[str], rig: Rig, supply: str) -> None:
    share = parse_share(found[1].lower())
    amount = Amount(share, PERCENT) if share is not None else parse_amount(found[1])
    brim = rig.container(supply, row["label"]).capacity
    part = amount.value / 100 if amount.unit == PERCENT else rig.canonical(amount, supply) / brim
    if not 0 < part <= 1:
        raise Refusal(f"A stop mark at {found[1]} is not below the brim: check the number.")
    row["usable"] = round(part, 4)


def _weigh(key: str, row: Row, found: re.Match[str], rig: Rig) -> None:
    amount = parse_amount(found[1])
    row[key] = str(amount if amount.unit else Amount(amount.value, rig.scale))


def _put(key: str, value: Callable[[re.Match[str], Rig, str], Any]) -> _Setter:
    def take(row: Row, found: re.Match[str], rig: Rig, supply: str) -> None:
        row[key] = value(found, rig, supply)

    return take


_OF_CONTAINER: dict[str, _Setter] = {
    r"(?:is )?(?:now )?(?:called|named|relabel(?:led)?(?: to)?) (.+)": _call,
    r"stops?(?: mark)?(?: at)? (.+)": _stop,
    r"(?:tw|tare|empty weight) (.+)": lambda row, found, rig, supply: _weigh("tare", row, found, rig),
    r"dead (.+)": _put("dead", lambda found, rig, supply: _text(found[1], rig, supply)),
    r"(not )?kept back": _put("reserve", lambda found, rig, supply: not found[1]),
    r"for (washing|drinking)": _put("drinking", lambda found, rig, supply: found[1].lower() == "drinking"),
}
_OF_SUPPLY: dict[str, _Setter] = {
    r"(?:reserve|keep back) (?:none|0)": _put("reserve", lambda found, rig, supply: _text("0", rig, supply)),
    r"(?:reserve|keep back) (.+)": _put("reserve", lambda found, rig, supply: _text(found[1], rig, supply)),
    r"(?:unit|in) (.+)": _put("unit", lambda found, rig, supply: _unit(found[1])),
    r"lasts ([0-9.,]+)(?: days?)?": _put("lasts", lambda found, rig, supply: f"{number(found[1]):g} days"),
}
_OF_RIG: dict[str, _Setter] = {
    r"units (us|metric)": _put("units", lambda found, rig, supply: found[1].lower()),
    r"zone (.+)": _put("timezone", lambda found, rig, supply: found[1]),
    r"payload (none|0)": lambda row, found, rig, supply: row.pop("payload", None),
    r"(?:payload|may carry) (.+)": lambda row, found, rig, supply: _weigh("payload", row, found, rig),
    r"currency (\w{3})": _put("currency", lambda found, rig, supply: found[1].upper()),
}


def _unit(word: str) -> str:
    return parse_amount(f"1 {word}").unit
