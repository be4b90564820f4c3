"""Every screen has its dumps at three sizes, read like code; those that no other test walks to are made here."""

from __future__ import annotations

import asyncio
import importlib
import pkgutil
from dataclasses import replace

import pytest
from textual.screen import Screen

import vanlife_supply.tui.screens as package
from tests.tui.fake import FakeDesk
from tests.tui.walk import GOLDEN, SIZES, golden, opened, press, screen, type_in
from tests.wording.example import NOW, forecast, rig
from vanlife_supply.forecast.model import Forecast, Question

DUMPS = {
    "AskScreen": ("saying", "spans"), "AskedScreen": ("asked",), "BuildScreen": ("trip-building",),
    "CloserScreen": ("closer",), "DecidingScreen": ("deciding", "answer"), "DoubtScreen": ("question",),
    "EntriesScreen": ("entries",), "FirstScreen": ("first", "rest", "noting", "canister", "which", "message"),
    "LinesScreen": ("stop", "catch-up", "setup"), "MoreScreen": ("keys",), "PageScreen": ("thing",),
    "PickScreen": ("trip-picking",), "PlaceScreen": ("place", "place-asked"), "PlacesScreen": ("places",),
    "RigScreen": ("rig",), "StopScreen": ("next-stop",), "TripScreen": ("trip",),
}  # fmt: skip
"""Screen → the dumps that show it."""
ONLY_A_BASE = {"LiveScreen", "RowsScreen", "SheetScreen"}


def test_every_screen_has_its_dumps() -> None:
    """No screen class is without a dump at every size, and no dump belongs to no screen."""
    found = {
        name
        for module in pkgutil.iter_modules(package.__path__)
        for name, its in vars(importlib.import_module(f"{package.__name__}.{module.name}")).items()
        if isinstance(its, type) and issubclass(its, Screen) and its.__module__.endswith(f".{module.name}")
    }
    assert found - ONLY_A_BASE == set(DUMPS)
    wanted = {f"{dump}-{size}.txt" for dumps in DUMPS.values() for dump in dumps for size in SIZES}
    there = {path.name for path in GOLDEN.glob("*x*.txt")}
    assert wanted == there


class AskingDesk(FakeDesk):
    """Propane goes as if the heater were on."""

    def forecast(self) -> Forecast:
        """With that question, and nothing odd that would be asked before it."""
        calm = tuple(one for one in forecast().warnings if one.code != "questioned")
        question = Question("propane", "heater", True, NOW.plus(-3).epoch, 0.95, 4.0)
        return replace(forecast(), warnings=calm, question=question)


@pytest.mark.parametrize("size", list(SIZES))
def test_asked(size: str) -> None:
    """A switch that seems overlooked, asked about."""

    async def run() -> None:
        async with opened(AskingDesk(rig()), SIZES[size]) as pilot:
            await press(pilot, "2")
            golden(f"asked-{size}", screen(pilot))

    asyncio.run(run())


@pytest.mark.parametrize("size", list(SIZES))
def test_setup(size: str) -> None:
    """Set-up at its last but one question, the answers before it above."""

    async def run() -> None:
        async with opened(FakeDesk(None), SIZES[size]) as pilot:
            for answer in ("1 and a dog 50 lb", "7 gal half, 5 gal full", "sunday", "10", "6 gal, 2 in it, stop at 5.5"):
                await type_in(pilot, answer)
                await press(pilot, "enter")
            await type_in(pilot, "2 x 1.2 L full, can 1 gal half")
            await pilot.pause()
            golden(f"setup-{size}", screen(pilot))

    asyncio.run(run())
