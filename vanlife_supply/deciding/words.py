"""What is asked in words, by the one reader of phrases: may I `take a shower`, what if `2 guests until sun`."""

from __future__ import annotations

from vanlife_supply.deciding.ground import Ground
from vanlife_supply.deciding.sizes import GUEST
from vanlife_supply.deciding.supposing import Supposed
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import build
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.entry.sizes import sized
from vanlife_supply.moment import Moment, read_when
from vanlife_supply.refusal import USAGE, Refusal


def asked(text: str, known: Ground) -> tuple[str, Moment | None]:
    """`take a shower` → shower, `2 showers` → 2 gal, `a friend till sunday` → guest, and until when; else as it stands."""
    said = _read(text, known)
    if said is None or not (said.kind == m.USE or (said.kind == m.PEOPLE and said.word == m.GUEST)):
        return text, None
    if said.kind == m.PEOPLE:
        return GUEST, said.until
    typed = read_phrase(text, known.rig, known.now)
    return (str(said.said) if typed.amount else said.word), None


def supposed_in(text: str, known: Ground) -> Supposed:
    """`2 people until sun`, `a guest for 3 days`, `heater`, `heater off`, `no alcohol`, `5 gal jug`, `2 showers`."""
    said = _read(text, known)
    if said is not None and said.kind == m.CONDITION and said.word in m.CONDITIONS:
        return Supposed(off=(said.word,)) if said.to == m.OFF else Supposed(on=(said.word,), until=said.until)
    if said is not None and said.kind == m.PEOPLE:
        return Supposed(people=said.amount, until=said.until)
    if said is not None and said.kind == m.USE:
        return Supposed(uses=(str(said.said),))
    plain, _, end = text.partition(" until ")
    until = read_when(end, known.now, known.rig.zone, ahead=True).moment if end else None
    words = plain.split()
    if words[:1] in (["no"], ["without"]):
        return Supposed(without=" ".join(words[1:]), until=until)
    if plain and not plain[0].isdigit():
        raise Refusal(f"'{plain}' is nothing to suppose: say 2 people, 5 gal jug, heater, no alcohol.", USAGE)
    return Supposed(containers=(plain.removesuffix(" jug").removesuffix(" canister"),) if plain else ())


def _read(text: str, known: Ground) -> Entry | None:
    """What the words would note, None where they say nothing that could be."""
    try:
        return build(sized(read_phrase(text, known.rig, known.now), known.entries, known.rig), known.rig, known.now)
    except Refusal:
        return None
