"""rig.toml, containers and amounts only a rig can size."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanlife_supply.quantity import parse_amount
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.amend import amended
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Rig, supply_named

GAL, LB = 3.785411784, 0.45359237

RIG = """
[rig]
people = 1
pets = ["dog 50 lb"]
timezone = "America/Denver"
[[supply]]
name = "fresh"
reserve = "1 gal"
lasts = "10 days"
[[container]]
supply = "fresh"
label = "jug"
count = 3
capacity = "5 gal"
[[container]]
supply = "gray"
label = "under sink"
capacity = "6 gal"
usable = 0.9
[[container]]
supply = "propane"
label = "cylinder"
wc = "47.6 lb"
tare = "17.1 lb"
"""


def rig() -> Rig:
    """Three alike jugs, one gray container, one stamped cylinder."""
    return read_rig(RIG)


def test_three_alike_are_lettered_in_order() -> None:
    """count = 3 makes jug 1, 2, 3 with letters A, B, C; the stamped cylinder holds 42 % of its water capacity."""
    jugs = rig().of("fresh")
    assert [(c.letter, c.label) for c in jugs] == [("A", "jug 1"), ("B", "jug 2"), ("C", "jug 3")]
    assert rig().capacity("fresh") == pytest.approx(15 * GAL)
    assert rig().of("grey")[0].stop == pytest.approx(5.4 * GAL)
    assert rig().of("propane")[0].capacity == pytest.approx(19.992 * LB)
    assert [s.name for s in rig().supplies] == ["fresh", "grey", "propane"]


@pytest.mark.parametrize(
    ("typed", "supply", "container", "canonical"),
    [
        ("half", "fresh", "", 7.5 * GAL), ("half", "fresh", "B", 2.5 * GAL), ("3 jugs", "fresh", "", 15 * GAL),
        ("24.3 lb gross", "propane", "", 7.2 * LB), ("24.3 lb gross", "propane", "cylinder", 7.2 * LB),
        ("2", "fresh", "", 2 * GAL), ("10 kg", "fresh", "", 10.0), ("1 gal", "propane", "", 4.2285 * LB),
    ],
)  # fmt: skip
def test_amounts_are_sized_by_the_rig(typed: str, supply: str, container: str, canonical: float) -> None:
    """% of what is named, containers as units, weights with the tare taken off (scenario 5: 24.3 − 17.1 = 7.2 lb)."""
    assert rig().canonical(parse_amount(typed), supply, container) == pytest.approx(canonical)


@pytest.mark.parametrize(
    ("typed", "container", "says"),
    [("2 barrels", "", "neither a unit nor a container"), ("half", "D", "No container 'D'"), ("2 jug 9", "", "neither")],
)
def test_what_the_rig_lacks_is_refused(typed: str, container: str, says: str) -> None:
    """The sentence names what there is."""
    with pytest.raises(Refusal, match=says):
        rig().canonical(parse_amount(typed), "fresh", container)


def test_an_old_amount_outlives_the_container_it_was_told_in() -> None:
    """A renamed jug still counts under its former name; one that is gone leaves an amount of no size, not an error."""
    renamed = read_rig(amended(RIG, "fresh", "jug 2", {"label": "blue jug", "was": ["jug 2"]}, "America/Denver"))
    assert renamed.sized(parse_amount("1 jug 2"), "fresh") == pytest.approx(5 * GAL)
    gone = replace(rig(), containers=rig().of("propane"))
    assert gone.sized(parse_amount("2 jugs"), "fresh") is None


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("[rig]", "[rigg]"), "'rigg' is not a key here .did you mean 'rig'"),
        (("people = 1", "people = -1"), "people: write a number from 0 to 99"),
        (("people = 1", "peeple = 1"), "did you mean 'people'"),
        (("America/Denver", "America/Nowhere"), "not a time zone"),
        (('"5 gal"', '"five gal"'), r"\[\[container\]\] 1 capacity: 'five gal' is not an amount"),
        (('"5 gal"', '"5 galz"'), "'galz' is not a unit"),
        (('"5 gal"', '"0 gal"'), "not a size a vehicle carries"),
        (("usable = 0.9", "usable = 90"), "usable: write a number from 0.01 to 1"),
        (('"17.1 lb"', '"17.1 gal"'), "tare: write a weight"),
        (('reserve = "1 gal"', 'reserve = "40 gal"'), "more than the containers can give"),
        (('"10 days"', '"ten days"'), "lasts: write it like"),
        (('supply = "gray"', 'supply = "beer"'), "'beer' is not a supply"),
        (("count = 3", "count = 3000"), "count: write a number from 1 to 60"),
        (("[rig]", "[rig"), "not readable TOML"),
        (('label = "jug"', 'label = "a,b"'), "without commas"),
    ],
)
def test_a_wrong_rig_is_refused_by_name(change: tuple[str, str], says: str) -> None:
    """Each fault is one sentence that names table and key."""
    with pytest.raises(Refusal, match=says):
        read_rig(RIG.replace(*change, 1))


def test_an_own_supply_needs_its_direction() -> None:
    """A toilet cassette may be added once it is said which way it goes."""
    own = '\n[[supply]]\nname = "cassette"\ndirection = "fills"\n[[container]]\nsupply = "cassette"\ncapacity = "5 gal"\n'
    added = read_rig(RIG + own).supply("cassette")
    assert (added.direction, added.unit) == ("fills", "gal")
    with pytest.raises(Refusal, match="direction"):
        read_rig(RIG + own.replace('direction = "fills"\n', ""))


def test_spoken_supplies() -> None:
    """w g a p, water, gray, grey, alcohol, stove, gas, propane are all understood; others get the nearest."""
    said = ["w", "g", "a", "p", "Water", "gray", "grey", "alcohol", "stove", "gas", "propane"]
    assert [supply_named(w) for w in said] == [
        "fresh", "grey", "stove_fuel", "propane", "fresh", "grey", "grey", "stove_fuel", "stove_fuel", "propane", "propane",
    ]  # fmt: skip
    with pytest.raises(Refusal, match="did you mean 'propane'"):
        supply_named("propan")


def test_letters_go_on_after_z() -> None:
    """The twenty-seventh container is AA."""
    jugs = read_rig('[[container]]\nsupply = "fresh"\ncapacity = "1 gal"\ncount = 28\n').containers
    assert [jugs[i].letter for i in (0, 25, 26, 27)] == ["A", "Z", "AA", "AB"]


@pytest.mark.parametrize(
    ("letters", "then"),
    [(("", "C", ""), ["A", "C", "B"]), (("b", "", ""), ["B", "A", "C"]), (("B", "B", ""), None), (("1", "", ""), None)],
)
def test_a_letter_may_be_given(letters: tuple[str, ...], then: list[str] | None) -> None:
    """A letter written down is that container's, the others take the free ones in order; twice or no letter is refused."""
    rows = (f'[[container]]\nsupply = "fresh"\nlabel = "{i}"\ncapacity = "1 gal"\n'
            + (f'letter = "{letter}"\n' if letter else "") for i, letter in enumerate(letters))  # fmt: skip
    if then is None:
        with pytest.raises(Refusal, match="letter"):
            read_rig("".join(rows))
    else:
        assert [c.letter for c in read_rig("".join(rows)).containers] == then


@given(st.text(max_size=200))
def test_no_text_brings_the_reader_down(text: str) -> None:
    """Whatever stands in the file, the answer is a rig or a Refusal."""
    with suppress(Refusal):
        read_rig(text)


def test_one_container_described_anew() -> None:
    """Of three jugs alike one is measured anew: it alone changes, its letter and the word it is counted by stay."""
    old = read_rig(RIG)
    new = read_rig(amended(RIG, "fresh", "jug 2", {"capacity": "4.8 gal"}, "America/Boise"))
    changed = [(a, b) for a, b in zip(old.containers, new.containers, strict=True) if a != b]
    assert [(b.label, b.letter, b.kind) for _, b in changed] == [("jug 2", "B", "jug")]
    assert changed[0][1] == replace(changed[0][0], capacity=changed[0][1].capacity)
    assert changed[0][1].capacity == pytest.approx(4.8 * GAL)
    assert replace(new, containers=old.containers, zone=old.zone) == old and new.zone == "America/Boise"
    assert new.canonical(parse_amount("3 jugs"), "fresh") == pytest.approx(15 * GAL)
