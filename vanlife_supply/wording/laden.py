"""What the supplies weigh beside what their owner said they may."""

from __future__ import annotations

from vanlife_supply.quantity import MASS
from vanlife_supply.rig.model import Rig
from vanlife_supply.rig.weight import Load


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
