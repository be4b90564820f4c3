"""Questions a person puts before they act, as typed → the answer in words, and what would then be noted.

Runs in a worker on a logbook of its own: numpy comes with every answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, read_when
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import supply_named

if TYPE_CHECKING:
    from vanlife_supply.deciding.ground import Ground

SHORT = {"s": "shower", "d": "dishes", "w": "wash", "c": "coffee", "g": "guest", "l": "stay", "k": "drinking", "b": "last",
         "i": "if", "t": "town", "o": "look", "v": "verdicts", "y": "why"}  # fmt: skip
"""One letter → the word it stands for."""
HINTS = (
    ("s", "a shower (d dishes, w a wash, 2 gal so much)"),
    ("g", "a guest; g sun: until Sunday"),
    ("b", "w sun: make water last until Sunday"),
    ("l", "leave or stay: the next seven days"),
    ("i", "what if: 2 people until sun, heater, no alcohol, 5 gal jug"),
    ("k", "drinking only: how long it keeps everybody"),
    ("t", "town list"),
    ("o", "which look would help most"),
    ("y", "w: why, how the water is known"),
    ("v", "verdicts: what was said against what came"),
)


@dataclass(frozen=True, slots=True)
class Answered:
    """The answer, and the phrase that would be noted ("": nothing to note)."""

    text: str
    phrase: str = ""
    wide: str = ""
    """The same for a terminal wide enough, where the text is kept narrow."""


_TITLES = {"town": "Town list", "last": "Make it last: of what, until when?"}


def title(text: str) -> str:
    """What the page is called for what was typed."""
    first = text.lower().split()[:1]
    return _TITLES.get(SHORT.get(first[0], first[0]) if first else "", "Can I? What if? How long?")


def answered(text: str, book: Logbook, now: Moment) -> Answered:
    """The answer to what was typed. Refusal when it is not understood or nothing is known."""
    from vanlife_supply.deciding.ground import ground

    first, _, rest = " ".join(text.lower().split()).partition(" ")
    word = SHORT.get(first, first)
    asked = _ASKED.get(word)
    if asked:
        return asked(rest, ground(book, now), book)
    return _can_i(f"{word} {rest}".strip(), ground(book, now), book)


def _until(text: str, known: Ground) -> Moment | None:
    words = text.removeprefix("until ").removeprefix("till ").strip()
    return read_when(words, known.now, known.rig.zone, ahead=True).moment if words else None


def _can_i(text: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.wishing import can_i
    from vanlife_supply.deciding.words import asked
    from vanlife_supply.wording.deciding import wish_text

    said = text.removesuffix(" outside")
    plain, until = asked(said, known)
    wish = can_i(known, plain, outside=said != text, until=until)
    phrase = "" if wish.verdict == "no" or wish.until else f"used {plain}" if wish.word else f"used water {plain}"
    return Answered(wish_text(wish, known.rig), phrase)


def _guest(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.wishing import can_i
    from vanlife_supply.wording.deciding import wish_text

    return Answered(wish_text(can_i(known, "guest", until=_until(rest, known)), known.rig))


def _stay(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.staying import stay_or_go
    from vanlife_supply.wording.deciding import staying_text

    told = stay_or_go(known, _until(rest, known))
    return Answered(staying_text(told, known.rig, most=2), wide=staying_text(told, known.rig))


def _drinking(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.enduring import drinking_only
    from vanlife_supply.wording.deciding import enduring_text

    return Answered(enduring_text(drinking_only(known, _until(rest, known)), known.rig))


def _last(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.lasting import make_it_last
    from vanlife_supply.wording.deciding import lasting_text

    supply, _, when = rest.partition(" ")
    until = _until(when, known)
    if not supply or until is None:
        raise Refusal("Say what and until when: b w sun.")
    name = supply_named(supply, tuple(s.name for s in known.rig.supplies))
    return Answered(lasting_text(make_it_last(known, name, until), known.rig))


def _if(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.supposing import what_if
    from vanlife_supply.deciding.words import supposed_in
    from vanlife_supply.wording.deciding import compared_text

    return Answered(compared_text(what_if(known, supposed_in(rest, known)), known.rig))


def _town(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply import keeping
    from vanlife_supply.advising import town_list
    from vanlife_supply.resupply import stop_in
    from vanlife_supply.wording.town import WIDE, town_text

    listed = town_list(known.belief, known.now, known.outlook)
    stop = stop_in(book, known.outlook, keeping.plans(book, known.now))
    narrow, wide = (town_text(listed, known.outlook, known.rig, stop, *width) for width in ((), (WIDE,)))
    return Answered(narrow, wide=wide)


def _look(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.looking import best_looks
    from vanlife_supply.wording.deciding import looks_text

    return Answered(looks_text(best_looks(known), known.rig))


def _why(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.judging import reasons
    from vanlife_supply.deciding.looking import best_looks, look_at
    from vanlife_supply.wording.why import FIRST, opened, why_lines

    word = rest.strip().lower()
    told = opened(word, known.outlook, next(iter(best_looks(known)), None) if word == FIRST else None, known.rig)
    if told:
        return Answered("\n".join(told) + "\n")
    supply = supply_named(rest or "water", tuple(s.name for s in known.rig.supplies))
    known.rig.supply(supply)
    lines = why_lines(reasons(known, supply), look_at(known, supply), supply, known.rig, known.now)
    return Answered("\n".join(lines) + "\n")


def _verdicts(rest: str, known: Ground, book: Logbook) -> Answered:
    from vanlife_supply.deciding.judging import look_back, scores, temperatures_helped
    from vanlife_supply.wording.hindsight import hindsight_text

    outcomes = look_back(book, known.now)
    helped = temperatures_helped(book, outcomes, known.now)
    return Answered(hindsight_text(outcomes, scores(outcomes), known.rig, known.now, helped))


_ASKED: dict[str, Callable[[str, Ground, Logbook], Answered]] = {
    "guest": _guest, "stay": _stay, "leave": _stay, "drinking": _drinking, "last": _last, "if": _if, "town": _town,
    "look": _look, "why": _why, "verdicts": _verdicts,
}  # fmt: skip
