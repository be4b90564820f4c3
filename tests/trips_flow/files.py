"""An invented trip that takes its numbers from rig and log."""

from __future__ import annotations

TRIP = """\
schema = 1
[trip]
name = "two valleys"
start = 2026-05-07
[costs]
per_km = 0.35
stop = 4.0
[[stay]]
name = "the lake"
nights = 4
km = 80
lat = 38.5
lon = -109.5
[[stay]]
nights = 5
km = 40
[[place]]
id = "spring"
name = "Spring, at the pass"
leg = 2
detour_km = 2.0
lat = 38.6
lon = -109.6
[[place.service]]
supply = "fresh"
[[place.service]]
supply = "grey"
[[place]]
id = "farm"
stay = 2
[[place.service]]
supply = "grey"
fee = 5.0
[[place.service]]
supply = "fresh"
price = 0.1
[[place]]
id = "yard"
stay = 2
stop = 9.0
[[place.service]]
supply = "grey"
fee = 6.0
[[place.service]]
supply = "fresh"
price = 0.2
[[place]]
id = "camp"
stay = 1
[[place.service]]
supply = "grey"
[[place.service]]
supply = "fresh"
"""

LOG = """\
time,kind,supply,amount,unit,to,method,paid,place,note,id
2026-04-20T10:00:00-06:00,fill,fresh,,,full,,,,,
2026-04-20T10:05:00-06:00,dump,grey,,,empty,,,,,
2026-04-24T10:00:00-06:00,dump,grey,9.5,L,empty,,,,,
2026-04-24T10:05:00-06:00,fill,fresh,15,L,full,,1.50,,,
2026-04-28T10:00:00-06:00,dump,grey,10,L,empty,,,,,
2026-04-28T10:05:00-06:00,fill,fresh,16,L,full,,3.20,,,
2026-05-02T10:00:00-06:00,dump,grey,9,L,empty,,,,,
2026-05-02T10:05:00-06:00,fill,fresh,15.5,L,full,,,,,
2026-05-05T10:00:00-06:00,dump,grey,7,L,empty,,,,,
2026-05-05T10:05:00-06:00,fill,fresh,11.5,L,full,,,,,
2026-05-06T10:00:00-06:00,fill,stove_fuel,,,full,,,,,
"""


PINNED = f"""\
{TRIP}
[assume.fresh]
start = 43.0
start_sd = 0.5
mean = 4.0
cv = 0.5
cv_rate = 0.1
[assume.grey]
start = 6.0
start_sd = 0.5
mean = 2.5
cv = 0.6
cv_rate = 0.1
"""
"""The trip with the numbers of water and gray said, so that a better forecast changes no stop."""


def changed(old: str, new: str, trip: str = PINNED) -> str:
    """The trip with one passage replaced (it must be there)."""
    assert old in trip
    return trip.replace(old, new, 1)
