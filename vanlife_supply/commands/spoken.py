"""What was typed after a command: a supply and an amount as they stand, anything else by the reader of phrases; and what
its options say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from vanlife_supply.commands.args import Args, usage_if
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed
from vanlife_supply.moment import Moment
from vanlife_supply.quantity import GROSS, MASS, PERCENT, VOLUME, parse_amount
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.model import FRESH, SPOKEN, Rig
from vanlife_supply.rig.presets import USUAL_USES

FIELDS = {
    "--at": "at", "--container": "container", "--from": "container", "--into": "into", "--until": "until",
    "--every": "every", "--word": "word", "--for": "word", "--why": "word", "--by": "method", "--pets": "pets",
    "--paid": "paid", "--price-per": "price_per", "--place": "place", "--note": "note", "--down-to": "down_to",
    "--supply": "supply",
}  # fmt: skip
"""Option → the field of a `Typed` it fills."""
FLAGS = {
    "--cold": ("word", m.COLD), "--off": ("down_to", m.OFF), "--back": ("down_to", m.BACK), "--drop": ("down_to", m.DROP),
}  # fmt: skip
_UNITS = ("", PERCENT, *VOLUME, *MASS, *GROSS)


def given(args: Args) -> dict[str, str]:
    """The fields that the options of a command fill."""
    flags = dict(field for flag, field in FLAGS.items() if args.flag(flag))
    return {**flags, **{field: args.value(option) for option, field in FIELDS.items() if args.flag(option)}}


def terse(kind: str, words: list[str]) -> Typed | None:
    """SUPPLY [AMOUNT] of an event, as it is typed most; None for what takes the reader of phrases.

    That one costs as much time as all the rest of noting.
    """
    first = " ".join(words[:2]).lower()
    supply = next((said for said in (first, first.partition(" ")[0]) if said in SPOKEN), "")
    rest = words[len(supply.split()) :]
    if kind == m.USE and rest and not supply and rest[0].lower() in USUAL_USES:
        typed, rest = Typed(kind, FRESH, word=rest[0].lower()), rest[1:]
    elif supply or kind == m.DUMP:
        typed = Typed(kind, supply)
    else:
        return None
    amount = " ".join(rest)
    return replace(typed, amount=amount) if not amount or _is_amount(amount) else None


def in_words(words: list[str], rig: Rig, now: Moment) -> Typed:
    """The words as the app's line understands them."""
    from vanlife_supply.entry.phrase import read_phrase

    return read_phrase(" ".join(words), rig, now)


def together(said: Typed, options: Mapping[str, str], command: str) -> Typed:
    """`said` with what the options say. Refusal (USAGE) where both say the same thing otherwise; how it was read, which
    every verb implies, an option may say otherwise."""
    asked = (field for field in options if field != "method")
    twice = next((field for field in asked if getattr(said, field) not in ("", None, options[field])), "")
    usage_if(bool(twice), command, f"say once {_ASKED.get(twice, twice)}")
    return replace(said, **dict(options))


_ASKED = {"at": "when", "until": "until when", "container": "which one", "into": "into which one", "word": "what for",
          "paid": "what was paid", "place": "where", "down_to": "how it ended", "every": "how often"}  # fmt: skip


def _is_amount(text: str) -> bool:
    try:
        return parse_amount(text).unit in _UNITS
    except Refusal:
        return False
