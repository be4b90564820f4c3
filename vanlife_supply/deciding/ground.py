"""What every decision starts from: what is known now, taken from the log once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from vanlife_supply import advising
from vanlife_supply.deciding import needs
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief, look_ahead
from vanlife_supply.forecast.calendar import AWAY
from vanlife_supply.forecast.model import Band, Forecast, SupplyOutlook
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, GREY, Rig

LEARNED = "balance"
LEAST_DRUNK = 0.5
"""Of the drinking rule, however little the log leaves for it: common practice, no source."""


@dataclass(frozen=True)
class Ground:
    """The belief as of `now`, the rig in force and the entries so far."""

    belief: Belief
    now: Moment
    rig: Rig
    entries: tuple[Entry, ...]

    @cached_property
    def outlook(self) -> Forecast:
        """What is to be expected as things stand."""
        return look_ahead(self.belief, self.now)

    def ahead(self, belief: Belief) -> Forecast:
        """What is to be expected of a supposed belief."""
        return look_ahead(belief, self.now)

    def drinking_rule(self, heat: bool) -> float:
        """Litres people and pets drink a day by the rule, which is generous."""
        return needs.drinking(self.outlook.people, self.pets(), heat)

    def drinking(self) -> float:
        """Litres people and pets drink a day as things stand: by the rule, but no more than the log shows is used.

        What runs down the drain was not drunk. In heat the rule stands: what is usual says little of it.
        """
        rule, water, gray = self.drinking_rule(self.hot()), self.outlook.supply(FRESH), self.outlook.supply(GREY)
        told = not {needs.HOT, AWAY} & set(self.outlook.conditions)
        if not told or water is None or water.use_per_day is None or water.source != LEARNED:
            return rule
        used = kept = water.use_per_day.p50 or 0.0
        if gray is not None and gray.use_per_day is not None and gray.source == LEARNED:
            kept -= gray.use_per_day.p50 or 0.0
        return min(rule, used, max(kept, LEAST_DRUNK * rule))

    def pets(self) -> tuple[str, ...]:
        """The pets aboard."""
        return needs.pets_aboard(self.rig, self.entries, self.now.epoch)

    def hot(self) -> bool:
        """Whether a hot spell is on."""
        return needs.HOT in self.outlook.conditions

    def known(self, supply: str) -> tuple[SupplyOutlook, Band, Band, Band]:
        """(outlook, usable, use a day, days left) of a supply; Refusal when nothing is known of it."""
        self.rig.supply(supply)
        told = self.outlook.supply(supply)
        if told is None or told.usable is None or told.use_per_day is None or told.days_left is None:
            say = self.rig.say(supply)
            raise Refusal(f"Nothing is known of {say} yet: note when it is full or how much is left, like: fill {say}")
        return told, told.usable, told.use_per_day, told.days_left


def ground(book: Logbook, now: Moment) -> Ground:
    """What is known now. Refusal when no rig is loaded."""
    return Ground(advising.believed(book, now), now, book.rig(), book.entries(until=now.epoch))
