"""One question a day: which it is, and that it was answered or put off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanlife_supply.entry.company import Guests, guests_to_ask
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.planning import plan_to_ask
from vanlife_supply.tui import doubts
from vanlife_supply.tui.doubts import Answer, Doubt
from vanlife_supply.wording.todo import Todo, things_to_do

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

ASKED, GUESTS, PLAN = "asked", "guests", "plan"
"""Settings: the day a question was last answered or put off, the entries of guests and plan asked about for good,
each under what is asked."""


def todo(app: SupplyApp) -> list[Todo]:
    """The things to do now, with the one question of the day unless it was answered."""
    if app.forecast is None or app.known.rig is None:
        return []
    quiet = app.desk.setting(ASKED) == _today(app)
    return things_to_do(app.forecast, app.known.rig, guests(app), _plan(app), quiet=quiet)


def guests(app: SupplyApp) -> Guests | None:
    """Guests whose going is in doubt, unless they were asked about before."""
    found = guests_to_ask(app.known.entries, app.rig, app.now().epoch)
    return None if found is None or app.desk.setting(GUESTS) == found.entry.id else found


def _plan(app: SupplyApp) -> Entry | None:
    """The plan that went by with nothing noted of it, unless it was asked about before."""
    found = plan_to_ask(app.known.entries, app.now().epoch)
    return None if found is None or app.desk.setting(PLAN) == found.id else found


def doubt_of(app: SupplyApp, thing: Todo) -> Doubt:
    """The question and its answers."""
    company = guests(app)
    if thing.asks == GUESTS and company:
        return doubts.guests(company, app.now())
    plan = _plan(app)
    if thing.asks == PLAN and plan:
        return doubts.planned(plan, app.rig)
    outlook = app.forecast.supply(thing.supply) if app.forecast else None
    assert outlook is not None
    return doubts.impossible(outlook, app.known.entries, app.rig, app.now())


def enough_for_today(app: SupplyApp) -> str:
    """Nothing more is asked until tomorrow → what is said of it, "" where nothing was being asked."""
    if not any(each.asks for each in todo(app)):
        return ""
    app.desk.remember(ASKED, _today(app))
    return "Not today: nothing more is asked until tomorrow."


def ask_doubt(app: SupplyApp, thing: Todo) -> None:
    """Opens a question; its answer is noted, asked on, or remembered."""
    from vanlife_supply.tui.screens.doubt import DoubtScreen

    doubt = doubt_of(app, thing)

    def answered(answer: Answer | None) -> None:
        if answer is None:
            app.first.tell(enough_for_today(app))
            return
        if doubt.once:
            app.desk.remember(thing.asks, doubt.once)
        if answer.said:
            app.first.note(answer.said)
        elif answer.look:
            app.first.look_at(doubt.supply)
        app.first.answered()
        app.first.show()

    app.push_screen(DoubtScreen(doubt), answered)


def ask_again(app: SupplyApp) -> None:
    """The answer was taken back: the question stands again."""
    app.desk.remember(ASKED, "")


def last_heard(app: SupplyApp) -> str:
    """When something was noted last, as typed: the gap that catching up asks about begins there."""
    return app.known.entries[-1].at.iso() if app.known.entries else ""


def _today(app: SupplyApp) -> str:
    return f"{app.now().local():%Y-%m-%d}"
