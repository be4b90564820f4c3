"""KML, and KMZ (a zip with a KML in it): placemarks with a point or an area are places, with a line are lines."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from html import unescape

from vanlife_supply.place.model import Point
from vanlife_supply.place.readers.found import Finds, Read, clean, clean_line, middle, spot
from vanlife_supply.place.readers.text import SIZE_LIMIT, child_text, children, local
from vanlife_supply.refusal import Refusal

_BREAK = re.compile(r"<\s*(?:br|/p|/div|/li|/tr)\b[^<>]*>", re.IGNORECASE)
_COMMA = re.compile(r"\s*+,\s*+")
"""Blanks about a comma are a usual slip: they separate points, not numbers."""
_MARK = re.compile(r"<[^<>]*>")


def unpacked(data: bytes, source: str) -> tuple[bytes, str]:
    """The KML inside a KMZ (`doc.kml`, else the first one) and a sentence about others left out ("" if there are none).

    Refusal for damage, passwords and zip bombs.
    """
    import lzma  # what unpacking needs takes 20 ms, which only a zip should cost
    import struct
    import zipfile
    import zlib

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            inside = [info for info in archive.infolist() if info.filename.lower().endswith(".kml")]
            if not inside:
                raise Refusal(f"{source}: this zip file has no KML in it; unpack it and import the map file inside.")
            chosen = next((info for info in inside if info.filename.lower() == "doc.kml"), inside[0])
            with archive.open(chosen) as packed:
                text = packed.read(SIZE_LIMIT + 1)
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error, EOFError, OSError, ValueError, RuntimeError):
        # RuntimeError: a password is wanted, or (NotImplementedError) a packing method nobody else uses.
        raise Refusal(f"{source}: this zip file is damaged or locked; export it again.") from None
    if len(text) > SIZE_LIMIT:
        raise Refusal(f"{source}: unpacked it is larger than {SIZE_LIMIT >> 20} MiB; export a smaller piece of the map.")
    others = [info.filename for info in inside if info is not chosen]
    if not others:
        return text, ""
    told = f"Only {chosen.filename} of the zip file is read; {len(others)} more, such as {others[0]}, are left out."
    return text, clean_line(told)


def read_kml(root: ET.Element, source: str) -> Read:
    """Places, lines and problems of a KML tree."""
    finds = Finds("KML", source)
    for number, mark in enumerate((element for element in root.iter() if local(element) == "Placemark"), 1):
        _placemark(finds, f"Placemark {number}", mark)
    if any(local(element) == "NetworkLink" for element in root.iter()):
        finds.problem("The file points to more data on the net, which is not fetched; save that data as a file too.")
    return finds.read()


def _placemark(finds: Finds, what: str, mark: ET.Element) -> None:
    tags = _tags(mark)
    shapes = [(local(element), element) for element in mark.iter()]
    seen = False
    for kind, shape in shapes:
        if kind == "Point":
            spots = _spots(shape)
            finds.place(what, spots[0] if spots else "it has no coordinates", tags)
        elif kind == "Polygon":
            edge = [one for one in _spots(shape) if not isinstance(one, str)]
            finds.place(what, middle(edge), tags)
        elif kind == "LineString":
            finds.line(what, tags.get("name", ""), "track", _spots(shape))
        elif kind == "Track":
            finds.line(what, tags.get("name", ""), "track", _steps(shape))
        else:
            continue
        seen = True
    if not seen:
        finds.place(what, "it has no point, line or area (an address alone cannot be placed without the net)", tags)


def _tags(mark: ET.Element) -> dict[str, str]:
    tags: dict[str, str] = {}
    for data in mark.iter():
        if local(data) == "Data":
            tags[data.get("name") or ""] = child_text(data, "value")
        elif local(data) == "SimpleData":
            tags[data.get("name") or ""] = "".join(data.itertext()).strip()
    tags.setdefault("name", child_text(mark, "name"))
    described = plain(child_text(mark, "description"))
    tags.setdefault("description", described)
    return {key: value for key, value in tags.items() if key and value}


def _spots(shape: ET.Element) -> list[Point | str]:
    """The points of the first coordinates text in a shape (of an area: its outer edge)."""
    for element in shape.iter():
        if local(element) == "coordinates":
            return [_lon_first(part.split(",")) for part in _COMMA.sub(",", "".join(element.itertext())).split()]
    return []


def _steps(shape: ET.Element) -> list[Point | str]:
    return [_lon_first("".join(step.itertext()).split()) for step in children(shape, "coord")]


def _lon_first(numbers: list[str]) -> Point | str:
    return spot(numbers[1], numbers[0]) if len(numbers) > 1 else "its latitude or longitude is missing"


def plain(html: str) -> str:
    """HTML as text: line breaks kept, marks dropped, entities resolved."""
    return clean(unescape(_MARK.sub("", _BREAK.sub("\n", html))))
