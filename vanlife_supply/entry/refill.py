"""Refills from the can that nobody wrote down, read from what the log says later.

Who cooks from a canister refills it as soon as it is dry and notes that half of the time. A canister that runs dry
twice was refilled in between; where the log leaves it open, the usual use decides. Amounts in canonical units.
"""

from __future__ import annotations

from math import ceil, exp, hypot, log, sqrt

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.entry.shelf import Shelf, Vessel

# Common practice, no source: what one cook burns a day (litres) before a log says so, and how many days that first
# guess is worth; sd of the log of use between two refills, and of the first guess; for how long a canister stays dry
# at most while there is fuel; the share of refills that go unnoted; how well such a refill is known.
BURNT_A_DAY, GUESS_DAYS = 0.08, 6.0
USUAL_SD, GUESS_SD = 0.4, 0.9
UNNOTED, UNNOTED_WORTH = 0.05, 4.0
DRY_DAYS = 1.0
REFILL_ERROR = 0.15
UNLIKELY = 0.1
LIFTED_ERROR = 0.12
"""How well a canister is judged by lifting it, as a share of it: common practice, no source."""
SURE = 3.0
"""Sds of two looks at a canister from which there is more in it for certain."""
STILL_KNOWN_S = SECONDS_PER_DAY
"""For so long the level of a canister is taken to be what it was: common practice, no source."""
REST, REST_ERROR = 0.5, 0.29
"""What is left in a canister that was refilled nobody knows when."""


def expected(shelf: Shelf, at: float) -> float:
    """Usual use since the last known level."""
    days = (at - (shelf.anchor_at or at)) / SECONDS_PER_DAY
    pace = (shelf.pace_used + GUESS_DAYS * BURNT_A_DAY) / (shelf.pace_days + GUESS_DAYS)
    return max(pace * days, 0.02 * shelf.brim)


def unnoted_share(shelf: Shelf) -> float:
    """The share of refills that this person does not note."""
    return (UNNOTED * UNNOTED_WORTH + shelf.missed) / (UNNOTED_WORTH + shelf.noted + shelf.missed)


def missed(shelf: Shelf, canister: Vessel, at: float, used: float, error: float = 0.0) -> bool:
    """Takes from the can what likely went into the canister since the last known level; whether that is certain.

    `used`: what of the canister is gone since then if it was not refilled, negative when there is more in it, and the sd
    of that. Every number of refills is weighed by how well it fits the usual use and by how seldom one goes unnoted.
    """
    can = next((shelf.vessels[i] for i in shelf.stores), None)
    if can is None or can.level is None or shelf.anchor_at is None:
        return False
    if at - shelf.anchor_at < DRY_DAYS * SECONDS_PER_DAY:
        return False
    size, little, usual = canister.spec.stop, 0.02 * shelf.brim, expected(shelf, at)
    unnoted = unnoted_share(shelf)
    doubt = USUAL_SD**2 + GUESS_SD**2 * GUESS_DAYS / (GUESS_DAYS + shelf.pace_days)
    least = 0 if used > little - SURE * error else ceil((little - used) / size)
    chances = {}
    for times in range(least, max(least, int(can.held / size + 0.3)) + 1):
        gone = max(used + times * size, little)
        off, misread = log(gone / usual), (gone - used - times * size) / (error or 1.0)
        chances[times] = exp(-0.5 * (off * off / doubt + misread**2)) * unnoted**times
    chances = {times: chance for times, chance in chances.items() if chance > UNLIKELY * max(chances.values())}
    whole = sum(chances.values())
    mean = sum(times * chance for times, chance in chances.items()) / whole
    var = sum((times - mean) ** 2 * chance for times, chance in chances.items()) / whole
    shelf.missed += least
    can.set(can.held - mean * size, hypot(can.sd, sqrt(var + REFILL_ERROR**2 * mean) * size))
    return least > 0


def topped_up(shelf: Shelf, canister: Vessel, at: float, amount: float | None) -> bool:
    """Whether it was filled up before it was about empty: known not long ago, and with room for `amount` if it is said."""
    if canister.level is None or shelf.anchor_at is None or at - shelf.anchor_at >= STILL_KNOWN_S:
        return False
    left = canister.held - expected(shelf, at)
    return left > 0.0 and (amount is None or left + amount <= (1.0 + LIFTED_ERROR) * canister.spec.capacity)


def rest(shelf: Shelf, canister: Vessel, at: float) -> tuple[float, float]:
    """What is left in the canister in use by the usual use, and its sd; the can gave what it was refilled with."""
    gone = expected(shelf, at)
    if gone < canister.held:
        return canister.held - gone, hypot(canister.sd, 0.3 * gone)
    middle = REST * canister.spec.stop
    missed(shelf, canister, at, canister.held - middle)
    return middle, REST_ERROR * canister.spec.stop
