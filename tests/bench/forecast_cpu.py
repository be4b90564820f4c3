"""CPU and memory of learning and looking ahead, for logs of 150 to 100,000 entries. Run by hand; nothing is asserted.

    python -m tests.bench.forecast_cpu
"""

from __future__ import annotations

import resource
import time
from itertools import pairwise

from tests.forecast.logs import JUGS, arrangements, entry, moment
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import from_bytes, learn, look_ahead, to_bytes

FORTNIGHT = [
    ("fill", "fresh", None, "full", 0.0), ("dump", "grey", None, "empty", 0.01), ("use", "fresh", 2.0, "", 1.0),
    ("next", "fresh", None, "", 3.0), ("reading", "grey", 9.0, "", 3.5), ("use", "fresh", 3.0, "", 4.0),
    ("reading", "fresh", 10.0, "", 4.5), ("next", "fresh", None, "", 6.5), ("fill", "fresh", 45.0, "full", 7.0),
    ("dump", "grey", None, "empty", 7.01), ("next", "fresh", None, "", 10.0), ("fill", "stove_fuel", None, "full", 11.0),
    ("fill", "propane", None, "full", 12.0), ("reading", "fresh", 12.0, "", 12.5),
]  # fmt: skip


def log(count: int) -> list[Entry]:
    """A life of two weeks, over and over."""
    found = []
    for i in range(count):
        kind, supply, amount, to, day = FORTNIGHT[i % len(FORTNIGHT)]
        found.append(entry(14 * (i // len(FORTNIGHT)) + day, kind, supply, amount, to=to, id=f"{i:07}"))
    return found


def main() -> None:
    """One line a size: milliseconds of CPU of each step, kilobytes kept, megabytes in use."""
    stands = arrangements(JUGS)
    look_ahead(learn(None, stands, log(60)), moment(70))
    for count in (150, 1_000, 10_000, 100_000):
        entries = log(count)
        now = entries[-1].at.plus(1.0)
        marks = [time.process_time()]
        belief = learn(None, stands, entries)
        marks.append(time.process_time())
        look_ahead(belief, now)
        marks.append(time.process_time())
        kept = to_bytes(belief)
        look_ahead(learn(from_bytes(kept, stands), stands, []), now)
        marks.append(time.process_time())
        rebuilt, ahead, again = ((b - a) * 1e3 for a, b in pairwise(marks))
        used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{count:7,} entries: rebuilt {rebuilt:6.0f} ms, ahead {ahead:3.0f} ms, kept and ahead {again:3.0f} ms, "
              f"{len(kept) / 1e3:4.0f} kB kept, {used:4.0f} MB")  # fmt: skip


if __name__ == "__main__":
    main()
