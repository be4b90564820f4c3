"""How good it was and how it is known: hindsight, why, learned."""

from __future__ import annotations

import json
import sys
import time

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import open_log
from vanlife_supply.rig.model import supply_named

SOON = 0.5
"""Seconds after which somebody at a terminal is told how far it is."""


def hindsight(argv: list[str], db: str | None) -> int:
    """The log's own forecasts against what came."""
    args = parse("hindsight", argv, (), ("--json",))
    usage_if(bool(args.words), "hindsight", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.deciding.judging import look_back, scores  # numpy comes with it
        from vanlife_supply.wording.hindsight import hindsight_json, hindsight_text

        progress = _Progress()
        outcomes = look_back(book, now, progress.step)
        progress.end()
    told = scores(outcomes)
    if args.flag("--json"):
        print(json.dumps(hindsight_json(outcomes, told, rig, now), ensure_ascii=False))
    else:
        print(hindsight_text(outcomes, told, rig, now), end="")
    return 0


def why(argv: list[str], db: str | None) -> int:
    """How the figures of a supply are known."""
    args = parse("why", argv, (), ("--json",))
    usage_if(len(args.words) != 1, "why", "say which supply")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        supply = supply_named(args.words[0], tuple(s.name for s in rig.supplies))
        from vanlife_supply.deciding.ground import ground  # numpy comes with it
        from vanlife_supply.deciding.judging import reasons
        from vanlife_supply.deciding.looking import look_at
        from vanlife_supply.wording.why import why_json, why_lines

        known = ground(book, now)
    facts, look = reasons(known, supply), look_at(known, supply)
    if args.flag("--json"):
        print(json.dumps(why_json(facts, look, supply, rig, now), ensure_ascii=False))
    else:
        print("\n".join(why_lines(facts, look, supply, rig, now)))
    return 0


def learned(argv: list[str], db: str | None) -> int:
    """What the log has taught of the rig."""
    args = parse("learned", argv, (), ("--json",))
    usage_if(bool(args.words), "learned", f"'{' '.join(args.words)}' does not belong here")
    with open_log(db) as book:
        rig, now = book.rig(), keeping.now_of(book)
        from vanlife_supply.deciding.ground import ground  # numpy comes with it
        from vanlife_supply.deciding.judging import learned as taught
        from vanlife_supply.wording.why import learned_json, learned_text

        found = taught(ground(book, now))
    print(json.dumps(learned_json(found), ensure_ascii=False) if args.flag("--json") else learned_text(found, rig), end="")
    print(end="\n" if args.flag("--json") else "")
    return 0


class _Progress:
    """How far it is, on stderr, for somebody who waits at a terminal."""

    def __init__(self) -> None:
        self._begun, self._said = time.monotonic(), False

    def step(self, done: int, of: int) -> None:
        """Called before each of `of` steps."""
        if time.monotonic() - self._begun > SOON and sys.stderr.isatty():
            print(f"\rLooking back: {done} of {of} ", end="", file=sys.stderr, flush=True)
            self._said = True

    def end(self) -> None:
        """Clears the line."""
        if self._said:
            print("\r" + " " * 40 + "\r", end="", file=sys.stderr, flush=True)
