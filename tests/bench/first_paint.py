"""How long until the first sentence, freshly worked out on the demo log, stands on the screen, against a bare Textual app.

Run by hand: python tests/bench/first_paint.py [RUNS]. Prints both medians and their ratio (wanted: at most 2.6).
"""

from __future__ import annotations

import os
import pty
import select
import shutil
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from fcntl import ioctl
from pathlib import Path
from termios import TIOCSWINSZ

ROOT = Path(__file__).resolve().parents[2]
BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("first words")
Bare().run()
"""


def seconds_until(words: bytes, command: list[str]) -> float:
    """Starts a command in a terminal of 80 by 24; seconds until it has written `words`."""
    ours, theirs = pty.openpty()
    ioctl(theirs, TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    env = {**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    began = time.perf_counter()
    child = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=env, start_new_session=True)
    os.close(theirs)
    seen = b""
    try:
        while words not in seen:
            if not select.select([ours], [], [], 20)[0]:
                raise SystemExit(f"{words!r} did not appear in 20 s; last seen: {seen[-2000:]!r}")
            seen += os.read(ours, 65536)
        return time.perf_counter() - began
    finally:
        child.kill()
        child.wait()
        os.close(ours)


def main(runs: int) -> None:
    """Alternates the two, so that both meet the same machine."""
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "demo.db"
        shutil.copyfile(ROOT / "demo.db", log)
        app = [sys.executable, "-m", "vanlife_supply", "--db", str(log)]
        bare = [sys.executable, "-c", BARE]
        for command, words in ((app, b"Count on"), (bare, b"first words")):
            seconds_until(words, command)
        pairs = [(seconds_until(b"Count on", app), seconds_until(b"first words", bare)) for _ in range(runs)]
    ours, theirs = (statistics.median(p[i] for p in pairs) for i in (0, 1))
    print(f"first sentence {ours * 1000:.0f} ms, bare app {theirs * 1000:.0f} ms, ratio {ours / theirs:.2f} ({runs} runs)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
