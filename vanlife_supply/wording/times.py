"""How durations and dates are said: hours under 2 days, half days under 10, weeks beyond."""

from __future__ import annotations

import math
from datetime import date, datetime

from vanlife_supply.forecast.model import Band
from vanlife_supply.moment import Moment, at
from vanlife_supply.wording.amounts import halves

CLOCK_BEHIND = "This computer's clock is behind the last entry: if it is wrong, set it and mend the times."
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_LONG_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_PARTS = ((5, "early"), (11, "morning"), (14, "noon"), (18, "afternoon"), (22, "evening"), (24, "night"))


def span(days: float | None, *, down: bool = False) -> tuple[str, str]:
    """A duration → (number, unit): ("14", "hours"), ("2½", "days"), ("3", "weeks"); None is ("over a", "year").

    `down`: never say more than there is (what one may count on).
    """
    if days is None:
        return "over a", "year"
    if days < 2:
        hours = _rounded(days * 24, down)
        return (str(hours), "hour" if hours == 1 else "hours") if hours >= 1 else ("under an", "hour")
    if days < 10:
        return halves(_rounded(days * 2, down) / 2), "days"
    if days < 140:
        weeks = halves(_rounded(days / 7 * 2, down) / 2)
        return weeks, "week" if weeks == "1" else "weeks"
    return str(_rounded(days / 30.4, down)), "months"


def _rounded(value: float, down: bool) -> int:
    return math.floor(value + 1e-9) if down else math.floor(value + 0.5)


def spell(days: float | None, *, down: bool = False) -> str:
    """A duration in words: `14 hours`, `2½ days`, `over a year`."""
    return " ".join(span(days, down=down))


def count_on(band: Band) -> str:
    """`2½ days, likely 3½`: what may be counted on, then what is likely; the unit once when it is the same."""
    sure, likely = span(band.p10, down=True), span(band.p50)
    if sure == likely:
        return " ".join(sure)
    if sure[1] == likely[1] and sure[0] != "under an":
        return f"{sure[0]} {sure[1]}, likely {likely[0]}"
    return f"{' '.join(sure)}, likely {' '.join(likely)}"


def day(moment: Moment) -> str:
    """`Mon 11 May`."""
    return day_of(moment.local())


def day_of(told: date) -> str:
    """`Mon 11 May` of a date."""
    return f"{_DAYS[told.weekday()]} {told.day} {_MONTHS[told.month - 1]}"


def date_only(moment: Moment) -> str:
    """`11 May`."""
    return day(moment).partition(" ")[2]


def weekday(moment: Moment) -> str:
    """`Monday`."""
    return _LONG_DAYS[moment.local().weekday()]


def named_day(moment: Moment, now: Moment) -> str:
    """`Monday` within a week before or after now, else `Mon 18 May`."""
    return weekday(moment) if abs(moment.days_since(now)) < 6.5 else day(moment)


def part(moment: Moment) -> str:
    """The part of the day: early (before 5), morning, noon, afternoon, evening, night."""
    hour = moment.local().hour
    return next(word for end, word in _PARTS if hour < end)


def about(moment: Moment, now: Moment) -> str:
    """A coming date as precisely as makes sense: `Mon 11 May, morning`, `Wed 20 May`, `late June`."""
    ahead = moment.days_since(now)
    if ahead < 8:
        return f"{day(moment)}, {part(moment)}"
    if ahead < 22:
        return day(moment)
    return month_part(moment.local())


def month_part(told: datetime | date) -> str:
    """`early Jun`, `mid Jun`, `late Jun`."""
    third = "early" if told.day <= 10 else "mid" if told.day <= 20 else "late"
    return f"{third} {_MONTHS[told.month - 1]}"


def short(moment: Moment, now: Moment) -> str:
    """A coming date in the narrowest form: `Mon 11`, `Wed 20`, `late Jun`."""
    if moment.days_since(now) < 22:
        told = moment.local()
        return f"{_DAYS[told.weekday()]} {told.day}"
    return month_part(moment.local())


def clock(moment: Moment) -> str:
    """`7:10 pm`."""
    told = moment.local()
    return f"{told.hour % 12 or 12}:{told.minute:02d} {'pm' if told.hour >= 12 else 'am'}"


def by_when(moment: Moment) -> str:
    """A time to be done by, weekday and part: `Sunday noon`, `Sunday morning`."""
    return f"{weekday(moment)} {part(moment)}"


def past(moment: Moment, now: Moment, slack_h: float = 0.0) -> str:
    """When something happened: `just now`, `today 7:10 pm`, `last night`, `Tue 5 May`, `Tue 5 May, morning`."""
    told, today = moment.local(), at(now.epoch, moment.zone or now.zone, moment.offset).local()
    back = (today.date() - told.date()).days
    if 0 <= now.epoch - moment.epoch < 90:
        return "just now"
    which = {0: "today", 1: "yesterday"}.get(back, day(moment) + (f" {told.year}" if back > 300 else ""))
    if slack_h >= 36:
        return f"about {which}, {spell(slack_h / 24)} more or less"
    if slack_h >= 10:
        return f"{which}, some time" if back <= 1 else which
    if slack_h >= 2:
        return f"{which}, {part(moment)}"
    return f"{which} {clock(moment)}"


def past_day(moment: Moment, now: Moment) -> str:
    """`past` in the narrowest form: `7:10 pm` of today, `yesterday`, `Tue 5 May`, `5 May 2025`."""
    told, back = moment.local(), days_since(moment.epoch, now)
    if back > 300:
        return f"{date_only(moment)} {told.year}"
    return {0: clock(moment), 1: "yesterday"}.get(back, day(moment))


def days_since(epoch: float, now: Moment) -> int:
    """How many dates ago something was, by the calendar where `now` is: last night is 1."""
    return (now.local().date() - at(epoch, now.zone, now.offset).local().date()).days


def ago(days: int) -> str:
    """How old something is: `today`, `yesterday`, `19 days old`."""
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days old")

