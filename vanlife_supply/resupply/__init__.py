"""Where supplies are to be had and gray water may go: what is known of places, which one is next, what to do in town."""

from vanlife_supply.resupply.atlas import Atlas, Cost, Position, atlas
from vanlife_supply.resupply.listing import Row, needed, rows
from vanlife_supply.resupply.stop import Doubt, Elsewhere, Option, Stop, Task, may_be, next_stop
from vanlife_supply.resupply.town import Errand, TownList, town

__all__ = [
    "Atlas", "Cost", "Doubt", "Elsewhere", "Errand", "Option", "Position", "Row", "Stop", "Task", "TownList",
    "atlas", "may_be", "needed", "next_stop", "rows", "town",
]  # fmt: skip
