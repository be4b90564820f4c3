"""Bytes to text and to an XML tree, without falling for bombs and disguises."""

from __future__ import annotations

import codecs
import re
import xml.etree.ElementTree as ET

from vanlife_supply.refusal import Refusal

SIZE_LIMIT = 64 * 1024 * 1024
"""Bytes of text a file may hold; a tree of it takes several times as much memory."""

_DEEPEST = 200

_DECLARED = re.compile(rb"\s*<\?xml[^>]{0,200}?encoding\s*=\s*[\"']([A-Za-z0-9._-]{1,40})[\"']")
# Names that mean a text encoding: a file must not choose among all codecs, some of which unpack or run slowly.
_TEXT_CODEC = re.compile(
    r"utf-?8|utf-?16|us-ascii|ascii|iso-8859-\d{1,2}|latin-?1|windows-125\d|cp125\d|koi8-[ru]"
    r"|gb2312|gbk|gb18030|big5|shift_jis|euc-(?:jp|kr)",
    re.IGNORECASE,
)
_PROLOG = re.compile(r"(?:\s++|<\?.*?\?>|<!--.*?-->)*+", re.DOTALL)
_BOMS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))


def decoded(data: bytes, source: str) -> tuple[str, str]:
    """The text of `data`, and a sentence about a guess that was made ("" if none). Refusal if it is no text."""
    for mark, codec in _BOMS:
        if data.startswith(mark):
            return _strictly(data[len(mark) :], codec, source), ""
    if b"\x00" in data[:4]:
        codec = "utf-16-be" if data[:1] == b"\x00" else "utf-16-le"
        return _strictly(data, codec, source), ""
    named = _DECLARED.match(data)
    if named:
        codec = named[1].decode("ascii")
        if not _TEXT_CODEC.fullmatch(codec):
            raise Refusal(f"{source}: the encoding '{codec}' is not one this program reads; save it as UTF-8.")
        if not codec.lower().startswith("utf"):
            return _strictly(data, codec, source), ""
    try:
        return data.decode("utf-8"), ""
    except UnicodeDecodeError:
        guess = "The file is not UTF-8; it is read as Western European text, so check the accents."
        return data.decode("cp1252", "replace"), guess


def _strictly(data: bytes, codec: str, source: str) -> str:
    try:
        return data.decode(codec)
    except (UnicodeError, LookupError):
        raise Refusal(f"{source}: the text is not {codec} as it says; save it as UTF-8 and try again.") from None


def tree(text: str, source: str) -> ET.Element:
    """The root element of an XML text. Refusal for a DOCTYPE (entity bombs, files drawn in), HTML and broken XML."""
    start = _PROLOG.match(text)
    opening = text[start.end() if start else 0 :][:200].lower()
    if opening.startswith(("<html", "<!doctype html")):
        raise Refusal(
            f"{source}: this is a web page (perhaps an error or a sign-in page), not a map file; fetch the file again."
        )
    if opening.startswith("<!"):
        raise Refusal(
            f"{source}: it declares a document type, which map files never need and harmful ones use; export it again."
        )
    try:
        return _not_deep(ET.fromstring(text), source)
    except ET.ParseError as fault:
        line, column = fault.position
        raise Refusal(
            f"{source}: the XML breaks off or is damaged at line {line}, column {column + 1}; export it again."
        ) from None
    except (ValueError, UnicodeError):
        raise Refusal(f"{source}: the text holds characters that XML cannot hold; export it again.") from None


def _not_deep(root: ET.Element, source: str) -> ET.Element:
    """`root`, or Refusal if elements lie inside each other deeper than in any map file."""
    level = [root]
    for _ in range(_DEEPEST):
        level = [child for element in level for child in element]
        if not level:
            return root
    raise Refusal(f"{source}: it is nested far deeper than any map file; export it again.")


def local(element: ET.Element) -> str:
    """The element's name without its namespace."""
    name = element.tag
    return name.rsplit("}", 1)[-1] if isinstance(name, str) else ""


def child_text(element: ET.Element, name: str) -> str:
    """The text of the first child of that name, "" if there is none."""
    for child in element:
        if local(child) == name:
            return "".join(child.itertext()).strip()
    return ""


def children(element: ET.Element, name: str) -> list[ET.Element]:
    """The children of that name, any namespace."""
    return [child for child in element if local(child) == name]
