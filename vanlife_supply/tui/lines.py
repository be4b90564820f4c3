"""A screen as lines of spans: text, the look it has, and what a tap on it does."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass

_UNITS = "gal|qt|oz|L|mL|lb|kg|g|mi|km|miles|people|hours?|days?|nights?|weeks?|months?|chances?|am|pm"
_TOGETHER = re.compile(rf"(?<=[0-9½]) (?=(?:{_UNITS})\b|to [0-9])|(?<=\b(?:in|to)) (?=[0-9½])")
"""Blanks at which nothing is broken: `2.5 gal`, `in 4`, `8 to 15 lb`."""
_HELD = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Span:
    """A run of text. `look`: "", strong, dim, sure, likely, best, alarm, key; `act`: the action a tap runs."""

    text: str
    look: str = ""
    act: str = ""


Line = tuple[Span, ...]
FAR = 10**6
"""Lines beyond any page."""
BLANK: Line = ()


def line(text: str, look: str = "") -> Line:
    """One line of one look."""
    return (Span(text, look),)


def clip(text: str, width: int) -> str:
    """`text` in at most `width` cells, an ellipsis where something is cut."""
    return text if len(text) <= width else text[: max(0, width - 1)] + "…"


def cell(text: str, width: int, *, right: bool = False) -> str:
    """`text` in exactly `width` cells."""
    short = clip(text, width)
    return short.rjust(width) if right else short.ljust(width)


def wrap(text: str, width: int, look: str = "", indent: str = "") -> list[Line]:
    """`text` broken at spaces, a number and its unit left together; lines after the first begin with `indent`."""
    broken = textwrap.wrap(_TOGETHER.sub(_HELD, text), max(8, width), subsequent_indent=indent)
    return [line(part.replace(_HELD, " "), look) for part in broken or [""]]


def examples(hint: str, width: int) -> str:
    """`like: f thu · m sat`: as many of the examples as go into `width` cells whole, the first in any case."""
    first, *rest = hint.split(" · ")
    told = f"like: {first}"
    for each in rest:
        if len(told) + len(each) + 3 > width:
            break
        told += f" · {each}"
    return told


def plain(lines: list[Line]) -> str:
    """The text of lines alone, for dumps and tests."""
    return "\n".join("".join(span.text for span in each).rstrip() for each in lines)


def side_by_side(text: str, width: int, room: int) -> str:
    """Text too long for the room, in two columns where it is narrow enough; broken at the blank line nearest the middle."""
    rows = text.splitlines()
    widest = max(map(len, rows), default=0)
    breaks = [i for i, row in enumerate(rows) if not row.strip()]
    if len(rows) <= room or not breaks or 2 * widest + 2 > width:
        return text
    middle = min(breaks, key=lambda i: max(i, len(rows) - i - 1))
    left, right = rows[:middle], rows[middle + 1 :]
    return "\n".join(
        f"{left[i] if i < len(left) else '':<{widest + 2}}{right[i] if i < len(right) else ''}".rstrip()
        for i in range(max(len(left), len(right)))
    )
