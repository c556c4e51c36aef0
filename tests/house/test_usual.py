"""Usual numbers of houses by age and cold: tables that are whole, and a starting house that follows its answers."""

from dataclasses import replace

import pytest

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.place import Place, place_of
from retrofit_lab.house.starting import starting_house
from retrofit_lab.house.usual import bulb_shares, usual, usual_use
from retrofit_lab.model.envelope import surface_u

ROWS = read_rows("stock_by_age.csv")
QUANTITIES = sorted({row["quantity"] for row in ROWS})
COLD, WARM = Place(7000.0, 300.0), Place(1000.0, 2500.0)
AGES = (1930.0, 1960.0, 1975.0, 1990.0, 2005.0, 2020.0)


def plan(**changes: str):
    answers = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc", **changes}
    return first_answers(answers)


def named(house, key: str):
    return next(surface for surface in house.surfaces if surface.key == key)


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_table_is_whole_and_shares_are_shares(quantity: str) -> None:
    rows = [row for row in ROWS if row["quantity"] == quantity]
    assert max(int(row["until"]) for row in rows) > 2100
    for row in rows:
        values = [float(row[f"at_{cold}"]) for cold in (1000, 3000, 5000, 7000)]
        assert min(values) >= 0.0
        assert float(row["low"]) <= 1.0 <= float(row["high"]), row
        if row["unit"] == "1":
            assert max(values) <= 1.0
        assert row["source"]


def test_between_the_columns_of_the_table_it_is_a_straight_line() -> None:
    row = next(r for r in ROWS if r["quantity"] == "attic_r" and r["until"] == "1969")
    middle = (float(row["at_3000"]) + float(row["at_5000"])) / 2.0
    assert usual("attic_r", 1960.0, Place(4000.0, 1000.0)) == pytest.approx(middle)
    assert usual("attic_r", 1960.0, Place(12000.0, 0.0)) == float(row["at_7000"])
    assert usual("attic_r", 1960.0, Place(0.0, 4000.0)) == float(row["at_1000"])
    with pytest.raises(InputError, match="no usual 'roof_garden'"):
        usual("roof_garden", 1960.0, COLD)


@pytest.mark.parametrize("year", AGES)
def test_houses_in_cold_places_are_better_built(year: float) -> None:
    cold, warm = (
        starting_house(replace(plan(), year_built=year, known_place=place))
        for place in (COLD, WARM)
    )
    for key in ("walls", "attic_floor"):
        assert surface_u(named(cold, key)) <= surface_u(named(warm, key))
    assert cold.windows[0].u_value <= warm.windows[0].u_value
    assert cold.leakage.flow < warm.leakage.flow


def test_younger_houses_lose_less() -> None:
    houses = [starting_house(replace(plan(), year_built=year)) for year in AGES]
    for key in ("walls", "attic_floor"):
        losses = [surface_u(named(house, key)) for house in houses]
        assert losses == sorted(losses, reverse=True)
    flows = [float(house.leakage.flow) for house in houses]
    assert flows == sorted(flows, reverse=True)


def test_what_the_people_tell_of_the_insulation_moves_the_estimates() -> None:
    told = [
        starting_house(plan(year_built="1955", insulation=word))
        for word in ("well insulated", "adequate", "poor", "none")
    ]
    for key in ("walls", "attic_floor"):
        losses = [surface_u(named(house, key)) for house in told]
        assert losses == sorted(losses)
        assert losses[0] < losses[-1]
    assert named(told[-1], "walls").missing_fraction == 1.0


def test_windows_and_ducts_are_taken_as_told() -> None:
    house = starting_house(plan(windows="single glass", cooling="central", duct_place="attic"))
    assert {window.shgc for window in house.windows} == {0.66}
    assert 0.9 < house.windows[0].u_value < 1.15
    assert house.ducts.supply_place == "attic"
    inside = starting_house(plan(duct_place="heated rooms"))
    assert (inside.ducts.supply_place, inside.ducts.supply_area) == ("house", 0.0)
    nowhere = starting_house(
        plan(duct_place="basement or crawl space", foundation="slab on the ground")
    )
    assert nowhere.ducts.supply_place == "house"


def test_row_house_borders_on_less_of_the_open() -> None:
    alone, row = (
        starting_house(plan(kind=kind)) for kind in ("house by itself", "row house or duplex")
    )
    assert named(row, "walls").area < 0.7 * named(alone, "walls").area
    assert named(row, "attic_floor").area == named(alone, "attic_floor").area


def test_bulbs_and_appliances_follow_year_people_and_area() -> None:
    assert sum(bulb_shares(2017.5, old_ones=True).values()) == pytest.approx(1.0)
    assert bulb_shares(2015.0, old_ones=True)["led"] < bulb_shares(2026.0, old_ones=True)["led"]
    assert "incandescent" not in bulb_shares(2026.0, old_ones=False)
    one, four = (usual_use("plugs", 1970.0, people, 1500.0) for people in (1.0, 4.0))
    assert one < four < usual_use("plugs", 1970.0, 4.0, 3000.0)


def test_equipment_is_a_mean_over_the_years_it_may_have_been_put_in() -> None:
    rating = starting_house(plan(heating="heat pump")).heat_pumps[0].hspf
    assert 8.0 < rating < 9.0
    new = starting_house(plan(heating="heat pump", year_built="2024")).heat_pumps[0].hspf
    assert new > rating


def test_place_of_a_shipped_climate_by_its_daily_means() -> None:
    rows = read_rows("climates", "greensboro_nc.csv")
    means = [float(row["mean_temperature_F"]) for row in rows]
    place = place_of("greensboro_nc")
    assert place.heating_degree_days == pytest.approx(sum(max(65 - t, 0) for t in means), rel=1e-3)
    assert place.cooling_degree_days == pytest.approx(sum(max(t - 65, 0) for t in means), rel=2e-3)
