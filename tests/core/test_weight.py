"""What supplies weigh, and that it is too much: from levels, from the log, and said once at the act."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.wording.example import GALLON, NOW, POUND, RIG_TOML
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.laden import aboard, laden
from vanlife_supply.entry.model import Entry
from vanlife_supply.entry.states import Replay
from vanlife_supply.forecast import learn, look_ahead
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement, Rig
from vanlife_supply.rig.weight import Load, kg_each, kg_each_called, load_of
from vanlife_supply.wording.cautions import caution

LIMITED = RIG_TOML.replace("[rig]", '[rig]\npayload = "60 lb"', 1)


def said(kind: str, supply: str, amount: str = "", days_ago: float = 0.0) -> Entry:
    """An entry so many days before now."""
    return replace(build(Typed(kind, supply, amount), read_rig(LIMITED), NOW), at=NOW.plus(-days_ago))


def weighed(rig: Rig, *entries: Entry) -> Load | None:
    """What is aboard once the last of them is done."""
    return laden(entries[:-1], entries[-1], [Arrangement(0.0, rig)])


def test_forty_gallons_of_water() -> None:
    """40 US gal weigh 151.4 kg: 49 CFR 571.110 S9.3.4(e) takes 1 kg a litre."""
    rig = read_rig(RIG_TOML)
    assert load_of({"fresh": 40 * GALLON}, rig).kg == pytest.approx(151.4, abs=0.05)
    assert not load_of({"fresh": 1.0}, rig).whole
    assert load_of(dict.fromkeys((s.name for s in rig.supplies), 1.0), rig).whole
    # Propane is kept in kilograms; ethanol 0.789 kg/L at 20 °C.
    assert kg_each(rig.supply("propane")) == 1.0
    assert kg_each(rig.supply("stove_fuel")) == pytest.approx(0.789, abs=1e-3)
    assert all(kg_each(s) == kg_each_called(s.name) for s in rig.supplies)
    assert kg_each_called("beer") == 1.0


def test_a_payload_is_a_weight() -> None:
    """The key is read as pounds or kilograms; anything else is refused with an example; without it there is none."""
    assert read_rig(LIMITED).payload == pytest.approx(60 * POUND)
    assert read_rig(RIG_TOML).payload is None
    for wrong in ('"5 gal"', '"0 lb"', "300"):
        with pytest.raises(Refusal, match="payload"):
            read_rig(RIG_TOML.replace("[rig]", f"[rig]\npayload = {wrong}", 1))


def test_a_fill_past_the_payload_is_said_at_the_act_and_only_there() -> None:
    """All water (12 gal, 100 lb) is past 60 lb and said; 5 gal, other acts and a rig without the key say nothing."""
    rig = read_rig(LIMITED)
    empty, full = said("ran-out", "water", days_ago=1), said("fill", "water")
    load = weighed(rig, empty, full)
    assert load is not None and load.kg == pytest.approx(12 * GALLON, rel=0.01)
    told = caution(full, rig, load)
    assert "100 lb" in told and "60 lb" in told and "public scale" in told
    some = said("fill", "water", "5 gal")
    assert caution(some, rig, weighed(rig, empty, some)) == ""
    assert weighed(rig, full, said("use", "water", "1 gal")) is None
    assert weighed(read_rig(RIG_TOML), empty, full) is None


def test_usual_use_since_the_last_word_is_taken_off() -> None:
    """Propane that was full a month ago weighs less by what is usually burnt; the gray that fills meanwhile weighs more."""
    rig = read_rig(LIMITED)
    refills = [said("fill", "propane", "10 lb full", days) for days in (90, 60, 30)]
    dumps = [said("dump", "gray", "5 gal empty", days) for days in (14, 9, 4)]
    water = said("fill", "water", days_ago=0.0)
    load = weighed(rig, *refills, *dumps, water)
    assert load is not None
    assert load.kg == pytest.approx((12 + 4) * GALLON + 10 * POUND, rel=0.05)


def test_the_act_and_the_forecast_weigh_alike() -> None:
    """Whatever was noted before, what a fill says is aboard is what the forecast says right after it."""
    rig = read_rig(LIMITED)
    stands = [Arrangement(0.0, rig)]
    log = [said("dump", "gray", days_ago=30), said("fill", "propane", days_ago=20)]
    for days, kind, supply, amount in (
        (12, "fill", "water", ""), (9, "next", "water", ""), (7, "fill", "water", "10 gal full"), (5, "dump", "gray", ""),
        (3, "fill", "water", "5 gal full"), (2, "reading", "gray", "half"), (1, "fill", "alcohol", ""),
    ):  # fmt: skip
        entry = said(kind, supply, amount, days)
        load = laden(log, entry, stands)
        log.append(entry)
        ahead = look_ahead(learn(None, stands, log), entry.at)
        assert kind != "fill" or ahead.load == load
        assert ahead.load is not None


def test_weight_goes_down_with_use_also_before_anything_is_usual() -> None:
    """A full load lasts as long as its owner says, else as long as it usually does: the weight goes by that at first."""
    for toml, days in ((LIMITED, 8.0), (LIMITED + '[[supply]]\nname = "fresh"\nlasts = "6 days"\n', 6.0)):
        shelves = Replay.over([said("fill", "water", days_ago=2.0)], [Arrangement(0.0, read_rig(toml))]).shelves
        load = aboard(shelves, NOW.epoch, read_rig(toml))
        assert load is not None and load.kg == pytest.approx(12 * GALLON * (1 - 2 / days), rel=0.01)
