"""Several blower-door readings, weeks away and tapered eaves reach the model."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import Reading
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.study.study import Study

ALDER = example("alder_street")


def with_readings(flows: dict[float, float]):
    readings = tuple(
        Reading(key=f"at_{pressure:g}", pressure=pressure, flow=flow)
        for pressure, flow in flows.items()
    )
    house = ALDER.as_found
    return replace(house, leakage=replace(house.leakage, readings=readings))


def test_fit_of_exact_readings_gives_the_single_reading_back() -> None:
    flows = {p: 2650.0 * (p / 50.0) ** 0.65 for p in (20.0, 30.0, 40.0, 60.0)}
    study = Study(with_readings(flows))
    assert study.as_found.leakage.flow == pytest.approx(2650.0)
    assert study.as_found.leakage.exponent == pytest.approx(0.65)
    assert study.plan(()).before.cost == pytest.approx(ALDER.plan(()).before.cost)


def test_two_readings_leave_the_single_one_in_place() -> None:
    study = Study(with_readings({25.0: 1500.0, 50.0: 2000.0}))
    assert study.as_found.leakage.flow == 2650.0


def test_impossible_readings_are_refused() -> None:
    with pytest.raises(HouseError, match=r"leakage\.readings: the exponent .* must be 0\.5 to 1"):
        check_house(with_readings({20.0: 2600.0, 40.0: 2650.0, 60.0: 2700.0}))


def test_weeks_away_save_heat_and_taper_costs_some() -> None:
    house = ALDER.as_found
    usual = ALDER.plan(()).before.cost
    away = with_numbers(
        house, {"zones.upstairs.weeks_away": 3.0, "zones.downstairs.weeks_away": 3.0}
    )
    assert Study(away).plan(()).before.cost < usual
    taper = with_numbers(house, {"surfaces.attic_floor.edge_fraction": 0.15})
    more = Study(taper).plan(()).before.cost
    assert usual < more < usual * 1.02
    assert np.isfinite(more)


def test_label_that_is_gone_is_replaced_by_kind_and_year(tmp_path) -> None:
    from retrofit_lab.base.shipped_files import data_path
    from retrofit_lab.house.file import load_house, save_house

    text = data_path("houses", "wren_cottage.toml").read_text(encoding="utf-8")
    path = tmp_path / "w.toml"
    path.write_text(
        text.replace("efficiency = 0.76\ncapacity", 'made = "1994"\ncapacity'), encoding="utf-8"
    )
    house = load_house(path)
    assert house.fuel_heaters[0].efficiency == pytest.approx(0.80)
    assert "fuel_heaters.furnace.efficiency" in house.assumed
    save_house(house, path)
    assert load_house(path) == house
    path.write_text(text.replace("efficiency = 0.76\ncapacity", "capacity"), encoding="utf-8")
    with pytest.raises(HouseError, match=r"furnace\.efficiency: is missing"):
        load_house(path)


def test_cold_test_day_is_corrected_and_only_once() -> None:
    house = with_numbers(ALDER.as_found, {"leakage.outdoor_temperature": 20.0})
    study = Study(house)
    expected = 2650.0 * (459.67 + 20.0) / (459.67 + 70.0)
    assert study.as_found.leakage.flow == pytest.approx(expected, rel=1e-3)
    assert Study(study.as_found).as_found.leakage.flow == pytest.approx(expected, rel=1e-3)
