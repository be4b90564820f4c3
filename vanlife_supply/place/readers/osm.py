"""OSM XML and Overpass JSON: tagged nodes, and the middle of tagged ways and relations."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Mapping, Sequence

from vanlife_supply.place.model import Point
from vanlife_supply.place.readers.found import Finds, Read, clean_line, middle, spot
from vanlife_supply.place.readers.geojson import as_text, licence_of
from vanlife_supply.place.readers.text import children, local
from vanlife_supply.refusal import Refusal

# What an extract of a whole region is sifted for (https://wiki.openstreetmap.org/wiki/Map_features).
_SUPPLY_VALUES = {
    "amenity": {"water_point", "drinking_water", "sanitary_dump_station", "fountain", "fuel", "shower", "toilets"},
    "waterway": {"water_point", "sanitary_dump_station"},
    "man_made": {"water_tap", "water_well"},
    "natural": {"spring"},
    "tourism": {"camp_site", "caravan_site", "camp_pitch"},
    "highway": {"rest_area", "services"},
    "shop": {"gas", "fuel", "hardware", "doityourself", "paint", "outdoor", "chemist", "trade"},
    "vending": {"fuel", "gas"},
}
_SUPPLY_KEYS = ("drinking_water", "water_point", "sanitary_dump_station", "waste_disposal")

Shape = list[Point]


def is_supply(tags: Mapping[str, str]) -> bool:
    """True if the tags speak of water, dumping, fuel, camping or a shop that may sell stove fuel."""
    if any(tags.get(key) in values for key, values in _SUPPLY_VALUES.items()):
        return True
    return any(key.split(":", 1)[0] in _SUPPLY_KEYS for key in tags)


def read_osm(root: ET.Element, source: str) -> Read:
    """Supply places of an OSM XML tree; other tagged objects are counted, since an extract holds a whole region."""
    attribution = clean_line(" ".join(filter(None, (root.get("copyright"), root.get("license")))))
    finds = Finds("OSM XML", source, attribution)
    nodes: dict[str, Point | str] = {}
    shapes: dict[str, Shape] = {}
    others = 0
    for element in root:
        kind = local(element)
        if kind not in ("node", "way", "relation") or element.get("visible") == "false":
            continue
        ref = f"{kind}/{element.get('id') or ''}"
        where = _xml_spot(element, kind, nodes, shapes)
        if kind == "node":
            nodes[element.get("id") or ""] = where
        tags = {tag.get("k") or "": tag.get("v") or "" for tag in children(element, "tag")}
        if is_supply(tags):
            finds.place(ref, where, tags, ref)
        else:
            others += bool(tags)
    if others:
        finds.problem(f"{others} objects that have nothing to do with supplies are left out.")
    return finds.read()


def _xml_spot(
    element: ET.Element, kind: str, nodes: Mapping[str, Point | str], shapes: dict[str, Shape]
) -> Point | str:
    """Where an object is; keeps the shape of a way for the relations that are made of it."""
    if kind == "node":
        return spot(element.get("lat"), element.get("lon"))
    corners = [nodes.get(reference.get("ref") or "") for reference in children(element, "nd")]
    corners += [spot(reference.get("lat"), reference.get("lon")) for reference in children(element, "nd")]
    shape = [one for one in corners if isinstance(one, tuple)]
    for member in children(element, "member"):
        known = nodes.get(member.get("ref") or "") if member.get("type") == "node" else None
        shape += [known] if isinstance(known, tuple) else []
        shape += shapes.get(member.get("ref") or "", []) if member.get("type") == "way" else []
    if kind == "way":
        shapes[element.get("id") or ""] = shape
    for centre in children(element, "center"):
        return spot(centre.get("lat"), centre.get("lon"))
    for box in children(element, "bounds"):
        return _box(box.attrib)
    return middle(shape) if shape else _NO_SHAPE


def read_overpass(root: Mapping[str, object], source: str) -> Read:
    """Tagged objects of an Overpass answer (all of them: the query chose them)."""
    elements = root.get("elements")
    if not isinstance(elements, list):
        raise Refusal(f"{source}: its 'elements' are not a list; fetch the answer again.")
    header = root.get("osm3s")
    finds = Finds("Overpass JSON", source, licence_of(header) if isinstance(header, dict) else "")
    remark = root.get("remark")
    if isinstance(remark, str):
        finds.problem(f"The server stopped before it was done, so places may be missing: {remark[:200]}")
    objects = [element for element in elements if isinstance(element, dict)]
    if len(objects) < len(elements):
        finds.problem(f"{len(elements) - len(objects)} entries are left out: they are not objects.")
    nodes = {str(one.get("id")): spot(one.get("lat"), one.get("lon")) for one in objects if one.get("type") == "node"}
    for one in objects:
        tags = one.get("tags")
        if isinstance(tags, dict) and tags and one.get("type") in ("node", "way", "relation"):
            ref = f"{one['type']}/{_whole(one.get('id'))}"
            texts = {key: as_text(value) for key, value in tags.items() if value is not None}
            finds.place(ref, _json_spot(one, nodes), texts, ref)
    return finds.read()


def _json_spot(one: Mapping[str, object], nodes: Mapping[str, Point | str]) -> Point | str:
    if one.get("type") == "node":
        return spot(one.get("lat"), one.get("lon"))
    centre, box = one.get("center"), one.get("bounds")
    if isinstance(centre, dict):
        return spot(centre.get("lat"), centre.get("lon"))
    if isinstance(box, dict):
        return _box(box)
    corners = [spot(p.get("lat"), p.get("lon")) for p in _objects(one.get("geometry"))]
    numbers = one.get("nodes")
    corners += [nodes.get(str(number), "") for number in numbers] if isinstance(numbers, list) else []
    shape = [corner for corner in corners if isinstance(corner, tuple)]
    return middle(shape) if shape else _NO_SHAPE


_NO_SHAPE = "the points it is made of are not in the file; fetch it again with 'out center'"


def _objects(value: object) -> Sequence[Mapping[str, object]]:
    return [part for part in value if isinstance(part, dict)] if isinstance(value, list) else []


def _box(box: Mapping[str, object]) -> Point | str:
    corners = [spot(box.get(f"{side}lat"), box.get(f"{side}lon")) for side in ("min", "max")]
    return middle([corner for corner in corners if isinstance(corner, tuple)])


def _whole(value: object) -> str:
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else "?"
