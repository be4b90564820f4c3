"""How much is left, and each container as it stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.wording.example import NOW, POUND, RIG_TOML, forecast, rig
from vanlife_supply.forecast.model import Band, ContainerOutlook, SupplyOutlook
from vanlife_supply.resupply import town
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL, Rig
from vanlife_supply.wording.amounts import sized
from vanlife_supply.wording.state import container_text, left_now
from vanlife_supply.wording.town import town_text


def of(supply: str) -> SupplyOutlook:
    """The invented outlook of one supply."""
    found = forecast().supply(supply)
    assert found is not None
    return found


def test_what_was_weighed_today_is_told_as_weighed() -> None:
    """9.3 lb weighed today is 9.3 lb; the same as a guess, or eleven days later, is 9½ lb."""
    its, weighed = rig().supply(PROPANE), 9.3 * POUND
    today = replace(of(PROPANE), source="looked", last_trusted=NOW.epoch)
    assert left_now(weighed, today, forecast(), its) == "9.3 lb"
    assert left_now(weighed, replace(today, last_trusted=NOW.epoch - 11 * 86_400), forecast(), its) == "9½ lb"
    assert left_now(weighed, replace(today, source="guess"), forecast(), its) == "9½ lb"
    assert left_now(1.0, of(GREY), forecast(), rig().supply(GREY)).startswith("room ")


@pytest.mark.parametrize(("supply", "told"), [(FRESH, "A jug 7 gal nearly empty"), (GREY, "A jug 7 gal nearly empty")])
def test_next_to_nothing_is_said_so(supply: str, told: str) -> None:
    """Not `about 0`."""
    drop = ContainerOutlook("A", "jug", "open", 7 * 3.785, Band(0.0, 0.01, 0.1))
    spare = replace(drop, letter="B", label="jug B")
    outlook = replace(of(supply), containers=(drop, spare))
    assert container_text(drop, outlook, rig()) == told


def test_a_size_is_not_said_twice() -> None:
    """A jug named by its size needs no size beside its name."""
    its = rig().supply(FRESH)
    assert sized("7 gal jug", 7 * 3.785411784, its) == "7 gal jug"
    assert sized("17 gal jug", 7 * 3.785411784, its) == "17 gal jug 7 gal"
    assert sized("blue jug", 7 * 3.785411784, its) == "blue jug 7 gal"


def canisters(rig: Rig, levels: tuple[float | None, float | None, float]) -> str:
    """The town list with the alcohol at such levels, litres: two canisters and the can."""
    outlook = of(STOVE_FUEL)
    held = tuple(
        replace(c, state="open" if level else "empty", level=None if level is None else Band(level, level, level))
        for c, level in zip(outlook.containers, levels, strict=True)
    )
    its = replace(outlook, containers=held, level=Band(1.0, 1.0, 1.0))
    seen = replace(forecast(), supplies=tuple(its if s.supply == STOVE_FUEL else s for s in forecast().supplies))
    return " ".join(town_text(town(seen, rig), seen, rig).split())


@pytest.mark.parametrize("levels", [(0.5, 1.2, 3.3), (0.0, 0.0, 3.3), (None, 0.0, 3.3), (None, None, 3.3)])
def test_no_alcohol_is_bought_for_a_canister_the_can_can_fill(levels: tuple[float | None, float | None, float]) -> None:
    """With 3.3 L in the can only the can is on the list, also where a canister's level is not known."""
    told = canisters(read_rig(RIG_TOML), levels)
    assert "can 3.8 L: fill the others from it" in told and "canister" not in told


def test_a_split_jug_is_to_be_replaced() -> None:
    """What no longer holds anything is on the list for town; what is only frozen is not."""
    its = of(FRESH)
    for why in ("split", "frozen"):
        held = (*its.containers[:-1], replace(its.containers[-1], state="aside", why=why))
        seen = replace(forecast(), supplies=(replace(its, containers=held), *forecast().supplies[1:]))
        told = " ".join(town_text(town(seen, rig()), seen, rig()).split())
        assert (f"{held[-1].label} is {why}: replace it." in told) == (why == "split")


def test_an_almost_empty_can_fills_no_canister() -> None:
    """With 0.3 L in the can the canisters are bought for."""
    assert "canister 1 1.2 L: get" in canisters(read_rig(RIG_TOML), (0.0, 0.0, 0.3))
