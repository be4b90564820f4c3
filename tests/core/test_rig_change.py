"""The rig changed in mid-life: what is said does exactly that, everything else stays as it was written."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.wording.example import GALLON, POUND, RIG_TOML
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.change import changed, subject
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
             "water a called jug B", "units furlongs", "new water jug",
             "new water 6 gal jug full"],
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
