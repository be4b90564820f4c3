"""Use a day over time: between each two good levels, with what held meanwhile. Pure arithmetic over the belief."""

from __future__ import annotations

from vanlife_supply.forecast.belief import Belief
from vanlife_supply.forecast.calendar import Calendar
from vanlife_supply.forecast.facts import Stretch
from vanlife_supply.forecast.why import balances

GUESTS, FEWER = "guests", "fewer aboard"
WORTH_A_WORD = 0.1
"""What held for less of a stretch than this share explains nothing of it."""


def use_over_time(belief: Belief, supply: str) -> tuple[Stretch, ...]:
    """Every stretch between two levels worth judging by, oldest first; where none was, between any two looks."""
    thread = belief.threads[supply]
    found = balances(thread) or balances(thread, all_levels=True)
    return tuple(Stretch(b.start, b.end, b.used, held(belief.calendar, b.start, b.end)) for b in found)


def held(calendar: Calendar, start: float, end: float) -> tuple[tuple[str, float], ...]:
    """What held between two instants (epoch seconds): word and share of the time, most first."""
    shares: dict[str, float] = {}
    for a, b in calendar.pieces(start, end):
        for word in (*calendar.conditions(a), *_company(calendar, a)):
            shares[word] = shares.get(word, 0.0) + (b - a) / (end - start)
    worth = [(word, min(1.0, share)) for word, share in shares.items() if share >= WORTH_A_WORD]
    return tuple(sorted(worth, key=lambda each: (-each[1], each[0])))


def _company(calendar: Calendar, at: float) -> tuple[str, ...]:
    """More or fewer aboard than live there: than the last count that was said without an end."""
    lasting = [span.count for span in calendar.spans if not span.word and span.until is None and span.start <= at]
    lives, aboard = lasting[-1] if lasting else calendar.people, calendar.aboard(at)
    return (GUESTS,) if aboard > lives else (FEWER,) if aboard < lives else ()
