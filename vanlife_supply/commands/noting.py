"""Events of a supply: fill, use, reading, dump, next, ran-out, exchange, pour, spill; and what is said without a command."""

from __future__ import annotations

from collections.abc import Sequence

from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import COMMON, keep
from vanlife_supply.commands.spoken import FIELDS, FLAGS, given, in_words, terse, together
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.moment import Moment
from vanlife_supply.refusal import USAGE, Refusal, nearest
from vanlife_supply.rig.model import Rig


def fill(argv: list[str], db: str | None) -> int:
    """To the top, or by an amount."""
    return _event(m.FILL, argv, db, "--price-per")


def use(argv: list[str], db: str | None) -> int:
    """Some was used: so much, or as much as that usually takes."""
    return _event(m.USE, argv, db, "--for")


def reading(argv: list[str], db: str | None) -> int:
    """So much is in it."""
    return _event(m.READING, argv, db, "--by")


def dump(argv: list[str], db: str | None) -> int:
    """Emptied, or so much came out, or down to so much."""
    return _event(m.DUMP, argv, db, "--down-to")


def next(argv: list[str], db: str | None) -> int:
    """The one in use is empty, the next is opened."""
    return _event(m.NEXT, argv, db, "--into")


def ran_out(argv: list[str], db: str | None) -> int:
    """The last of it is gone, or it stopped in the cold."""
    return _event(m.RAN_OUT, argv, db, "--cold")


def exchange(argv: list[str], db: str | None) -> int:
    """One container traded in at a shop."""
    return _event(m.EXCHANGE, argv, db)


def pour(argv: list[str], db: str | None) -> int:
    """From one container into another: nothing came aboard."""
    return _event(m.POUR, argv, db, "--from", "--into")


def spill(argv: list[str], db: str | None) -> int:
    """Spilled or leaked: no habit."""
    return _event(m.SPILL, argv, db)


def say(argv: list[str], db: str | None, commands: Sequence[str] = ()) -> int:
    """What begins with none of the `commands`, as the app's line takes it: `dumped gray`, `heater --until mon`."""
    args = parse(argv[0], argv, (option for option in FIELDS if option != "--supply"), FLAGS)

    def said(rig: Rig, now: Moment) -> Typed:
        try:
            typed = in_words(args.words, rig, now)
        except Refusal as fault:
            if fault.status != USAGE:
                raise
            from vanlife_supply.entry.phrase import beginnings

            hint = nearest(argv[0], [*commands, *beginnings()])
            raise Refusal(f"'{argv[0]}' is not a command{hint}: --help lists them.", USAGE) from None
        return together(typed, given(args), argv[0])

    return keep(db, said, argv)


def _event(kind: str, argv: list[str], db: str | None, *more: str) -> int:
    args = parse(kind, argv, (*COMMON, *(o for o in more if o in FIELDS)), (o for o in more if o in FLAGS))
    words = args.words or [args.value("--for")] * args.flag("--for")
    if kind == m.POUR and args.flag("--from") and args.flag("--into") and not terse(kind, words):
        words = [*words, "from", args.value("--from"), "into", args.value("--into")]
    usage_if(not words and kind not in (m.DUMP, m.NEXT), kind, "say which supply (water, gray, alcohol, propane)")

    def said(rig: Rig, now: Moment) -> Typed:
        typed = together(terse(kind, words) or in_words([kind, *words], rig, now), given(args), kind)
        usage_if(bool(typed.amount) and kind in (m.NEXT, m.RAN_OUT), kind, f"'{typed.amount}' does not belong here")
        return typed

    return keep(db, said, [kind, *argv])
