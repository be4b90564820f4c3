"""How good the forecasts were, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vanlife_supply.constants import SECONDS_PER_DAY
from vanlife_supply.forecast.facts import Helped, Outcome, Score
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import amount, halves
from vanlife_supply.wording.days import aligned, band_json, rounded
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.times import named_day, part

LAST = 20
FEWEST = 3
"""Fewer forecasts are not set against the average: one alone says nothing of which is better."""
_AVERAGE = "Going by the average use of the whole log would have been"
NOTHING = "There is nothing to judge by yet: it takes two exact levels a day apart, like filled to the top and ran out.\n"


def hindsight_text(
    outcomes: Sequence[Outcome], scores: Sequence[Score], rig: Rig, now: Moment, helped: Sequence[Helped] = ()
) -> str:
    """Of the last 20 so many came as said; a table by supply and lead; the last five told one by one."""
    if not outcomes:
        return NOTHING
    last = outcomes[-LAST:]
    inside = sum(o.inside for o in last)
    should = round(0.8 * len(last))
    lines = [f"Of the last {len(last)} forecasts, {inside} came as said; about {should} should."]
    whole = scores[0]
    if whole.ratio is not None:
        lines.append(f"{_AVERAGE} {_off(whole.ratio)}.")
    lines += [_helped(one, rig) for one in helped]
    rows = [["", "days ahead", "as said", "by the average"]]
    rows += [_row(score, rig) for score in scores if score.supply and score.lead]
    lines += ["", *aligned(rows), ""]
    lines += [f"{supply_name(o.supply, rig)}: {outcome_line(o, rig, now)}" for o in outcomes[-5:]]
    return "\n".join(lines) + "\n"


def _off(ratio: float) -> str:
    """How far off the average is, where the forecasts are off by `ratio` of that: `2½ times as far off`, `closer`."""
    if ratio <= 1 / 1.25:
        return f"{halves(min(20.0, 1 / max(ratio, 0.05)))} times as far off" if ratio <= 1 / 1.75 else "farther off"
    return "about as good" if ratio < 1.25 else "closer"


def _helped(h: Helped, rig: Rig) -> str:
    off = f"off by {h.told:.0%} of the days it lasted, without them {h.untold:.0%}"
    return f"{supply_name(h.supply, rig)} with temperatures: {off}."


def _row(score: Score, rig: Rig) -> list[str]:
    lead = f"{score.lead} or more" if score.lead == 7 else str(score.lead)
    ratio = "" if score.ratio is None or score.count < FEWEST else _off(score.ratio).removesuffix(" off")
    return [supply_name(score.supply, rig), lead, f"{score.inside} of {score.count}", ratio]


def outcome_line(o: Outcome, rig: Rig, now: Moment) -> str:
    """`8 gal said to last till Wed, lasted till Tue evening: as said`; a date once it is over a week ago."""
    said = None if o.said.p50 is None else at(o.start + o.said.p50 * SECONDS_PER_DAY, now.zone, now.offset)
    was = at(o.end, now.zone, now.offset)
    verdict = "as said" if o.inside else f"{'sooner' if o.days < (o.said.p10 or 0.0) else 'later'} than said"
    when = "over a year" if said is None else _when(said, now)
    its = rig.supply(o.supply)
    said_of, came = ("said to come in by", "in by") if its.direction == FILLS else ("said to last till", "lasted till")
    return f"{amount(o.used, its)} {said_of} {when}, {came} {_when(was, now)} {part(was)}: {verdict}"


def told_line(o: Outcome, rig: Rig, now: Moment) -> str:
    """A hit or miss when it happens: `Water: 8 gal said to last till Wed, lasted till Tue evening: as said.`"""
    return f"{supply_name(o.supply, rig)}: {outcome_line(o, rig, now)}."


def _when(moment: Moment, now: Moment) -> str:
    told = named_day(moment, now)
    return told if " " in told else told[:3]


def hindsight_json(
    outcomes: Sequence[Outcome], scores: Sequence[Score], rig: Rig, now: Moment, helped: Sequence[Helped] = ()
) -> dict[str, Any]:
    """`hindsight --json`: `last` of 20, scores by supply (null: all) and lead (null: any), every outcome."""
    last = outcomes[-LAST:]
    return {
        "as_of": now.iso(),
        "last": {"count": len(last), "inside": sum(o.inside for o in last)},
        "scores": [
            {"supply": s.supply or None, "days_ahead": s.lead or None, "count": s.count, "inside": s.inside,
             "pinball_ratio_to_mean_rate": rounded(s.ratio)}
            for s in scores
        ],
        "temperatures": [
            {"supply": h.supply, "count": h.count, "with": rounded(h.told), "without": rounded(h.untold)} for h in helped
        ],
        "outcomes": [_outcome(o, rig, now) for o in outcomes],
    }  # fmt: skip


def _outcome(o: Outcome, rig: Rig, now: Moment) -> dict[str, Any]:
    made, start, end = (at(epoch, now.zone, now.offset).iso() for epoch in (o.made, o.start, o.end))
    return {
        "supply": o.supply, "days_ahead": o.lead, "made": made, "start": start, "end": end, "used": rounded(o.used),
        "unit": rig.supply(o.supply).canonical, "fills": rig.supply(o.supply).direction == FILLS,
        "said_days": band_json(o.said), "days": rounded(o.days), "pit": rounded(o.pit), "inside": o.inside,
        "mean_rate_days": rounded(o.mean_days), "text": outcome_line(o, rig, now),
    }  # fmt: skip
