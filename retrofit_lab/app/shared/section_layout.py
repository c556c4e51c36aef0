"""Where everything is in the drawing of a house in section: corners of its outline and ends of its arrows."""

from dataclasses import dataclass

from retrofit_lab.app.shared.svg import Point
from retrofit_lab.house.section import Section

WIDTH = 600
LEFT, RIGHT, MIDDLE = 200.0, 400.0, 300.0
EAVE = 15.0
MARGIN = 56.0
STORY = 74.0
GROUND = 352.0
FLOOR = GROUND - 8.0
GARAGE_WIDTH, GARAGE_HEIGHT = 90.0, 44.0
DEPTH = {"basement": 78.0, "heated basement": 78.0, "crawlspace": 26.0}
UP, DOWN, TO_LEFT, TO_RIGHT = (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0)
BELOW_PLACES = ("basement", "crawlspace")


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """Where a part's arrow starts, which way it goes, and where its label stands."""

    start: Point
    direction: Point
    label: Point
    align: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Heights of one house in the drawing: upper edge, ridge, foot of the roof, lowest point. [drawing units]"""

    section: Section
    top: float
    ridge: float
    roof_foot: float
    bottom: float


def layout_of(section: Section) -> Layout:
    """Heights that follow from the shape of a house."""
    full = max(section.stories - 1, 1) if section.knee_walls else section.stories
    roof_foot = FLOOR - full * STORY
    rise = 112.0 if section.knee_walls else 66.0
    return Layout(
        section=section,
        top=roof_foot - rise - 56.0,
        ridge=roof_foot - rise,
        roof_foot=roof_foot,
        bottom=GROUND + DEPTH.get(section.below, 0.0),
    )


def roof_height(layout: Layout, x: float) -> float:
    """Height of the roof above a place. [drawing units]"""
    half = MIDDLE - LEFT + EAVE
    return layout.ridge + (layout.roof_foot - layout.ridge) * abs(x - MIDDLE) / half


def anchors(layout: Layout) -> dict[str, Anchor]:
    """Arrows of every part that loses heat."""
    left, right = LEFT - 52.0, RIGHT + 52.0
    top = layout.roof_foot
    found = {
        "air": _upward(layout, MIDDLE - 74.0),
        "attic": _upward(layout, MIDDLE + 74.0),
        "walls": Anchor(
            start=(LEFT, FLOOR - 54.0), direction=TO_LEFT, label=(left, FLOOR - 58.0), align="end"
        ),
        "doors": Anchor(
            start=(LEFT, FLOOR - 12.0), direction=TO_LEFT, label=(left, FLOOR - 14.0), align="end"
        ),
        "windows": Anchor(
            start=(RIGHT, top + 20.0), direction=TO_RIGHT, label=(right, top + 8.0), align="start"
        ),
        "floor": Anchor(
            start=(MIDDLE - 20.0, layout.bottom),
            direction=DOWN,
            label=(MIDDLE + 8.0, layout.bottom + 24.0),
            align="start",
        ),
        "ducts": _ducts(layout, left, right),
    }
    if layout.section.knee_walls:
        x = LEFT + 6.0
        start = (x, roof_height(layout, x))
        found["knee_walls"] = Anchor(
            start=start, direction=TO_LEFT, label=(x - 52.0, start[1] - 6.0), align="end"
        )
    if layout.section.garage:
        middle = FLOOR - 18.0
        found["garage"] = Anchor(
            start=(RIGHT, middle),
            direction=TO_RIGHT,
            label=(RIGHT + GARAGE_WIDTH + 6.0, middle - 4.0),
            align="start",
        )
    return found


def _upward(layout: Layout, x: float) -> Anchor:
    y = roof_height(layout, x)
    return Anchor(start=(x, y), direction=UP, label=(x, y - 74.0), align="middle")


def duct_height(layout: Layout) -> float:
    """Height of the duct in the drawing, in the place where it runs. [drawing units]"""
    if layout.section.ducts in ("attic", "kneewall"):
        return layout.roof_foot - 12.0
    if layout.section.ducts in BELOW_PLACES:
        return GROUND + 14.0
    return FLOOR - 10.0


def _ducts(layout: Layout, left: float, right: float) -> Anchor:
    y = duct_height(layout)
    if layout.section.ducts in ("attic", "kneewall"):
        return Anchor(
            start=(RIGHT - 10.0, y), direction=TO_RIGHT, label=(right, y - 14.0), align="start"
        )
    y = max(y, GROUND + 14.0)
    return Anchor(start=(LEFT, y), direction=TO_LEFT, label=(left, y + 14.0), align="end")
