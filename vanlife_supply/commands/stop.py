"""Where to go and what to do there: `next-stop`, `town`."""

from __future__ import annotations

import json

from vanlife_supply import keeping
from vanlife_supply.advising import believed, outlook
from vanlife_supply.advising import town_list as advised
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import narrate, open_log
from vanlife_supply.forecast import look_ahead
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.resupply import Stop, stop_in
from vanlife_supply.wording import places as words
from vanlife_supply.wording.names import printable
from vanlife_supply.wording.town import town_json, town_text


def next_stop(argv: list[str], db: str | None) -> int:
    """Which place, at the latest when, what to do there."""
    args = parse("next-stop", argv, flags=("--json",))
    usage_if(bool(args.words), "next-stop", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        forecast = outlook(book, now, now)
        stop = stop_of(book, forecast, now)
        if args.flag("--json"):
            print(json.dumps(words.stop_json(stop, forecast, rig), ensure_ascii=False))
        elif stop is not None:
            print(words.stop_text(stop, forecast, rig), end="")
        if stop is None:
            narrate(words.NOTHING_CALLS if book.has_places() else words.NO_PLACES)
    return 0


def town_list(argv: list[str], db: str | None) -> int:
    """The town list from the state of the jugs."""
    args = parse("town", argv, flags=("--json",))
    usage_if(bool(args.words), "town", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        belief = believed(book, now)
        forecast = look_ahead(belief, now)
        stop = stop_of(book, forecast, now)
    listed = advised(belief, now, forecast)
    if args.flag("--json"):
        print(json.dumps(town_json(listed, forecast, rig, words.stop_json(stop, forecast, rig)), ensure_ascii=False))
    else:
        print(town_text(listed, forecast, rig, stop), end="")
    return 0


def stop_of(book: Logbook, forecast: Forecast, now: Moment) -> Stop | None:
    """The next stop as of a forecast, with the plans made by now."""
    return stop_in(book, forecast, keeping.plans(book, now))


def proposal(book: Logbook, now: Moment) -> str:
    """What to do instead, in a line, once a place did not work out."""
    forecast = outlook(book, now, now)
    stop = stop_of(book, forecast, now)
    return printable(words.headline(stop, forecast, book.rig())) if stop else words.NOTHING_CALLS
