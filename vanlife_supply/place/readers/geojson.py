"""GeoJSON (RFC 7946), with the older `crs` member and one object a line (RFC 8142): longitude first."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping

from vanlife_supply.place.model import Point, is_osm_ref
from vanlife_supply.place.readers.found import Finds, Read, clean_line, middle, spot
from vanlife_supply.refusal import Refusal

_GEOMETRIES = ("Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection")
_LON_LAT = re.compile(r"CRS:?:?84|EPSG:(?:[0-9.]*:)?4326|^urn:ogc:def:crs:OGC:[0-9.]*:CRS84", re.IGNORECASE)
KINDS = ("FeatureCollection", "Feature", *_GEOMETRIES)
"""The `type` of a GeoJSON object."""


def read_geojson(roots: list[dict[str, object]], source: str) -> Read:
    """Places, lines and problems of GeoJSON objects (one, or one a line). Refusal for another coordinate system."""
    finds = Finds("GeoJSON", source)
    number = 0
    for root in roots:
        _check_system(root, source)
        finds.licence = licence_of(root) or finds.licence
        for feature in _features(root):
            number += 1
            _feature(finds, f"Feature {number}", feature)
    return finds.read()


def licence_of(holder: Mapping[str, object]) -> str:
    """The attribution a JSON object carries under any of the usual words."""
    for key in ("attribution", "licence", "license", "copyright"):
        value = holder.get(key)
        if isinstance(value, str) and value.strip():
            return clean_line(value)
    return ""


def _check_system(root: Mapping[str, object], source: str) -> None:
    system = root.get("crs")
    properties = system.get("properties") if isinstance(system, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if isinstance(name, str) and not _LON_LAT.search(name):
        raise Refusal(
            f"{source}: its positions are in {clean_line(name)[:60]}, not in degrees of longitude and latitude; "
            "export it as WGS 84 (EPSG:4326)."
        )


def _features(root: Mapping[str, object]) -> Iterator[object]:
    if root.get("type") == "FeatureCollection":
        members = root.get("features")
        yield from members if isinstance(members, list) else ()
    elif root.get("type") == "Feature":
        yield root
    else:
        yield {"type": "Feature", "geometry": root, "properties": {}}


def _feature(finds: Finds, what: str, feature: object) -> None:
    if not isinstance(feature, dict):
        finds.problem(f"{what} is left out: it is not an object.")
        return
    properties = feature.get("properties")
    if properties is not None and not isinstance(properties, dict):
        finds.problem(f"{what}: its properties are not an object; only its position is taken.")
    tags, ref = _tags(feature, properties if isinstance(properties, dict) else {})
    geometry = feature.get("geometry")
    if not isinstance(geometry, dict):
        finds.place(what, "it has no position", tags, ref)
        return
    kind = geometry.get("type")
    parts = geometry.get("geometries") if kind == "GeometryCollection" else [geometry]
    for part in parts if isinstance(parts, list) else []:
        _shape(finds, what, part, feature, tags, ref)


def _tags(feature: Mapping[str, object], properties: Mapping[str, object]) -> tuple[dict[str, str], str]:
    """The tags of a feature and its OSM id, which exports write in one of three places."""
    ref = ""
    for value in (feature.get("id"), properties.get("@id"), properties.get("id")):
        if isinstance(value, str) and is_osm_ref(value):
            ref = value
            break
    kept = {key: value for key, value in properties.items() if not (key in ("@id", "id") and value == ref)}
    return {key: as_text(value) for key, value in kept.items() if value is not None}, ref


def as_text(value: object) -> str:
    """A JSON value as the text of a tag."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _shape(
    finds: Finds, what: str, shape: object, feature: Mapping[str, object], tags: dict[str, str], ref: str
) -> None:
    kind = shape.get("type") if isinstance(shape, dict) else None
    held = shape.get("coordinates") if isinstance(shape, dict) else None
    if kind not in _GEOMETRIES or kind == "GeometryCollection":
        name = clean_line(kind)[:40] if isinstance(kind, str) else "no kind at all"
        finds.place(what, f"its shape is '{name}', which GeoJSON does not have or this program does not read", tags, ref)
    elif kind in ("LineString", "MultiLineString"):
        lines = [held] if kind == "LineString" else held
        for line in lines if isinstance(lines, list) else [None]:
            finds.line(what, tags.get("name", ""), "track", [_lon_first(position) for position in _list(line)])
    else:
        own = {key: value for key in ("note", "source", "licence") if isinstance(value := feature.get(key), str)}
        for where in _spots(kind, _list(held)):
            finds.place(
                what,
                where,
                tags,
                ref,
                note=own.get("note", ""),
                origin=own.get("source", ""),
                licence=own.get("licence", ""),
            )


def _spots(kind: object, held: list[object]) -> list[Point | str]:
    """The point of a Point, the points of a MultiPoint, the middle of an area's outer edges."""
    if kind == "Point":
        return [_lon_first(held)]
    if kind == "MultiPoint":
        return [_lon_first(position) for position in held]
    areas = [held] if kind == "Polygon" else [_list(area) for area in held]
    edge = [_lon_first(position) for area in areas for position in _list(area[0] if area else None)]
    return [middle([one for one in edge if not isinstance(one, str)])]


def _list(value: object) -> list[object]:
    return value if isinstance(value, list) else []


def _lon_first(position: object) -> Point | str:
    if not isinstance(position, list) or len(position) < 2:
        return "its latitude or longitude is missing"
    lon, lat = position[0], position[1]
    if isinstance(lon, str) or isinstance(lat, str):
        return "its position is written as text, not as numbers"
    return spot(lat, lon)
