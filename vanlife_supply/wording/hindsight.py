"""How good the forecasts were, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vanlife_supply.forecast.facts import Helped, Outcome, Score
from vanlife_supply.moment import Moment, at
from vanlife_supply.rig.model import FILLS, Rig
from vanlife_supply.wording.amounts import amount
from vanlife_supply.wording.days import aligned, band_json, rounded
from vanlife_supply.wording.names import supply_name
from vanlife_supply.wording.times import day, part, weekday

LAST = 20
NOTHING = "There is nothing to judge by yet: it takes two exact levels a day apart, like filled to the top and ran out.\n"


def hindsight_text(
    outcomes: Sequence[Outcome], scores: Sequence[Score], rig: Rig, now: Moment, helped: Sequence[Helped] = ()
) -> str:
    """Of the last 20 so many came within the range said; a table by supply and lead; the last five told one by one."""
    if not outcomes:
        return NOTHING
    last = outcomes[-LAST:]
    inside = sum(o.inside for o in last)
    should = round(0.8 * len(last))
    lines = [f"Of the last {len(last)} forecasts, {inside} came within the range said; about {should} should."]
    whole = scores[0]
    if whole.ratio is not None:
        lines.append(f"They miss by {_against(whole.ratio)} the plain average use of the whole log would.")
    lines += [_helped(one, rig) for one in helped]
    rows = [["", "days ahead", "in the range", "misses beside the plain average"]]
    rows += [_row(score, rig) for score in scores if score.supply and score.lead]
    lines += ["", *aligned(rows), ""]
    lines += [f"{supply_name(o.supply, rig)}: {outcome_line(o, rig, now)}" for o in outcomes[-5:]]
    return "\n".join(lines) + "\n"


def _against(ratio: float) -> str:
    if ratio >= 2.0:
        return f"{ratio:.0f} times as much as"
    better = round((1.0 - ratio) * 100)
    return f"{abs(better)}% {'less' if better > 0 else 'more'} than" if better else "as much as"


def _helped(h: Helped, rig: Rig) -> str:
    misses = f"with temperatures {h.told:.2f}, without {h.untold:.2f}"
    return f"{supply_name(h.supply, rig)}, mean miss a day it lasted: {misses}."


def _row(score: Score, rig: Rig) -> list[str]:
    lead = f"{score.lead} or more" if score.lead == 7 else str(score.lead)
    ratio = "" if score.ratio is None else _against(score.ratio).removesuffix(" than").removesuffix(" as")
    return [supply_name(score.supply, rig), lead, f"{score.inside} of {score.count}", ratio]


def outcome_line(o: Outcome, rig: Rig, now: Moment) -> str:
    """`8 gal said to last till Wed, lasted till Tue evening: as said`; a date once it is over a week ago."""
    said = None if o.said.p50 is None else at(o.start + o.said.p50 * 86_400, now.zone, now.offset)
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
    return weekday(moment)[:3] if abs(now.epoch - moment.epoch) < 6.5 * 86_400 else day(moment)


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
