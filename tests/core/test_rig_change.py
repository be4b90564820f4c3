"""The rig changed in mid-life: what is said does exactly that, everything else stays as it was written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.wording.example import GALLON, POUND, RIG_TOML
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.change import changed, subject, with_level
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Container, Rig

ZONE = "America/Denver"
BEFORE = read_rig(RIG_TOML)


def after(said: str) -> Rig:
    """The rig after a change said as on the command line."""
    return read_rig(changed(RIG_TOML, ZONE, *subject(said, BEFORE)))


def one(rig: Rig, supply: str, name: str) -> Container:
    """A container of a rig."""
    return rig.container(supply, name)


@pytest.mark.parametrize(
    ("said", "supply", "name", "changes"),
    [
        ("water b 6 gal", "fresh", "jug B", {"capacity": 6 * GALLON}),
        ("jug B kept back", "fresh", "jug B", {"kept_back": True}),
        ("water a for washing", "fresh", "jug A", {"drinking": False}),
        ("gray stop at 5", "grey", "gray jug", {"usable": 0.8333}),
        ("gray stop at half", "grey", "gray jug", {"usable": 0.5}),
        ("water a dead 0.5", "fresh", "jug A", {"dead": GALLON / 2}),
        ("propane tare 18", "propane", "cylinder", {"tare": 18 * POUND}),
        ("alcohol b 1 L", "stove_fuel", "canister 2", {"capacity": 1.0}),
        ("water a called blue jug", "fresh", "blue jug", {"label": "blue jug", "was": ("jug A",), "kind": "blue jug"}),
    ],
)
def test_one_container_changes_and_nothing_else(said: str, supply: str, name: str, changes: dict[str, object]) -> None:
    """Exactly what was said of one container is different; all other containers and the supplies are as before."""
    rig = after(said)
    then = one(rig, supply, name)
    was = next(c for c in BEFORE.of(supply) if c.label in then.names)
    for key, value in changes.items():
        assert getattr(then, key) == (pytest.approx(value) if isinstance(value, float) else value)
    assert replace(then, **{k: getattr(was, k) for k in changes}) == was
    assert [c for c in rig.containers if c != then] == [c for c in BEFORE.containers if c != was]
    assert rig.supplies == BEFORE.supplies


def test_more_and_fewer_containers() -> None:
    """A jug gone, one more, two alike, and one of a supply the rig lacked."""
    assert [c.label for c in after("water b gone").of("fresh")] == ["jug A"]
    assert [c.label for c in after("new water 5 gal jug A").of("fresh")] == ["jug A", "jug B", "jug A 2"]
    two = after("new water 2 x 1 gal bottle").of("fresh")[2:]
    assert [(c.label, c.capacity) for c in two] == [("bottle", GALLON), ("bottle 2", GALLON)]
    toilet = after("new toilet fills 5 gal cassette")
    assert toilet.supply("toilet").direction == "fills" and toilet.of("toilet")[0].label == "cassette"


def test_supplies_and_the_rig_itself() -> None:
    """Unit, reserve and the owner's guess of one supply; zone, units and currency of all."""
    its = after("water reserve 1 gal").supply("fresh")
    assert its.reserve == pytest.approx(GALLON)
    assert after("propane unit kg").supply("propane").unit == "kg"
    assert after("water lasts 9 days").supply("fresh").lasts == 9
    assert after("zone America/Chicago").zone == "America/Chicago"
    assert after("currency cad").currency == "CAD"


@pytest.mark.parametrize(
    "said", ["water b 5 gal", "water b flies", "water reserve 50 gal", "zone Nowhere/Land", "new 5 gal", "gray stop at 9",
             "water a called jug B", "units furlongs", "new water jug"],
)  # fmt: skip
def test_what_cannot_be_is_refused(said: str) -> None:
    """No change, nonsense, too much, a name taken: a sentence each, and no rig."""
    with pytest.raises(Refusal):
        after(said)


def test_a_new_container_takes_no_former_name() -> None:
    """What was called jug A once is known under that name in the log: a new one gets another."""
    renamed = changed(RIG_TOML, ZONE, "fresh", "jug A", "called blue jug")
    rig = read_rig(changed(renamed, ZONE, "fresh", "", "new 5 gal jug A"))
    assert [c.label for c in rig.of("fresh")] == ["blue jug", "jug B", "jug A 2"]


def letters(rig: Rig, supply: str = "fresh") -> dict[str, str]:
    """Label → letter."""
    return {c.label: c.letter for c in rig.of(supply)}


def test_a_letter_stays_with_its_container() -> None:
    """Jug A gone, jug B is B still; a new one is neither A nor B; renamed and of another size it keeps its letter."""
    gone = changed(RIG_TOML, ZONE, "fresh", "jug A", "gone")
    assert letters(read_rig(gone)) == {"jug B": "B"}
    new = changed(gone, ZONE, "", "", "new water 6 gal jug", [BEFORE, read_rig(gone)])
    assert letters(read_rig(new)) == {"jug B": "B", "jug": "C"}
    renamed = changed(new, ZONE, "fresh", "jug", "called blue jug", [BEFORE])
    assert letters(read_rig(changed(renamed, ZONE, "fresh", "jug B", "4 gal"))) == {"jug B": "B", "blue jug": "C"}
    less = changed(RIG_TOML, ZONE, "stove_fuel", "canister 2", "gone")
    assert letters(read_rig(less), "stove_fuel") == {"canister 1": "A", "can": "C"}


@pytest.mark.parametrize("said", ["6 gal jug", "jug 6 gal", "water jug 6 gal"])
def test_a_new_jug_is_told_from_the_gray_one(said: str) -> None:
    """Where the gray container is the jug, a new one for water is named by its size, and the next like it by a number."""
    gray = changed(RIG_TOML, ZONE, "grey", "gray jug", "called jug")
    one = changed(gray, ZONE, "fresh", "", f"new {said}")
    two = changed(one, ZONE, "fresh", "", f"new {said}")
    assert [c.label for c in read_rig(two).of("fresh")] == ["jug A", "jug B", "6 gal jug", "6 gal jug 2"]


def test_a_new_one_is_not_what_is_gone() -> None:
    """A jug of the name of one that is gone is another jug, and called so."""
    gone = changed(RIG_TOML, ZONE, "fresh", "jug B", "gone")
    assert "jug B 2" in letters(read_rig(changed(gone, ZONE, "fresh", "", "new 5 gal jug B", [BEFORE])))


@pytest.mark.parametrize(
    ("said", "apart"),
    [("new water 6 gal jug full", ("new water 6 gal jug", "full")), ("new jug 6 gal, full", ("new jug 6 gal", "full")),
     ("new blue 6 gal jug low", ("new blue 6 gal jug", "low")), ("new 6 gal jug a bit left", ("new 6 gal jug", "a bit")),
     ("new 5 gal jug half full", ("new 5 gal jug", "half")), ("add 5 gal jug empty", ("add 5 gal jug", "empty")),
     ("new 5 gal jug", ("new 5 gal jug", "")), ("called full moon", ("called full moon", ""))],
)  # fmt: skip
def test_how_full_a_new_one_is(said: str, apart: tuple[str, str]) -> None:
    """What is in a new container is no part of its name."""
    assert with_level(said) == apart


def test_what_is_called_as_only_one_supply_s_are_is_of_that_supply() -> None:
    """A new cylinder is of propane without saying so; a jug is not where gray has one too, and what was typed is kept in
    what to say."""
    more = after("new 11 lb cylinder")
    assert len(more.of("propane")) == len(BEFORE.of("propane")) + 1 and more.of("propane")[-1].capacity == 11 * POUND
    with pytest.raises(Refusal, match="Say new water 7 gal jug;"):
        after("new 7 gal jug")
