"""Vector drawings as plain nested data, from which the page builds its elements."""

from collections.abc import Mapping, Sequence
from html import escape
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


FOR_HANDS = ("role", "tabindex", "aria-pressed")
"""What a drawing on paper does not need."""


def markup(
    drawn: Node, paths: Mapping[str, Mapping[str, str]], numbers: Mapping[str, str], part: str = ""
) -> str:
    """A drawing as the text of a file, its arrows and numbers by part filled in; all text is escaped."""
    named = {k: v for k, v in drawn["attributes"].items() if k not in FOR_HANDS}
    part = named.get("data-part", part)
    kind = named.get("class", "")
    if part and kind in ("before", "after"):
        named["points" if drawn["tag"] == "polygon" else "d"] = paths.get(part, {}).get(kind, "")
    text = numbers.get(part, "") if kind == "part-numbers" else drawn["text"]
    inside = "".join(markup(child, paths, numbers, part) for child in drawn["children"])
    told = "".join(f' {name}="{escape(str(value))}"' for name, value in named.items())
    return f"<{drawn['tag']}{told}>{escape(text)}{inside}</{drawn['tag']}>"
