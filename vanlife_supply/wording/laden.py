"""What the supplies weigh beside what their owner said they may."""

from __future__ import annotations

from vanlife_supply.forecast.model import Forecast
from vanlife_supply.quantity import MASS
from vanlife_supply.rig.model import Rig
from vanlife_supply.rig.weight import Load, load_of


def load_now(forecast: Forecast, rig: Rig) -> Load | None:
    """What is aboard as the forecast has it; None where nobody said what it may weigh."""
    levels = {s.supply: s.level.p50 if s.level else None for s in forecast.supplies}
    return None if rig.payload is None else load_of(levels, rig)


def weight(kg: float, rig: Rig) -> str:
    """`84 lb`"""
    return f"{kg / MASS[rig.scale]:.0f} {rig.scale}"


def load_words(load: Load, rig: Rig) -> str:
    """`about 84 lb of supplies aboard, you said 300 lb at most`"""
    about = "about" if load.whole else "at least"
    return f"{about} {weight(load.kg, rig)} of supplies aboard, you said {weight(rig.payload or 0.0, rig)} at most"


def overload(load: Load | None, rig: Rig) -> str:
    """What to mind when more comes aboard than may; "" when it may."""
    if load is None or rig.payload is None or load.kg <= rig.payload:
        return ""
    # 49 CFR 571.110 S9.3: water aboard is cargo. Who decides: common practice, no source.
    return f"Heavy: {load_words(load, rig)}. Weigh on a public scale; the maker's plate and local law decide."
