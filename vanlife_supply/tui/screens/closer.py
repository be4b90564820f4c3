"""One supply closer: its range ahead at once, how it is known and how it went as soon as a worker has read it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from textual import events, work
from textual.message import Message

from vanlife_supply import keeping
from vanlife_supply.actions import CLOSER, on_screen
from vanlife_supply.deciding.model import Closer
from vanlife_supply.forecast.facts import Learned
from vanlife_supply.forecast.model import Forecast, SupplyOutlook
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.tui.fan import fan
from vanlife_supply.tui.history import said_picture, use_picture
from vanlife_supply.tui.lines import BLANK, Line, Span, line, wrap
from vanlife_supply.tui.screens.page import PageScreen
from vanlife_supply.tui.widgets.sheet import Sheet
from vanlife_supply.wording.amounts import amount, rate, spread
from vanlife_supply.wording.entries import entry_full
from vanlife_supply.wording.laden import load_words
from vanlife_supply.wording.learned import as_written, learned_line, offer_line
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.state import container_text, mark
from vanlife_supply.wording.times import about, count_on, spell
from vanlife_supply.wording.why import why_lines

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

OFFER_KEYS = {key: a.id for a in on_screen(CLOSER) for key in a.keys}
LATEST = 8
"""Entries shown at the end."""


class CloserScreen(PageScreen):
    """What lies ahead and behind of one supply."""

    about = "closer"

    @dataclass
    class Came(Message):
        """A worker has looked closer; None where there is nothing more to say."""

        found: Closer | None

    def __init__(self, app: SupplyApp, supply: str) -> None:
        super().__init__(supply_name(supply, app.rig), self._closer)
        self._supply = supply
        self._found: Closer | None = None

    def on_mount(self) -> None:
        """Begins to read what is behind."""
        self._read()

    def on_key(self, event: events.Key) -> None:
        """Answers the offer, where there is one; all else as on any page."""
        if event.key in OFFER_KEYS and self._found and self._found.offer and not self._left:
            self.action_do(OFFER_KEYS[event.key])
            event.stop()
            event.prevent_default()
        else:
            super().on_key(event)

    def action_do(self, name: str) -> None:
        """Takes the offer over, or has it never asked again; the page is read anew."""
        if name not in OFFER_KEYS.values():
            super().action_do(name)
        elif self._found and self._found.offer:
            own, offer = self.own, self._found.offer
            self._found = None
            if name == "take_offer":
                own.desk.on_log(partial(_take, offer, own.rig))
            else:
                own.desk.remember(offer.declined, "no")
            own.reload()
            self._read()

    @work(thread=True, group="closer", exit_on_error=False)
    def _read(self) -> None:
        def act(book: Logbook, now: Moment) -> Closer:
            from vanlife_supply.deciding.closer import closer  # numpy comes with it

            return closer(book, self._supply, now)

        try:
            self.post_message(self.Came(self.own.desk.on_log(act)))
        except Refusal:  # nothing is known of it: the page says so itself
            self.post_message(self.Came(None))

    def on_closer_screen_came(self, came: Came) -> None:
        """Shows the rest of the page."""
        self._found = came.found
        self.query_one(Sheet).show()

    def _closer(self, width: int) -> list[Line]:
        app = self.own
        outlook = app.forecast.supply(self._supply) if app.forecast else None
        if app.forecast is None or outlook is None:
            return [line(" Working it out ...", "dim")]
        lines = ahead(outlook, app.forecast, app.rig, width, self._found)
        if self._found and self._found.offer:
            lines += offered(self._found.offer, app.rig, width)
        if self._found:
            lines += behind(self._found, app.rig, app.now(), width)
        return lines + lately(app, self._supply, width)


def ahead(s: SupplyOutlook, f: Forecast, rig: Rig, width: int, found: Closer | None = None) -> list[Line]:
    """The figures, the range ahead and the containers."""
    lines = [*_figures(s, f, rig, width, found), BLANK]
    if s.days_left is not None:
        lines += [*fan(s, f.as_of, rig.supply(s.supply), width - 2, 8), BLANK]
    return lines + [each for c in s.containers for each in wrap(f" {container_text(c, s, rig)}", width - 1, "", "   ")]


def offered(offer: Learned, rig: Rig, width: int) -> list[Line]:
    """What the log says of a container against what was written, and the two answers."""
    take, keep = (a.key for a in on_screen(CLOSER))
    lines = [BLANK, *wrap(f" {learned_line(offer, rig)}", width - 1, "strong", " ")]
    for key, name, text in ((take, "take_offer", offer_line(offer, rig)), (keep, "keep_own", "Leave it and ask no more")):
        first, *rest = wrap(text, width - 6)
        lines += [(Span(f" {key} ", "key", name), *first), *((Span("   "), *each) for each in rest)]
    return lines


def _take(offer: Learned, rig: Rig, book: Logbook, now: Moment) -> None:
    keeping.adopt(book, offer.supply, offer.container, as_written(offer, rig), now)


def _figures(s: SupplyOutlook, f: Forecast, rig: Rig, width: int, found: Closer | None) -> list[Line]:
    its, fills = rig.supply(s.supply), s.direction == FILLS
    if s.days_left is None or s.level is None or s.usable is None:
        known = "dumped empty, or how much is in it" if fills else "filled to the top, or how much is left"
        return wrap(f" Not known yet. Note when it is {known}.", width - 1, "", " ")
    told = [f"Count on {count_on(s.days_left)}, at best {spell(s.days_left.p90)}."]
    if s.days_left.p50 is not None:
        told.append(f"{'Full' if fills else 'Out'} about {about(f.as_of.plus(s.days_left.p50), f.as_of)}.")
    held, usable = spread(s.level, its), spread(s.usable, its)
    same = held == usable and not fills
    told.append(f"In it {held}{'' if same else f'; room {usable}' if fills else f'; to use {usable}'}.")
    if s.reserve:
        told.append(f"Kept back: {amount(s.reserve, its)}.")
    if found and found.last_drop:
        told.append(f"To the last drop: count on {count_on(found.last_drop)}.")
    if s.use_per_day and s.use_per_day.p10 is not None and s.use_per_day.p90 is not None:
        low, high = rate(s.use_per_day.p10, its), rate(s.use_per_day.p90, its)
        told.append(f"A day: {low if low == high else f'{low} to {high}'} {its.unit}.")
    if found and found.load:
        told.append(f"{load_words(found.load, rig).capitalize()}.")
    source = mark(s, f)
    return wrap(f" {' '.join(told)}{f' ({source})' if source else ''}", width - 1, "", " ")


def behind(found: Closer, rig: Rig, now: Moment, width: int) -> list[Line]:
    """How it is known, the use a day over time, what was said against what came, what was learned."""
    lines = [BLANK, line(" How we know", "strong")]
    for why in why_lines(found.facts, found.look, found.supply, rig, now):
        lines += wrap(f" {why}", width - 1, "", "   ")
    for picture in (use_picture(found.use, rig.supply(found.supply), now, width), said_picture(found.said, now, width)):
        lines += [BLANK, *picture] if picture else []
    if found.taught:
        lines += [BLANK, line(" Learned", "strong")]
        for each in found.taught:
            lines += wrap(f" {learned_line(each, rig)}", width - 1, "", "   ")
    return lines


def lately(app: SupplyApp, supply: str, width: int) -> list[Line]:
    """The newest entries about it."""
    last = [e for e in reversed(app.known.entries) if e.supply == supply][:LATEST]
    if not last:
        return []
    told = [wrap(f" {entry_full(e, app.rig, app.now())}", width - 1, "", "   ") for e in last]
    return [BLANK, line(" Noted lately", "strong"), *(each for lines in told for each in lines)]
