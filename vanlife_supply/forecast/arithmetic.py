"""The sums on the back of an envelope: closed forms for stated rates, in any one unit of amount. Plain Python.

The filter does the same with everything uncertain; these are its limits when nothing is, and what tests hold it to.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import erfc, exp, log1p, sqrt


def days_at(amount: float, per_day: float) -> float:
    """Days until `amount` is used."""
    return amount / per_day


def balance(before: float, came: float, now: float) -> float:
    """What was used between two levels: the truth, whatever was noted of it."""
    return before + came - now


def pooled_rate(used: Sequence[float], days: Sequence[float]) -> float:
    """Use a day over several stretches: all that was used over all the days, not the mean of the rates."""
    return sum(used) / sum(days)


def days_error(full: float, left: float, days: float, reading_error: float) -> float:
    """Error of the days left when rate and level come from one reading of `left`, `days` after `full`.

    days_left = days × left / (full − left); level and rate err together, so its slope days × full / (full − left)²
    counts, not the two errors as if they were independent.
    """
    return days * full / (full - left) ** 2 * reading_error


def idle_loss_rate(lost_per_week: float) -> float:
    """Share lost a day, continuously, of what a container loses `lost_per_week` of in a week."""
    return -log1p(-lost_per_week) / 7.0


def days_with_loss(amount: float, per_day: float, loss: float) -> float:
    """Days one fill lasts at `per_day` while it also loses the share `loss` of what is in it a day."""
    return log1p(loss * amount / per_day) / loss if loss > 0 else amount / per_day


def left_after(amount: float, days: float, loss: float) -> float:
    """What idle loss leaves when nothing is used."""
    return amount * exp(-loss * days)


def drain_share(gray: Sequence[float], fresh: Sequence[float]) -> float:
    """The share of fresh water that reached the drain over several cycles."""
    return sum(gray) / sum(fresh)


def margin_chance(margin: float, level_sd: float, daily_sd: float, days: float) -> float:
    """Chance that a margin stays above nothing when the level errs by `level_sd` and each day's use by `daily_sd`."""
    return 0.5 * erfc(-margin / sqrt(2.0 * (level_sd**2 + daily_sd**2 * days)))
