"""Numbers of the lessons on air: blower door and winter, fans and flues, zones at 50 Pa, and air in ducts."""

from collections.abc import Mapping

import numpy as np

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import InputError
from retrofit_lab.classroom.house_lessons import CEILING, january_places
from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers, drawn
from retrofit_lab.classroom.lesson_physics import pressure_for, stack_pressure, zone_pressure
from retrofit_lab.classroom.months import MONTHS
from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.air import reading_at_50, site_shares, site_shares_left
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.physics.blower_door import (
    effective_leakage_area,
    flow_coefficient,
)
from retrofit_lab.physics.ducts import conduction_effectiveness
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told

FULL = 50.0
"""Pressure of the test. [Pa]"""
INSULATED = {f"{CEILING}.r_label": 49.0, f"{CEILING}.gap_fraction": 0.0}
"""The attic floor with more insulation on it, while its holes stay as they are."""
OPEN_SHARE = 0.6
"""Of a vent's free opening, what counts beside a leak's ideal one: its discharge coefficient. [1] (memory)"""
SEALED = ("attic_air_sealing", "seal_floor_holes", "seal_sill", "foundation_air_sealing", "weatherstrip_doors",
          "window_weatherstrip", "caulk_baseboards", "outlet_gaskets", "seal_boots", "attic_hatch")  # fmt: skip
"""Measures that close leaks; those that fit the house are taken together."""
HOUR_MINUTES = 60.0


def blower_door_to_winter(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """Air by the fan and on its own; by hand: the fan pressure that brings as much as January does. [Pa]"""
    house, year = study.as_found, year_energy(study.as_found, study.climate)
    flow_50, exponent, coefficient = _power_law(house)
    natural = np.broadcast_to(np.asarray(year.parts.flows.natural, dtype=np.float64), (12,))
    january, per_hour = _january(natural), HOUR_MINUTES / float(house.size.volume)
    losses, places = study.energies.season_losses(()), january_places(house, study)
    height = float(house.size.volume) / float(house.size.floor_area) * float(house.size.stories)
    stack = float(stack_pressure(height, places[INSIDE], places["outdoors"]))
    return LessonNumbers(
        facts={
            "flow_50": flow_50,
            "exponent": exponent,
            "january": january,
            "july": float(natural[6]),
            "part": flow_50 / january,
            "changes_50": flow_50 * per_hour,
            "changes": january * per_hour,
            "leaks": 100.0 * float(losses.by_part["air"] / losses.total),
            "attic": places["attic"],
            "attic_after": january_places(with_numbers(house, INSULATED), study)["attic"],
            "through_attic": 100.0 * _january(year.parts.flows.leaving.get("attic", 0.0)),
            "height": height,
            "stack": stack,
            "quarter": stack / 4.0,
            "even": float(pressure_for(coefficient, exponent, january)),
        },
        charts=(
            Bars(of="month", labels=MONTHS, series={"air": tuple(natural.tolist())}, unit="cfm"),
        ),
        drawn=drawn(study),
    )


def fans_and_flues(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """Pressure that exhaust fans make; by hand: the same fans in the house once it is sealed. [Pa]"""
    house, sealed = study.as_found, sealed_house(study)
    flow_50, exponent, coefficient = _power_law(house)
    sealed_50 = flow_50 * float(total(site_shares_left(sealed).values()))
    tight = float(flow_coefficient(sealed_50, FULL, exponent))
    fans = values["dryer"] + values["hood"] + values["bath"]

    def pressures(of_house: float) -> dict[str, float]:
        found = {name: float(pressure_for(of_house, exponent, values[name])) for name in values}
        return {**found, "fans": float(pressure_for(of_house, exponent, fans))}

    loose, tightened = pressures(coefficient), pressures(tight)
    order = ("fans", "bath", "dryer", "hood")
    return LessonNumbers(
        facts={
            **values,
            **{f"by_{name}": pressure for name, pressure in loose.items()},
            "fans": fans,
            "flow_50": flow_50,
            "exponent": exponent,
            "sealed_50": sealed_50,
            "sum": loose["dryer"] + loose["hood"] + loose["bath"],
            "tight": tightened["fans"],
        },
        charts=(
            Bars(
                of="running",
                labels=order,
                series={"now": tuple(loose[name] for name in order)},
                unit="Pa",
            ),
        ),
    )


def zones_at_fifty(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """How the 50 Pa divide over floor and roof; by hand: the floor's leaks from a zone reading. [1]"""
    inner, exponent = _inner_leaks(study.as_found)
    outer = {
        "attic": OPEN_SHARE * values["vents"],
        "crawlspace": OPEN_SHARE * values["crawl_vents"],
    }
    ratio = {place: inner[place] / outer[place] for place in inner}
    reading = {
        place: float(zone_pressure(inner[place], outer[place], exponent, FULL)) for place in inner
    }
    return LessonNumbers(
        facts={
            **values,
            "exponent": exponent,
            "attic_leaks": inner["attic"],
            "attic_open": outer["attic"],
            "attic": reading["attic"],
            "attic_out": FULL - reading["attic"],
            "crawl": reading["crawlspace"],
            "crawl_out": FULL - reading["crawlspace"],
            "crawl_open": outer["crawlspace"],
            "crawl_leaks": inner["crawlspace"],
            "ratio": ratio["crawlspace"],
        },
        charts=(
            Bars(
                of="across",
                labels=("crawl_roof", "crawl_floor", "attic_roof", "attic_floor"),
                series={
                    "now": (
                        FULL - reading["crawlspace"], reading["crawlspace"],
                        FULL - reading["attic"], reading["attic"],
                    )
                },
                unit="Pa",
            ),
        ),
    )  # fmt: skip


def _inner_leaks(house: House) -> tuple[dict[str, float], float]:
    """Leaks between the rooms and each zone as ideal openings [in2], and their exponent. [1]"""
    _, exponent, coefficient = _power_law(house)
    share, whole = site_shares(house), float(effective_leakage_area(coefficient, exponent))
    sites = house.leakage.sites
    return {
        place: whole * sum(float(share[site.key]) for site in sites if site.place == place)
        for place in ("attic", "crawlspace")
    }, exponent


def heat_in_the_ducts(study: Study, _values: Mapping[str, float]) -> LessonNumbers:
    """What of the furnace's heat arrives; by hand: what goes through the walls of the supply ducts. [percent]"""
    house, year = study.as_found, year_energy(study.as_found, study.climate)
    found, ducts = year.heating.ducts, house.ducts
    arrives, useful = _january(found.delivered), _january(found.useful)
    coefficient = float(year.parts.flows.heat_coefficient)
    kept = float(
        conduction_effectiveness(ducts.supply_area, ducts.supply_r, ducts.flow, coefficient)
    )
    shares = {"arrives": arrives, "returns": useful - arrives, "lost": 1.0 - useful}
    return LessonNumbers(
        facts={
            "arrives": 100.0 * arrives,
            "useful": 100.0 * useful,
            "lost": 100.0 * (1.0 - useful),
            "supply_leak": 100.0 * float(ducts.supply_leakage),
            "return_leak": 100.0 * float(ducts.return_leakage),
            "leak_flow": float(ducts.flow * ducts.supply_leakage),
            "area": float(ducts.supply_area),
            "r_value": float(ducts.supply_r),
            "flow": float(ducts.flow),
            "coefficient": coefficient,
            "crawl": _place_of_ducts(house, year),
            "kept": 100.0 * kept,
            "through_wall": 100.0 * (1.0 - kept),
        },
        charts=(
            Bars(
                of="where",
                labels=tuple(shares)[::-1],
                series={"now": tuple(100.0 * share for share in shares.values())[::-1]},
                unit="percent",
            ),
        ),
    )


def sealed_house(study: Study) -> House:
    """House with the leaks closed that the measures of the catalog would close."""
    changes: dict[str, float] = {}
    for key in SEALED:
        if key not in study.keys:
            continue
        for change in study.offer(key).changes:
            if change.path.startswith("leakage.sites.") and change.op == "seal":
                changes[change.path] = max(changes.get(change.path, 0.0), float(change.value))
    if not changes:
        raise InputError(told("lesson.nothing_to_seal", name=study.as_found.name))
    return with_numbers(study.as_found, changes)


def _power_law(house: House) -> tuple[float, float, float]:
    """Flow at 50 Pa [cfm], exponent [1] and flow at 1 Pa [cfm/Pa^n] of the house."""
    flow, exponent = float(reading_at_50(house)), float(house.leakage.exponent)
    return flow, exponent, float(flow_coefficient(flow, FULL, exponent))


def _place_of_ducts(house: House, year: YearEnergy) -> float:
    """Temperature around the supply ducts in January. [F]"""
    return _january(year.heating.ducts.around[house.ducts.supply_place])


def _january(value: object) -> float:
    return float(np.broadcast_to(np.asarray(value, dtype=np.float64), (12,))[0])
