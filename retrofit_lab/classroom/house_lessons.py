"""Numbers of the lessons on heat, insulation and air: the model's own, and the wrong turns that students take."""

from collections.abc import Iterator, Mapping

import numpy as np

from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.house.description import INSIDE, OUTDOORS, House, Surface
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.model.air import reading_at_50
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.envelope import (
    film_resistance_of,
    surface_conductance,
    surface_u,
)
from retrofit_lab.model.year import year_energy
from retrofit_lab.physics.blower_door import flow_at, flow_coefficient
from retrofit_lab.study import Study

CEILING, KNEE_WALLS = "surfaces.attic_floor", "surfaces.kneewalls"
OUTSIDE_WALLS = "surfaces.walls"
EMPTY_OUTSIDE = 0.1
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
    losses = study.season_losses(())
    paths = {part: float(heat) for part, heat in losses.by_part.items() if heat}
    total = float(losses.total)
    places = _temperatures(study.as_found, study)
    surface = _surface(study.as_found, CEILING)
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
    wall = _surface(house, KNEE_WALLS)
    steps = dict(_steps(house))
    whole, promised = steps[STEPS[-1]], steps[STEPS[0]]
    empty = (1.0 - float(wall.framing_fraction)) * float(wall.missing_fraction)
    by_empty = empty * whole / _wall_r(house, KNEE_WALLS, missing_fraction=1.0)
    return LessonNumbers(
        facts={
            **_outside_facts(house),
            "label": float(wall.r_label),
            "missing": 100.0 * float(wall.missing_fraction),
            "by_empty": 100.0 * by_empty,
            "promised": promised,
            "whole": whole,
            "lost": 100.0 * (1.0 - whole / promised),
        },
        guessed=whole,
        answer=_outside_r(house),
        slips=_wrong_walls(house),
        bars=Bars(
            of="What is counted",
            labels=STEPS[::-1],
            series={"R": tuple(steps.values())[::-1]},
            unit="R of the whole wall",
        ),
    )


def _outside_r(house: House) -> float:
    """R of the outside walls with the empty bays that the question supposes. [h ft2 F/Btu]"""
    path = f"{OUTSIDE_WALLS}.missing_fraction"
    return 1.0 / float(
        surface_u(_surface(with_numbers(house, {path: EMPTY_OUTSIDE}), OUTSIDE_WALLS))
    )


def _outside_paths(house: House) -> tuple[dict[str, float], dict[str, float]]:
    """Shares [1] and R-values [h ft2 F/Btu] of what lies side by side in those walls."""
    wall = _surface(house, OUTSIDE_WALLS)
    framing = float(wall.framing_fraction)
    around = float(wall.r_continuous) + film_resistance_of(wall)
    bays = 1.0 - framing
    shares = {
        "framing": framing,
        "filled": bays * (1.0 - EMPTY_OUTSIDE),
        "empty": bays * EMPTY_OUTSIDE,
    }
    paths = {
        "framing": float(wall.r_framing) + around,
        "filled": _wall_r(house, OUTSIDE_WALLS),
        "empty": _wall_r(house, OUTSIDE_WALLS, missing_fraction=1.0),
    }
    return shares, paths


def _outside_facts(house: House) -> dict[str, float]:
    shares, paths = _outside_paths(house)
    facts = {name: 100.0 * share for name, share in shares.items()}
    facts |= {f"r_{name}": r_value for name, r_value in paths.items()}
    return facts | {"outside_label": float(_surface(house, OUTSIDE_WALLS).r_label)}


def _wrong_walls(house: House) -> dict[str, float]:
    """R-values that wrong ideas give for the outside walls. [h ft2 F/Btu]"""
    (shares, paths), wall = _outside_paths(house), _surface(house, OUTSIDE_WALLS)
    around = float(wall.r_continuous) + film_resistance_of(wall)
    no_framing = (1.0 - EMPTY_OUTSIDE) / paths["filled"] + EMPTY_OUTSIDE / paths["empty"]
    return {
        "mean_of_r": sum(shares[name] * paths[name] for name in shares),
        "u_value": 1.0 / _outside_r(house),
        "no_empty": 1.0 / float(surface_u(wall)),
        "no_framing": 1.0 / no_framing,
        "label": float(wall.r_label),
        "promised": float(wall.r_label) + around,
    }


def _steps(house: House) -> Iterator[tuple[str, float]]:
    """R of the whole knee wall as more and more of what is there is counted. [h ft2 F/Btu]"""
    wall = _surface(house, KNEE_WALLS)
    yield STEPS[0], _wall_r(house, KNEE_WALLS, gap_fraction=0.0)
    yield STEPS[1], _wall_r(house, KNEE_WALLS)
    yield STEPS[2], _wall_r(house, KNEE_WALLS, framing_fraction=float(wall.framing_fraction))
    yield STEPS[3], 1.0 / float(surface_u(wall))


def _wall_r(house: House, path: str, **shares: float) -> float:
    """R of a wall without framing and empty bays, save for the shares given. [h ft2 F/Btu]"""
    plain = {"framing_fraction": 0.0, "missing_fraction": 0.0} | shares
    changed = with_numbers(house, {f"{path}.{name}": value for name, value in plain.items()})
    return 1.0 / float(surface_u(_surface(changed, path)))


def blower_door_to_winter(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Air by the fan and by itself; by hand: the flow at 4 Pa by the power law. [cfm]"""
    house = study.as_found
    flow_50, exponent = float(reading_at_50(house)), float(house.leakage.exponent)
    coefficient = flow_coefficient(flow_50, 50.0, exponent)
    at_10, at_4 = (float(flow_at(coefficient, exponent, pressure)) for pressure in (10.0, 4.0))
    flows = year_energy(house, study.climate).parts.flows
    january, july = (float(np.broadcast_to(flows.natural, (12,))[month]) for month in (0, 6))
    per_hour = HOUR_MINUTES / float(house.size.volume)
    losses = study.season_losses(())
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


def _surface(house: House, path: str) -> Surface:
    found: Surface = number_at(house, path)  # type: ignore[assignment]
    return found
