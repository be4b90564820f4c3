"""What a map's tags say of a place, in words; the keys are those of the OpenStreetMap wiki and its main editor's presets."""

from __future__ import annotations

from collections.abc import Mapping

_IS = {
    ("amenity", "water_point"): "water point for vehicles", ("waterway", "water_point"): "water point for boats",
    ("amenity", "drinking_water"): "drinking tap", ("man_made", "water_tap"): "water tap",
    ("man_made", "water_well"): "well", ("natural", "spring"): "spring", ("amenity", "fountain"): "fountain",
    ("amenity", "sanitary_dump_station"): "dump station for toilet waste",
    ("waterway", "sanitary_dump_station"): "dump station for boats", ("amenity", "toilets"): "toilets",
    ("amenity", "fuel"): "fuel station", ("shop", "fuel"): "fuel in cans", ("shop", "gas"): "bottled gas",
    ("shop", "hardware"): "hardware store", ("shop", "doityourself"): "hardware store",
    ("shop", "outdoor"): "outdoor store", ("shop", "chemist"): "chemist", ("shop", "paint"): "paint store",
    ("shop", "trade"): "trade supplies", ("shop", "supermarket"): "supermarket", ("tourism", "camp_site"): "camp site",
    ("tourism", "caravan_site"): "caravan site", ("tourism", "camp_pitch"): "pitch",
    ("highway", "rest_area"): "rest area", ("highway", "services"): "services", ("fee", "yes"): "it costs something",
    ("fee", "no"): "free", ("fee", "donation"): "a donation", ("access", "customers"): "for customers",
    ("access", "private"): "private", ("access", "no"): "closed to all", ("access", "yes"): "open to all",
    ("access", "permissive"): "open to all by leave", ("access", "permit"): "with a permit",
    ("access", "destination"): "for guests", ("seasonal", "no"): "all year", ("seasonal", "yes"): "not all year",
    ("drinking_water", "no"): "not for drinking", ("drinking_water", "untreated"): "untreated water",
    ("drinking_water", "treated"): "treated water", ("drinking_water:legal", "no"): "signed as not for drinking",
    ("fountain", "bubbler"): "a jet to drink from, no hose", ("opening_hours", "24/7"): "always open",
}  # fmt: skip
"""A tag that says one thing."""
_HAS = {
    "drinking_water": "drinking water", "water_point": "water to fill", "sanitary_dump_station": "dump station",
    "sanitary_dump_station:grey_water": "gray water taken", "waste_disposal:grey_water": "gray water taken",
    "sanitary_dump_station:chemical_toilet": "toilet chemicals taken", "sanitary_dump_station:basin": "basin for a cassette",
    "sanitary_dump_station:round_drain": "drain for a hose", "sanitary_dump_station:pump-out": "suction hose",
    "waste_disposal:chemical_toilet": "toilet chemicals taken", "toilets": "toilets", "shower": "showers",
    "power_supply": "power", "fuel:lpg": "LPG pump", "fuel:propane": "propane pump", "bottle": "filling bottles",
    "tents": "tents", "caravans": "caravans", "laundry": "laundry", "internet_access": "internet", "covered": "roof",
    "reservation": "booking", "openfire": "open fires", "wheelchair": "wheelchair access",
}  # fmt: skip
"""A key whose yes or no says that there is some, or none."""
_WITH = {
    "opening_hours": "open {}", "charge": "{}", "operator": "run by {}", "seasonal": "in {}", "maxstay": "stay at most {}",
    "maxheight": "no higher than {}", "maxlength": "no longer than {}", "maxwidth": "no wider than {}",
    "maxweight": "no heavier than {}", "capacity": "room for {}", "check_date": "checked {}", "survey:date": "checked {}",
    "phone": "phone {}", "website": "{}", "fee:conditional": "fee {}", "sanitary_dump_station:fee": "dumping fee: {}",
    "water_point:fee": "water fee: {}", "sanitary_dump_station:accepted": "takes {}",
}  # fmt: skip
"""A key whose value is told as it stands."""
_QUIET = ("name", "description", "note", "comment")
"""Told elsewhere on the page."""


def told_tags(tags: Mapping[str, str]) -> tuple[str, str]:
    """What is understood, in words, and the rest as the map has it; each "" where there is none."""
    words: list[str] = []
    other: list[str] = []
    for key, value in tags.items():
        told = _IS.get((key, value)) or _had(key, value) or (key in _WITH and _WITH[key].format(_plain(value)))
        if told:
            words.append(told)
        elif key not in _QUIET:
            other.append(f"{_plain(key).replace(':', ', ')}: {_plain(value)}")
    return "; ".join(dict.fromkeys(words)), "; ".join(other)


def _had(key: str, value: str) -> str:
    noun = _HAS.get(key, "")
    return {"yes": noun, "no": f"no {noun}", "customers": f"{noun} for customers"}.get(value, "") if noun else ""


def _plain(text: str) -> str:
    return text.replace("_", " ").replace(";", ", ")
