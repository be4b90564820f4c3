"""A rig.toml with one container, or the vehicle, described anew; all else stays as it was written, without its comments."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from vanlife_supply.rig.load import Table, supply_word

Value = str | float | bool | list[str]
Tables = dict[str, Any]
"""`rig`: a table; `supply`, `container`: lists of them. As typed, amounts with their units."""


def amended(text: str, supply: str, label: str, changes: Mapping[str, Value], zone: str) -> str:
    """`text`, which `read_rig` takes, with those keys of one container changed and times told in `zone`.

    Several alike declared by `count` are written one by one, and keep the word they are counted by.
    """
    tables = opened(text, zone)
    for row in tables["container"]:
        if (supply_word("", row["supply"]), row["label"]) == (supply, label):
            row.update(changes)
    return written(tables)


def with_vehicle(text: str, changes: Mapping[str, Value], zone: str) -> str:
    """`text`, which `read_rig` takes, with those keys of its head: the measures of the vehicle, its country."""
    tables = opened(text, zone)
    return written({**tables, "rig": {**tables["rig"], **changes}})


def opened(text: str, zone: str) -> Tables:
    """The tables of a rig.toml that `read_rig` takes, every container by itself, times told in `zone`."""
    tables = tomllib.loads(text.removeprefix("\ufeff"))
    rows = [one for row in tables["container"] for one in _singly(row)]
    supplies = [dict(row) for row in tables.get("supply", [])]
    return {"rig": {**tables.get("rig", {}), "timezone": zone}, "supply": supplies, "container": rows}


def written(tables: Tables) -> str:
    """The rig.toml of the tables."""
    blocks = [_block("[rig]", tables["rig"])]
    blocks += [_block("[[supply]]", row) for row in tables["supply"]]
    blocks += [_block("[[container]]", row) for row in tables["container"]]
    return "\n".join(blocks)


def _singly(row: Table) -> Iterator[dict[str, Any]]:
    """A block that declares several as so many blocks."""
    count, label = int(row.get("count", 1)), row.get("label", supply_word("", row["supply"])).strip()
    plain = {key: value for key, value in row.items() if key != "count"}
    for k in range(count):
        alike = {"label": f"{label} {k + 1}", "kind": row.get("kind", label)} if count > 1 else {"label": label}
        yield {**plain, **alike}


def _block(head: str, row: Table) -> str:
    # JSON writes strings, numbers, flags and lists of them as TOML does.
    return "\n".join([head, *(f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in row.items()), ""])
