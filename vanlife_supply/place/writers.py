"""Places out: GeoJSON (nothing is lost) and GPX (for a sat-nav: waypoints and a route). Attribution goes along."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

from vanlife_supply.place.model import Place, Point
from vanlife_supply.place.readers.gpx import tags_listed

_FREE_TEXT = ("description", "note", "comment")
_OWN_ELEMENTS = ("name", "sym", "type", "desc")


def to_geojson(places: Sequence[Place]) -> str:
    """The places as one FeatureCollection (RFC 7946); those without coordinates have a null geometry.

    Properties are the tags as they came; note, source and licence stand beside them as members of the feature.
    """
    licences = attributions(places)
    collection: dict[str, object] = {"type": "FeatureCollection"}
    if licences:
        collection["attribution"] = "; ".join(licences)
    collection["features"] = [_feature(place) for place in places]
    return json.dumps(collection, ensure_ascii=False, indent=1) + "\n"


def attributions(places: Iterable[Place]) -> list[str]:
    """Each licence among the places once, in order: what must be written beside any copy of them."""
    return [licence for licence in dict.fromkeys(place.licence for place in places) if licence]


def _feature(place: Place) -> dict[str, object]:
    tags = dict(place.tags)
    if place.name:
        tags.setdefault("name", place.name)
    feature: dict[str, object] = {"type": "Feature"}
    if place.source_ref:
        feature["id"] = place.source_ref
    feature["geometry"] = place.point and {"type": "Point", "coordinates": [place.lon, place.lat]}
    feature["properties"] = tags
    beside = {"note": place.note, "source": place.source, "licence": place.licence}
    return feature | {key: value for key, value in beside.items() if value}


def to_gpx(places: Sequence[Place], stops: Sequence[Place] = (), route_name: str = "planned stops") -> str:
    """The places as waypoints and the stops, in order, as one route (GPX 1.1). Places without coordinates are left out.

    Tags stand in the description as `key=value; key=value`, which reading takes up again.
    """
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="vanlife-supply" xmlns="http://www.topografix.com/GPX/1/1">',
    ]
    licences = attributions([*places, *stops])
    if licences:
        lines.append(f"<metadata><copyright author={quoteattr('; '.join(licences))}/></metadata>")
    lines += [_point("wpt", place, place.point, full=True) for place in places if place.point]
    routed = [_point("rtept", stop, stop.point, full=False) for stop in stops if stop.point]
    if routed:
        lines += [f"<rte><name>{_text(route_name)}</name>", *routed, "</rte>"]
    return "\n".join([*lines, "</gpx>", ""])


def _point(element: str, place: Place, point: Point, *, full: bool) -> str:
    """One point, its parts in the order the GPX 1.1 schema wants: name, cmt, desc, src, sym, type."""
    tags = place.tags
    words = " / ".join(dict.fromkeys(text for text in (*(tags.get(key, "") for key in _FREE_TEXT), place.note) if text))
    listed = "; ".join(_listed(key, tags[key]) for key in tags if key not in (*_OWN_ELEMENTS, *_FREE_TEXT))
    parts = [("name", place.name or "")]
    if full:
        parts += [("cmt", words), ("desc", listed or words), ("src", place.source_ref)]
        parts += [("sym", tags.get("sym", "")), ("type", tags.get("type", ""))]
    inside = "".join(f"<{name}>{_text(text)}</{name}>" for name, text in parts if text)
    return f'<{element} lat="{_degrees(point[0])}" lon="{_degrees(point[1])}">{inside}</{element}>'


def _listed(key: str, value: str) -> str:
    """`key=value`, its blanks after semicolons given up only where the reader would see another key there."""
    pair = f"{key}={value}"
    return pair if tags_listed(pair) == {key: value} else pair.replace("; ", ";")


def _degrees(value: float) -> str:
    """Nine decimals hold a tenth of a millimetre; no exponents, which the schema does not know."""
    return f"{value:.9f}".rstrip("0").rstrip(".")


def _text(text: str) -> str:
    """Text for XML; characters XML cannot hold are dropped."""
    kept = (c for c in text if c in "\t\n" or " " <= c <= "\ud7ff" or "\ue000" <= c <= "\ufffd" or c >= "\U00010000")
    return escape("".join(kept))
