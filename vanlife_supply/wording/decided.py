"""Decisions as JSON objects: canonical units, days, ISO times; keys are added, never renamed."""

from __future__ import annotations

from typing import Any

from vanlife_supply.deciding.model import Allowance, Compared, Enduring, Lasting, Look, Part, Staying, Wish
from vanlife_supply.forecast.model import First
from vanlife_supply.moment import Moment
from vanlife_supply.rig.model import Rig
from vanlife_supply.wording.days import band_json, days_json, rounded
from vanlife_supply.wording.deciding import enduring_text, lasting_text, leave_line, look_line, wish_cure, wish_text


def lasting_json(told: Lasting, rig: Rig) -> dict[str, Any]:
    """`last --json`: allowances a day in canonical units, `cut` a share of the usual."""
    return {
        "supply": told.supply, "unit": rig.supply(told.supply).canonical,
        "until": told.until.iso(), "days": rounded(told.days),
        "usual_per_day": rounded(told.usual), "coming_per_day": rounded(told.coming),
        "usable": band_json(told.usable), "reserve": rounded(told.reserve),
        "p10": _allowance(told.sure, told.sizes), "p50": _allowance(told.likely, told.sizes),
        "drinking_per_day": rounded(told.drinking), "drain_share": rounded(told.drain_share),
        "chance_as_usual": rounded(told.chance_as_usual), "next": _first(told.next_first), "text": lasting_text(told, rig),
    }  # fmt: skip


def _allowance(told: Allowance, sizes: dict[str, float]) -> dict[str, Any]:
    spent = told.per_day if told.washing is None else told.washing
    loads = {f"{word}_per_day": rounded(spent / size) for word, size in sizes.items()}
    return {"per_day": rounded(told.per_day), "cut": rounded(told.cut), "washing_per_day": rounded(told.washing),
            "drinking_covered": told.drinks, **loads}  # fmt: skip


def wish_json(told: Wish, rig: Rig) -> dict[str, Any]:
    """`can-i --json`."""
    return {
        "wish": told.word or None, "verdict": told.verdict, "parts": [_part(part) for part in told.parts],
        "outside": rounded(told.outside), "until": _iso(told.until), "cure": wish_cure(told, rig) or None,
        "first": {"before": _first(told.before.first), "after": _first(told.after.first)}, "text": wish_text(told, rig),
    }  # fmt: skip


def _part(part: Part) -> dict[str, Any]:
    return {"supply": part.supply, "need": rounded(part.need), "left": band_json(part.left), "fits": part.fits,
            "planned": _iso(part.plan), "chance_fails_before": rounded(part.risk),
            "chance_fails_before_now": rounded(part.risk_before)}  # fmt: skip


def compared_json(told: Compared, rig: Rig) -> dict[str, Any]:
    """`whatif --json`: two objects as `days --json` gives them."""
    return {"supposed": list(told.supposed), "stand_in_per_day": rounded(told.stand_in),
            "now": days_json(told.before, rig), "then": days_json(told.after, rig)}  # fmt: skip


def staying_json(told: Staying, rig: Rig) -> dict[str, Any]:
    """`stay --json`."""
    return {
        "as_of": told.now.iso(), "confidence": told.confidence, "leave_by": _iso(told.leave_by),
        "text": leave_line(told, rig),
        "days": [
            {"until": d.at.iso(), "all": rounded(d.together), "supplies": {k: rounded(v) for k, v in d.each.items()},
             "water_to_the_last_drop": rounded(d.last_drop)}
            for d in told.days
        ],
    }  # fmt: skip


def enduring_json(told: Enduring, rig: Rig) -> dict[str, Any]:
    """`drinking --json`: litres."""
    return {
        "as_of": told.now.iso(), "litres": band_json(told.litres), "litres_per_day": rounded(told.need),
        "rule_litres_per_day": rounded(told.rule),
        "people": told.people, "pets": list(told.pets), "hot": told.hot, "days": band_json(told.days),
        "until": _iso(told.until),
        "short": rounded(told.short), "not_counted": list(told.left_out), "text": enduring_text(told, rig),
    }  # fmt: skip


def looks_json(looks: tuple[Look, ...], rig: Rig) -> list[dict[str, Any]]:
    """`look --json`: shares by which a reading would narrow p10–p90."""
    return [{"supply": k.supply, "how": k.how, "container": k.container, "narrows_first": rounded(k.narrows_first),
             "narrows_own": rounded(k.narrows_own), "text": look_line(k, rig)} for k in looks]  # fmt: skip


def _first(first: First | None) -> dict[str, Any] | None:
    return None if first is None else {"what": first.what, "days_left": band_json(first.days_left)}


def _iso(moment: Moment | None) -> str | None:
    return None if moment is None else moment.iso()
