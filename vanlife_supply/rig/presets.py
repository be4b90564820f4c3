"""What usual acts take before one's own are noted."""

from __future__ import annotations

from vanlife_supply.rig.model import FRESH, GREY, PROPANE, STOVE_FUEL

USUAL_USES: dict[str, tuple[str, str]] = {
    # word: supply, amount; common practice, no source; all are starting points
    "shower": (FRESH, "1 gal"),
    "dishes": (FRESH, "0.3 gal"),
    "wash": (FRESH, "0.5 gal"),
    "coffee": (FRESH, "0.4 L"),
}
FULL_LASTS_DAYS = {FRESH: 8.0, GREY: 8.0, STOVE_FUEL: 45.0, PROPANE: 45.0}
"""How long a full load usually lasts: common practice, no source."""
