"""A house in section, drawn from its data, with arrows as wide as the heat that leaves; wording is in wording.py."""

from collections.abc import Mapping, Sequence

from retrofit_lab.app.shared.section_layout import (
    DEPTH,
    EAVE,
    FLOOR,
    GARAGE_HEIGHT,
    GARAGE_WIDTH,
    GROUND,
    LEFT,
    MARGIN,
    MIDDLE,
    RIGHT,
    STORY,
    WIDTH,
    Anchor,
    Layout,
    anchors,
    duct_height,
    layout_of,
    roof_height,
)
from retrofit_lab.app.shared.svg import Node, Point, node, points
from retrofit_lab.house.section import Section

INK, PAPER, ROOM = "var(--ink, #1c1c1c)", "var(--card, #ffffff)", "var(--room, #f3eee2)"
WAS, SAVED = "var(--was, #999999)", "var(--saved, #0072b2)"
"""Colors by the page's own names for them, so that the drawing follows a dark page."""
ARROW = 42.0
HEAD = 12.0
WIDTH_OF_ONE = 0.55
"""Width of an arrow for one part in a hundred of the heat. [drawing units]"""
THINNEST = 1.5
TEXT_LINE = 1.15
LABEL_WIDTH = 92.0


def section_drawing(section: Section, titles: Mapping[str, str]) -> Node:
    """Drawing of a house whose arrows are still empty.

    Parameters
    ----------
    section : Section
        Shape of the cut.
    titles : mapping of str to str
        Short name of every part to draw (see `drawn_parts`), in the order of the keyboard.

    Returns
    -------
    Node
        Nested data; each part is a group with ``data-part``, and holds its arrows and label.
    """
    layout = layout_of(section)
    ends = anchors(layout)
    groups = [
        _group(part, title, _shape(layout, part), ends.get(part) or _label_only(layout, part))
        for part, title in titles.items()
    ]
    return node(
        "svg", _hatch(), *_outline(layout), *groups,
        viewBox=f"0 {layout.top:.0f} {WIDTH} {layout.bottom - layout.top + MARGIN:.0f}",
        role="group", class_="section",
    )  # fmt: skip


def arrow(anchor: Anchor, share: float, side: float) -> str:
    """Corners of an arrow for a share of the heat, to one side of the anchor; nothing where there is none.

    Parameters
    ----------
    share : float
        Part of the heat. [of 100]
    side : float
        -1 and 1 for two arrows beside each other, 0 for one alone.
    """
    if share < 0.25:
        return ""
    half = max(share * WIDTH_OF_ONE, THINNEST) / 2.0
    (dx, dy), (x, y) = anchor.direction, anchor.start
    across = (abs(dy) * side * (half + 1.0), abs(dx) * side * (half + 1.0))
    x, y = x + across[0], y + across[1]
    neck = ARROW - min(HEAD, half + 5.0)

    def corner(along: float, aside: float) -> Point:
        return x + dx * along - dy * aside, y + dy * along + dx * aside

    flare = half + 4.0
    return points(
        [
            corner(0.0, -half), corner(neck, -half), corner(neck, -flare), corner(ARROW, 0.0),
            corner(neck, flare), corner(neck, half), corner(0.0, half),
        ]
    )  # fmt: skip


def arrows(
    section: Section, now: Mapping[str, float], then: Mapping[str, float] | None
) -> dict[str, dict[str, str]]:
    """Corners of every part's arrows: as it is, and with what is ticked where something is.

    Parameters
    ----------
    now, then : mapping of str to float
        Part of all heat that leaves as the house is. [of 100]
    """
    return {
        part: {
            "before": arrow(anchor, now.get(part, 0.0), 0.0 if then is None else -1.0),
            "after": "" if then is None else arrow(anchor, then.get(part, 0.0), 1.0),
        }
        for part, anchor in anchors(layout_of(section)).items()
    }


def drawn_parts(section: Section, parts: Sequence[str]) -> list[str]:
    """Those of some parts that a house has."""
    there = {
        "garage": section.garage,
        "knee_walls": section.knee_walls,
        "ducts": bool(section.ducts),
        "hot_water": bool(section.tank),
    }
    return [part for part in parts if there.get(part, True)]


def _group(part: str, title: str, shape: list[Node], anchor: Anchor) -> Node:
    x, y = anchor.label
    label = node(
        "text",
        node("tspan", text=title, class_="part-name", x=x),
        node("tspan", class_="part-numbers", x=x, dy=f"{TEXT_LINE}em"),
        x=x, y=y, text_anchor=anchor.align,
    )  # fmt: skip
    before = node("polygon", class_="before", points="", fill="url(#as-it-is)", stroke=INK)
    after = node("polygon", class_="after", points="", fill=SAVED)
    return node(
        "g", _field(anchor), *shape, before, after, label,
        class_="part", data_part=part, role="button", tabindex="0", aria_pressed="false",
    )  # fmt: skip


def _field(anchor: Anchor) -> Node:
    """Clear field over arrow and label: large enough to be hit, and outlined when it has the keyboard."""
    (x, y), (label_x, label_y) = anchor.start, anchor.label
    left = label_x - {"end": LABEL_WIDTH, "middle": LABEL_WIDTH / 2.0, "start": 4.0}[anchor.align]
    right = left + LABEL_WIDTH + 4.0
    left, right = min(left, x), max(right, x)
    top, foot = min(label_y - 17.0, y), max(label_y + 24.0, y)
    return node(
        "rect", x=left, y=top, width=right - left, height=foot - top, rx="4",
        fill="transparent", class_="field",
    )  # fmt: skip


def _hatch() -> Node:
    line = node("path", d="M0,6 L6,0", stroke=INK, stroke_width="1")
    ground = node("rect", width="6", height="6", fill=WAS)
    pattern = node(
        "pattern", ground, line,
        id="as-it-is", width="6", height="6", patternUnits="userSpaceOnUse",
    )  # fmt: skip
    return node("defs", pattern)


def _outline(layout: Layout) -> list[Node]:
    section = layout.section
    body = node(
        "rect", x=LEFT, y=layout.roof_foot, width=RIGHT - LEFT, height=FLOOR - layout.roof_foot,
        fill=ROOM, stroke=INK, stroke_width="3",
    )  # fmt: skip
    ground = node("line", x1="0", x2=WIDTH, y1=GROUND, y2=GROUND, stroke=INK, stroke_width="1.5")
    roof = node(
        "polygon",
        points=points(
            [
                (LEFT - EAVE, layout.roof_foot),
                (MIDDLE, layout.ridge),
                (RIGHT + EAVE, layout.roof_foot),
            ]
        ),
        fill=PAPER if section.attic or section.knee_walls else ROOM, stroke=INK, stroke_width="3",
    )  # fmt: skip
    below = [_below(layout)] if section.below in DEPTH else []
    under_roof = [_rooms_under_roof(layout)] if section.knee_walls else []
    return [ground, *below, roof, body, *under_roof, *_floors(layout), *_garage(section)]


def _below(layout: Layout) -> Node:
    heated = layout.section.below == "heated basement"
    return node(
        "rect", x=LEFT, y=FLOOR, width=RIGHT - LEFT, height=layout.bottom - FLOOR,
        fill=ROOM if heated else PAPER, stroke=INK, stroke_width="3",
    )  # fmt: skip


def _rooms_under_roof(layout: Layout) -> Node:
    left, right = LEFT + 42.0, RIGHT - 42.0
    ceiling = layout.ridge + 38.0
    reach = (ceiling - layout.ridge) / (layout.roof_foot - layout.ridge) * (MIDDLE - LEFT + EAVE)
    corners = [
        (left, layout.roof_foot),
        (left, roof_height(layout, left)),
        (MIDDLE - reach, ceiling),
        (MIDDLE + reach, ceiling),
        (right, roof_height(layout, right)),
        (right, layout.roof_foot),
    ]
    return node("polygon", points=points(corners), fill=ROOM, stroke=INK, stroke_width="2")


def _floors(layout: Layout) -> list[Node]:
    count = round((FLOOR - layout.roof_foot) / STORY)
    heights = [FLOOR - number * STORY for number in range(1, count)]
    return [
        node("line", x1=LEFT, x2=RIGHT, y1=y, y2=y, stroke=INK, stroke_width="2") for y in heights
    ]


def _garage(section: Section) -> list[Node]:
    if not section.garage:
        return []
    return [
        node(
            "rect", x=RIGHT, y=FLOOR - GARAGE_HEIGHT, width=GARAGE_WIDTH, height=GARAGE_HEIGHT,
            fill=PAPER, stroke=INK, stroke_width="2",
        )
    ]  # fmt: skip


def _shape(layout: Layout, part: str) -> list[Node]:
    """What a part looks like beside its arrow: the thing itself, or a field to click on."""
    drawn = {
        "windows": _windows,
        "doors": _door,
        "ducts": _duct,
        "hot_water": _tank,
        "heating": _heater,
        "plugs": _lamp,
    }
    return drawn[part](layout) if part in drawn else []


def _box(x: float, y: float, width: float, height: float, fill: str = PAPER) -> Node:
    return node(
        "rect", x=x, y=y, width=width, height=height, fill=fill, stroke=INK, stroke_width="2"
    )


def _windows(layout: Layout) -> list[Node]:
    y = layout.roof_foot + 10.0
    return [_box(RIGHT - 4.0, y, 8.0, 34.0)]


def _door(_layout: Layout) -> list[Node]:
    return [_box(LEFT - 4.0, FLOOR - 36.0, 8.0, 36.0)]


def _duct(layout: Layout) -> list[Node]:
    return [_box(LEFT + 22.0, duct_height(layout) - 5.0, 120.0, 10.0)]


def _low_place(layout: Layout) -> float:
    """Foot of what stands on the lowest floor that a person can stand on."""
    cellar = layout.section.below in ("basement", "heated basement")
    return layout.bottom - 4.0 if cellar else FLOOR - 4.0


def _heater(layout: Layout) -> list[Node]:
    foot = _low_place(layout)
    box = _box(RIGHT - 84.0, foot - 34.0, 26.0, 34.0)
    return [box, _leader(RIGHT - 71.0, foot, *_label_place("heating"))]


def _tank(layout: Layout) -> list[Node]:
    foot = _tank_foot(layout)
    box = node(
        "rect", x=RIGHT - 44.0, y=foot - 40.0, width="22", height="40", rx="9",
        fill=PAPER, stroke=INK, stroke_width="2",
    )  # fmt: skip
    return [box, _leader(RIGHT - 22.0, foot - 24.0, *_label_place("hot_water"))]


def _tank_foot(layout: Layout) -> float:
    return FLOOR - 4.0 if layout.section.tank in ("house", "garage") else _low_place(layout)


def _leader(x: float, y: float, to_x: float, to_y: float) -> Node:
    return node("line", x1=x, y1=y, x2=to_x - 4.0, y2=to_y - 5.0, stroke=INK, stroke_width="1")


def _lamp(layout: Layout) -> list[Node]:
    x, y = LEFT + 28.0, layout.roof_foot
    cord = node("line", x1=x, x2=x, y1=y, y2=y + 12.0, stroke=INK, stroke_width="2")
    shade = node(
        "polygon",
        points=points([(x - 4, y + 12), (x + 4, y + 12), (x + 12, y + 24), (x - 12, y + 24)]),
        fill=PAPER, stroke=INK, stroke_width="2",
    )  # fmt: skip
    return [cord, shade]


def _label_place(part: str) -> Point:
    return (RIGHT + 24.0, GROUND + (70.0 if part == "heating" else 34.0))


def _label_only(layout: Layout, part: str) -> Anchor:
    """Label of a part without an arrow."""
    place = (LEFT + 50.0, layout.roof_foot + 26.0) if part == "plugs" else _label_place(part)
    return Anchor(start=place, direction=(0.0, 0.0), label=place, align="start")
