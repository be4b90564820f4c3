"""How good it was and how it is known: hindsight, why, learned."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import open_log
from vanlife_supply.commands.progress import telling
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import Rig, supply_named

if TYPE_CHECKING:
    from vanlife_supply.forecast.facts import Learned
    from vanlife_supply.logbook import Logbook


def hindsight(argv: list[str], db: str | None) -> int:
    """The log's own forecasts against what came."""
    args = parse("hindsight", argv, (), ("--json",))
    usage_if(bool(args.words), "hindsight", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.deciding.judging import look_back, scores, temperatures_helped  # numpy comes with it
        from vanlife_supply.wording.hindsight import hindsight_json, hindsight_text

        with telling("Looking back") as step:
            outcomes = look_back(book, now, step)
            helped = temperatures_helped(book, outcomes, now, step)
    told = scores(outcomes)
    if args.flag("--json"):
        print(json.dumps(hindsight_json(outcomes, told, rig, now, helped), ensure_ascii=False))
    else:
        print(hindsight_text(outcomes, told, rig, now, helped), end="")
    return 0


def why(argv: list[str], db: str | None) -> int:
    """How the figures of a supply, what comes first or a dated limit are known."""
    args = parse("why", argv, (), ("--json",))
    usage_if(len(args.words) != 1, "why", "say which supply, or first")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.deciding.ground import ground  # numpy comes with it
        from vanlife_supply.deciding.judging import reasons
        from vanlife_supply.deciding.looking import best_looks, look_at
        from vanlife_supply.wording.why import FIRST, opened, why_json, why_lines

        known = ground(book, now)
    word = args.words[0].lower()
    lines = opened(word, known.outlook, next(iter(best_looks(known)), None) if word == FIRST else None, rig)
    if lines:
        print(json.dumps({"what": word, "lines": lines}, ensure_ascii=False) if args.flag("--json") else "\n".join(lines))
        return 0
    supply = supply_named(args.words[0], tuple(s.name for s in rig.supplies))
    facts, look = reasons(known, supply), look_at(known, supply)
    if args.flag("--json"):
        print(json.dumps(why_json(facts, look, supply, rig, now), ensure_ascii=False))
    else:
        print("\n".join(why_lines(facts, look, supply, rig, now)))
    return 0


def learned(argv: list[str], db: str | None) -> int:
    """What the log has taught of the rig; `take N` writes an offer into the rig from now on, `keep N` asks no more."""
    args = parse("learned", argv, (), ("--json",))
    words = args.words
    usage_if(bool(words) and (len(words) != 2 or words[0] not in ("take", "keep")), "learned", "say take N or keep N")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.deciding.ground import ground  # numpy comes with it
        from vanlife_supply.deciding.judging import learned as taught
        from vanlife_supply.deciding.judging import offers
        from vanlife_supply.wording.learned import learned_json, learned_text

        found = taught(book, ground(book, now))
        offered = offers(book, found)
        if words:
            _answer_offer(book, words[0], _numbered(words[1], offered), rig, now)
            return 0
    if args.flag("--json"):
        print(json.dumps(learned_json(found, offered, rig), ensure_ascii=False))
    else:
        print(learned_text(found, offered, rig), end="")
    return 0


def _numbered(word: str, offered: tuple[Learned, ...]) -> Learned:
    if not (word.isascii() and word.isdigit() and 1 <= int(word) <= len(offered)):
        there = f"1 to {len(offered)}" if len(offered) > 1 else "1" if offered else "none"
        raise Refusal(f"There is no offer '{word}': 'learned' numbers them, there is {there}.")
    return offered[int(word) - 1]


def _answer_offer(book: Logbook, word: str, offer: Learned, rig: Rig, now: Moment) -> None:
    from vanlife_supply.wording.learned import as_written, kept_line, taken_line

    if word == "take":
        keeping.adopt(book, offer.supply, offer.container, as_written(offer, rig), now)
        print(taken_line(offer, rig))
    else:
        book.set(offer.declined, "no")
        print(kept_line(offer, rig))
