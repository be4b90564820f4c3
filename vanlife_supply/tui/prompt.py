"""The foot of the first screen: what is being noted, what it will do, which keys mean something; and messages."""

from __future__ import annotations

from vanlife_supply.actions import key_name, key_of
from vanlife_supply.entry import model as m
from vanlife_supply.entry.sizes import use_said
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import PROPANE
from vanlife_supply.rig.presets import USUAL_USES
from vanlife_supply.tui.begun import completed
from vanlife_supply.tui.board import key_lines
from vanlife_supply.tui.lines import BLANK, Line, Span, clip, line, wrap
from vanlife_supply.tui.noting import (
    Noting,
    fitting_places,
    kind_of,
    named,
    options,
    place_of,
    price,
    right_keys,
    tail_of,
    to_entry,
)
from vanlife_supply.wording.amounts import money
from vanlife_supply.wording.cautions import caution_after
from vanlife_supply.wording.entries import entry_full, paid_words, size_words, still_in
from vanlife_supply.wording.names import supply_name

MOST_SAID = 6
"""Lines a message may take of the screen."""


def noting_foot(n: Noting, now: Moment, width: int) -> list[Line]:
    """What was pressed, what Enter will note, and the keys that mean something."""
    told, ready = preview(n, now)
    entered = Span(" Enter ", "key", "press('Enter')") if ready else Span(" ")
    warned = _caution(n, now)
    lines: list[Line] = [_pressed(n, width)]
    first, *rest = wrap(told, width - len(entered.text) - 1, "" if ready else "alarm")
    lines += [(entered, *first), *((Span(" " * len(entered.text)), *each) for each in rest)]
    if warned:
        lines += wrap(f" {warned}", width - 1, "alarm", " ")
    before = _size(n) or _price(n, now) or _others(n)
    if before:
        lines += wrap(f" {before}", width - 1, "dim", " ")
    keys = [(key, words) for key, words in right_keys(n) if ready or key != "Enter"]
    return [*lines, *_keys(keys, width, f" '{n.wrong}' means nothing here: " if n.wrong else " ")]


def _pressed(n: Noting, width: int) -> Line:
    """What was pressed so far, its end in sight, and what is meant by it."""
    said = (n.verb.said, supply_name(n.supply, n.rig).lower() if n.supply else "", n.container, n.option, n.tail.strip())
    text, ghost = " · ".join(filter(None, said)), _ghost(n)
    room = max(width // 2, width - 2 - sum(len(span.text) for span in ghost))
    shown = text if len(text) <= room else f"…{text[1 - room :]}"
    return (Span(f" {shown}", "strong"), Span("▏", "key"), *ghost)


def _ghost(n: Noting) -> tuple[Span, ...]:
    """The word that Enter would finish, or the place meant; set apart, so that it does not read as typed without colours."""
    begun = tail_of(n).place
    if begun is not None:
        new = begun and not fitting_places(n)
        return (Span(" a new place" if new else f" → {place_of(n)}", "dim"),)
    whole, said = completed(n.tail), n.tail.strip()
    finished = whole[said.rfind(" ") + 1 :] if whole.startswith(said) and len(whole) > len(said) else ""
    return (Span(f" → {finished}", "dim"),) if finished else ()


def preview(n: Noting, now: Moment) -> tuple[str, bool]:
    """What Enter would note, or what is still missing; and whether Enter would note it."""
    if not n.supply:
        return "Which one?", False
    if kind_of(n) == m.PLANNED and not n.tail.strip():
        return f"When? {supply_name(n.supply, n.rig)}: mon 10:00, or fri every fri; drop takes the plan away.", False
    if n.verb.needs_amount and not n.tail.strip() and not _option_has_amount(n):
        return "How much is left?" if n.verb.kind == m.READING else "How much?", False
    try:
        return f"{entry_full(named(to_entry(n, now), n.in_use, n.beside), n.rig, now)}.", True
    except Refusal as fault:
        return str(fault), False


def _size(n: Noting) -> str:
    """Where the size of a use comes from, unless one was typed."""
    if n.option not in USUAL_USES or tail_of(n).said.strip()[:1].isdigit():
        return ""
    return size_words(*use_said(n.option, n.past, n.rig))


def _price(n: Noting, now: Moment) -> str:
    """What was paid there the last time, and how to note the same again."""
    try:
        found = price(n, now)
    except Refusal:
        return ""
    return f"{paid_words(found[0], n.rig, now)}; $ notes {money(found[1], n.rig.currency)}." if found else ""


def _others(n: Noting) -> str:
    """What stays as it is when only the one in use is empty; what should still be in it where there is no other."""
    if n.verb.kind != m.RAN_OUT or n.container or n.option:
        return ""
    if n.supply not in n.beside:
        cold = f": {key_of('too_cold')} if it is only too cold" if n.supply == PROPANE else ""
        return f"By what is known {n.left[n.supply]} should be left{cold}." if n.supply in n.left else ""
    return f"{still_in(n.beside[n.supply].others)}: {key_of('all_out')} if all of it is gone."


def _option_has_amount(n: Noting) -> bool:
    return any(o.words == n.option and o.word for o in options(n))


def _caution(n: Noting, now: Moment) -> str:
    try:
        entry = to_entry(n, now) if n.supply else None
        return caution_after(entry, n.rig, n.past, n.stood) if entry else ""
    except Refusal:
        return ""


def _keys(keys: list[tuple[str, str]], width: int, lead: str) -> list[Line]:
    lines: list[list[Span]] = [[Span(lead, "alarm" if lead.strip() else "")]]
    used = len(lead)
    for key, words in keys:
        text = f"{key_name(key)} {words}  "
        if used + len(text) > width:
            lines.append([Span(" ")])
            used = 1
        tap = "" if "-" in key else f"press('{key}')"
        lines[-1] += [Span(key_name(key), "key", tap), Span(f" {words}", "", tap), Span("  ")]
        used += len(text)
    return [tuple(each) for each in lines]


def message_foot(message: tuple[str, ...], width: int, *, every_key: bool = False) -> list[Line]:
    """What was just said, above the first row of keys or all of them; what is too long for that ends in an ellipsis."""
    lines = [each for part in message for each in wrap(f" {part}", width - 1, "strong", " ")]
    if len(lines) > MOST_SAID:
        lines = [*lines[: MOST_SAID - 1], line(clip(f"{lines[MOST_SAID - 1][0].text} …", width - 1), "strong")]
    return [BLANK if not lines else lines[0], *lines[1:], *(key_lines(width) if every_key else key_lines(width)[:1])]


