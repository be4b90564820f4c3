"""A real log with a life in it, places and a trip, and the app opened on it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path

from textual.pilot import Pilot

from tests.tui.walk import settled
from tests.wording.example import NOW, RIG_TOML, forecast
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.forecast.model import Forecast
from vanlife_supply.keeping import places, trips
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.place.model import Confirmation, Place
from vanlife_supply.place.readers import Read
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.shell import SupplyApp

SAID = (
    Typed("fill", "water", at="2026-04-27T08:00"), Typed("dump", "gray", at="2026-04-27T08:00"),
    Typed("fill", "water", "8 gal full", at="2026-05-03T08:00", place="Old Mill", paid="3.00"),
    Typed("dump", "gray", at="2026-05-03T08:00", place="Old Mill"),
    Typed("reading", "alcohol", "half", container="canister 1"),
    Typed("reading", "propane", "24.3 lb gross", container="cylinder"),
)  # fmt: skip
MAP = (
    Place("a", "Old Mill", 38.60, -109.50, {"amenity": "water_point", "fee": "yes"}, source="valley.osm",
          source_ref="node/1"),
    Place("b", "Red Rock dump station", 38.75, -109.60, {
        "amenity": "sanitary_dump_station", "description": "Ask at the office before noon, they may take gray water too.",
    }, source="valley.osm", source_ref="node/2"),
    Place("c", "Canyon store", 38.50, -109.40, {"shop": "gas", "opening_hours": "Mo-Fr 08:00-17:00"}, source="valley.osm",
          source_ref="node/3"),
)  # fmt: skip
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
factor = { fresh = 1.0, grey = 1.0, stove_fuel = 1.0, propane = 1.0 }
km = 80
[[stay]]
name = "canyon rim"
nights = 5
factor = { fresh = 1.0, grey = 1.0, stove_fuel = 1.0, propane = 1.0 }
km = 40
[[place]]
id = "spring"
name = "Spring at the pass"
leg = 2
detour_km = 2.0
[[place.service]]
supply = "fresh"
[[place.service]]
supply = "grey"
[[place]]
id = "farm"
name = "Farm"
stay = 2
[[place.service]]
supply = "grey"
fee = 5.0
[[place.service]]
supply = "fresh"
price = 0.1
[[place]]
id = "camp"
name = "Camp tap"
stay = 1
[[place.service]]
supply = "grey"
[[place.service]]
supply = "fresh"
[assume.fresh]
end_value = 0.1
start = 25.0
start_sd = 0.5
mean = 4.0
cv = 0.5
cv_rate = 0.1
[assume.grey]
end_value = 0.0
start = 12.0
start_sd = 0.5
mean = 2.5
cv = 0.6
cv_rate = 0.1
[assume.stove_fuel]
end_value = 0.0
start = 3.0
start_sd = 0.3
mean = 0.07
cv = 0.5
cv_rate = 0.1
[assume.propane]
end_value = 0.0
start = 3.2
start_sd = 0.3
mean = 0.1
cv = 0.5
cv_rate = 0.1
"""


Steps = Callable[[Pilot[int]], Awaitable[None]]


def clock() -> Moment:
    """The invented now."""
    return NOW


def lived(path: Path, *, with_places: bool = True, with_trip: str = TRIP) -> Path:
    """A log at `path`: two balances, a map of three places, the person at one of them, a trip."""
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
        said = SAID if with_places else tuple(replace(typed, place="") for typed in SAID)
        keeping.record(book, [keeping.noted(book, typed, NOW) for typed in said], NOW)
        if with_places:
            places.take_in(book, Read("osm", MAP, (), ()), NOW)
            found = Confirmation("grey", "yes", NOW.epoch - 86_400 * 20, remark="behind the shed")
            places.confirm(book, MAP[0], [found], NOW)
            places.be_at(book, MAP[2], NOW.plus(-0.5), None, NOW)
        if with_trip:
            trips.load_trip(book, "two valleys", with_trip, NOW)
    return path


class SteadyDesk(LogDesk):
    """A log on disk with the invented forecast, so that the screens stay as they are when forecasts get better."""

    def forecast(self) -> Forecast:
        """Always the same."""
        return forecast()


@asynccontextmanager
async def opened_on(
    path: Path, size: tuple[int, int] = (80, 24), desk: type[LogDesk] = SteadyDesk
) -> AsyncIterator[Pilot[int]]:
    """The app on that log, with its first forecast on the screen."""
    app = SupplyApp(desk(str(path), clock), clock)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield pilot


def walk(steps: Steps, path: Path, size: tuple[int, int] = (80, 24), *, steady: bool = True) -> None:
    """Runs a walk through the app on the log at `path`; not `steady`: its own forecasts, real ones."""

    async def run() -> None:
        async with opened_on(path, size, SteadyDesk if steady else LogDesk) as pilot:
            await steps(pilot)

    asyncio.run(run())
