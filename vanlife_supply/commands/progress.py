"""What a long command is at, told on the standard error once it takes over half a second."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

AFTER_S = 0.5


@contextmanager
def telling(step: str, after: float = AFTER_S) -> Iterator[None]:
    """Tells `step` while the block runs, once it has run for `after` seconds; on a terminal with the seconds so far."""
    done = threading.Event()
    teller = threading.Thread(target=_tell, args=(step, after, done), daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def _tell(step: str, after: float, done: threading.Event) -> None:
    if done.wait(after):
        return
    terminal = sys.stderr.isatty()
    print(f"{step} ...", end="" if terminal else "\n", file=sys.stderr, flush=True)
    seconds = after
    while terminal and not done.wait(1.0):
        seconds += 1.0
        print(f"\r{step} ... {seconds:.0f} s", end="", file=sys.stderr, flush=True)
    if terminal:
        print(f"\r{' ' * (len(step) + 12)}\r", end="", file=sys.stderr, flush=True)
