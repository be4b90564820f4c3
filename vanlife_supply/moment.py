"""Instants with the zone they were said in, and the words people use for time."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.quantity import NUMBER_WORDS
from vanlife_supply.refusal import Refusal

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
TOO_FAR_AHEAD_S = 600.0
"""A noted event may be this many seconds ahead of the clock, no more."""

# Hour of day and ± hours of each coarse word: common practice, no source.
_PARTS = {"morning": (8, 3), "noon": (12, 2), "midday": (12, 2), "afternoon": (15, 3), "evening": (19, 3), "night": (21, 3)}
_ROUGH_DAY_H = 12.0
_COUNTED = {"a": 1.0, "an": 1.0, "a couple of": 2.0, "a few": 3.0, **{w: float(n) for n, w in enumerate(NUMBER_WORDS, 1)}}
_DAY_NUMBER = r"(\d{1,2})(?![\d:.])(?! ?[ap]m)"
_WEEKDAY = re.compile(rf"(?:(last|next) )?({'|'.join(WEEKDAYS)})[a-z]*\b ?(?:{_DAY_NUMBER})? ?(.*)")
_MONTH_DAY = re.compile(rf"(?:(\d{{1,2}}) )?({'|'.join(_MONTHS)})[a-z]*\b ?(?:{_DAY_NUMBER})? ?(.*)")
_LED = re.compile(rf"(?:{'|'.join(_PARTS)}|midnight|\d[\d:.]* ?(?:[ap]m)?) \w")
_AGO_UNIT_H = {"min": 1 / 60, "h": 1.0, "day": 24.0, "week": 168.0}


@dataclass(frozen=True, slots=True, order=True)
class Moment:
    """An instant (`epoch`, seconds UTC), the offset it was written with (seconds) and its zone's name if known."""

    epoch: float
    offset: int = 0
    zone: str = ""

    def local(self) -> datetime:
        """The wall clock where and when it was said."""
        return datetime.fromtimestamp(self.epoch, timezone(timedelta(seconds=self.offset)))

    def iso(self) -> str:
        """ISO 8601 with the offset as written; whole seconds unless there are fractions."""
        return self.local().isoformat()

    def plus(self, days: float) -> Moment:
        """`days` of 24 h of true elapsed time later, told in the same zone."""
        return at(self.epoch + days * SECONDS_PER_DAY, self.zone, self.offset)

    def days_since(self, earlier: Moment) -> float:
        """Days of 24 h of true elapsed time since then; negative before it."""
        return (self.epoch - earlier.epoch) / SECONDS_PER_DAY


@dataclass(frozen=True, slots=True)
class When:
    """A moment as a person said it: `slack_h` is the ± in hours, `note` what was assumed and should be said."""

    moment: Moment
    slack_h: float = 0.0
    note: str = ""


def zone_named(name: str) -> ZoneInfo:
    """The time zone of that IANA name; Refusal if there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Refusal(f"'{name}' is not a time zone: write it like America/Denver or Europe/Berlin.") from None


def at(epoch: float, zone: str, offset: int = 0) -> Moment:
    """The moment of an epoch as told in `zone`; without a zone, with the fixed offset."""
    if not zone:
        return Moment(epoch, offset, "")
    told = datetime.fromtimestamp(epoch, zone_named(zone)).utcoffset()
    return Moment(epoch, int(told.total_seconds()) if told else 0, zone)


def read_iso(text: str, zone: str) -> When:
    """ISO 8601 → When; a written offset is believed and kept, a naive time is in `zone`.

    Refusal for what is not ISO 8601 and for a wall-clock time that a clock change skips;
    in the doubled hour the first is taken and said.
    """
    try:
        told = datetime.fromisoformat(text.strip())
    except ValueError:
        raise Refusal(f"'{text}' is not a time: write it like 2026-05-08T18:00-06:00.") from None
    if told.tzinfo is not None:
        return When(_with_offset(told, zone))
    return _in_zone(told, zone)


def _with_offset(told: datetime, zone: str) -> Moment:
    offset = told.utcoffset()
    seconds = int(offset.total_seconds()) if offset else 0
    try:
        epoch = told.timestamp()
        here = at(epoch, zone)
    except (OverflowError, ValueError):
        raise Refusal(f"'{told.isoformat()}' is outside the calendar this program keeps.") from None
    return Moment(epoch, seconds, zone if here.offset == seconds else "")


def _in_zone(told: datetime, zone: str) -> When:
    info = zone_named(zone)
    try:
        first = told.replace(tzinfo=info, fold=0)
        back = first.astimezone(UTC).astimezone(info).replace(tzinfo=None)
        doubled = told.replace(tzinfo=info, fold=1).utcoffset() != first.utcoffset()
        epoch = first.timestamp()
    except (OverflowError, ValueError):
        raise Refusal(f"'{told.isoformat()}' is outside the calendar this program keeps.") from None
    if back != told:
        raise Refusal(f"{told:%Y-%m-%d %H:%M} did not exist in {zone}: the clocks skipped it; write the offset too.")
    note = f"{told:%H:%M} came twice that day in {zone}; the first is taken" if doubled else ""
    return When(at(epoch, zone), note=note)


def read_when(text: str, now: Moment, zone: str, *, ahead: bool = False) -> When:
    """A time as people say it → When.

    `now` is the clock; words are read in `zone`. With `ahead` a weekday, date or hour means the next one
    (plans, limits), without it the last one (what happened). Refusal names what would be understood.
    """
    words = " ".join(text.lower().replace(",", " ").split()).removeprefix("on ")
    if re.match(r"\d{4}-?\d\d", words):
        return _dated_iso(text.strip(), now, zone)
    today = at(now.epoch, zone).local()
    relative = _relative(words, now, zone)
    if relative is not None:
        return relative
    day, rest = _day(words, today.date(), ahead)
    if day is None and _LED.match(words):
        # The hour may come first: noon yesterday, 7 pm on tue.
        head, _, tail = words.partition(" on ") if " on " in words else words.rpartition(" ")
        day, rest = _day(tail, today.date(), ahead)
        rest = f"{head} {rest}".strip()
    if day is None:
        day, rest = today.date(), words
        if not rest:
            raise Refusal(f"No time was given: say now, 18:00, last night, tue or {_example(today, ahead)}.")
    clock = _clock(rest)
    if clock is None:
        raise Refusal(
            f"'{text}' is not a time I know: say now, 18:00, last night, yesterday, tue, 2h ago or {_example(today, ahead)}."
        )
    hour, slack = clock
    if ahead and day == today.date() and rest == words and hour <= today.time():
        day += timedelta(days=1)
    when = _in_zone(datetime.combine(day, hour), zone)
    if not ahead and slack and day == today.date() and when.moment.epoch > now.epoch:
        return When(at(now.epoch, zone), slack / 2)
    return When(when.moment, slack, when.note)


def _example(today: datetime, ahead: bool) -> str:
    """A time that could be meant, written out."""
    return f"{today.date() + timedelta(days=1 if ahead else -1):%Y-%m-%d}T18:00"


def _dated_iso(text: str, now: Moment, zone: str) -> When:
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        noon = _in_zone(datetime.combine(read_date(text), time(12)), zone)
        today = at(now.epoch, zone).local().date()
        if noon.moment.epoch > now.epoch and read_date(text) == today:
            return When(at(now.epoch, zone), _ROUGH_DAY_H)
        return When(noon.moment, _ROUGH_DAY_H)
    return read_iso(text.replace(" ", "T", 1).upper(), zone)


def read_date(text: str) -> date:
    """`2026-05-08` → date; Refusal otherwise."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refusal(f"'{text}' is not a date: write it like 2026-05-08.") from None


def _relative(words: str, now: Moment, zone: str) -> When | None:
    if words in ("now", "just now"):
        return When(at(now.epoch, zone))
    ends = re.fullmatch(r"between (.+?) and (.+)", words)
    if ends:
        first, last = (read_when(end, now, zone).moment.epoch for end in ends.groups())
        return When(at((first + last) / 2, zone), abs(last - first) / 7200)
    if words == "last week":
        return When(at(now.epoch - 7 * SECONDS_PER_DAY, zone), 72.0)
    ago = re.fullmatch(
        rf"(?:(in) )?(\d+(?:[.,]\d+)?|{'|'.join(_COUNTED)}) ?(min|minute|h|hr|hour|day|night|d|week|w)s?(?: (ago))?", words
    )
    if ago is None or bool(ago[1]) == bool(ago[4]):
        return None
    count = _COUNTED.get(ago[2]) or float(ago[2].replace(",", "."))
    unit = {"m": "min", "h": "h", "d": "day", "n": "day", "w": "week"}[ago[3][0]]
    hours = count * _AGO_UNIT_H[unit]
    if hours > 24 * 365 * 50:
        raise Refusal(f"'{words}' is further away than a log reaches: write a date like 2026-05-08.")
    slack = {"min": 0.0, "h": 0.25 * hours, "day": 6.0, "week": 12.0}[unit]
    return When(at(now.epoch + (hours if ago[1] else -hours) * 3600, zone), slack)


def _day(words: str, today: date, ahead: bool) -> tuple[date | None, str]:
    """The day named at the start of `words`, and the rest of the words."""
    for phrase, shift in (("last night", -1), ("yesterday", -1), ("today", 0), ("tonight", 0), ("tomorrow", 1)):
        if words == phrase or words.startswith(phrase + " "):
            rest = words[len(phrase) :].strip()
            return today + timedelta(days=shift), rest or ("night" if "night" in phrase else "")
    if words.startswith("this "):
        return today, words[5:]
    named = _WEEKDAY.match(words)
    if named and re.match(rf"(?:{'|'.join(_MONTHS)})", named[4]) and named[3]:
        day, rest = _day(words[named.start(3) :], today, ahead)
        if day is not None and day.weekday() != WEEKDAYS.index(named[2]):
            raise Refusal(f"{day:%Y-%m-%d} is a {WEEKDAYS[day.weekday()].title()}: check the date.")
        return day, rest
    if named:
        return _weekday(named, today, ahead), named[4]
    dated = _MONTH_DAY.match(words)
    if dated and (dated[1] or dated[3]):
        return _month_day(int(dated[1] or dated[3]), _MONTHS.index(dated[2]) + 1, today, ahead), dated[4]
    return None, words


def _weekday(named: re.Match[str], today: date, ahead: bool) -> date:
    index = WEEKDAYS.index(named[2])
    forward = ahead or named[1] == "next"
    if forward:
        day = today + timedelta(days=(index - today.weekday() - 1) % 7 + 1)
    else:
        day = today - timedelta(days=(today.weekday() - index - 1) % 7 + 1)
    if named[3]:
        step = 7 if forward else -7
        for _ in range(5):
            if day.day == int(named[3]):
                return day
            day += timedelta(days=step)
        raise Refusal(f"No {named[2].title()} near today falls on the {named[3]}: check the date.")
    return day


def _month_day(day: int, month: int, today: date, ahead: bool) -> date:
    found: list[date] = []
    for year in (today.year - 1, today.year, today.year + 1):
        with suppress(ValueError):
            found.append(date(year, month, day))
    fitting = [one for one in found if (one >= today if ahead else one <= today)]
    if fitting:
        return min(fitting) if ahead else max(fitting)
    raise Refusal(f"{day} {_MONTHS[month - 1].title()} is not a date near today: write it like 2026-05-08.")


def _clock(rest: str) -> tuple[time, float] | None:
    """The hour of day and its ± hours named by what is left of the words."""
    bare = re.fullmatch(r"at (\d{1,2})", rest)
    if bare and int(bare[1]) < 24:
        # "at 6" is more often the evening than the night; the slack reaches the other one halfway.
        hour = int(bare[1])
        return (time(hour), 0.0) if hour > 12 else (time(hour + 12 if 0 < hour < 8 else hour), 6.0)
    rest = rest.removeprefix("at ").removeprefix("in the ").strip()
    if not rest:
        return time(12), _ROUGH_DAY_H
    if rest in _PARTS:
        hour, slack = _PARTS[rest]
        return time(hour), float(slack) + 3.0
    if rest == "midnight":
        return time(0), 0.0
    match = re.fullmatch(r"(\d{1,2})(?:[:.](\d\d))? ?([ap]m)?", rest)
    if match is None or not (match[2] or match[3]):
        return None
    hour, minute = int(match[1]), int(match[2] or 0)
    if match[3]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match[3] == "pm" else 0)
    if hour > 23 or minute > 59:
        return None
    return time(hour, minute), 0.0


def refuse_ahead(when: When, now: Moment) -> When:
    """`when`, or Refusal naming the clock if it lies more than ten minutes ahead of it."""
    if when.moment.epoch > now.epoch + TOO_FAR_AHEAD_S:
        clock = at(now.epoch, when.moment.zone, when.moment.offset).local()
        raise Refusal(
            f"{when.moment.local():%Y-%m-%d %H:%M} is ahead of this computer's clock ({clock:%Y-%m-%d %H:%M}): "
            "give the time it happened, or set the clock."
        )
    return when


def occurrences(first: Moment, every: str, after: float, until: float) -> list[Moment]:
    """The moments of a plan that repeats: `first`, then `every` ("", "fri", "5 days"), with after < epoch ≤ until.

    Local wall-clock time is kept across clock changes.
    """
    if not every:
        return [first] if after < first.epoch <= until else []
    import pendulum  # calendar arithmetic across clock changes; only repeating plans pay for it

    days = every_days(every)
    start = pendulum.from_timestamp(first.epoch, tz=first.zone or "UTC")
    steps = max(0, int((after - first.epoch) // (days * SECONDS_PER_DAY)) - 1)
    found: list[Moment] = []
    while True:
        epoch = start.add(days=steps * days).timestamp()
        if epoch > until:
            return found
        if epoch > after:
            found.append(at(epoch, first.zone, first.offset))
        steps += 1


def every_days(every: str) -> int:
    """`fri`, `week`, `day`, `5 days`, `2 weeks` → days between; Refusal otherwise."""
    words = every.lower().split()
    if words and words[0] == "every":
        words = words[1:]
    text = " ".join(words)
    if text[:3] in WEEKDAYS and text.isalpha():
        return 7
    match = re.fullmatch(r"(?:(\d{1,3}) )?(day|week)s?", text)
    if match and int(match[1] or 1) > 0:
        return int(match[1] or 1) * (7 if match[2] == "week" else 1)
    raise Refusal(f"'{every}' is not a repeat: write it like fri, 5 days or week.")
