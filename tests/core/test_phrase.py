"""Phrases as people say them, and the checks on what they mean."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.phrase import next_words, read_phrase
from vanlife_supply.entry.sizes import sized
from vanlife_supply.entry.spoken import phrase_of
from vanlife_supply.moment import read_iso
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig

RIG = read_rig(
    """
[rig]
timezone = "America/Denver"
[[container]]
supply = "fresh"
label = "big jug"
capacity = "7 gal"
[[container]]
supply = "fresh"
label = "small jug"
capacity = "5 gal"
[[container]]
supply = "grey"
label = "gray"
capacity = "6 gal"
usable = 0.9
[[container]]
supply = "stove_fuel"
label = "canister"
count = 2
capacity = "1 L"
[[container]]
supply = "stove_fuel"
label = "can"
capacity = "1 gal"
[[container]]
supply = "propane"
label = "cylinder"
wc = "47.6 lb"
tare = "17.1 lb"
"""
)
NOW = read_iso("2026-05-08T18:00", "America/Denver").moment


def said(text: str) -> Entry:
    """The entry a phrase makes."""
    return build(sized(read_phrase(text, RIG, NOW), (), RIG), RIG, NOW)


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("filled water", ("fill", "fresh", None, "", "full", "", "08 18:00", None)),
        ("filled water b 5 3.50 last night", ("fill", "fresh", 5, "gal", "", "small jug", "07 21:00", 350)),
        ("filled w 12 3 last night", ("fill", "fresh", 12, "gal", "", "", "07 21:00", 300)),
        ("filled water 5 gal full", ("fill", "fresh", 5, "gal", "full", "", "08 18:00", None)),
        ("filled water small jug a quarter yesterday", ("fill", "fresh", 25, "%", "", "small jug", "07 12:00", None)),
        ("filled water some", ("fill", "fresh", None, "", "", "", "08 18:00", None)),
        ("filled water almost", ("fill", "fresh", None, "", "95 %", "", "08 18:00", None)),
        ("weighed propane 24.3", ("reading", "propane", 24.3, "lb gross", "", "", "08 18:00", None)),
        ("dumped", ("dump", "grey", None, "", "empty", "", "08 18:00", None)),
        ("dumped gray 2 gal tue 18:00", ("dump", "grey", 2, "gal", "", "", "05 18:00", None)),
        ("opened next jug", ("next", "fresh", None, "", "", "", "08 18:00", None)),
        ("next water big jug", ("next", "fresh", None, "", "", "", "08 18:00", None)),
        ("ran out of propane yesterday", ("ran-out", "propane", None, "", "", "", "07 12:00", None)),
        ("looked water half", ("reading", "fresh", 50, "%", "", "", "08 18:00", None)),
        ("used shower", ("use", "fresh", 1, "gal", "", "", "08 18:00", None)),
        ("used 2 gal for the laundry", ("use", "fresh", 2, "gal", "", "", "08 18:00", None)),
        ("used water 2 gal 3 days ago", ("use", "fresh", 2, "gal", "", "", "05 18:00", None)),
        ("poured 1 L from can into canister 1", ("pour", "stove_fuel", 1, "L", "", "can", "08 18:00", None)),
        ("traded propane 15 lb $24", ("exchange", "propane", 15, "lb", "", "", "08 18:00", 2400)),
        ("spilled water 1 gal this morning", ("spill", "fresh", 1, "gal", "", "", "08 08:00", None)),
    ],
)
def test_phrases(text: str, means: tuple[object, ...]) -> None:
    """Verb, supply, container, amount, money and time in the order people say them."""
    e = said(text)
    assert (e.kind, e.supply, e.amount, e.unit, e.to, e.container, f"{e.at.local():%d %H:%M}", e.paid) == means


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("fild water", "did you mean 'filled'"), ("filled watr", "did you mean 'water'"), ("filled water 50", "12 gal"),
        ("filled water 1,234", "two ways"), ("used water", "How much"),
        ("dumped tomorrow", "ahead of this computer's clock"),
        ("weighed propane 5", "less than cylinder weighs empty"),
        ("weighed propane 60", "more than cylinder weighs when full"),
        ("poured 1 L into canister 1", "Say both"), ("poured from can into jar", "No container 'jar'"),
        ("filled water 12 last nite", r"'last nite' .*did you mean 'last night'"),
        ("filled water 12 galons", "did you mean 'gallons'"), ("filled water 12 at 18:99", "no time of day"),
        ("next gray", "no next container"), ("used shower 1 furlong", "neither a unit"), ("", "Nothing was typed"),
    ],
)  # fmt: skip
def test_refused_in_words(text: str, says: str) -> None:
    """A wrong word or amount is named, with what would be right."""
    with pytest.raises(Refusal, match=says):
        said(text)


def test_between_one_brim_and_a_quarter_more_is_questioned() -> None:
    """13 of 12 gal is kept and asked about; 15.1 is refused; 12 is nothing odd."""
    assert said("filled water 12").questioned == ""
    assert "more than" in said("filled water 13").questioned
    assert "more than" in said("filled water 15").questioned
    with pytest.raises(Refusal):
        said("filled water 15.1")


def test_fill_by_price() -> None:
    """Amount = paid / price, and price × amount = paid."""
    by_money = build(Typed("fill", "water", paid="3.50", price_per="35c/gal"), RIG, NOW)
    assert RIG.canonical(by_money.said or pytest.fail("no amount"), "fresh") == pytest.approx(10 * 3.785411784, rel=1e-3)
    by_amount = build(Typed("fill", "water", "10 gal", price_per="35c/gal"), RIG, NOW)
    assert by_amount.paid == 350
    with pytest.raises(Refusal, match="price alone"):
        build(Typed("fill", "water", price_per="35c/gal"), RIG, NOW)


@pytest.mark.parametrize(
    ("typed", "check"),
    [
        (Typed("people", amount="3", until="sun 18:00"), ("people", 3.0, "05-10 18:00")),
        (Typed("condition", word="heater", until="in 3 days"), ("condition", None, "05-11 18:00")),
        (Typed("limit", word="food", at="thu"), ("limit", None, "05-14 12:00")),
        (Typed("planned", word="dump", at="mon 10:00"), ("planned", None, "05-11 10:00")),
    ],
)
def test_spans_and_plans_look_ahead(typed: Typed, check: tuple[str, float | None, str]) -> None:
    """Until and plans mean the next such day."""
    e = build(typed, RIG, NOW)
    assert (e.kind, e.amount, f"{e.until.local():%m-%d %H:%M}" if e.until else "") == check


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (Typed("people", amount="many"), "How many people"),
        (Typed("people", amount="2", until="2026-05-01"), "before it begins"),
        (Typed("limit", word="food"), "When"), (Typed("limit", word="food", at="2026-05-01"), "is past"),
        (Typed("planned", word="party", at="mon"), "plan a dump or a fill"), (Typed("note"), "empty note"),
        (Typed("aside", container="jar"), "No container 'jar'"), (Typed("sing"), "not something to note"),
        (Typed("reading", "water", "half", method="nose"), "not a way to read"),
        (Typed("use", "diesel", "1 gal"), "not a supply"),
        (Typed("dump", amount="1 gal", down_to="1 gal"), "not both"), (Typed("condition"), "Which condition"),
        (Typed("note", word="x" * 501), "cannot be kept"), (Typed("note", word="a\u202eb"), "cannot be kept"),
    ],
)  # fmt: skip
def test_other_refusals(typed: Typed, says: str) -> None:
    """Every field is checked in one place for the command line and the app."""
    with pytest.raises(Refusal, match=says):
        build(typed, RIG, NOW)


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("heater until fri", ("condition", "heater", "", "05-15 12:00", None)),
        ("heater on", ("condition", "heater", "", "", None)),
        ("heater off", ("condition", "heater", "off", "", None)),
        ("people 2 until sun 18:00", ("people", "", "", "05-10 18:00", 2.0)),
        ("aside small jug frozen", ("aside", "frozen", "", "", None)),
        ("back small jug", ("aside", "back", "", "", None)),
        ("limit food till thu", ("limit", "food", "", "05-14 12:00", None)),
        ("planned dump mon 10:00", ("planned", "dump", "", "05-11 10:00", None)),
        ("planned fill water on tue every week", ("planned", "fill", "every week", "05-12 12:00", None)),
    ],
)
def test_phrases_about_times(text: str, means: tuple[object, ...]) -> None:
    """Conditions, people, limits, plans and containers set aside are typed the same way."""
    e = said(text)
    assert (e.kind, e.word, e.to, f"{e.until.local():%m-%d %H:%M}" if e.until else "", e.amount) == means


def test_completion_follows_what_is_typed() -> None:
    """First verbs, then the supplies aboard, then containers and amounts."""
    assert "filled" in next_words("fi", RIG)
    assert "water" in next_words("filled ", RIG)
    assert "big jug" in next_words("filled water ", RIG)
    assert "shower" in next_words("used ", RIG)


WORDS = st.sampled_from(
    [
        "filled",
        "dumped",
        "next",
        "looked",
        "weighed",
        "used",
        "poured",
        "water",
        "w",
        "gray",
        "p",
        "b",
        "a",
        "can",
        "half",
        "quarter",
        "5",
        "3.50",
        "1,234",
        "gal",
        "lb",
        "%",
        "some",
        "from",
        "into",
        "last",
        "night",
        "tue",
        "yesterday",
        "2h",
        "ago",
        "in",
        "99",
        "$3",
        "-1",
        "½",
        "canister",
        "1",
        "big",
        "jug",
        "shower",
        "out",
        "ran",
    ]
)


@given(st.lists(WORDS, max_size=8))
def test_no_phrase_brings_the_reader_down(words: list[str]) -> None:
    """Whatever is typed becomes an entry or one sentence."""
    try:
        said(" ".join(words))
    except Refusal as fault:
        assert str(fault).endswith(".") or "'" in str(fault)


@given(st.text(max_size=60))
@example("my")
def test_no_characters_bring_the_reader_down(text: str) -> None:
    """Nor does any text at all."""
    with suppress(Refusal):
        said(text)


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("12 for $3 last night", ("fill", "fresh", 12, "", "")), ("water half", ("reading", "fresh", 50, "", "")),
        ("gray almost full", ("reading", "grey", 95, "", "")), ("food until thu", ("limit", "", None, "", "food")),
        ("stay until sat", ("limit", "", None, "", "stay")), ("plan dump mon 10:00", ("planned", "grey", None, "", "dump")),
        ("water a frozen", ("aside", "fresh", None, "big jug", "frozen")),
        ("flame died in the cold", ("ran-out", "propane", None, "", "cold")),
    ],
)  # fmt: skip
def test_what_is_said_without_a_verb(text: str, means: tuple[object, ...]) -> None:
    """A supply alone was looked at; money means filled; until makes a limit; a frozen jug is set aside."""
    e = said(text)
    assert (e.kind, e.supply, e.amount, e.container, e.word) == means


def test_what_cannot_be_meant_is_said_kindly() -> None:
    """No propane aboard, one plan of several to be dropped, and never a hint at the word that was typed."""
    lean = read_rig('[[container]]\nsupply = "fresh"\ncapacity = "5 gal"\n')
    with pytest.raises(Refusal, match="carries no propane"):
        build(read_phrase("flame died in the cold", lean, NOW), lean, NOW)
    with pytest.raises(Refusal, match="Say no dump for all"):
        said("no dump on sunday")
    with pytest.raises(Refusal) as refused:
        said("filled water gray")
    assert "did you mean 'gray'" not in str(refused.value)


@pytest.mark.parametrize(
    ("text", "place", "amount", "paid", "at"),
    [
        ("filled water 12 gal 3.50 @Old Mill last night", "Old Mill", "12 gal", "3.50", "last night"),
        ("filled water 12 gal @Old Mill 3.50", "Old Mill", "12 gal", "3.50", ""),
        ("dumped at Red Rock dump station", "Red Rock dump station", "", "", ""),
        ("dumped yesterday @ Old Mill", "Old Mill", "", "", "yesterday"),
        ("filled water at 18:00", "", "", "", "at 18:00"),
        ("filled water", "", "", "", ""),
    ],
)
def test_a_place_in_a_phrase(text: str, place: str, amount: str, paid: str, at: str) -> None:
    """@ or `at` names the place up to the time or the money at the end; `at 18:00` stays a time."""
    said = read_phrase(text, RIG, NOW)
    assert (said.place, said.amount, said.paid, said.at) == (place, amount, paid, at)


@pytest.mark.parametrize(
    ("text", "gallons", "paid", "to", "place"),
    [
        # 300 cents / 35 cents a gallon = 8.571 gal
        ("filled water $3 at 35c/gal", 300 / 35, 300, "", ""), ("filled water $3 35c last night", 300 / 35, 300, "", ""),
        ("filled water $3 35c/gal at Old Mill last night", 300 / 35, 300, "", "Old Mill"),
        ("filled water full $3 at $0.35 per gal", 300 / 35, 300, "full", ""),
        ("filled water 8 gal at 35c/gal", 8, 280, "", ""),
        ("filled water 8 gal @0.35/gal @Old Mill", 8, 280, "", "Old Mill"),
    ],
)
def test_a_fill_by_its_price(text: str, gallons: float, paid: int, to: str, place: str) -> None:
    """Sum and price give the amount, amount and price the sum; a price is no place."""
    entry = said(text)
    assert entry.said is not None
    assert RIG.canonical(entry.said, "fresh") == pytest.approx(gallons * 3.785411784, rel=1e-3)
    assert (entry.paid, entry.to, entry.place, entry.typed) == (paid, to, place, text)


@pytest.mark.parametrize("text", ["filled water at 35c/gal", "filled water full at 35c/gal", "dumped gray 2 gal at 35c/gal"])
def test_a_price_that_tells_nothing(text: str) -> None:
    """Without a sum or an amount, or where nothing is bought, a price is refused in words."""
    with pytest.raises(Refusal, match="price"):
        said(text)


@pytest.mark.parametrize("text", ["dumped gray 2 gal now empty", "dumped gray 2 gal empty", "dumped 2 gal empty last night"])
def test_what_came_out_of_a_dump_that_emptied(text: str) -> None:
    """Both are kept: how much came out, and that nothing is left; said again it is the same."""
    entry = said(text)
    assert (entry.kind, entry.supply, entry.amount, entry.unit, entry.to) == ("dump", "grey", 2.0, "gal", "empty")
    again = said(phrase_of(entry, RIG))
    assert (again.amount, again.to) == (2.0, "empty")
    assert said("dumped gray now empty").to == "empty" and said("dumped gray 2 gal").to == ""


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("took a shower 1 gal", ("use", "fresh", 1, "", "", "shower")),
        ("showered", ("use", "fresh", 1, "", "", "shower")),
        ("we had a shower", ("use", "fresh", 1, "", "", "shower")),
        ("washed the dishes", ("use", "fresh", 0.3, "", "", "dishes")),
        ("cooked 0.1 L", ("use", "stove_fuel", 0.1, "", "", "cooking")),
        ("used a gallon of water", ("use", "fresh", 1, "", "", "")),
        ("bought half a gallon of alcohol", ("fill", "stove_fuel", 0.5, "", "", "")),
        ("half a jug left", ("reading", "fresh", 50, "", "", "")),
        ("jug 5 empty", ("reading", "fresh", 0, "small jug", "", "")),
        ("the 5 gal jug is half", ("reading", "fresh", 50, "small jug", "", "")),
        ("filled the 5", ("fill", "fresh", None, "small jug", "", "")),
        ("filled both jugs", ("fill", "fresh", None, "", "", "")),
        ("small jug frozen", ("aside", "fresh", None, "small jug", "", "frozen")),
        ("opened b", ("next", "fresh", None, "", "small jug", "")),
        ("poured 1 gal from b to a", ("pour", "fresh", 1, "b", "a", "")),
        ("poured a liter from c into a", ("pour", "stove_fuel", 1, "c", "a", "")),
    ],
)  # fmt: skip
def test_as_people_say_it(text: str, means: tuple[object, ...]) -> None:
    """An article is no supply, a size names a container, what one did is a use, what is opened is not what is empty."""
    e, labels = said(text), {"b": "small jug", "a": "big jug" if means[1] == "fresh" else "canister 1", "c": "can"}
    supply, container, into = means[1], labels.get(str(means[3]), means[3]), labels.get(str(means[4]), means[4])
    told = (e.kind, e.supply, e.amount, e.container, e.into, e.word)
    assert told == (means[0], supply, means[2], container, into, means[5])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("dump on sunday", "dumped on sunday, or plan dump on sunday"),
        ("b empty", "water b .small jug. or alcohol b .canister 2."),
        ("a empty", "alcohol, or water a .big jug."), ("looked a half", "Which supply"),
        ("poured from b to a", "say poured water or poured alcohol"), ("cooked", "used 0.1 L alcohol for cooking"),
    ],
)  # fmt: skip
def test_what_has_two_meanings_is_asked(text: str, says: str) -> None:
    """Nothing is noted of another supply or day than meant: both readings are named, as they would be typed."""
    with pytest.raises(Refusal, match=says):
        said(text)


@pytest.mark.parametrize(
    ("text", "aboard", "until"),
    [
        ("guest", 3, ""), ("a friend stays till monday", 3, "05-11"),
        ("2 guests for 3 days", 4, "05-11"),
        ("guest leaves sunday", 3, "05-10"), ("guest gone", 2, ""), ("my friend left yesterday", 2, ""),
        ("no guests", 2, ""),
        ("guest until now", 2, ""), ("just me", 1, ""),
        ("2 people until mon", 2, "05-11"), ("people 3 for a week", 3, "05-15"),
    ],
)  # fmt: skip
def test_company(text: str, aboard: int, until: str) -> None:
    """Guests come on top of those who live aboard, by the log, and leave them behind; a count of people is all of them."""
    lived = [build(read_phrase(one, RIG, NOW), RIG, NOW) for one in ("people 2 since fri", "people 5 with guests since tue")]
    e = build(sized(read_phrase(text, RIG, NOW), lived, RIG), RIG, NOW)
    assert (e.kind, e.amount, f"{e.until.local():%m-%d}" if e.until else "") == ("people", aboard, until)


@pytest.mark.parametrize(
    ("text", "word", "until"),
    [("condition heater until monday", "heater", "05-11"), ("heater for 3 days", "heater", "05-11"),
     ("condition big fan until fri", "big fan", "05-15"), ("heater since yesterday for 2 days", "heater", "05-09")],
)  # fmt: skip
def test_a_condition_until_when(text: str, word: str, until: str) -> None:
    """The end is never part of the condition's name; `for` counts from its beginning."""
    e = said(text)
    assert e.until and (e.word, f"{e.until.local():%m-%d}") == (word, until)


def test_both_of_three_is_asked() -> None:
    """Two of three jugs is a question; two canisters beside the can they are filled from are both."""
    jugs = "".join(f'[[container]]\nsupply = "fresh"\nlabel = "{n} gal jug"\ncapacity = "{n} gal"\n' for n in (6, 5, 2.5))
    fuel = "".join(
        f'[[container]]\nsupply = "stove_fuel"\nlabel = "{label}"\ncapacity = "{size} L"\n'
        for label, size in (("canister 1", 1), ("canister 2", 1), ("can", 4))
    )
    rig = read_rig(f"[rig]\npeople = 1\n{jugs}{fuel}")
    with pytest.raises(Refusal, match="Which two"):
        read_phrase("filled both jugs", rig, NOW)
    assert read_phrase("filled all jugs", rig, NOW).supply == "fresh"
    with pytest.raises(Refusal, match="One at a time: alcohol a half, then alcohol b half"):
        read_phrase("both canisters half", rig, NOW)
