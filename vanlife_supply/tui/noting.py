"""Noting an event letter by letter: which keys mean what, and the entry they add up to. No screen here.

The same letter means a supply everywhere; Enter alone is the exact event; a wrong letter changes nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from vanlife_supply.actions import key_of
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.fitting import takes_gross
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.entry.prices import as_before, paid_before
from vanlife_supply.entry.sizes import sized
from vanlife_supply.entry.standing import Standing, one_out, standing
from vanlife_supply.moment import Moment
from vanlife_supply.quantity import money_text
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE, STOVE_FUEL, Arrangement, Container, Rig
from vanlife_supply.rig.presets import USUAL_USES
from vanlife_supply.tui.begun import begins, completed, finishes
from vanlife_supply.tui.letters import Option, letters, levels, meant
from vanlife_supply.tui.verbs import VERBS, Verb
from vanlife_supply.wording.names import supply_name

_ENDS = ("full", "empty")
"""Levels whose letter gives way to the letter of a container."""
_AT = re.compile(r"(?:@ ?|(?:^|\s)at\s+)(?!\s*[$€£]?[\d.,]+c?(?:/| per ))")
_AGAIN = ("$", "same")
"""Words for the same price as the last time."""


@dataclass(frozen=True, slots=True)
class Noting:
    """What has been pressed so far. `in_use`: supply → label of its open container, where one is known."""

    verb: Verb
    rig: Rig
    in_use: Mapping[str, str]
    supply: str = ""
    chosen: bool = False
    container: str = ""
    option: str = ""
    tail: str = ""
    wrong: str = ""
    places: tuple[str, ...] = ()
    """The names of the places known, the likeliest first; @ and a letter or two mean one of them."""
    past: tuple[Entry, ...] = ()
    stood: tuple[Arrangement, ...] = ()
    """The rigs that stood at the times of `past`."""
    pick: int = 0
    """Which of the places that fit what is typed after @."""
    aside: frozenset[tuple[str, str]] = frozenset()
    """(supply, label) of what is set aside: it comes back."""
    beside: Mapping[str, Standing] = field(default_factory=dict)
    """Supply → what else stands aboard, where running out of the one in use is not running out of it all."""
    left: Mapping[str, str] = field(default_factory=dict)
    """Supply → what should still be in it, in words, where that is not little."""
    begun: str = ""
    """The letters pressed last, which may yet turn out to be a word."""
    before: Noting | None = None
    """What had been pressed before those letters."""


def begin(
    key: str, rig: Rig, in_use: Mapping[str, str], places: tuple[str, ...] = (), past: tuple[Entry, ...] = (),
    aside: frozenset[tuple[str, str]] = frozenset(), stood: tuple[Arrangement, ...] = (),
    left: Mapping[str, str] | None = None,
) -> Noting:
    """The start of noting; a supply nobody needs to name is taken as said. Refusal where the rig has nothing for it."""
    verb = VERBS[key]
    fitting = list(_fitting(verb, rig).values())
    if not fitting:
        lacks = "no spare container to go to next" if verb.kind == m.NEXT else f"nothing that could be {verb.said}"
        raise Refusal(f"This rig has {lacks}.")
    supply = verb.default if verb.default in fitting else (fitting[0] if len(fitting) == 1 else "")
    beside = standing(past, stood) if verb.kind in (m.RAN_OUT, m.NEXT) else {}
    return Noting(verb, rig, in_use, supply, places=places, past=past, aside=aside, stood=stood, beside=beside,
                  left=left or {})  # fmt: skip


def press(n: Noting, key: str, character: str | None) -> Noting | None:
    """The next state; None when the last thing was taken back."""
    wrong, n = n.wrong, replace(n, wrong="")
    if key == "backspace":
        return _back(replace(n, begun="", before=None))
    if key in ("up", "down") and _AT.search(n.tail):
        return replace(n, pick=(n.pick + (1 if key == "down" else -1)) % max(1, len(fitting_places(n))))
    if key in ("up", "down") and n.supply:
        return _cycle_container(n, 1 if key == "down" else -1)
    if key in ("left", "right") and n.supply:
        return _cycle_option(n, 1 if key == "right" else -1)
    if character is None or not character.isprintable():
        return n
    after = replace(n, tail=n.tail + character, pick=0) if n.tail else _first_letter(n, character)
    return _as_word(n, after, character.lower(), stray=bool(wrong or after.wrong))


def _as_word(n: Noting, after: Noting, c: str, *, stray: bool) -> Noting:
    """`after`, unless what its letters spell together is a word and the last of them means nothing by itself: f w half."""
    known = n.supply and c.isalpha() and (after.supply, after.chosen) == (n.supply, n.chosen)
    if not known or (n.tail and n.before is None):
        return replace(after, begun="", before=None)
    begun, before = n.begun + c, n.before or n
    if not begins(begun):
        begun, before = c, n
    elif len(begun) > 1 and (stray or not begins(after.tail.lower())):
        after = replace(before, wrong="", tail=begun, pick=0)
    return replace(after, begun=begun, before=before) if begins(begun) else replace(after, begun="", before=None)


def _first_letter(n: Noting, typed: str) -> Noting:
    """A key before any amount or time: a supply, a container, an option, or the start of the rest."""
    c = typed.lower()
    if kind_of(n) == m.PLANNED:
        return replace(n, tail=typed)
    supplies = _fitting(n.verb, n.rig)
    if not n.chosen and c in supplies:
        return replace(n, supply=supplies[c], chosen=True, container="", option="")
    if not n.supply:
        return replace(n, wrong=typed)
    level = levels().get(c, "") if n.verb.kind == m.READING else ""
    if level and level not in _ENDS:
        return replace(n, tail=level)
    holder = next((h for h in lettered(n) if h.letter.lower() == c), None)
    if holder and not n.container:
        return replace(n, container=holder.label)
    option = next((o for o in options(n) if o.letter == c and not n.option), None)
    if option:
        return replace(n, option=option.words, chosen=True)
    if level:
        return replace(n, tail=level)
    if c in " .,@$€£½¼¾" or c.isdigit() or finishes(c):
        return replace(n, tail=typed)
    return replace(n, wrong=typed)


def _back(n: Noting) -> Noting | None:
    if n.tail:
        return replace(n, pick=0, tail="" if n.tail in levels().values() else n.tail[:-1])
    if n.option:
        return replace(n, option="")
    if n.container:
        return replace(n, container="")
    return replace(n, supply=begin(n.verb.key, n.rig, n.in_use).supply, chosen=False) if n.chosen else None


def _cycle_container(n: Noting, step: int) -> Noting:
    labels = ["", *(h.label for h in n.rig.of(n.supply))] if len(n.rig.of(n.supply)) > 1 else [""]
    return replace(n, container=labels[(labels.index(n.container) + step) % len(labels)])


def _cycle_option(n: Noting, step: int) -> Noting:
    words = ["", *(o.words for o in options(n))]
    return replace(n, option=words[(words.index(n.option) + step) % len(words)])


def _fitting(verb: Verb, rig: Rig) -> dict[str, str]:
    """Letter → supply, for the supplies this can be said of."""
    found = {}
    for letter, name in letters(rig).items():
        its = rig.supply(name)
        if verb.direction in ("", its.direction) and (verb.kind != m.NEXT or len(rig.of(name)) > 1):
            found[letter] = name
    return found


def options(n: Noting) -> tuple[Option, ...]:
    """Other ways this can be meant, the usual one left out."""
    return tuple(o for o in meant(n.verb.kind) if _may_mean(o, n))


def _may_mean(option: Option, n: Noting) -> bool:
    """Whether it can be meant of that supply, and its letter is not that of a supply that may still be named."""
    if option.id in ("traded_in", "too_cold"):
        return n.supply == PROPANE
    if option.id == "all_out":
        return n.supply in n.beside and not n.container
    if option.id == "just_bought":
        return store(n.rig, n.supply) is not None and n.verb.kind == m.FILL
    if n.verb.kind == m.ASIDE:
        return (n.supply, n.container) not in n.aside
    if option.word in USUAL_USES:
        return USUAL_USES[option.word][0] == n.supply and (n.chosen or option.letter not in _fitting(n.verb, n.rig))
    return True


def lettered(n: Noting) -> tuple[Container, ...]:
    """The containers that a letter means now: none where there is one; what something was used for goes first."""
    mine = n.rig.of(n.supply) if n.supply else ()
    uses = {o.letter for o in options(n)} if n.verb.kind == m.USE and not n.option else set()
    return tuple(h for h in mine if len(mine) > 1 and h.letter.lower() not in uses)


def store(rig: Rig, supply: str) -> Container | None:
    """The can that canisters of stove fuel are filled from: the largest one, when the others are smaller."""
    mine = sorted(rig.of(supply), key=lambda c: c.capacity)
    fits = supply == STOVE_FUEL and len(mine) > 1 and mine[-1].capacity > mine[0].capacity
    return mine[-1] if fits else None


def chosen(n: Noting) -> Option | None:
    """The other way it is meant, if one was chosen."""
    return next((o for o in options(n) if o.words == n.option), None)


def kind_of(n: Noting) -> str:
    """The kind of entry Enter would make, as far as it is said."""
    option = chosen(n)
    return option.kind if option else n.verb.kind


def from_the_can(n: Noting) -> bool:
    """Whether this fill of a canister comes out of the can aboard."""
    can = store(n.rig, n.supply) if n.verb.kind == m.FILL else None
    return can is not None and n.option == "" and n.container != can.label


def to_entry(n: Noting, now: Moment) -> Entry:
    """What was pressed → Entry; Refusal says what is missing or wrong."""
    return build(to_typed(n, now), n.rig, now)


def named(entry: Entry, in_use: Mapping[str, str], beside: Mapping[str, Standing] | None = None) -> Entry:
    """For the words only: the next jug names the one in use and the one opened then, where they are known."""
    if entry.kind != m.NEXT or entry.container:
        return entry
    now = in_use.get(entry.supply, "")
    then = (beside or {}).get(entry.supply)
    return replace(entry, container=now, into=entry.into or (then.then if then and then.in_use == now else ""))


@dataclass(frozen=True, slots=True)
class Tail:
    """What was typed after the letters: amount and time, a place begun (None: none asked for), `same` for the price."""

    said: str
    place: str | None
    same: bool


def tail_of(n: Noting) -> Tail:
    """The tail in its parts: `12 $ @old mi`, `12 last night at old mi`."""
    found = _AT.search(n.tail)
    said, begun = (n.tail[: found.start()], n.tail[found.end() :]) if found else (n.tail, None)
    same = any(word in _AGAIN for word in f"{said} {begun or ''}".split())
    return Tail(_plain(said), None if begun is None else _plain(begun).strip(), same)


def _plain(text: str) -> str:
    return " ".join(word for word in text.split(" ") if word not in _AGAIN)


def fitting_places(n: Noting) -> list[str]:
    """The places that what is typed after @ may mean, the likeliest first."""
    begun = tail_of(n).place
    return [] if begun is None else places_meant(begun, n.places)


def places_meant(begun: str, places: Sequence[str]) -> list[str]:
    """Names that begin with `begun`, then those with a word that does; the order of `places` otherwise kept."""
    plain = begun.casefold()
    first = [name for name in places if name.casefold().startswith(plain)]
    before = set(first)
    return first + [name for name in places if name not in before and f" {plain}" in name.casefold()]


def place_of(n: Noting) -> str:
    """The place meant: the one picked of those that fit, else a new one by the name typed."""
    fits = fitting_places(n)
    return fits[n.pick % len(fits)] if fits else tail_of(n).place or ""


def to_typed(n: Noting, now: Moment) -> Typed:
    """What was pressed, field by field; Refusal when the rest typed means nothing."""
    tail = tail_of(n)
    typed = _typed(replace(n, tail=tail.said), now)
    if tail.place is not None:
        typed = replace(typed, place=place_of(n))
    return _as_before(typed, n, now) if tail.same else typed


def price(n: Noting, now: Moment) -> tuple[Entry, int] | None:
    """What was paid for this there last time, and what it comes to now; None where nothing was, or a price is said."""
    if tail_of(n).place is None:
        return None
    entry = to_entry(n, now)
    before = paid_before(entry, n.past) if entry.paid is None else None
    return (before, as_before(entry, before, n.rig)) if before else None


def _as_before(typed: Typed, n: Noting, now: Moment) -> Typed:
    entry = build(typed, n.rig, now)
    before = paid_before(entry, n.past)
    if before is None:
        raise Refusal("Nothing was paid for it there before: type the sum, like 3.50.")
    return replace(typed, paid=money_text(as_before(entry, before, n.rig), n.rig.currency))


def _typed(n: Noting, now: Moment) -> Typed:
    kind, option = kind_of(n), chosen(n)
    if kind in (m.PLANNED, m.ASIDE):
        return _planned(n, option.word) if option and kind == m.PLANNED else _aside(n, option.word if option else "")
    word = "weighed" if n.verb.kind == m.READING and takes_gross(n.supply, n.rig) and not _spoken(n) else n.verb.said
    said = f"{word} {n.supply} {completed(n.tail)}".strip()
    typed = replace(read_phrase(said, n.rig, now), supply=n.supply, typed=said, container=n.container)
    if option:
        return sized(replace(typed, kind=option.kind, word=option.word), n.past, n.rig)
    if from_the_can(n):
        can = store(n.rig, n.supply)
        return replace(typed, kind=m.POUR, container=can.label if can else "", into=n.container or _canister(n))
    if n.verb.kind == m.NEXT and n.container:
        return replace(typed, container="", into=n.container)
    if n.verb.kind == m.READING and not n.container:
        return replace(typed, container=n.in_use.get(n.supply, ""))
    if n.verb.kind == m.RAN_OUT and n.supply in n.beside and not n.container:
        return one_out(typed, n.beside[n.supply])
    return typed


def _planned(n: Noting, word: str) -> Typed:
    """A dump or fill ahead: `mon 10:00`, `fri every fri`, or `drop`."""
    when, _, every = n.tail.strip().partition("every ")
    drop = m.DROP if when.strip() == m.DROP else ""
    return Typed(m.PLANNED, n.supply, down_to=drop, at="" if drop else when.strip() or every, every=every, word=word)


def _aside(n: Noting, why: str) -> Typed:
    """A container that does not count for now, or does again."""
    mine = n.rig.of(n.supply)
    label = n.container or (mine[0].label if len(mine) == 1 else "")
    if not label:
        raise Refusal("Which one?")
    back = (n.supply, label) in n.aside
    return Typed(m.ASIDE, n.supply, down_to=m.BACK if back else "", container=label, at=completed(n.tail),
                 word="" if back else why)  # fmt: skip


def _spoken(n: Noting) -> bool:
    """Whether the level was said in a word (half, full) rather than read off a scale."""
    return completed(n.tail).split(" ")[0].isalpha()


def _canister(n: Noting) -> str:
    can = store(n.rig, n.supply)
    others = [c.label for c in n.rig.of(n.supply) if can is None or c.label != can.label]
    in_use = n.in_use.get(n.supply, "")
    return in_use if in_use in others else others[0]


def right_keys(n: Noting) -> list[tuple[str, str]]:
    """The keys that mean something now, with their words, for the hint line."""
    found: list[tuple[str, str]] = []
    if not n.chosen:
        found += [(c, supply_name(s, n.rig).lower()) for c, s in _fitting(n.verb, n.rig).items()]
    if n.tail:
        if kind_of(n) == m.PLANNED:
            return [("Enter", "note it"), ("Esc", "leave")]
        where = [("@", "where")] if n.places and tail_of(n).place is None else []
        others = [("↓", "another place")] if len(fitting_places(n)) > 1 else []
        return [*where, *others, ("Enter", "note it"), ("Esc", "leave")]
    if kind_of(n) == m.PLANNED:
        return [("0-9", "when: mon 10:00, fri every fri, or drop"), ("Esc", "leave")]
    if n.supply and n.verb.kind == m.READING:
        found += [(key_of("half"), "half"), (key_of("quarter"), "quarter"), ("0-9", "how much")]
    mine = n.rig.of(n.supply) if n.supply else ()
    if len(mine) > 1 and not n.container and (n.chosen or not n.verb.default):
        most = len(mine) if n.verb.needs_container else 4
        back = {h.label for h in mine if n.verb.kind == m.ASIDE and (h.supply, h.label) in n.aside}
        found += [(h.letter.lower(), f"{h.label}{' back' if h.label in back else ''}") for h in lettered(n)[:most]]
    if n.verb.needs_container and len(mine) > 1 and not n.container:
        return [*found, ("Esc", "leave")]
    if n.supply and not n.option:
        held = {h.letter.lower() for h in lettered(n) if not n.container}
        found += [(o.letter, o.words) for o in options(n) if o.letter not in held]
    if n.supply and n.verb.kind in (m.FILL, m.USE, m.DUMP):
        found += [("0-9", "how much")]
    if n.supply and n.places and n.verb.kind in (m.FILL, m.DUMP):
        found += [("@", "where")]
    if n.supply and not (n.verb.needs_amount and not n.option):
        found += [("l", "last night"), ("Enter", "note it")]
    return [*found, ("Esc", "leave")]
