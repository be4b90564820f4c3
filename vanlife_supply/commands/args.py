"""Words and options of a command. Options stand anywhere after the command; everything else is a word, blank ones aside."""

from __future__ import annotations

from collections.abc import Iterable

from vanlife_supply.quantity import unit_named
from vanlife_supply.refusal import USAGE, Refusal, nearest


class Args:
    """What was typed after a command: `words` and options."""

    def __init__(self, words: list[str], given: dict[str, list[str]]) -> None:
        self.words = words
        self._given = given

    def value(self, name: str) -> str:
        """The value of an option given once (the last one counts), "" without it."""
        return self._given.get(name, [""])[-1]

    def values(self, name: str) -> list[str]:
        """The values of an option that may be repeated."""
        return self._given.get(name, [])

    def flag(self, name: str) -> bool:
        """Whether an option was given."""
        return name in self._given


def parse(command: str, argv: list[str], values: Iterable[str] = (), flags: Iterable[str] = ()) -> Args:
    """Sort `argv` into words, options with a value and flags. Refusal (USAGE) for an unknown option or a missing value."""
    with_value, bare = set(values), set(flags)
    words: list[str] = []
    given: dict[str, list[str]] = {}
    rest = list(argv)
    while rest:
        word = rest.pop(0)
        if word == "--":
            return Args(words + [word for word in rest if word.strip()], given)
        name, equals, value = word.partition("=")
        if not word.strip():
            continue
        if not word.startswith("--"):
            words.append(word)
        elif word in bare:
            given[word] = []
        elif name in with_value:
            if not equals:
                if not rest or rest[0].startswith("--"):
                    raise Refusal(f"{name} needs a value after it: see {command} --help.", USAGE)
                value = rest.pop(0)
                value = " ".join([value, *_unit_after(value, rest)])
            given.setdefault(name, []).append(value)
        else:
            raise _unknown(command, name, [*with_value, *bare])
    return Args(words, given)


def _unit_after(value: str, rest: list[str]) -> list[str]:
    """The words of `rest` that are the unit of a bare number, taken off it: `9 gal`, `2 imp gal`."""
    if not value.replace(".", "", 1).replace(",", "", 1).isdigit():
        return []
    count = next((n for n in (2, 1) if len(rest) >= n and unit_named(" ".join(rest[:n])) is not None), 0)
    taken, rest[:] = rest[:count], rest[count:]
    return taken


def _unknown(command: str, name: str, known: list[str]) -> Refusal:
    if name == "--db":
        return Refusal("--db FILE stands before the command.", USAGE)
    return Refusal(f"'{name}' is not an option of {command}{nearest(name, known)}: see {command} --help.", USAGE)


def usage_if(wrong: bool, command: str, what: str) -> None:
    """Refusal (USAGE) when a command was not given what it needs."""
    if wrong:
        raise Refusal(f"{command}: {what}: see {command} --help.", USAGE)
