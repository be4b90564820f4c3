"""A small invented trip.toml that holds, and variations of it."""

from __future__ import annotations

GOOD = """\
schema = 1
[trip]
name = "two valleys"
start = 2026-05-04
confidence = 0.9
use = "assume"
[costs]
per_km = 0.35
stop = 4.0
[assume.fresh]
usable = 60.0
reserve = 6.0
start = 50.0
mean = 7.0
cv = 0.4
[assume.propane]
usable = 12.0
start = 3.0
mean = 0.5
unit = 6.0
[[stay]]
nights = 4
km = 80
factor = { fresh = 1.2 }
[[stay]]
nights = 6
km = 40
[[place]]
id = "spring"
leg = 2
km = 10.0
detour_km = 2.0
open = ["mon", "fri"]
season = ["10-01", "06-15"]
closed = ["2026-07-04", 2026-07-05]
[[place.service]]
supply = "fresh"
levels = [0.5, 1.0]
[[place]]
id = "shop"
stay = 2
when = "any"
[[place.service]]
supply = "propane"
mode = "exchange"
price = 20.0
[[place.service]]
supply = "fresh"
fee = 3.0
"""


def changed(old: str, new: str) -> str:
    """The good file with one passage replaced (it must be there)."""
    assert old in GOOD
    return GOOD.replace(old, new, 1)
