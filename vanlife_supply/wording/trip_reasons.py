"""Why a plan is as it is, in plain lines: one text for the command line and for the screen."""

from __future__ import annotations

from vanlife_supply.rig.model import Rig
from vanlife_supply.trip.answer import Answer
from vanlife_supply.trip.reasons import Reasons
from vanlife_supply.wording import trips as words
from vanlife_supply.wording.trips import Voice


def why_lines(told: Answer, why: Reasons, voice: Voice) -> list[str]:
    """How sure it is and what each stop is worth; where none holds, where it breaks and what would mend it."""
    trip = told.trip
    beside = words.told_flexible(trip, told.stretched, voice) + words.told_weights(trip, why.weights, voice)
    if told.plan.status == "infeasible":
        return [*(line for one in why.broken for line in (*words.told_break(trip, one, voice), "")), *beside]
    lines = words.told_sureness(trip, told.plan, why.whole, why.tightest, why.longer, voice)
    lines += words.told_slack(why.slack or {}, voice)
    lines += words.told_stops(trip, why.without, voice)
    lines += words.told_longer(trip, why.more_nights, voice)
    return [*lines, *beside]


def unknown_line(left_out: tuple[str, ...], rig: Rig) -> str:
    """What nothing is known of, and what to do about it."""
    names = ", ".join(rig.say(name) for name in left_out)
    return f"Nothing is known of {names} yet: left out; note how much is left, or add [assume.X] to the trip."
