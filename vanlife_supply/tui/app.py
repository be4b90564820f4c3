"""The way into the app. The first forecast is begun before the app itself is loaded, so that both come up together."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

from vanlife_supply.moment import Moment
from vanlife_supply.tui.desk import LogDesk


def run(path: str, now: Callable[[], Moment], *, mouse: bool = True) -> int:
    """Open the app on the log at `path` → exit status. Refusal when the file is not ours or cannot be read."""
    desk = LogDesk(path, now)
    with ThreadPoolExecutor(1) as pool:
        begun = pool.submit(desk.forecast) if desk.known().rig else None
        from vanlife_supply.tui.shell import SupplyApp  # Textual comes with it

        app = SupplyApp(desk, now, begun.result if begun else None)
        return app.run(mouse=mouse) or app.return_code or 0
