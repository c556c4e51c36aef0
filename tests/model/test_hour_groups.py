"""Groups of a month's hours: they hold the month, and a few of them tell what all twenty-four do."""

from dataclasses import replace

import numpy as np
import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.model import hour_groups as module
from retrofit_lab.model.hour_groups import beyond, hour_groups, load_rates
from retrofit_lab.model.year import year_energy

ALDER = load_house(data_path("houses", "alder_street.toml"))
COLD = ("greensboro_nc", "sand_point_ak", "high_desert_co")
SIZES, CUTOUTS = (18_000.0, 32_000.0, 60_000.0), (-20.0, 0.0, 14.0, 25.0)


def test_groups_hold_the_month() -> None:
    climate = find_climate("high_desert_co")
    groups = hour_groups(climate)
    assert groups.hours.sum(axis=1) == pytest.approx(24.0 * climate.days)
    mean = (groups.temperature * groups.hours).sum(axis=1) / groups.hours.sum(axis=1)
    assert mean == pytest.approx(climate.hours.groups.mean(axis=1))
    assert (np.diff(groups.temperature, axis=1) > 0).all()
    assert (groups.edges[:, 1:] >= groups.temperature).all()
    assert (groups.edges[:, :-1] <= groups.temperature).all()


def test_rates_are_the_load_of_the_month_and_rise_in_the_cold() -> None:
    climate = find_climate("greensboro_nc")
    groups = hour_groups(climate)
    month = np.linspace(1e6, 12e6, 12)
    rates = load_rates(groups, month, np.full(12, 60.0))
    assert (rates * groups.hours).sum(axis=1) == pytest.approx(month)
    assert (np.diff(rates, axis=1) <= 1e-9).all()
    assert beyond(rates, groups, 0.0) == pytest.approx(month)
    assert beyond(rates, groups, 1e9) == pytest.approx(np.zeros(12))


def test_a_load_of_a_month_that_is_never_cold_lies_in_its_coldest_hours() -> None:
    groups = hour_groups(find_climate("miami_fl"))
    rates = load_rates(groups, np.full(12, 1e5), np.full(12, 20.0))
    assert (rates * groups.hours).sum(axis=1) == pytest.approx(np.full(12, 1e5))
    assert (rates[:, 1:] == 0).all()


def test_share_above_a_limit_falls_from_one_to_nought() -> None:
    groups = hour_groups(find_climate("high_desert_co"))
    shares = np.array([groups.share_above(limit)[0] for limit in np.linspace(-60.0, 90.0, 600)])
    assert shares[0] == pytest.approx(np.ones(9))
    assert shares[-1] == pytest.approx(np.zeros(9))
    assert (np.diff(shares, axis=0) <= 1e-12).all()


def with_pump(size: float, cutout: float):
    return replace(ALDER, heat_pumps=(replace(ALDER.heat_pumps[0], capacity=size, cutout=cutout),))


def pump_energy(site: str, size: float, cutout: float) -> tuple[float, float]:
    """Electricity for heating and backup heat of the example house. [kWh/year]"""
    year = year_energy(with_pump(size, cutout), find_climate(site))
    return year.annual("electricity", "heating") / 3412.14, float(np.sum(year.backup))


@pytest.mark.parametrize("site", COLD)
def test_a_few_groups_do_as_well_as_all_twenty_four(site: str, monkeypatch) -> None:
    """Electricity for heating, backup in it, over sizes and cutouts: within 1 % of 24 groups."""
    cases = [(size, cutout) for size in SIZES for cutout in CUTOUTS]
    few = np.array([pump_energy(site, *case) for case in cases])
    monkeypatch.setattr(module, "GROUP_SIZES", (1,) * 24)
    all_of_them = np.array([pump_energy(site, *case) for case in cases])
    error = np.abs(few - all_of_them) / all_of_them[:, :1]
    print(f"{site}: electricity off by {error[:, 0].max():.2%}, backup by {error[:, 1].max():.2%}")
    assert error.max() <= 0.01
