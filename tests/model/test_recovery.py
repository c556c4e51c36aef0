"""Setbacks over hours: which hours are of the night, how air follows rooms, and heat pumps that come back slowly."""

from dataclasses import replace

import numpy as np
import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import with_numbers
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
