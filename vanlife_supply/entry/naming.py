"""Which supply and which container words name: by a word, a label, a letter, or by what people call a container."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.entry import model as m
from vanlife_supply.entry.shelf import stores
from vanlife_supply.quantity import unit_named
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FILLS, SPOKEN, Container, Rig

NOUNS = ("jug", "tank", "canister", "can", "cylinder", "bottle", "jerrycan", "bag", "bladder", "bucket")
"""What people call a container, whatever its label says."""
FILLER = {"of", "the", "with", "to", "up", "off", "about", "in", "it", "at", "and", "for"}
"""Words that say nothing by themselves."""
_EVERY = {"all", "both", "every", "each", "everything"}


def is_noun(word: str) -> bool:
    """Whether it is a word for a container, one or several."""
    return word.lower().removesuffix("s") in NOUNS


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


def supply_in(words: list[str], rig: Rig) -> str:
    """The supply named anywhere by more than a letter."""
    return take_supply([w for w in words if len(w) > 1], rig)[0]


def take_container(words: list[str], supply: str, rig: Rig) -> tuple[str, list[str]]:
    """A label (however many words) or a letter anywhere before the amount; `a quarter` is no container.

    Without a supply a label that is only what others are called too (`jug`) names none.
    """
    mine = rig.of(supply) if supply else rig.containers
    lowered = [w.lower() for w in words]
    for c in mine:
        label = c.label.lower().split()
        if not supply and _is_common(c, rig):
            continue
        for i in range(len(words) - len(label) + 1):
            if lowered[i : i + len(label)] == label and not (_is_share(lowered, i) or _counts(lowered, i, label)):
                return c.label, words[:i] + words[i + len(label) :]
    lettered = (c.letter.lower() for c in mine if supply or len(rig.of(c.supply)) > 1)
    if words and not _is_share(lowered, 0) and lowered[0] in lettered:
        return words[0], words[1:]
    return "", words


def _counts(words: list[str], i: int, label: list[str]) -> bool:
    """Whether a label is a unit there: `1 can` of alcohol."""
    return len(label) == 1 and i > 0 and words[i - 1].isdecimal()


def _is_common(c: Container, rig: Rig) -> bool:
    noun = c.label.lower()
    return noun in NOUNS and any(noun in o.label.lower().split() for o in rig.containers if o.supply != c.supply)


def _is_share(words: list[str], i: int) -> bool:
    return words[i] == "a" and words[i + 1 : i + 2] != [] and words[i + 1] in ("half", "quarter", "third", "bit", "little")


def of_container(supply: str, container: str, rest: list[str], kind: str, rig: Rig) -> tuple[str, str]:
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


def refuse_either(supply: str, rest: list[str], rig: Rig) -> None:
    """Refusal where the letter of a supply is that of a container of another one too, and nothing said tells which."""
    letter = next(word for word, name in SPOKEN.items() if name == supply)
    if take_container(rest, supply, rig)[0]:
        return
    for c in rig.containers:
        if c.letter.lower() == letter and c.supply != supply and len(rig.of(c.supply)) > 1:
            each = f"{rig.say(supply)}, or {rig.say(c.supply)} {letter} ({c.label})"
            raise Refusal(f"Which one is '{letter}'? Say {each}.")


def one_filled(words: list[str], supply: str, rig: Rig) -> str:
    """The label of the one container that `the canister` means, "" where all of the supply is meant.

    Refusal where several are called so, or all that are called so are not all there are.
    """
    nouns = [w.lower() for w in words if is_noun(w)]
    mine = rig.of(supply) if supply else ()
    called = [c for c in mine if nouns and nouns[0].removesuffix("s") in c.label.lower().split()] or list(mine)
    if not nouns or len(mine) < 2 or len(called) == 1:
        return called[0].label if nouns and len(called) == 1 < len(mine) else ""
    several = nouns[0].endswith("s") or bool(_EVERY & {w.lower() for w in words})
    if several and len(called) == len(mine):
        return ""
    each = " or ".join(c.label for c in called)
    raise Refusal(f"Which one? One at a time: say {each}; {rig.say(supply)} alone is all of it.")


def refuse_both_of_many(words: Sequence[str], supply: str, rig: Rig) -> None:
    """"Both" of three or more is a question; the can that canisters are filled from is none of them."""
    if not supply or "both" not in (word.lower() for word in words):
        return
    mine = rig.of(supply)
    cans = stores(rig.supply(supply), mine)
    *letters, last = (c.letter.lower() for i, c in enumerate(mine) if i not in cans)
    if len(letters) > 1:
        told = f"say one at a time, {', '.join(letters)} or {last}"
        raise Refusal(f"Which two? There are {len(letters) + 1}: {told}.")
