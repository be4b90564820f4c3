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
        names = words.all_of([voice.supply(one.supply) for one in why.broken])
        several = f"{names.capitalize()}: each needs a cure of its own." if len(why.broken) > 1 else ""
        broken = [line for one in why.broken for line in (*words.told_break(trip, one, voice), "")]
        return [*([several] if several else []), *broken, *beside]
    lines = words.told_sureness(trip, told.plan, why.whole, why.tightest, why.longer, voice)
    lines += words.told_slack(why.slack or {}, voice)
    lines += words.told_stops(trip, why.without, voice)
    lines += words.told_longer(trip, why.more_nights, voice)
    if why.to_go:
        lines.append(f"Working out what a stop or a night more is worth: {why.to_go} to go ...")
    if why.cut:
        lines.append("What else a stop or a night is worth was left out: it took too long.")
    return [*lines, *beside]


def unknown_line(left_out: tuple[str, ...], rig: Rig) -> str:
    """What nothing is known of, and what to do about it."""
    names = ", ".join(rig.say(name) for name in left_out)
    return f"Nothing is known of {names} yet: left out; note how much is left, or add [assume.X] to the trip."
