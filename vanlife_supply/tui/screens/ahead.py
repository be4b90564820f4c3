"""Keys typed while a screen with a line to type in is still coming up: none is lost, none does something else."""

from __future__ import annotations

from typing import Any

from textual import events
from textual.screen import Screen


def pass_on(screen: Screen[Any], event: events.Key) -> None:
    """Gives a key that reached the wrong screen to the right one."""
    event.stop()
    event.prevent_default()
    screen.post_message(events.Key(event.key, event.character))


class Ahead:
    """What was typed before the line had the focus, in order."""

    def __init__(self) -> None:
        self._keys: list[events.Key] | None = []

    def keep(self, event: events.Key) -> None:
        """Holds a key back until `release`; afterwards keys go their usual way."""
        if self._keys is not None:
            event.stop()
            event.prevent_default()
            self._keys.append(events.Key(event.key, event.character))

    def release(self, screen: Screen[Any]) -> None:
        """The line is there: everything held back goes to it."""
        keys, self._keys = self._keys or [], None
        for key in keys:
            screen.app.post_message(key.set_sender(screen.app))  # as if just pressed: a key rises only to its sender
