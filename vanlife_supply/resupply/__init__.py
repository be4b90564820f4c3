"""Where supplies are to be had and gray water may go: what is known of places, which one is next, what to do in town."""

from vanlife_supply.resupply.atlas import MOUNTAINS, Atlas, Cost, Position, atlas, what_of_supply
from vanlife_supply.resupply.listing import Row, names, needed, rows
from vanlife_supply.resupply.staying import Staying, clock_at, staying
from vanlife_supply.resupply.stop import Doubt, Elsewhere, Option, Stop, Task, may_be, next_stop, stop_in, works
from vanlife_supply.resupply.town import Errand, TownList, town

__all__ = [
    "MOUNTAINS", "Atlas", "Cost", "Doubt", "Elsewhere", "Errand", "Option", "Position", "Row", "Staying", "Stop", "Task",
    "TownList", "atlas", "clock_at", "may_be", "names", "needed", "next_stop", "rows", "staying", "stop_in", "town",
    "what_of_supply", "works",
]  # fmt: skip
