"""How long it lasts: `days`; what the app and the demonstration start from."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import open_log, place_of
from vanlife_supply.keeping import ids
from vanlife_supply.logbook import Logbook
from vanlife_supply.logbook.gate import identify
from vanlife_supply.moment import Moment, at, read_when
from vanlife_supply.refusal import REFUSED, Refusal

if TYPE_CHECKING:
    from vanlife_supply.forecast.model import Forecast


def days(argv: list[str], db: str | None) -> int:
    """The answer as of now, or of each --as-of."""
    args = parse("days", argv, ("--as-of",), ("--json",))
    usage_if(bool(args.words), "days", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.advising import outlooks  # numpy comes with it
        from vanlife_supply.wording.days import days_json, days_text

        moments = [at(read_when(t, now, rig.zone).moment.epoch, rig.zone) for t in args.values("--as-of")] or [now]
        asked = args.values("--as-of")
        for i, forecast in enumerate(outlooks(book, moments, now)):
            rig = book.rig(forecast.as_of.epoch)
            if args.flag("--json"):
                told = {**days_json(forecast, rig), "next_stop": _next_stop(book, forecast, now)[0]}
                print(json.dumps(told, ensure_ascii=False))
            else:
                print("\n" * bool(i) + days_text(forecast, rig) + _next_stop(book, forecast, now)[1], end="")
                print("" if asked else _verdict(book, now), end="")
    return 0


def _verdict(book: Logbook, now: Moment) -> str:
    """Whether it came as said, where what was noted lately shows it."""
    from vanlife_supply.deciding.judging import told_lately
    from vanlife_supply.wording.hindsight import told_line

    outcome = told_lately(book, now)
    return f"\n{told_line(outcome, book.rig(), now)}\n" if outcome else ""


def _next_stop(book: Logbook, forecast: Forecast, now: Moment) -> tuple[dict[str, Any] | None, str]:
    """The next stop as an object and as a line; only a log with places pays for it."""
    if not book.has_places():
        return None, ""
    from vanlife_supply.commands.stop import stop_of
    from vanlife_supply.wording.names import printable
    from vanlife_supply.wording.places import headline, stop_json

    stop = stop_of(book, forecast, now)
    line = f"\n{printable(headline(stop, forecast, book.rig(forecast.as_of.epoch)))}\n" if stop else ""
    return stop_json(stop, forecast, book.rig(forecast.as_of.epoch)), line


@contextmanager
def demo(argv: list[str]) -> Iterator[str]:
    """A copy of the demonstration log, for as long as somebody looks at it."""
    import shutil
    import tempfile

    usage_if(bool(argv), "demo", "it takes no words")
    with tempfile.TemporaryDirectory(prefix="vanlife-supply-demo-") as folder:
        copy = Path(folder) / "demo.db"
        shutil.copyfile(_demo_log(), copy)
        yield str(copy)


def clock(db: str | None) -> tuple[Path, Callable[[], Moment]]:
    """The file of the log and the clock the app goes by: told in the zone of the rig, a rehearsal's own where it has one."""
    path, zone, stands_in = place_of(db), "UTC", None
    if identify(path):
        with open_log(db) as book:
            zone, stands_in = keeping.now_of(book).zone, book.setting("now")
    elif not db:
        open_log(db, create=True).close()
    return path, lambda: ids.now(zone, stands_in)


def _demo_log() -> Path:
    package = Path(__file__).resolve().parent.parent
    for place in (package / "demo.db", package.parent / "demo.db"):
        if place.is_file():
            return place
    raise Refusal("The demonstration log is missing from this installation: install it again.", REFUSED)
