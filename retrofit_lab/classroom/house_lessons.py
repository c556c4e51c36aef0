"""Numbers of the lessons on heat and insulation: the model's own, by name; which ideas go wrong is in the data."""

from collections.abc import Mapping

import numpy as np

from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers, drawn
from retrofit_lab.classroom.side_by_side import EMPTY, WOOD, side_by_side, surface_at, whole_r
from retrofit_lab.house.description import INSIDE, OUTDOORS, House
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.envelope import surface_conductance, surface_u
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.study import Study

CEILING, KNEE_WALLS = "surfaces.attic_floor", "surfaces.kneewalls"
OUTSIDE_WALLS = "surfaces.walls"
EMPTY_OUTSIDE = 0.2
"""Empty bays that the question worked out by hand supposes in the outside walls. [1]"""
MORE_WOOD = 0.4
"""Wood in a wall with twice the usual framing, to show what wood is worth beside empty bays. [1]"""
WHOLE = {"framing_fraction": 0.0, "missing_fraction": 0.0, "gap_fraction": 0.0}
BTU_PER_MILLION = 1e6


def where_heat_goes(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Heat by its ways over the winter; by hand: what goes through the attic floor in January. [Btu/h]"""
    losses = study.energies.season_losses(())
    paths = {part: float(heat) for part, heat in losses.by_part.items() if heat}
    total = float(losses.total)
    places = january_places(study.as_found, study)
    surface = surface_at(study.as_found, CEILING)
    drop = places[INSIDE] - places[surface.outside]
    ranked = sorted(paths, key=lambda part: paths[part])
    return LessonNumbers(
        facts={
            "total": total / BTU_PER_MILLION,
            "leak_heat": paths["air"] / BTU_PER_MILLION,
            "leaks": 100.0 * paths["air"] / total,
            "ceiling": 100.0 * paths["attic"] / total,
            "walls": 100.0 * paths["walls"] / total,
            "room": places[INSIDE],
            "attic": places[surface.outside],
            "outdoors": places[OUTDOORS],
            "area": float(surface.area),
            "u_value": float(surface_u(surface)),
            "label": float(surface.r_label),
            "heat": float(surface_conductance(surface)) * drop,
        },
        charts=(
            Bars(
                of="way",
                labels=tuple(f"part.{part}" for part in ranked),
                series={"heat": tuple(paths[part] / BTU_PER_MILLION for part in ranked)},
                unit="MBtu",
            ),
        ),
        drawn=drawn(study),
    )


def label_and_installed(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """R of the knee walls with each loss alone and all together; by hand: R of other walls. [h ft2 F/Btu]"""
    house = study.as_found
    found = r_with_losses(house)
    wall = surface_at(house, KNEE_WALLS)
    paths = side_by_side(house, KNEE_WALLS, float(wall.missing_fraction))
    outside = side_by_side(house, OUTSIDE_WALLS, EMPTY_OUTSIDE)
    lost = {f"lost_{name}": found["promised"] - r_value for name, r_value in found.items()}
    return LessonNumbers(
        facts={
            **outside.facts,
            **found,
            **lost,
            "lost_sum": lost["lost_gaps"] + lost["lost_wood"] + lost["lost_bays"],
            "outside_label": outside.label,
            "outside_promised": outside.label + outside.around,
            "outside_r": outside.whole,
            "label": paths.label,
            "missing": 100.0 * float(wall.missing_fraction),
            "by_empty": 100.0 * paths.shares[EMPTY] / paths.r_values[EMPTY] * found["whole"],
            "lost": 100.0 * (1.0 - found["whole"] / found["promised"]),
            "wood_r": paths.r_values[WOOD],
            "empty_r": paths.r_values[EMPTY],
            "more_wood": whole_r(house, KNEE_WALLS, framing_fraction=MORE_WOOD),
        },
        charts=(
            Bars(
                of="counted",
                labels=("whole", "bays", "wood", "gaps", "promised"),
                series={
                    "r": tuple(found[n] for n in ("whole", "bays", "wood", "gaps", "promised"))
                },
                unit="R",
            ),
        ),
    )


def r_with_losses(house: House) -> dict[str, float]:
    """R of the whole knee wall as the label promises it, with each loss alone, and as it is. [h ft2 F/Btu]"""
    wall = surface_at(house, KNEE_WALLS)

    def alone(name: str) -> float:
        return whole_r(house, KNEE_WALLS, **{**WHOLE, name: float(getattr(wall, name))})

    return {
        "promised": whole_r(house, KNEE_WALLS, **WHOLE),
        "gaps": alone("gap_fraction"),
        "wood": alone("framing_fraction"),
        "bays": alone("missing_fraction"),
        "whole": whole_r(house, KNEE_WALLS),
    }


def january_places(house: House, study: Study) -> dict[str, float]:
    """Temperature of the rooms, of each unheated place and outdoors in January. [F]"""
    year = year_energy(house, study.climate)
    room, outdoor = year.heating.rooms.temperature, year.parts.climate.temperature
    places = place_temperatures(year.heating.state, room, outdoor)
    return {place: float(np.broadcast_to(value, (12,))[0]) for place, value in places.items()}
