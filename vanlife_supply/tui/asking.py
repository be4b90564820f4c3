"""One question a day: which it is, and that it was answered or put off; rounds of questions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from vanlife_supply.entry.company import Guests, guests_to_ask
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.planning import asked_as, plan_to_ask
from vanlife_supply.forecast.model import Band, Forecast
from vanlife_supply.rig.model import FILLS
from vanlife_supply.tui import doubts
from vanlife_supply.tui.doubts import Answer, Doubt
from vanlife_supply.tui.noting import places_meant
from vanlife_supply.wording.todo import Todo, things_to_do

if TYPE_CHECKING:
    from vanlife_supply.tui.screens.rounds import Asked
    from vanlife_supply.tui.shell import SupplyApp

ASKED, GUESTS, PLAN = "asked", "guests", "plan"
"""Settings: the day a question was last answered or put off, the entry of guests and the plan with its time asked about for
good, each under what is asked."""


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
    return None if found is None or app.desk.setting(PLAN) == asked_as(found) else found


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


def at_a_stop(app: SupplyApp) -> None:
    """Everything done at a stop, in one round."""
    from vanlife_supply.tui.screens.rounds import stop_round

    def left(kept: bool | None) -> None:
        app.first.show()

    _ask_round(app, "At a stop", stop_round(app.rig), "leaves", left)


def catch_up(app: SupplyApp) -> None:
    """What happened in days of silence; then nothing more is asked that day, also where nothing was to be noted."""
    from vanlife_supply.tui.screens.rounds import catch_up_round

    def left(kept: bool | None) -> None:
        if kept:
            app.first.answered()
            app.first.show()
        else:
            app.first.tell(enough_for_today(app) or ("Nothing to note." if kept is False else ""))

    since = app.known.entries[-1].at.iso() if app.known.entries else ""
    _ask_round(app, "Catching up", catch_up_round(app.rig, since, worth_a_look(app.forecast)), "not today", left)


def _ask_round(
    app: SupplyApp, title: str, round_: tuple[Asked, ...], leaves: str, left: Callable[[bool | None], None]
) -> None:
    """`left` is told whether anything was noted; None: the round was left."""
    from vanlife_supply.tui.screens.rounds import asking, said_in

    def answered(answers: list[str] | None) -> None:
        said = said_in(round_, answers or [], app.rig, app.now())
        if said:
            app.first.note(*(replace(typed, place=_known_place(app, typed.place)) for typed in said))
        left(None if answers is None else bool(said))

    app.push_screen(asking(title, round_, app.rig, app.now, app.known, leaves), answered)


def _known_place(app: SupplyApp, name: str) -> str:
    """The one place known that a name begun means, else the name as it is."""
    meant = places_meant(name, app.where.places) if name else []
    return meant[0] if len(meant) == 1 else name


def worth_a_look(forecast: Forecast | None) -> str:
    """What of all that runs out a look would narrow most: likely to be out first, and wide; "" for none.

    A day counts for what should be gone by now: it may not be so.
    """
    chances = forecast.first.chances if forecast and forecast.first else {}
    left = [s for s in (forecast.supplies if forecast else ()) if s.direction != FILLS]
    wide = {s.supply: chances.get(s.supply, 0.0) * max(1.0, _width(s.days_left)) for s in left}
    return max(wide, key=lambda name: wide[name], default="")


def _width(band: Band | None) -> float:
    """Days between what one may count on and what is left at best."""
    return 0.0 if band is None or band.p10 is None else (365.0 if band.p90 is None else band.p90) - band.p10


def _today(app: SupplyApp) -> str:
    return f"{app.now().local():%Y-%m-%d}"
