"""Numbers of the lessons on surfaces: where water settles on them, and what an infrared camera sees of them."""

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from retrofit_lab.classroom.house_lessons import KNEE_WALLS, january_places
from retrofit_lab.classroom.lesson_numbers import Bars, Curve, Curves, Field, LessonNumbers
from retrofit_lab.classroom.lesson_physics import dew_point, humidity_at
from retrofit_lab.classroom.side_by_side import EMPTY, FILLED, WOOD, side_by_side, surface_at
from retrofit_lab.house.description import INSIDE
from retrofit_lab.house.paths import number_at
from retrofit_lab.model.envelope import surface_u
from retrofit_lab.physics.conduction import inside_film
from retrofit_lab.study.study import Study

WINDOW, WALLS = "windows.north", "surfaces.walls"
NEW_WINDOWS = "new_windows"
HUMIDITIES = tuple(range(10, 105, 5))
"""Relative humidities that the curve of dew points goes through. [percent]"""
BAYS, EMPTY_BAYS = 7, (2, 5)
"""Bays in the heat picture, and which of them are drawn empty."""
STUD = 1.0 / 38.0
"""Width of a piece of wood in the picture. [share of it]"""


def dew_on_the_glass(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """Dew point of the rooms' air, and surfaces on a cold night; by hand: the glass of new windows. [F]"""
    house, cold = study.as_found, values["cold"]
    room, humidity = january_places(house, study)[INSIDE], values["humidity"] / 100.0
    film = float(inside_film("wall"))
    u_new = _u_of_new_windows(study)
    u_window = float(number_at(house, WINDOW).u_value)  # type: ignore[union-attr]
    u_wall = float(surface_u(surface_at(house, WALLS)))

    def surface(u_value: float) -> float:
        return room - u_value * film * (room - cold)

    dew = float(dew_point(room, humidity))
    glass, wall = surface(u_window), surface(u_wall)
    return LessonNumbers(
        facts={
            **values,
            "room": room,
            "dew": dew,
            "freezing": 32.0,
            "film": film,
            "u_window": u_window,
            "u_wall": u_wall,
            "u_new": u_new,
            "new_glass": surface(u_new),
            "glass": glass,
            "wall": wall,
            "margin": glass - dew,
            "most": 100.0 * float(humidity_at(glass, room)),
            "most_wall": 100.0 * float(humidity_at(wall, room)),
        },
        charts=(_over_humidity(room, {"glass": glass, "wall": wall}, values["humidity"], dew),),
    )


def _over_humidity(
    room: float, surfaces: Mapping[str, float], humidity: float, dew: float
) -> Curves:
    """Dew point of room air over its humidity, beside the temperatures of surfaces."""
    points = tuple(float(dew_point(room, percent / 100.0)) for percent in HUMIDITIES)
    level = {
        name: Curve(x=(float(HUMIDITIES[0]), float(HUMIDITIES[-1])), y=(value, value))
        for name, value in surfaces.items()
    }
    return Curves(
        x_unit="rh",
        y_unit="F",
        curves={
            "dew": Curve(x=tuple(map(float, HUMIDITIES)), y=points),
            **level,
            "air": Curve(x=(humidity,), y=(dew,), joined=False),
        },
    )


def _u_of_new_windows(study: Study) -> float:
    """U of the windows that the catalog would put in. [Btu/(h ft2 F)]"""
    return min(
        float(change.value)
        for change in study.offer(NEW_WINDOWS).changes
        if change.path.endswith(".u_value")
    )


def wall_in_infrared(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Surface temperatures of a knee wall in January; by hand: an empty bay seen from behind. [F]"""
    house = study.as_found
    wall, places = surface_at(house, KNEE_WALLS), january_places(house, study)
    paths = side_by_side(house, KNEE_WALLS, float(wall.missing_fraction))
    room, behind, film = places[INSIDE], places[wall.outside], float(inside_film("wall"))

    def surface(name: str) -> float:
        return room - film / paths.r_values[name] * (room - behind)

    seen = {name: surface(name) for name in (FILLED, WOOD, EMPTY)}
    return LessonNumbers(
        facts={
            **{f"r_{name}": r_value for name, r_value in paths.r_values.items()},
            "room": room,
            "behind": behind,
            "film": film,
            "label": paths.label,
            "apart": room - behind,
            "filled": seen[FILLED],
            "wood": seen[WOOD],
            "empty": seen[EMPTY],
            "from_behind": behind + film / paths.r_values[EMPTY] * (room - behind),
            "colder": seen[FILLED] - seen[EMPTY],
        },
        charts=(
            Bars(
                of="spot",
                labels=("behind", EMPTY, WOOD, FILLED, "room"),
                series={"now": (behind, seen[EMPTY], seen[WOOD], seen[FILLED], room)},
                unit="F",
            ),
        ),
        heat_picture=tuple(_fields(seen)),
    )


def _fields(seen: Mapping[str, float]) -> list[Field]:
    """A wall of studs with a plate above and below, and two bays with nothing in them."""
    plates = [
        Field(name=WOOD, left=0.0, top=top, width=1.0, height=0.06, temperature=seen[WOOD])
        for top in (0.0, 0.94)
    ]
    edges = np.linspace(0.0, 1.0, BAYS + 1)
    bays = []
    for place, (left, right) in enumerate(pairwise(edges)):
        name = EMPTY if place in EMPTY_BAYS else FILLED
        bays.append(
            Field(
                name=name,
                left=float(left),
                top=0.06,
                width=float(right - left),
                height=0.88,
                temperature=seen[name],
            )
        )
    studs = [
        Field(
            name=WOOD,
            left=float(np.clip(edge - STUD / 2.0, 0.0, 1.0 - STUD)),
            top=0.06,
            width=STUD,
            height=0.88,
            temperature=seen[WOOD],
        )
        for edge in edges
    ]
    return [*bays, *studs, *plates]
