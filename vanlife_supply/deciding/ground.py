"""What every decision starts from: what is known now, taken from the log once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from vanlife_supply import advising
from vanlife_supply.deciding import needs
from vanlife_supply.entry.model import Entry
from vanlife_supply.forecast import Belief, look_ahead
from vanlife_supply.forecast.model import Band, Forecast, SupplyOutlook
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Rig


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

    def drinking(self) -> float:
        """Litres people and pets drink a day as things stand."""
        return needs.drinking(self.outlook.people, self.pets(), self.hot())

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
