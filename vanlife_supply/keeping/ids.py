"""The clock and the dice: ids that sort by the time they were made, and what time it is."""

from __future__ import annotations

import os
import random
import time
from collections.abc import Iterator

from vanlife_supply.moment import Moment, at, read_iso

NOW_VARIABLE = "VANLIFE_SUPPLY_NOW"
"""An ISO 8601 time in this environment variable stands in for the clock (tests, rehearsals)."""
_TICKS_PER_MS = 4096


def now(zone: str = "UTC", stands_in: str | None = None) -> Moment:
    """The time, whole seconds, told in `zone`: of the environment, else `stands_in` (ISO 8601), else of the clock."""
    told = os.environ.get(NOW_VARIABLE) or stands_in
    return at(read_iso(told, zone).moment.epoch, zone) if told else at(float(int(time.time())), zone)


def new_ids(epoch: float, after: str, draw: random.Random | None = None) -> Iterator[str]:
    """Fresh ids in the form of RFC 9562 version 7, each greater than the one before and than `after`.

    Milliseconds and 12 bits of a millisecond in front, 62 random bits (from `draw` if given) behind.
    """
    bits = draw.getrandbits if draw else random.SystemRandom().getrandbits
    tick = max(int(epoch * 1000) * _TICKS_PER_MS, _tick(after) + 1)
    while True:
        ms, fraction = divmod(tick, _TICKS_PER_MS)
        whole = (ms << 80) | (7 << 76) | (fraction << 64) | (2 << 62) | bits(62)
        text = f"{whole:032x}"
        yield f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
        tick += 1


def _tick(ident: str) -> int:
    plain = ident.replace("-", "")
    if len(plain) != 32 or plain[12:13] != "7":
        return 0
    return int(plain[:12], 16) * _TICKS_PER_MS + int(plain[13:16], 16)
