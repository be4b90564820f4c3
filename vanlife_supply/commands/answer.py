"""How long it lasts: `days`, the app, the demonstration."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import open_log, place_of
from vanlife_supply.keeping import ids
from vanlife_supply.logbook.gate import identify
from vanlife_supply.moment import at, read_when
from vanlife_supply.refusal import REFUSED, Refusal


def days(argv: list[str], db: str | None) -> int:
    """The answer as of now, or of each --as-of."""
    args = parse("days", argv, ("--as-of",), ("--json",))
    usage_if(bool(args.words), "days", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.advising import outlooks  # numpy comes with it
        from vanlife_supply.wording import days_json, days_text

        moments = [at(read_when(t, now, rig.zone).moment.epoch, rig.zone) for t in args.values("--as-of")] or [now]
        for i, forecast in enumerate(outlooks(book, moments, now)):
            if args.flag("--json"):
                print(json.dumps(days_json(forecast, book.rig(forecast.as_of.epoch)), ensure_ascii=False))
            else:
                print("\n" * bool(i) + days_text(forecast, book.rig(forecast.as_of.epoch)), end="")
    return 0


def app(db: str | None) -> int:
    """The app on a log."""
    from vanlife_supply.tui.app import run

    zone, stands_in = "UTC", None
    if identify(place_of(db)):
        with open_log(db) as book:
            zone, stands_in = keeping.now_of(book).zone, book.setting("now")
    return run(str(place_of(db)), lambda: ids.now(zone, stands_in))


def demo(argv: list[str], db: str | None) -> int:
    """The app, or `days`, on a copy of the demonstration log at its own now."""
    import shutil
    import tempfile

    usage_if(bool(argv), "demo", "it takes no words")
    with tempfile.TemporaryDirectory(prefix="vanlife-supply-demo-") as folder:
        copy = Path(folder) / "demo.db"
        shutil.copyfile(_demo_log(), copy)
        terminal = sys.stdin.isatty() and sys.stdout.isatty()
        return app(str(copy)) if terminal else days([], str(copy))


def _demo_log() -> Path:
    package = Path(__file__).resolve().parent.parent
    for place in (package / "demo.db", package.parent / "demo.db"):
        if place.is_file():
            return place
    raise Refusal("The demonstration log is missing from this installation: install it again.", REFUSED)
