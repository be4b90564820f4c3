"""Open map formats in: bytes and the file's name → places, lines, and a sentence for each thing left out."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from vanlife_supply.place.readers.found import Read, clean_line
from vanlife_supply.place.readers.geojson import KINDS, read_geojson
from vanlife_supply.place.readers.gpx import read_gpx
from vanlife_supply.place.readers.kml import read_kml, unpacked
from vanlife_supply.place.readers.osm import read_osm, read_overpass
from vanlife_supply.place.readers.text import SIZE_LIMIT, decoded, local, tree
from vanlife_supply.refusal import Refusal

__all__ = ["Read", "read_places"]

_READ_HERE = "GPX, GeoJSON, KML, KMZ, OSM XML and Overpass JSON can be read"


def read_places(data: bytes, source: str) -> Read:
    """Read a map file; its format is told by its content, never by its name.

    `source` names the file in sentences and in the places. Refusal if nothing of it can be read.
    """
    source = clean_line(source) or "the file"
    if len(data) > SIZE_LIMIT:
        raise Refusal(f"{source}: it is larger than {SIZE_LIMIT >> 20} MiB; export a smaller piece of the map.")
    if data.startswith(b"PK\x03\x04"):
        text, others = unpacked(data, source)
        return _with_problem(_from_text(text, source), others)
    _refuse_binary(data, source)
    return _from_text(data, source)


def _refuse_binary(data: bytes, source: str) -> None:
    if not data.strip(b"\x00 \t\r\n"):
        raise Refusal(f"{source}: the file is empty; export it again.")
    if data.startswith((b"\x1f\x8b", b"BZh", b"7z\xbc\xaf", b"\xfd7zXZ")):
        raise Refusal(f"{source}: the file is packed; unpack it and import what is inside.")
    if b"OSMHeader" in data[:40]:
        raise Refusal(f"{source}: this is an OSM PBF extract; turn it into OSM XML first (osmium cat IN.pbf -o OUT.osm).")


def _from_text(data: bytes, source: str) -> Read:
    text, guess = decoded(data, source)
    start = text.lstrip("\ufeff\x1e \t\r\n")
    if start.startswith("<"):
        read = _from_xml(start, source)
    elif start.startswith(("{", "[")):
        read = _from_json(start, source)
    else:
        raise Refusal(f"{source}: {_unlike_maps(start)}")
    return _with_problem(read, guess)


def _with_problem(read: Read, told: str) -> Read:
    """With one more sentence in front, if there is one."""
    return replace(read, problems=(told, *read.problems)) if told else read


def _unlike_maps(text: str) -> str:
    header = text[:300].split("\n", 1)[0].lower()
    if header.rstrip("\r").replace("\t", " ").isprintable() and _separators(header) >= 2:
        named = "lat" in header and ("lon" in header or "lng" in header)
        return (
            f"this is a table{'' if named else ' without coordinates'}, not a map file; "
            f"export the places as GeoJSON, KML or GPX instead."
        )
    return f"this is not a map file; {_READ_HERE}."


def _separators(header: str) -> int:
    return sum(header.count(sign) for sign in ",;\t")


def _from_xml(text: str, source: str) -> Read:
    root = tree(text, source)
    readers = {"gpx": read_gpx, "kml": read_kml, "osm": read_osm}
    reader = readers.get(local(root))
    if reader is None:
        kind = clean_line(local(root))[:40]
        raise Refusal(f"{source}: this is XML of the kind '{kind}', not a map file; {_READ_HERE}.")
    return reader(root, source)


def _from_json(text: str, source: str) -> Read:
    doubled: list[str] = []
    roots, bad_lines = _objects(text, source, doubled)
    first = roots[0] if roots else None
    if isinstance(first, list) and len(roots) == 1:
        roots = first  # the features without the collection around them
        first = next((one for one in roots if isinstance(one, dict)), None)
    if isinstance(first, dict) and "elements" in first:
        read = read_overpass(first, source)
    elif isinstance(first, dict) and first.get("type") in KINDS:
        read = read_geojson([root for root in roots if isinstance(root, dict)], source)
    else:
        raise Refusal(f"{source}: this JSON holds neither GeoJSON nor an Overpass answer; {_READ_HERE}.")
    sentences = list(bad_lines)
    if doubled:
        names = ", ".join(f"'{clean_line(key)[:40]}'" for key in sorted(set(doubled))[:5])
        sentences.append(f"{len(doubled)} times a key stands twice in one object ({names}); the last one is taken.")
    return Read(read.form, read.places, read.tracks, (*sentences, *read.problems), read.licence)


def _objects(text: str, source: str, doubled: list[str]) -> tuple[list[object], list[str]]:
    """The JSON values of a text: one, or one a line. Keys that stand twice in an object are noted in `doubled`."""

    def unique(pairs: list[tuple[str, object]]) -> dict[str, object]:
        found = dict(pairs)
        if len(found) < len(pairs):
            doubled.extend(key for key, times in Counter(key for key, _ in pairs).items() if times > 1)
        return found

    try:
        return [json.loads(text, object_pairs_hook=unique)], []
    except RecursionError:
        raise Refusal(f"{source}: it is nested far deeper than any map file; export it again.") from None
    except json.JSONDecodeError as fault:
        if fault.msg != "Extra data":
            raise Refusal(
                f"{source}: the JSON breaks off or is damaged at line {fault.lineno}, column {fault.colno} "
                f"({fault.msg.lower()}); export it again."
            ) from None
    except ValueError:  # an integer of more digits than Python converts
        raise Refusal(f"{source}: it holds a number of thousands of digits; export it again.") from None
    doubled.clear()
    return _one_a_line(text, source, unique)


def _one_a_line(
    text: str, source: str, unique: Callable[[list[tuple[str, object]]], dict[str, object]]
) -> tuple[list[object], list[str]]:
    roots: list[object] = []
    bad: list[int] = []
    for number, line in enumerate(text.split("\n"), 1):
        line = line.strip("\x1e \t\r")
        if not line:
            continue
        try:
            roots.append(json.loads(line, object_pairs_hook=unique))
        except (ValueError, RecursionError):
            bad.append(number)
    if not roots:
        raise Refusal(f"{source}: after its first object the JSON is damaged; export it again.")
    if not bad:
        return roots, []
    lines = ", ".join(str(number) for number in bad[:10]) + (" and more" if len(bad) > 10 else "")
    return roots, [f"{len(bad)} lines are left out because they are not JSON: {lines}."]
