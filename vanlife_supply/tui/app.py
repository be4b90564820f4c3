"""The way into the app. The first forecast is worked out by a child process while this one loads Textual."""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from pathlib import Path

from vanlife_supply.actions import put_in_force
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.logbook.gate import identify
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.keymap import FILE, read_keymap
from vanlife_supply.wording.times import CLOCK_BEHIND


def run(path: str, now: Callable[[], Moment], *, mouse: bool = True) -> int:
    """Open the app on the log at `path` → exit status. Refusal when the file is not ours or cannot be read."""
    begun = _begin(path, now) if identify(Path(path)) and hasattr(os, "fork") else None
    desk = LogDesk(path, now)
    fault = _own_keys(Path(path).with_name(FILE))
    from vanlife_supply.tui.shell import SupplyApp  # Textual comes with it

    app = SupplyApp(desk, now, begun)
    app.first.tell(fault, CLOCK_BEHIND if desk.is_behind() else "")
    return app.run(mouse=mouse) or app.return_code or 0


def _own_keys(file: Path) -> str:
    """Puts the keys of the file in force, if there is one → why not; a slip in it keeps nobody from noting."""
    try:
        if file.is_file():
            put_in_force(read_keymap(file.read_text(encoding="utf-8")))
    except (OSError, UnicodeDecodeError) as fault:
        return f"{FILE} cannot be read ({fault}). The usual keys hold."
    except Refusal as fault:
        return f"{fault} The usual keys hold."
    return ""


def _begin(path: str, now: Callable[[], Moment]) -> Callable[[], Forecast | None]:
    """Starts the first forecast beside this process → a function that waits for it; None when it did not work out.

    Loading numpy and loading Textual cost about the same and would take turns in one process. Forked before the log
    is opened here: a connection to SQLite must not be carried into a child.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            with os.fdopen(writing, "wb") as pipe:
                pipe.write(pickle.dumps(LogDesk(path, now).forecast()))
        finally:
            os._exit(0)
    os.close(writing)

    def wait() -> Forecast | None:
        with os.fdopen(reading, "rb") as pipe:
            made = pipe.read()
        os.waitpid(child, 0)
        forecast = pickle.loads(made) if made else None
        return forecast if isinstance(forecast, Forecast) else None

    return wait
