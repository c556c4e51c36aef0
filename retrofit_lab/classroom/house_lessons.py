"""Numbers of the lessons on heat, insulation and air: the model's own, and the wrong turns that students take."""

from collections.abc import Iterator, Mapping

import numpy as np

from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.classroom.side_by_side import EMPTY, side_by_side, surface_at, whole_r
from retrofit_lab.house.description import INSIDE, OUTDOORS, House
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.air import reading_at_50
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.envelope import (
    surface_conductance,
    surface_u,
)
from retrofit_lab.model.year import year_energy
from retrofit_lab.physics.blower_door import flow_at, flow_coefficient
from retrofit_lab.study.study import Study

CEILING, KNEE_WALLS = "surfaces.attic_floor", "surfaces.kneewalls"
OUTSIDE_WALLS = "surfaces.walls"
EMPTY_OUTSIDE = 0.2
"""Empty bays that the question worked out by hand supposes in the outside walls. [1]"""
STEPS = ("As the label says", "With the gaps", "And the framing", "And the empty bays")
FLOWS = ("July by itself", "January by itself", "At 10 Pa", "At 50 Pa, fan running")
INSULATED = {f"{CEILING}.r_label": 49.0, f"{CEILING}.gap_fraction": 0.0}
"""The attic floor with more insulation on it, while its holes stay as they are."""
PART_NAMES = {
    "attic": "Attic floor and hatch",
    "knee_walls": "Knee walls",
    "walls": "Outside walls",
    "windows": "Windows",
    "doors": "Outside doors",
    "floor": "Floor",
    "garage": "Wall to the garage",
    "air": "Air through leaks",
    "ducts": "Ducts",
}
HOUR_MINUTES = 60.0
BTU_PER_MILLION = 1e6


def where_heat_goes(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Heat by its ways over the winter; by hand: what goes through the attic floor in January. [Btu/h]"""
    losses = study.energies.season_losses(())
    paths = {part: float(heat) for part, heat in losses.by_part.items() if heat}
    total = float(losses.total)
    places = _temperatures(study.as_found, study)
    surface = surface_at(study.as_found, CEILING)
    drop = places[INSIDE] - places[surface.outside]
    u_value, area = float(surface_u(surface)), float(surface.area)
    ranked = sorted(paths, key=lambda part: paths[part])
    return LessonNumbers(
        facts={
            "total": total / BTU_PER_MILLION,
            "leaks": 100.0 * paths["air"] / total,
            "ceiling": 100.0 * paths["attic"] / total,
            "walls": 100.0 * paths["walls"] / total,
            "room": places[INSIDE],
            "attic": places[surface.outside],
            "outdoors": places[OUTDOORS],
            "area": area,
            "u_value": u_value,
        },
        guessed=100.0 * paths["air"] / total,
        answer=float(surface_conductance(surface)) * drop,
        slips={
            "outdoors": area * u_value * (places[INSIDE] - places[OUTDOORS]),
            "no_difference": area * u_value * places[INSIDE],
            "times_r": area * drop / u_value,
            "label": area * drop / float(surface.r_label),
        },
        bars=Bars(
            of="Way out",
            labels=tuple(PART_NAMES[part] for part in ranked),
            series={"of 100 Btu": tuple(100.0 * paths[part] / total for part in ranked)},
            unit="of 100 Btu that leave over the winter",
        ),
    )


def label_and_installed(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """R of the knee walls step by step from their label; by hand: R of other walls. [h ft2 F/Btu]"""
    house = study.as_found
    wall = surface_at(house, KNEE_WALLS)
    steps = dict(_steps(house))
    whole, promised = steps[STEPS[-1]], steps[STEPS[0]]
    missing = float(wall.missing_fraction)
    paths = side_by_side(house, KNEE_WALLS, missing)
    outside = side_by_side(house, OUTSIDE_WALLS, EMPTY_OUTSIDE)
    return LessonNumbers(
        facts={
            **outside.facts,
            "outside_label": outside.label,
            "label": paths.label,
            "missing": 100.0 * missing,
            "by_empty": 100.0 * paths.shares[EMPTY] / paths.r_values[EMPTY] * whole,
            "promised": promised,
            "whole": whole,
            "lost": 100.0 * (1.0 - whole / promised),
        },
        guessed=whole,
        answer=outside.whole,
        slips=outside.slips,
        bars=Bars(
            of="What is counted",
            labels=STEPS[::-1],
            series={"R": tuple(steps.values())[::-1]},
            unit="R of the whole wall",
        ),
    )


def _steps(house: House) -> Iterator[tuple[str, float]]:
    """R of the whole knee wall as more and more of what is there is counted. [h ft2 F/Btu]"""
    bare = {"framing_fraction": 0.0, "missing_fraction": 0.0}
    yield STEPS[0], whole_r(house, KNEE_WALLS, **bare, gap_fraction=0.0)
    yield STEPS[1], whole_r(house, KNEE_WALLS, **bare)
    yield STEPS[2], whole_r(house, KNEE_WALLS, missing_fraction=0.0)
    yield STEPS[3], whole_r(house, KNEE_WALLS)


def blower_door_to_winter(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Air by the fan and by itself; by hand: the flow at 4 Pa by the power law. [cfm]"""
    house = study.as_found
    flow_50, exponent = float(reading_at_50(house)), float(house.leakage.exponent)
    coefficient = flow_coefficient(flow_50, 50.0, exponent)
    at_10, at_4 = (float(flow_at(coefficient, exponent, pressure)) for pressure in (10.0, 4.0))
    flows = year_energy(house, study.climate).parts.flows
    january, july = (float(np.broadcast_to(flows.natural, (12,))[month]) for month in (0, 6))
    per_hour = HOUR_MINUTES / float(house.size.volume)
    losses = study.energies.season_losses(())
    return LessonNumbers(
        facts={
            "flow_50": flow_50,
            "exponent": exponent,
            "at_10": at_10,
            "january": january,
            "part": flow_50 / january,
            "changes_50": flow_50 * per_hour,
            "changes": january * per_hour,
            "leaks": 100.0 * float(losses.by_part["air"] / losses.total),
            "attic": _temperatures(house, study)["attic"],
            "attic_after": _temperatures(with_numbers(house, INSULATED), study)["attic"],
            "through_attic": 100.0 * float(flows.leaving.get("attic", 0.0)),
        },
        guessed=january,
        answer=at_4,
        slips=_wrong_flows(flow_50, exponent),
        bars=Bars(
            of="When",
            labels=FLOWS,
            series={"cfm": (july, january, at_10, flow_50)},
            unit="cfm of air",
        ),
    )


def _wrong_flows(flow_50: float, exponent: float) -> dict[str, float]:
    """Flows at 4 Pa that wrong ideas of the power law give. [cfm]"""
    ratio = 4.0 / 50.0
    return {
        "in_step": flow_50 * ratio,
        "square_root": flow_50 * ratio**0.5,
        "upside_down": flow_50 * ratio**-exponent,
        "factor_only": ratio**exponent,
        "times_exponent": flow_50 * ratio * exponent,
    }


def _temperatures(house: House, study: Study) -> dict[str, float]:
    """Temperature of the rooms, of each unheated place and outdoors in January. [F]"""
    year = year_energy(house, study.climate)
    room, outdoor = year.heating.rooms.temperature, year.parts.climate.temperature
    places = place_temperatures(year.heating.state, room, outdoor)
    return {place: float(np.broadcast_to(value, (12,))[0]) for place, value in places.items()}
