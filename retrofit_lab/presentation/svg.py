"""Vector drawings as plain nested data, and as text; the page builds its elements from the same data."""

from collections.abc import Mapping, Sequence
from typing import Any
from xml.etree import ElementTree as ET

Node = dict[str, Any]
Point = tuple[float, float]
NAMESPACE = "http://www.w3.org/2000/svg"


def node(tag: str, *children: Node, text: str = "", **attributes: object) -> Node:
    """One element; ``_`` in a name stands for ``-``, and a closing ``_`` is dropped."""
    named = {name.rstrip("_").replace("_", "-"): _plain(v) for name, v in attributes.items()}
    return {"tag": tag, "attributes": named, "children": list(children), "text": text}


def points(places: Sequence[Point]) -> str:
    """Corners as the attribute of a polygon."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)


def svg_text(drawing: Node) -> str:
    """The drawing as a document of its own; what a person typed is escaped."""
    root = _element(drawing)
    root.set("xmlns", NAMESPACE)
    return ET.tostring(root, encoding="unicode")


def _element(drawing: Mapping[str, Any]) -> ET.Element:
    element = ET.Element(drawing["tag"], drawing["attributes"])
    element.text = drawing["text"] or None
    element.extend(_element(child) for child in drawing["children"])
    return element


def _plain(value: object) -> str:
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else str(value)
