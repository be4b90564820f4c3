"""rig.toml → Rig, naming what is wrong and where."""

from __future__ import annotations

import itertools
import math
import re
import tomllib
from collections.abc import Container as Holds
from collections.abc import Mapping
from typing import Any

from vanlife_supply.constants import METRES_PER_FOOT, PROPANE_FILLING_LIMIT
from vanlife_supply.moment import zone_named
from vanlife_supply.quantity import MASS, VOLUME, convert, parse_amount
from vanlife_supply.refusal import Refusal, nearest
from vanlife_supply.rig.model import EMPTIES, FILLS, PROPANE, SPOKEN, STANDARD, Container, Rig, Supply, Vehicle

Table = Mapping[str, Any]

_SIZES = ("height", "length", "width")
_RIG_KEYS = ["people", "pets", "units", "timezone", "currency", "confidence", *_SIZES, "weight", "country",
             "payload"]
_SUPPLY_KEYS = ["name", "reserve", "unit", "lasts", "direction", "measure", "density"]
_CONTAINER_KEYS = [
    "supply", "label", "count", "capacity", "wc", "usable", "dead", "tare", "drinking",
    "idle_loss_per_week", "reserve", "portable", "kind", "was", "letter",
]  # fmt: skip
MOST_CONTAINERS = 60
_LENGTH = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,3})?) ?(m|cm|ft)|([0-9]{1,2})'(?:([0-9]{1,2}(?:\.[0-9])?)\"?)?")


def read_rig(text: str) -> Rig:
    """The text of a rig.toml → Rig. Refusal names the table, the key and what would be taken."""
    try:
        tables = tomllib.loads(text.removeprefix("\ufeff"))
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        raise Refusal(f"rig.toml is not readable TOML: {fault}.") from None
    _known("rig.toml", tables, ["rig", "supply", "container"])
    head = _table("[rig]", tables.get("rig", {}))
    _known("[rig]", head, _RIG_KEYS)
    units = _choice("[rig] units", head.get("units", "us"), ("us", "metric"))
    rows = _rows("[[container]]", tables.get("container", []))
    if not rows:
        raise Refusal("rig.toml has no [[container]]: name at least one jug, tank, canister or cylinder.")
    supplies = _supplies(_rows("[[supply]]", tables.get("supply", [])), rows, units)
    zone = _text("[rig] timezone", head.get("timezone", "UTC"))
    zone_named(zone)
    return Rig(
        supplies=supplies,
        containers=_containers(rows, {s.name: s for s in supplies}),
        people=_real("[rig] people", head.get("people", 1), 0, 99),
        pets=_names("[rig] pets", head.get("pets", [])),
        units=units,
        zone=zone,
        currency=_currency(head.get("currency", "USD")),
        confidence=_real("[rig] confidence", head.get("confidence", 0.9), 0.5, 0.999),
        vehicle=_vehicle(head),
        payload=_payload(head["payload"]) if "payload" in head else None,
    )


def _payload(value: Any) -> float:
    kg = _mass("[rig] payload", value)
    if not 0 < kg <= 20_000:
        raise Refusal(f"[rig] payload: '{value}' is not what supplies may weigh: write it like \"300 lb\".")
    return kg


def _vehicle(head: Table) -> Vehicle:
    """The measures that decide where the vehicle may go: metres, tonnes, a country."""
    height, length, width = (_metres(f"[rig] {key}", head[key]) if key in head else None for key in _SIZES)
    weight = _mass("[rig] weight", head["weight"]) / 1000 if "weight" in head else None
    country = _text("[rig] country", head.get("country", ""))
    if country and not (len(country) == 2 and country.isascii() and country.isalpha()):
        raise Refusal(f"[rig] country: '{country}' is not a two-letter code like US or FR.")
    if weight is not None and not 0 < weight <= 60:
        raise Refusal(f"[rig] weight: '{head['weight']}' is not what a vehicle weighs.")
    return Vehicle(height, length, width, weight, country.upper())


def _metres(where: str, value: Any) -> float:
    """`2.9 m`, `9.5 ft`, `9'6"`: metres."""
    found = _LENGTH.fullmatch(_text(where, value).strip().lower().replace(",", "."))
    size = 0.0
    if found and found[1]:
        size = float(found[1]) * {"m": 1.0, "cm": 0.01, "ft": METRES_PER_FOOT}[found[2]]
    elif found:
        size = (int(found[3]) + float(found[4] or 0) / 12) * METRES_PER_FOOT
    if not 0.5 <= size <= 30:
        raise Refusal(f"{where}: write it like \"2.9 m\" or \"9.5 ft\", not \"{value}\".")
    return size


def standard_supply(name: str, units: str) -> Supply:
    """One of the four every rig may carry, with the display unit of that system of units."""
    direction, measure, density, us, metric = STANDARD[name]
    return Supply(name, direction, measure, density, us if units == "us" else metric)


def _supplies(declared: list[Table], containers: list[Table], units: str) -> tuple[Supply, ...]:
    found: dict[str, Supply] = {}
    for i, row in enumerate(declared, 1):
        where = f"[[supply]] {i}"
        _known(where, row, _SUPPLY_KEYS)
        name = supply_word(where, row.get("name"))
        if name in found:
            raise Refusal(f"{where}: '{name}' is there twice; keep one.")
        found[name] = _supply(f"[[supply]] {name}", name, row, units)
    order = list(found)
    for i, row in enumerate(containers, 1):
        name = supply_word(f"[[container]] {i}", row.get("supply"), key="supply")
        if name not in found:
            if name not in STANDARD:
                raise Refusal(
                    f"[[container]] {i}: '{name}' is not a supply{nearest(name, [*STANDARD, *order])}: "
                    "use fresh, grey, stove_fuel, propane, or add a [[supply]] with its direction."
                )
            found[name] = standard_supply(name, units)
    used = {supply_word("", row.get("supply"), key="supply") for row in containers}
    kept = [s for n, s in found.items() if n in used]
    rank = {name: i for i, name in enumerate(STANDARD)}
    return tuple(sorted(kept, key=lambda s: rank.get(s.name, len(rank))))


def _supply(where: str, name: str, row: Table, units: str) -> Supply:
    if name in STANDARD:
        base = standard_supply(name, units)
        for key in ("direction", "measure"):
            if key in row and row[key] != getattr(base, key):
                raise Refusal(f"{where}: {key} of {name} is always '{getattr(base, key)}'; leave it out.")
    else:
        if "direction" not in row:
            raise Refusal(f'{where}: add direction = "empties" or direction = "fills".')
        measure = _choice(f"{where} measure", row.get("measure", "volume"), ("volume", "mass"))
        unit = {("us", "volume"): "gal", ("us", "mass"): "lb", ("metric", "volume"): "L", ("metric", "mass"): "kg"}
        direction = _choice(f"{where} direction", row["direction"], (EMPTIES, FILLS))
        base = Supply(name, direction, measure, None, unit[units, measure])
    density = _real(f"{where} density", row["density"], 0.01, 20) if "density" in row else base.density
    unit_word = row.get("unit", base.unit)
    if unit_word not in VOLUME and unit_word not in MASS:
        raise Refusal(f"{where} unit: '{unit_word}' is not a unit{nearest(str(unit_word), [*VOLUME, *MASS])}.")
    convert(1.0, unit_word, base.measure, density)
    sized = Supply(name, base.direction, base.measure, density, unit_word)
    return Supply(
        name, base.direction, base.measure, density, unit_word,
        reserve=_amount(f"{where} reserve", row["reserve"], sized) if "reserve" in row else 0.0,
        lasts=_days(f"{where} lasts", row["lasts"]) if "lasts" in row else None,
    )  # fmt: skip


def _containers(rows: list[Table], supplies: dict[str, Supply]) -> tuple[Container, ...]:
    made: list[Container] = []
    said = [(supply_word("", row["supply"]), _letter(i, row)) for i, row in enumerate(rows, 1)]
    for i, row in enumerate(rows, 1):
        where = f"[[container]] {i}"
        _known(where, row, _CONTAINER_KEYS)
        supply = supplies[supply_word(where, row["supply"], key="supply")]
        count = int(_real(f"{where} count", row.get("count", 1), 1, MOST_CONTAINERS))
        label = _text(f"{where} label", row.get("label", supply.name)).strip()
        if not label or "," in label or "\n" in label:
            raise Refusal(f"{where} label: give a short name without commas.")
        kind = _text(f"{where} kind", row.get("kind", label)).strip()
        for k in range(count):
            taken = [*said, *((c.supply, c.letter) for c in made)]
            letter = said[i - 1][1] or free_letter({one for name, one in taken if name == supply.name})
            made.append(_container(where, row, supply, label if count == 1 else f"{label} {k + 1}", kind, made, letter))
    for supply in supplies.values():
        mine = [c for c in made if c.supply == supply.name]
        if supply.reserve > sum(c.stop - c.dead for c in mine):
            raise Refusal(f"[[supply]] {supply.name} reserve: it is more than the containers can give; make it smaller.")
    if len(made) > MOST_CONTAINERS:
        raise Refusal(f"rig.toml names {len(made)} containers: {MOST_CONTAINERS} at most.")
    return tuple(made)


def _letter(i: int, row: Table) -> str:
    """The letter a block gives its container; "" where the next free one in order is meant."""
    letter = _text(f"[[container]] {i} letter", row.get("letter", "")).strip().upper()
    if letter and (not re.fullmatch("[A-Z]{1,2}", letter) or row.get("count", 1) != 1):
        raise Refusal(f'[[container]] {i} letter: write one like letter = "C", for a single container.')
    return letter


def _container(
    where: str, row: Table, supply: Supply, label: str, kind: str, made: list[Container], letter: str
) -> Container:
    mine = [c for c in made if c.supply == supply.name]
    if any(letter == c.letter for c in mine):
        raise Refusal(f"{where} letter: '{letter}' stands for two containers of {supply.name}; give each its own.")
    if any(label.lower() in (name.lower() for name in c.names) for c in mine):
        raise Refusal(f"{where} label: '{label}' names two containers of {supply.name}; give each its own.")
    capacity = _brim(where, row, supply)
    dead = _amount(f"{where} dead", row["dead"], supply) if "dead" in row else 0.0
    usable = _real(f"{where} usable", row.get("usable", 1.0), 0.01, 1.0)
    if dead >= capacity * usable:
        raise Refusal(f"{where} dead: it leaves nothing to use; it must be smaller than the capacity.")
    return Container(
        supply=supply.name,
        letter=letter,
        label=label,
        capacity=capacity,
        usable=usable,
        dead=dead,
        tare=_mass(f"{where} tare", row["tare"]) if "tare" in row else 0.0,
        drinking=_flag(f"{where} drinking", row.get("drinking", True)),
        idle_loss_per_week=_real(f"{where} idle_loss_per_week", row.get("idle_loss_per_week", 0.0), 0.0, 0.95),
        kept_back=_flag(f"{where} reserve", row.get("reserve", False)),
        portable=_flag(f"{where} portable", row.get("portable", True)),
        kind=kind,
        was=_names(f"{where} was", row.get("was", [])),
    )


def _brim(where: str, row: Table, supply: Supply) -> float:
    if "wc" in row:
        if supply.name != PROPANE:
            raise Refusal(f"{where} wc: water capacity is stamped on propane cylinders only; write capacity.")
        return PROPANE_FILLING_LIMIT * _mass(f"{where} wc", row["wc"])
    if "capacity" not in row:
        raise Refusal(f'{where}: it has no capacity; write it like capacity = "7 gal".')
    capacity = _amount(f"{where} capacity", row["capacity"], supply)
    if not 0 < capacity < 1e5:
        raise Refusal(f"{where} capacity: '{row['capacity']}' is not a size a vehicle carries.")
    return capacity


def free_letter(taken: Holds[str]) -> str:
    """The first of A, B, … Z, AA, … that is not taken: the letter of a container within its supply."""
    return next(one for one in map(_letters, itertools.count()) if one not in taken)


def _letters(index: int) -> str:
    head, tail = divmod(index, 26)
    return (_letters(head - 1) if head else "") + chr(ord("A") + tail)


def _amount(where: str, value: Any, supply: Supply) -> float:
    try:
        amount = parse_amount(value if isinstance(value, str) else f"{_real(where, value, 0, 1e6)}")
        return convert(amount.value, amount.unit or supply.unit, supply.measure, supply.density)
    except Refusal as fault:
        raise Refusal(f"{where}: {fault}") from None


def _mass(where: str, value: Any) -> float:
    try:
        amount = parse_amount(_text(where, value))
        if amount.unit not in MASS:
            raise Refusal(f'write a weight like "17 lb" or "7.7 kg", not "{value}".')
        return amount.value * MASS[amount.unit]
    except Refusal as fault:
        raise Refusal(f"{where}: {fault}" if not str(fault).startswith(where) else str(fault)) from None


def _days(where: str, value: Any) -> float:
    word = value.strip().lower() if isinstance(value, str) else f"{value}"
    number, _, unit = word.partition(" ")
    factor = {"day": 1.0, "days": 1.0, "week": 7.0, "weeks": 7.0, "month": 30.4, "months": 30.4, "": 1.0}.get(unit)
    try:
        days = float(number) * (factor or math.nan)
    except ValueError:
        days = math.nan
    if not 0 < days <= 3650:
        raise Refusal(f'{where}: write it like "10 days", not "{value}".')
    return days


def _names(where: str, value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(p, str) for p in value):
        raise Refusal(f'{where}: write a list like ["dog 50 lb"].')
    return tuple(value)


def _currency(value: Any) -> str:
    code = _text("[rig] currency", value)
    if not (len(code) == 3 and code.isascii() and code.isalpha()):
        raise Refusal(f"[rig] currency: '{code}' is not a three-letter code like USD or EUR.")
    return code.upper()


def supply_word(where: str, value: Any, key: str = "name") -> str:
    """The supply a table of rig.toml means, by its canonical name; Refusal when it names none."""
    if not isinstance(value, str) or not value.strip():
        raise Refusal(f'{where}: {key} is missing; write it like {key} = "fresh".')
    plain = value.strip()
    return SPOKEN.get(plain.lower(), plain)


def _known(where: str, row: Table, keys: list[str]) -> None:
    for key in row:
        if key not in keys:
            raise Refusal(f"{where}: '{key}' is not a key here{nearest(key, keys)}; known are {', '.join(keys)}.")


def _table(where: str, value: Any) -> Table:
    if not isinstance(value, dict):
        raise Refusal(f"{where}: write it as a table.")
    return value


def _rows(where: str, value: Any) -> list[Table]:
    if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
        raise Refusal(f"{where}: write it with double brackets, one block each.")
    return value


def _choice(where: str, value: Any, words: tuple[str, ...]) -> str:
    if value not in words:
        raise Refusal(f"{where}: '{value}' is not known; write {' or '.join(words)}.")
    return str(value)


def _text(where: str, value: Any) -> str:
    if not isinstance(value, str):
        raise Refusal(f'{where}: write it in quotes, not {value!r}.')
    return value


def _flag(where: str, value: Any) -> bool:
    if not isinstance(value, bool):
        raise Refusal(f"{where}: write true or false, not {value!r}.")
    return value


def _real(where: str, value: Any, least: float, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not least <= value <= most:
        raise Refusal(f"{where}: write a number from {least:g} to {most:g}, not {value!r}.")
    return float(value)


