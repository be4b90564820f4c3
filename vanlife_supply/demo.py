"""The invented scenario behind demo.db: ten weeks of one person and a dog in a van, typed as they would have typed it.

Run `python -m vanlife_supply.demo FILE` to build it again; a test compares the result with the file shipped.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator

from vanlife_supply import keeping
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, read_iso

NOW = "2026-05-07T19:10"
"""The scenario's own now, in its last zone."""

RIG = """
[rig]
people = 1
pets = ["dog 50 lb"]
units = "us"
timezone = "America/Denver"
currency = "USD"

[[supply]]
name = "fresh"
reserve = "1 gal"
lasts = "12 days"

[[container]]
supply = "fresh"
label = "big jug"
capacity = "7 gal"

[[container]]
supply = "fresh"
label = "tall jug"
capacity = "5 gal"

[[container]]
supply = "fresh"
label = "small jug"
capacity = "2.5 gal"

[[container]]
supply = "grey"
label = "sink jug"
capacity = "6 gal"
usable = 0.9

[[container]]
supply = "stove_fuel"
label = "canister"
count = 2
capacity = "1 L"
idle_loss_per_week = 0.05

[[container]]
supply = "stove_fuel"
label = "can"
capacity = "1 gal"

[[container]]
supply = "propane"
label = "cylinder"
wc = "47.6 lb"
tare = "17.1 lb"
"""

LIFE = """
2026-02-26 09:30  filled water
2026-02-26 09:31  dumped
2026-02-26 09:40  filled alcohol
2026-02-26 09:45  weighed propane 37.0
2026-02-26 20:10  note new spring in the foot pump, no more air in the line
2026-03-01 20:15  looked gray half
2026-03-02 21:00  used shower
2026-03-03 19:20  next water from big jug 5pm
2026-03-04 11:30  dumped
2026-03-04 11:45  filled water 7.5 2.65
2026-03-07 21:30  used shower this evening
2026-03-09 08:40  next alcohol
2026-03-09 08:45  poured from can into canister 1
2026-03-10 08:30  next water from big jug
2026-03-10 11:20  dumped gray 4.9
2026-03-10 11:35  filled water
2026-03-15 18:00  next water from big jug this morning
2026-03-15 18:05  weighed propane 36.0
2026-03-16 11:20  dumped
2026-03-16 11:40  filled water 8.4 full
2026-03-16 19:00  heater until mon 23
2026-03-18 07:10  aside small jug frozen
2026-03-20 20:00  next alcohol
2026-03-20 20:02  poured 1 L from can into canister 2
2026-03-21 14:00  back small jug
2026-03-22 19:00  next water from big jug
2026-03-23 10:50  weighed propane 24.9
2026-03-23 11:30  dumped
2026-03-23 11:50  filled water
2026-03-28 08:20  spilled water small jug 0.5 last night
2026-03-29 14:45  next water from big jug
2026-03-30 11:15  dumped
2026-03-30 11:30  filled water some $2
2026-04-03 13:40  next alcohol
2026-04-03 13:45  poured from can into canister 1
2026-04-03 17:30  people 2 until sun 18:00
2026-04-04 08:45  next water from big jug
2026-04-04 11:10  dumped
2026-04-04 11:30  filled water 8 full
2026-04-05 19:40  used shower
2026-04-07 20:10  next water from big jug
2026-04-08 11:30  dumped
2026-04-08 11:45  filled water
2026-04-09 18:00  weighed propane 23.9
2026-04-10 18:30  heater until mon 13
2026-04-12 20:00  next alcohol
2026-04-12 20:05  poured from can into canister 2
2026-04-13 12:30  weighed propane 18.1
2026-04-14 11:20  dumped
2026-04-14 11:40  filled water 7.7 full
2026-04-14 12:20  traded propane 15 lb $24
2026-04-14 12:50  filled alcohol can
2026-04-19 20:20  looked gray half
2026-04-20 09:30  away until thu 23
2026-04-23 20:15  next water from big jug
2026-04-24 11:20  dumped
2026-04-24 11:35  filled water
2026-04-24 16:00  zone America/Los_Angeles
2026-04-25 19:00  next alcohol
2026-04-25 19:05  poured from can into canister 1
2026-04-26 18:30  weighed propane 31.5
2026-05-01 07:20  next water from big jug
2026-05-03 19:00  looked water tall jug half
2026-05-04 09:10  dumped gray 5.1
2026-05-04 09:30  filled water 10.3 full $3.60
2026-05-04 09:32  filled water tall jug 6
2026-05-04 09:33  undo
2026-05-04 09:40  planned dump wed 13 10:00
2026-05-04 09:41  limit food till thu 14
2026-05-04 09:42  limit stay till mon 18
2026-05-05 20:40  used shower
2026-05-06 19:30  next alcohol
2026-05-06 19:35  poured from can into canister 2
2026-05-07 18:55  looked gray 40%
"""


def lines() -> Iterator[tuple[str, str]]:
    """When something was typed (wall clock) and what."""
    for line in LIFE.strip().splitlines():
        yield line[:16].replace(" ", "T"), line[18:]


def live(book: Logbook) -> Moment:
    """Types the ten weeks into an empty logbook; the scenario's now.

    The same ids every time: they are drawn from a seeded generator, not from the clock.
    """
    draw = random.Random(20260226)
    zone = "America/Denver"
    keeping.load_rig(book, RIG, read_iso("2026-02-26T09:00", zone).moment, draw=draw, by="van")
    for when, words in lines():
        now = read_iso(when, zone).moment
        if words.startswith("zone "):
            zone = words.removeprefix("zone ")
            keeping.set_zone(book, zone, now, draw=draw, by="van")
        elif words == "undo":
            keeping.undo(book, now, draw=draw, by="van")
        else:
            rig = book.rig()
            keeping.record(book, [keeping.noted(book, read_phrase(words, rig, now), now)], now, draw=draw, by="van")
    return read_iso(NOW, zone).moment


def build(path: str) -> None:
    """A new demo.db at `path`."""
    with Logbook.open(path) as book:
        book.set("now", live(book).iso())
        book.seal()


if __name__ == "__main__":
    build(sys.argv[1])
