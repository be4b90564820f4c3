"""Events of a supply: fill, use, reading, dump, next, ran-out, exchange, pour, spill."""

from __future__ import annotations

from vanlife_supply.commands.args import Args, parse, usage_if
from vanlife_supply.commands.desk import COMMON, keep
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.quantity import parse_amount
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, SPOKEN
from vanlife_supply.rig.presets import USUAL_USES


def fill(argv: list[str], db: str | None) -> int:
    """To the top, or by an amount."""
    args = parse("fill", argv, (*COMMON, "--price-per"))
    return _event(args, m.FILL, argv, db, price_per=args.value("--price-per"))


def use(argv: list[str], db: str | None) -> int:
    """Some was used: so much, or as much as that usually takes."""
    args = parse("use", argv, (*COMMON, "--for"))
    word = args.value("--for")
    if args.words and args.words[0].lower() in USUAL_USES:
        word, args.words[0] = args.words[0], FRESH
    elif not args.words and word:
        args.words.append(FRESH)
    return _event(args, m.USE, argv, db, word=word)


def reading(argv: list[str], db: str | None) -> int:
    """So much is in it."""
    args = parse("reading", argv, (*COMMON, "--by"))
    return _event(args, m.READING, argv, db, method=args.value("--by"))


def dump(argv: list[str], db: str | None) -> int:
    """Emptied, or so much came out, or down to so much."""
    args = parse("dump", argv, (*COMMON, "--down-to"))
    if args.words and _is_amount(args.words):
        args.words.insert(0, "")
    return _event(args, m.DUMP, argv, db, down_to=args.value("--down-to"), needs_supply=False)


def next(argv: list[str], db: str | None) -> int:
    """The one in use is empty, the next is opened."""
    args = parse("next", argv, (*COMMON, "--into"))
    return _event(args, m.NEXT, argv, db, into=args.value("--into"), takes_amount=False)


def ran_out(argv: list[str], db: str | None) -> int:
    """The last of it is gone, or it stopped in the cold."""
    args = parse("ran-out", argv, COMMON, ("--cold",))
    return _event(args, m.RAN_OUT, argv, db, word=m.COLD if args.flag("--cold") else "", takes_amount=False)


def exchange(argv: list[str], db: str | None) -> int:
    """One container traded in at a shop."""
    return _event(parse("exchange", argv, COMMON), m.EXCHANGE, argv, db)


def pour(argv: list[str], db: str | None) -> int:
    """From one container into another: nothing came aboard."""
    args = parse("pour", argv, ("--at", "--place", "--note", "--from", "--into"))
    return _event(args, m.POUR, argv, db, container=args.value("--from"), into=args.value("--into"))


def spill(argv: list[str], db: str | None) -> int:
    """Spilled or leaked: no habit."""
    return _event(parse("spill", argv, COMMON), m.SPILL, argv, db)


def _event(
    args: Args, kind: str, argv: list[str], db: str | None, *,
    needs_supply: bool = True, takes_amount: bool = True, container: str = "", into: str = "", word: str = "",
    method: str = "", down_to: str = "", price_per: str = "",
) -> int:  # fmt: skip
    usage_if(needs_supply and not args.words, kind, "say which supply (water, gray, alcohol, propane)")
    two = " ".join(args.words[:2]).lower()
    count = 2 if two in SPOKEN and len(args.words) > 1 else 1
    supply, amount = " ".join(args.words[:count]), " ".join(args.words[count:])
    usage_if(bool(amount) and not takes_amount, kind, f"'{amount}' does not belong here")
    said = Typed(
        kind, supply, amount, down_to, container or args.value("--container"), into, args.value("--at"),
        word=word, method=method, paid=args.value("--paid"), price_per=price_per, place=args.value("--place"),
        note=args.value("--note"),
    )  # fmt: skip
    return keep(db, said, kind, argv)


def _is_amount(words: list[str]) -> bool:
    try:
        parse_amount(" ".join(words))
    except Refusal:
        return words[0][0].isdigit() or words[0].lower() in (m.EMPTY, "all")
    return True
