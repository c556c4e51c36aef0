"""Design loads, frost and water of a place: signs and sizes held against what the trade sees."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.cooling import ducted_cooling
from retrofit_lab.model.sizing import design_day, design_heat_load, sizing_of
from retrofit_lab.model.year import year_energy

TON = 12_000.0
NAMES = ("alder_street", "mesquite_way", "heron_bay", "lakeside_4c", "sycamore_lane")


@pytest.mark.parametrize("name", NAMES)
def test_loads_have_the_size_that_the_trade_sees(name: str) -> None:
    """Heating 8 to 50 Btu/h a square foot, cooling 400 to 2,000 ft2 a ton once it is calculated (memory)."""
    study = example(name)
    loads, area = study.sizing().loads, float(study.as_found.size.floor_area)
    assert 8.0 < loads.heating / area < 50.0
    assert 400.0 < area / (loads.cooling / TON) < 2_000.0


def test_no_credit_is_taken_for_sun_and_people() -> None:
    study = example("heron_bay")
    assert study.sizing().loads.heating > design_heat_load(
        year_energy(study.as_found, study.climate)
    )


def test_a_house_of_plain_walls_loads_what_its_areas_say() -> None:
    """By hand: 400 ft2 of R-2 between air films of 0.68 and 0.17 (handbook, memory), 70 F to outdoors in winter; in
    summer a film of 0.25 and the published factors of a sunlit wall."""
    study = example("heron_bay")
    house = with_numbers(study.as_found, {"site.air_model": 1.0})
    wall = replace(
        house.surfaces[0], key="more", label="more", kind="wall", inside="house", outside="outdoors",
        area=400.0, r_label=0.0, r_continuous=2.0, framing_fraction=0.0, gap_fraction=0.0, missing_fraction=0.0,
        edge_fraction=0.0, cavity_depth=0.0,
    )  # fmt: skip
    ductless = replace(
        house, fuel_heaters=tuple(replace(h, kind="boiler") for h in house.fuel_heaters)
    )
    plain, more = (
        sizing_of(year_energy(one, study.climate)).loads
        for one in (ductless, replace(ductless, surfaces=(*ductless.surfaces, wall)))
    )
    assert more.heating - plain.heating == pytest.approx(
        400.0 / 2.85 * (70.0 - plain.cold), rel=0.08
    )
    day = design_day(study.climate)
    in_the_sun = plain.hot - 75.0 + 14.8 - 0.36 * day.daily_range
    ducted = ducted_cooling(house)
    assert ducted in (0.0, 1.0)
    lost = year_energy(house, study.climate).cooling.ducts.useful if ducted else 1.0
    hottest = int(np.argmax(study.climate.temperature))
    asked = 400.0 / (2.0 + 0.68 + 0.25) * in_the_sun / float(np.broadcast_to(lost, (12,))[hottest])
    assert more.sensible - plain.sensible == pytest.approx(asked, rel=0.08)


def test_work_lowers_loads_and_glass_raises_cooling() -> None:
    study = example("larkspur_drive")
    found, done = (
        study.sizing().loads,
        study.sizing(["attic_insulation", "attic_air_sealing"]).loads,
    )
    assert done.heating < found.heating
    assert done.cooling < found.cooling
    clear = {f"windows.{w.key}.shgc": 0.8 for w in study.as_found.windows}
    dark = {f"windows.{w.key}.shgc": 0.2 for w in study.as_found.windows}
    bright, dim = (
        sizing_of(year_energy(with_numbers(study.as_found, glass), study.climate)).loads
        for glass in (clear, dark)
    )
    assert bright.sensible > 1.1 * dim.sensible
    assert bright.heating == pytest.approx(dim.heating, rel=0.002)


@pytest.mark.parametrize(
    ("place", "inches"),
    [("55401", 42.0), ("60601", 42.0), ("43004", 32.0), ("80202", 36.0), ("27401", 12.0)],
)
def test_frost_is_near_the_lines_of_building_offices(place: str, inches: float) -> None:
    """Frost lines of Minneapolis, Chicago, Columbus, Denver and Greensboro (memory); a usual winter in bare soil."""
    found = sizing_of(year_energy(example("heron_bay").as_found, find_climate(place)))
    assert 12.0 * found.frost == pytest.approx(inches, rel=0.35)


def test_water_and_ground_follow_the_place() -> None:
    house = example("heron_bay").as_found
    cold, warm = (sizing_of(year_energy(house, find_climate(p))) for p in ("55401", "33101"))
    assert cold.mains_low < cold.mains_high < warm.mains_high
    assert cold.ground < 50.0
    assert warm.ground > 70.0
    assert warm.frost == pytest.approx(0.0, abs=0.05)
