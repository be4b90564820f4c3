"""Where supplies are to be had and gray water may go: what is known of places, which one is next, what to do in town."""

from vanlife_supply.resupply.atlas import Atlas, Cost, Position, atlas
from vanlife_supply.resupply.stop import Doubt, Option, Stop, Task, next_stop, to_move
from vanlife_supply.resupply.town import Errand, TownList, town

__all__ = [
    "Atlas", "Cost", "Doubt", "Errand", "Option", "Position", "Stop", "Task", "TownList", "atlas",
    "next_stop", "to_move", "town",
]  # fmt: skip
