"""The hours of the air conditioner: hotter and sunnier than the mean, few enough, and an air conditioner that is too small told."""

from dataclasses import replace

import numpy as np
import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.model import hour_groups as module
from retrofit_lab.model.cooling import cooling_hours
from retrofit_lab.model.year import year_energy

WREN = load_house(data_path("houses", "wren_cottage.toml"))
ATTIC = replace(
    WREN,
    ducts=replace(
        WREN.ducts,
        supply_place="attic",
        return_place="attic",
        supply_leakage=0.1,
        return_leakage=0.15,
    ),
)
SITES = ("greensboro_nc", "miami_fl", "high_desert_co")
JULY = 6


def electricity(site: str) -> float:
    return float(year_energy(ATTIC, find_climate(site)).annual("electricity", "cooling"))


@pytest.mark.parametrize("site", SITES)
def test_blocks_of_hours_do_as_well_as_single_hours(site: str, monkeypatch) -> None:
    """Electricity for cooling with leaky ducts in an attic: within 1 % of 24 groups."""
    few = electricity(site)
    monkeypatch.setattr(module, "BLOCK", 1)
    error = few / electricity(site) - 1.0
    print(f"{site}: cooling off by {error:+.2%}")
    assert abs(error) <= 0.01


@pytest.mark.parametrize("site", SITES)
def test_the_cooler_runs_in_warm_and_sunny_hours(site: str) -> None:
    climate = find_climate(site)
    year = year_energy(WREN, climate)
    when = cooling_hours(year.parts, year.cooling.state, year.cooling.rooms.temperature)
    assert climate.temperature[JULY] < when.outdoor[JULY] <= climate.hours.groups[JULY, -1]
    assert 1.0 < when.sun[JULY] < 4.0
    assert when.shape.mean(axis=-1) == pytest.approx(np.ones(12))
    assert (np.diff(when.shape, axis=-1) >= -1e-12).all()
    assert 1.0 < when.peak[JULY] < 8.0


def test_a_small_cooler_makes_what_it_can_and_leaves_the_rooms_warm() -> None:
    climate = find_climate("miami_fl")
    (unit,) = WREN.air_conditioners
    ample, small = (
        year_energy(replace(WREN, air_conditioners=(replace(unit, capacity=c),)), climate).cooling
        for c in (60_000.0, 9_000.0)
    )
    assert np.max(ample.unmet) == 0.0
    assert small.unmet[JULY] > 0.0
    warmer = np.broadcast_to(small.rooms.temperature - ample.rooms.temperature, (12,))
    assert warmer[JULY] > 1.0
    made = small.demand / small.ducts.useful
    assert (made <= 1.1 * 9_000.0 * 24.0 * climate.days).all()
