"""What a long command is at, told on the standard error once it takes over half a second."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

AFTER_S = 0.5


@dataclass(slots=True)
class _Step:
    words: str
    done: int = 0
    of: int = 0

    def reached(self, done: int, of: int) -> None:
        self.done, self.of = done, of

    def told(self, seconds: float) -> str:
        return f"{self.words}{f', {self.done} of {self.of}' if self.of else ''} ... {seconds:.0f} s"


@contextmanager
def telling(words: str, after: float = AFTER_S) -> Iterator[Callable[[int, int], None]]:
    """Tells `words` while the block runs, once it has run for `after` seconds; on a terminal with the seconds so far, and
    with how much is done of how much where the block calls what it is given."""
    step, done = _Step(words), threading.Event()
    teller = threading.Thread(target=_tell, args=(step, after, done), daemon=True)
    teller.start()
    try:
        yield step.reached
    finally:
        done.set()
        teller.join()


def _tell(step: _Step, after: float, done: threading.Event) -> None:
    if done.wait(after):
        return
    if not sys.stderr.isatty():
        print(f"{step.words} ...", file=sys.stderr, flush=True)
        return
    seconds, widest = after, 0
    while True:
        told = step.told(seconds)
        widest = max(widest, len(told))
        print(f"\r{told.ljust(widest)}", end="", file=sys.stderr, flush=True)
        if done.wait(1.0):
            break
        seconds += 1.0
    print(f"\r{' ' * widest}\r", end="", file=sys.stderr, flush=True)
