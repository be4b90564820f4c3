"""What usual acts take before one's own are noted."""

from __future__ import annotations

from vanlife_supply.rig.model import FRESH

USUAL_USES: dict[str, tuple[str, str]] = {
    # word: supply, amount; common practice, no source; all are starting points
    "shower": (FRESH, "1 gal"),
    "dishes": (FRESH, "0.3 gal"),
    "wash": (FRESH, "0.5 gal"),
    "coffee": (FRESH, "0.4 L"),
}
