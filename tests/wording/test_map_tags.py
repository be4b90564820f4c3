"""What a map's tags say, in words; the keys and values are those of real extracts (OpenStreetMap, ODbL 1.0)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanlife_supply.wording.map_tags import told_tags


@pytest.mark.parametrize(
    ("tags", "words", "other"),
    [
        ({"amenity": "sanitary_dump_station", "fee": "yes"}, "dump station for toilet waste; it costs something", ""),
        ({"tourism": "caravan_site", "drinking_water": "yes", "shower": "no", "power_supply": "yes", "capacity": "12"},
         "caravan site; drinking water; no showers; power; room for 12", ""),
        ({"amenity": "fuel", "opening_hours": "Mo-Fr 08:00-17:00", "fuel:lpg": "yes"},
         "fuel station; open Mo-Fr 08:00-17:00; LPG pump", ""),
        ({"sanitary_dump_station:grey_water": "no", "horse_scale": "3;4"}, "no gray water taken", "horse scale: 3, 4"),
        ({"name": "Mill", "description": "ask", "drinking_water": "untreated"}, "untreated water", ""),
    ],
)  # fmt: skip
def test_tags_are_told(tags: dict[str, str], words: str, other: str) -> None:
    """Known tags become words, unknown ones stay apart, name and text are told elsewhere."""
    assert told_tags(tags) == (words, other)


@given(st.dictionaries(st.text(min_size=1, max_size=12), st.text(min_size=1, max_size=12), max_size=6))
def test_no_tag_is_lost(tags: dict[str, str]) -> None:
    """Whatever a map says is among the words or beside them."""
    words, other = told_tags(tags)
    assert bool(tags) == bool(words or other) or set(tags) <= {"name", "description", "note", "comment"}


def test_real_places_are_told_without_signs_of_the_map(shared: Path) -> None:
    """Of the places of a whole small country most tags are told, and none with an underscore or a bare key."""
    file = json.loads((shared / "samples" / "geojson" / "liechtenstein-2022.geojson").read_text(encoding="utf-8"))
    told = [told_tags({k: str(v) for k, v in each["properties"].items()}) for each in file["features"]]
    assert all("_" not in words and "yes" not in words.split("; ") for words, _ in told)
    assert sum(bool(words) for words, _ in told) > 0.9 * len(told)
