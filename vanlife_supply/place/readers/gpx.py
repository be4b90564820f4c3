"""GPX 1.0 and 1.1: waypoints are places; routes and tracks are lines. Vendor extensions are passed over."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

from vanlife_supply.place.model import Point, is_osm_ref
from vanlife_supply.place.readers.found import Finds, Read, clean_line, spot
from vanlife_supply.place.readers.text import child_text, children

_LONGEST_LIST = 10_000
_PAIR = re.compile(r"([a-z][\w:.-]*)=(.+)", re.DOTALL)


def read_gpx(root: ET.Element, source: str) -> Read:
    """Places, lines and problems of a GPX tree."""
    finds = Finds("GPX", source, _licence(root))
    for number, element in enumerate(children(root, "wpt"), 1):
        reference = child_text(element, "src")
        ref = reference if is_osm_ref(reference) else ""
        finds.place(f"Waypoint {number}", _spot(element), _tags(element), ref)
    for number, route in enumerate(children(root, "rte"), 1):
        stops = children(route, "rtept")
        names = [child_text(stop, "name") for stop in stops]
        finds.line(f"Route {number}", child_text(route, "name"), "route", [_spot(stop) for stop in stops], names)
    for number, track in enumerate(children(root, "trk"), 1):
        points = [_spot(p) for segment in children(track, "trkseg") for p in children(segment, "trkpt")]
        finds.line(f"Track {number}", child_text(track, "name"), "track", points)
    return finds.read()


def _spot(element: ET.Element) -> Point | str:
    return spot(element.get("lat"), element.get("lon"))


def _tags(element: ET.Element) -> dict[str, str]:
    """The tags a description lists as `key=value; key=value`, else the description itself as a tag."""
    description, comment = child_text(element, "desc"), child_text(element, "cmt")
    tags = tags_listed(description)
    if tags is None:
        tags = {"description": description}
        if comment != description:
            tags["comment"] = comment
    else:
        tags["description"] = comment
    for key in ("name", "sym", "type"):
        tags.setdefault(key, child_text(element, key))
    return {key: value for key, value in tags.items() if value}


def tags_listed(text: str) -> dict[str, str] | None:
    """`amenity=water_point; fee=no` as tags; None if it does not begin so. A part without a key goes on with the value."""
    if len(text) > _LONGEST_LIST:
        return None
    tags: dict[str, str] = {}
    key = ""
    for part in text.split("; "):
        pair = _PAIR.fullmatch(part.strip())
        if pair:
            key = pair[1]
            tags[key] = pair[2]
        elif key:
            tags[key] += f"; {part}"
        else:
            return None
    return tags


def _licence(root: ET.Element) -> str:
    for metadata in children(root, "metadata"):
        for notice in children(metadata, "copyright"):
            author = notice.get("author") or ""
            return clean_line(" ".join(filter(None, (author, child_text(notice, "license")))))
    return ""
