"""What the app costs while nobody touches it: CPU and bytes to the terminal, against a static Textual screen.

Run by hand: python -m tests.bench.idle [SECONDS]. Wanted: CPU at most 1.5 times, under 1 kB a minute.
"""

from __future__ import annotations

import os
import pty
import select
import shutil
import struct
import subprocess
import sys
import tempfile
import time
from fcntl import ioctl
from pathlib import Path
from termios import TIOCSWINSZ

from tests.bench.first_paint import BARE, ROOT

SETTLE_S = 6.0


def idle(command: list[str], seconds: float) -> tuple[float, int]:
    """CPU seconds and bytes written during `seconds` of rest, after everything has come to rest."""
    ours, theirs = pty.openpty()
    ioctl(theirs, TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    env = {**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    child = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=env, start_new_session=True)
    os.close(theirs)
    try:
        _read_for(ours, SETTLE_S)
        before = _cpu(child.pid)
        written = _read_for(ours, seconds)
        return _cpu(child.pid) - before, written
    finally:
        child.kill()
        child.wait()
        os.close(ours)


def _read_for(terminal: int, seconds: float) -> int:
    until, count = time.monotonic() + seconds, 0
    while (left := until - time.monotonic()) > 0:
        if select.select([terminal], [], [], left)[0]:
            count += len(os.read(terminal, 65536))
    return count


def _cpu(pid: int) -> float:
    """Seconds a process and all its threads have been on a processor (Linux keeps them to the nanosecond)."""
    return sum(int(task.read_text().split()[0]) for task in Path(f"/proc/{pid}/task").glob("*/schedstat")) / 1e9


def main(seconds: float) -> None:
    """Measures both, one after the other."""
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "demo.db"
        shutil.copyfile(ROOT / "demo.db", log)
        ours = idle([sys.executable, "-m", "vanlife_supply", "--db", str(log)], seconds)
        bare = idle([sys.executable, "-c", BARE], seconds)
    for name, (cpu, written) in (("app", ours), ("bare", bare)):
        print(f"{name}: {cpu * 1000:.0f} ms CPU and {written} bytes in {seconds:.0f} s")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 60.0)
