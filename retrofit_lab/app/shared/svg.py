"""Vector drawings as plain nested data, from which the page builds its elements."""

from collections.abc import Sequence
from typing import Any

Node = dict[str, Any]
Point = tuple[float, float]


def node(tag: str, *children: Node, text: str = "", **attributes: object) -> Node:
    """One element; ``_`` in a name stands for ``-``, and a closing ``_`` is dropped."""
    named = {name.rstrip("_").replace("_", "-"): _plain(v) for name, v in attributes.items()}
    return {"tag": tag, "attributes": named, "children": list(children), "text": text}


def points(places: Sequence[Point]) -> str:
    """Corners as the attribute of a polygon."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)


def _plain(value: object) -> str:
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else str(value)
