"""Setbacks over hours: which hours are of the night, how air follows rooms, and heat pumps that come back slowly."""

from dataclasses import replace

import numpy as np
import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.balance import line_within_days
from retrofit_lab.model.hour_groups import hour_groups, share_of_clock, spread_of_days
from retrofit_lab.model.year import year_energy

HOUSE = load_house(data_path("houses", "alder_street.toml"))
ALDER = replace(HOUSE, zones=(replace(HOUSE.zones[0], share=1.0),))
CLIMATE = find_climate("high_desert_co")
NIGHT = "zones.downstairs.periods.night.heating_setpoint"
JANUARY, JULY = 0, 6
LATE = (22, 23, 0, 1, 2, 3, 4, 5, 6, 7, 8)


def year(**numbers):
    return year_energy(with_numbers(ALDER, numbers), CLIMATE)


def backup(found) -> float:
    return float(np.sum(found.backup))


def test_cold_groups_of_a_month_are_hours_of_the_night() -> None:
    groups = hour_groups(CLIMATE)
    share = share_of_clock(CLIMATE, LATE)
    assert np.all(share[:, 0] > 0.6)
    assert np.all(share[:, -1] < 0.3)
    assert (share * groups.hours).sum(axis=-1) / groups.hours.sum(axis=-1) == pytest.approx(
        np.full(12, 11 / 24), abs=0.05
    )


def test_days_spread_as_daily_means_do() -> None:
    """Standard deviation of a month's daily means, from the degree-day table's record of them."""
    table, spread = CLIMATE.degree_days, spread_of_days(CLIMATE)
    bases = np.arange(-30.0, 120.0, 0.5)
    below = np.array([table.days_below(base) for base in bases]) / CLIMATE.days
    share = np.diff(below, axis=0)
    middle = (bases[1:] + bases[:-1])[:, None] / 2.0
    mean = (share * middle).sum(axis=0)
    daily = np.sqrt((share * (middle - mean) ** 2).sum(axis=0))
    assert np.median(spread / daily) == pytest.approx(1.1, abs=0.25)


def test_less_air_comes_into_colder_rooms() -> None:
    """Between wind alone, where nothing changes, and the power of a stack alone."""
    parts = year(**{NIGHT: 60.0}).parts
    assert np.all(parts.flows.by_stack > 0.1)
    assert np.all(parts.flows.by_stack < ALDER.leakage.exponent)
    assert year(**{NIGHT: ALDER.zones[0].heating_setpoint}).parts.flows.by_stack == 0.0


def test_a_small_heat_pump_leaves_rooms_cold_in_the_morning() -> None:
    small, ample = (
        year(**{NIGHT: 60.0, "heat_pumps.heat_pump.capacity": c}).heating for c in (15_000.0, 90_000.0)
    )  # fmt: skip
    assert small.rooms.fallen[JANUARY] > ample.rooms.fallen[JANUARY] + 0.5
    assert small.rooms.temperature[JANUARY] < ample.rooms.temperature[JANUARY] - 0.5
    late = small.mornings["heat_pump"].late
    assert late[JANUARY] > 5.0
    assert late[JULY] == pytest.approx(0.0, abs=0.5)


def test_backup_that_waits_is_needed_less() -> None:
    waits = [
        backup(year(**{NIGHT: 60.0, "heat_pumps.heat_pump.recovery_hours": h})) for h in (0.5, 1.5, 3.0)
    ]  # fmt: skip
    assert waits[0] > 1.1 * waits[1] > 1.2 * waits[2]


def test_nothing_comes_back_where_nothing_falls() -> None:
    found = year(**{NIGHT: ALDER.zones[0].heating_setpoint}).heating
    assert found.mornings == {}
    assert found.rooms.fallen == 0.0


def test_a_setting_of_the_working_day_spares_no_hours_of_the_night() -> None:
    zone = ALDER.zones[0]
    period = replace(zone.periods[0], key="away", heating_setpoint=60.0)
    by_day = replace(ALDER, zones=(replace(zone, periods=(period,)),))
    found = year_energy(by_day, CLIMATE).heating
    assert np.all(found.rooms.by_night == 0.0)


def test_an_attic_is_warmer_around_ducts_that_rest_part_of_the_night() -> None:
    """The heat of a day goes into fewer hours, so less of it is lost in them; masonry spreads it over the day."""
    settings = (ALDER.zones[0].heating_setpoint, 58.0)
    ducts = {"supply_leakage": 0.15, "return_leakage": 0.10, "supply_r": 2.0}
    where = {"supply_place": "attic", "return_place": "attic"}
    house = replace(ALDER, ducts=replace(ALDER.ducts, **where, **ducts), fuel_heaters=())
    found = [year_energy(with_numbers(house, {NIGHT: s}), CLIMATE).heating for s in settings]
    held, falls = found
    assert np.all(falls.rooms.falling[[0, 1, 11]] > 0.03)
    colder = [(s.rooms.temperature - s.ducts.around["attic"])[JANUARY] for s in found]
    assert colder[1] < colder[0] - 0.3
    assert falls.ducts.useful[JANUARY] > held.ducts.useful[JANUARY] + 0.002


def test_a_basement_holds_a_house_up_at_night() -> None:
    """Loss of rooms 6 F colder in air 9 F colder than the month, over a basement as warm as in its mean."""
    parts, state = year().parts, year().heating.state
    month, hours = state.line, line_within_days(parts, state, "heating")
    room, outdoor, node = (
        ALDER.zones[0].heating_setpoint,
        CLIMATE.temperature,
        state.nodes["basement"],
    )
    beneath = (node.from_house * room + node.outdoor * outdoor + node.fixed + node.sun) / node.total
    through = node.to_zone / node.total

    def loss(line, cold: float, colder: float):
        return line.inside * (room - cold) - line.outside * (outdoor - colder) - line.fixed

    follows = node.to_zone * (room - 6.0) - through * (
        node.from_house * (room - 6.0) + node.outdoor * (outdoor - 9.0) + node.fixed
    )
    stays = node.to_zone * (room - 6.0 - beneath) + through * node.sun
    assert loss(hours, 6.0, 9.0) == pytest.approx(loss(month, 6.0, 9.0) - follows + stays, rel=1e-9)
    assert loss(hours, 0.0, 0.0) == pytest.approx(loss(month, 0.0, 0.0), rel=1e-9)
    assert np.all(loss(hours, 6.0, 0.0) < loss(month, 6.0, 0.0))


def test_rooms_that_are_too_warm_on_every_day_fall_to_no_night_setting() -> None:
    """In July even a cold day leaves the rooms above their setting when the night begins."""
    fallen = year(**{NIGHT: 60.0}).heating.rooms.fallen
    assert fallen[JANUARY] > 3.0
    assert fallen[JULY] < 0.03 * fallen[JANUARY]
