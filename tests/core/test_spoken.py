"""The phrase of an entry reads back as that entry."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from tests.conftest import RIG
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.entry.spoken import phrase_of
from vanlife_supply.moment import read_iso
from vanlife_supply.rig.load import read_rig

CARRIED = read_rig(RIG)
NOW = read_iso("2026-05-07T19:10", "America/Denver").moment
AHEAD = st.sampled_from(["2026-05-10T08:00", "fri", "2026-06-01T12:00"])
SIZES = st.sampled_from(["0.5 L", "0.25 gal", "half", "30 %"])
WHERE = st.sampled_from([("fresh", ""), ("fresh", "jug 2"), ("grey", ""), ("stove_fuel", "canister 1"), ("propane", "")])


@st.composite
def said(draw: st.DrawFn) -> Typed:
    """Anything a phrase has words for."""
    supply, container = draw(WHERE)
    event = Typed("", supply, container=container)
    some = "2 lb" if supply == "propane" else "0.5 L"
    return draw(st.sampled_from([
        replace(event, kind=m.FILL, amount=draw(st.sampled_from(["", "some", "almost", some]))),
        replace(event, kind=m.DUMP, supply="grey", container="", amount=draw(st.sampled_from(["", "2 gal"]))),
        replace(event, kind=m.READING, amount=draw(st.sampled_from(["half", "30 %"]))),
        Typed(m.READING, "propane", "24.3 lb gross", method="scale"),
        Typed(m.DUMP, "grey", down_to="1 gal"), Typed(m.RAN_OUT, "propane", word=m.COLD),
        Typed(m.READING, "stove_fuel", draw(st.sampled_from(["full", "empty"])), container="can"),
        Typed(m.USE, "fresh", draw(SIZES)), Typed(m.SPILL, "fresh", draw(SIZES)),
        Typed(m.NEXT, "fresh", container=draw(st.sampled_from(["", "jug 1"])), into=draw(st.sampled_from(["", "jug 2"]))),
        replace(event, kind=m.RAN_OUT), Typed(m.EXCHANGE, "propane", draw(st.sampled_from(["", "15 lb"]))),
        Typed(m.POUR, "stove_fuel", "1 L", container="can", into="canister 2"),
        Typed(m.ASIDE, container="jug 1"), Typed(m.ASIDE, container="cylinder", word="valve leaks"),
        Typed(m.ASIDE, container="jug 1", down_to=m.BACK),
        Typed(m.PEOPLE, amount="2", word=draw(st.sampled_from(["", m.GUEST])), until=draw(st.just("") | AHEAD)),
        Typed(m.CONDITION, word=draw(st.sampled_from(["heater", "fridge"])), until=draw(st.just("") | AHEAD)),
        Typed(m.CONDITION, word=draw(st.sampled_from(["heater", "fridge"])), down_to=m.OFF),
        Typed(m.LIMIT, word="food", at=draw(AHEAD), every=draw(st.sampled_from(["", "5 days", "fri"]))),
        Typed(m.LIMIT, word="food", down_to=m.DROP),
        Typed(m.PLANNED, draw(st.sampled_from(["grey", "fresh"])), word="dump", at=draw(AHEAD)),
        Typed(m.PLANNED, "fresh", word="fill", down_to=m.DROP),
        Typed(m.NOTE, word="the pump draws air"),
    ]))  # fmt: skip


def told(entry: Entry) -> Entry:
    """What it says, whatever was typed; how it was looked at is told where it matters."""
    return replace(entry, typed="", method="" if entry.method == "sight" else entry.method)


@given(said())
def test_an_entry_reads_back_from_its_phrase(typed: Typed) -> None:
    """Text → entry → text → entry is the same entry: back in use stays back in use, off stays off."""
    entry = build(typed, CARRIED, NOW)
    phrase = phrase_of(entry, CARRIED)
    again = build(read_phrase(phrase, CARRIED, NOW), CARRIED, NOW)
    assert told(again) == told(entry)
    assert phrase_of(again, CARRIED) == phrase
