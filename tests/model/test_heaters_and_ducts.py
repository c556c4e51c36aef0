"""Equipment of a described house: what its signs, seasons and limits must be, each way of breaking them told."""

from dataclasses import replace

import numpy as np
import pytest
from balances import loss_of
from examples import example

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.description import Fan
from retrofit_lab.house.file import load_house
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.physics.heat_pump import CAPACITY_SHARE, CURVE_TEMPERATURE
from retrofit_lab.study.study import Study

ALDER = load_house(data_path("houses", "alder_street.toml"))
WREN = load_house(data_path("houses", "wren_cottage.toml"))
CLIMATE = find_climate("greensboro_nc")


def with_ducts(house, **numbers):
    return replace(house, ducts=replace(house.ducts, **numbers))


def year(house) -> YearEnergy:
    return year_energy(house, CLIMATE)


def january(value) -> float:
    return float(np.broadcast_to(value, (12,))[0])


UNDER_THE_ROOF = {"supply_place": "attic", "return_place": "attic"}


def with_leaks(supply: float, back: float, **where: str):
    """The heating of the example house with ducts that leak, under the roof unless told."""
    ducts = {"supply_leakage": supply, "return_leakage": back, **UNDER_THE_ROOF, **where}
    return year(with_ducts(ALDER, **ducts)).heating


def test_supply_leaks_draw_air_in_and_return_leaks_push_it_out() -> None:
    tight, supply, back = with_leaks(0.0, 0.0), with_leaks(0.15, 0.0), with_leaks(0.0, 0.15)
    assert january(supply.state.airflow) > january(tight.state.airflow)
    assert january(back.state.airflow) < january(tight.state.airflow)
    assert january(supply.imbalance) > 0 > january(back.imbalance)


def test_what_the_return_takes_out_of_its_place_is_made_up_by_outdoor_air() -> None:
    tight, back = with_leaks(0.0, 0.0), with_leaks(0.0, 0.15)
    more = back.state.nodes["attic"].outdoor - tight.state.nodes["attic"].outdoor
    run = -back.imbalance / (0.15 * ALDER.ducts.flow)
    carried = 1.08 * (1 - 6.8754e-6 * CLIMATE.elevation_ft) ** 5.2559
    assert more == pytest.approx(0.15 * ALDER.ducts.flow * run * carried, rel=1e-9)


@pytest.mark.parametrize("leaks", [(0.15, 0.0), (0.0, 0.15), (0.15, 0.15)])
def test_a_basement_breathes_with_the_rooms(leaks: tuple[float, float]) -> None:
    """No outdoor air; and all heat of the equipment is in the rooms or in the basement, none lost between."""
    basement = {"supply_place": "basement", "return_place": "basement"}
    season, tight = with_leaks(*leaks, **basement), with_leaks(0.0, 0.0, **basement)
    assert np.max(np.abs(season.imbalance)) == 0.0
    assert january(season.state.airflow) == january(tight.state.airflow)
    node = season.state.nodes["basement"]
    from_place = season.ducts.released["basement"] * node.to_zone / node.total
    directly = season.ducts.useful - from_place
    assert january(directly + season.ducts.released["basement"]) == pytest.approx(1.0, abs=1e-9)


def test_equal_leaks_in_one_place_neither_draw_nor_push() -> None:
    even = year(with_ducts(ALDER, supply_leakage=0.12, return_leakage=0.12)).heating
    assert np.all(even.imbalance == 0.0)
    assert january(even.state.airflow) == pytest.approx(january(year(ALDER).parts.flows.natural))


def test_ducts_inside_the_rooms_move_no_air_through_the_envelope() -> None:
    inside = with_ducts(ALDER, supply_place="house", return_place="house", supply_leakage=0.2)
    assert np.all(year(inside).heating.imbalance == 0.0)


def test_a_pilot_burns_on_top_of_the_label_only_on_days_without_heating() -> None:
    """Wren Cottage's heater with and without a pilot: the months say on how many days it was counted."""
    heater = WREN.fuel_heaters[0]
    lit = replace(WREN, fuel_heaters=(replace(heater, pilot=1_000.0), *WREN.fuel_heaters[1:]))
    dark = replace(WREN, fuel_heaters=(replace(heater, pilot=0.0), *WREN.fuel_heaters[1:]))
    use = (heater.fuel, "heating")
    days = (year(lit).monthly[use] - year(dark).monthly[use]) / (1_000.0 * 24.0 * heater.share)
    assert days[6] == pytest.approx(31.0)
    assert days[0] == pytest.approx(0.0, abs=0.5)
    assert (days >= 0).all()
    assert 90 < days.sum() < 200


@pytest.mark.parametrize("feet", [0.0, 6_000.0])
def test_thin_air_keeps_less_of_its_heat_along_a_duct(feet: float) -> None:
    """Delivery of one bare supply duct from its own month's temperatures, with the air of the elevation."""
    bare = with_ducts(ALDER, supply_leakage=0.0, return_leakage=0.0, return_area=0.0)
    bare = replace(bare, heat_pumps=(replace(ALDER.heat_pumps[0], capacity=90_000.0),))
    season = year_energy(bare, replace(CLIMATE, elevation_ft=feet)).heating
    carried = 1.08 * (1 - 6.8754e-6 * feet) ** 5.2559 * 1050.0
    kept = np.exp(-210.0 / (1.2 * carried))
    warmer = (season.rooms.temperature - season.ducts.around["basement"]) * carried
    warmer = warmer / (90_000.0 * np.interp(season.outdoor, CURVE_TEMPERATURE, CAPACITY_SHARE))
    expected = 1.0 - (1.0 - kept) * (1.0 + warmer)
    assert season.ducts.delivered == pytest.approx(expected, rel=1e-9)


COLD = find_climate("high_desert_co")


def with_furnace(capacity: float):
    furnace = replace(WREN.fuel_heaters[0], capacity=capacity, pilot=0.0)
    return replace(WREN, fuel_heaters=(furnace,))


@pytest.mark.parametrize("capacity", [8_000.0, 20_000.0, 30_000.0])
def test_a_small_furnace_makes_what_it_can_and_leaves_the_rooms_cold(capacity: float) -> None:
    ample, small = (year_energy(with_furnace(c), COLD).heating for c in (90_000.0, capacity))
    made = small.demand / small.ducts.useful
    assert (made <= capacity * 24.0 * COLD.days * (1 + 1e-9)).all()
    assert january(small.unmet) > 0
    colder = ample.rooms.temperature - small.rooms.temperature
    assert january(colder) > 1.0
    assert colder[6] < 1e-4 * january(colder), "nothing to speak of in summer"
    assert small.demand.sum() < ample.demand.sum()


def test_rooms_fall_until_their_loss_is_what_the_furnace_makes() -> None:
    """A furnace that runs through all of January: loss at the fallen temperature less gains in use is its output."""
    season = year_energy(with_furnace(8_000.0), COLD).heating
    loss = loss_of(season.state.line, season.rooms.temperature, COLD.temperature)
    made = 8_000.0 * season.ducts.useful
    assert january(loss - season.useful) == pytest.approx(january(made), rel=0.01)


def test_a_heater_large_enough_misses_nothing() -> None:
    assert year_energy(with_furnace(60_000.0), CLIMATE).heating.unmet == 0.0
    assert year(ALDER).heating.unmet == 0.0


def test_one_small_furnace_among_many_houses_changes_its_own_row_alone() -> None:
    sizes = np.array([[90_000.0], [20_000.0], [60_000.0]])
    together = year_energy(with_furnace(sizes), COLD).heating
    for row, size in enumerate(sizes[:, 0].tolist()):
        alone = year_energy(with_furnace(size), COLD).heating
        assert together.demand[row] == pytest.approx(alone.demand)
        assert together.rooms.temperature[row] == pytest.approx(alone.rooms.temperature)


def test_a_heater_that_is_too_small_is_told_with_both_numbers() -> None:
    study = Study(with_furnace(20_000.0), COLD, [])
    (told,) = (o for o in study.case.oddities if "The heater makes" in o.sentence)
    assert told.path == "fuel_heaters.furnace.capacity"
    assert "20,000 Btu/h" in told.sentence
    asked = float(told.sentence.split("the house needs ")[1].split(" ")[0].replace(",", ""))
    assert not any(
        "The heater makes" in o.sentence
        for o in Study(with_furnace(asked + 1), COLD, []).case.oddities
    )
    assert any(
        "The heater makes" in o.sentence
        for o in Study(with_furnace(0.9 * asked), COLD, []).case.oddities
    )


MIAMI = find_climate("miami_fl")
ATTIC = {"supply_place": "attic", "return_place": "attic"}


def cooling_of(house, climate=MIAMI) -> float:
    return float(year_energy(house, climate).annual("electricity", "cooling"))


def test_the_attic_is_hotter_while_the_cooler_runs_than_in_the_mean_of_the_month() -> None:
    house = with_ducts(WREN, **ATTIC)
    cooling = year_energy(house, MIAMI).cooling
    places = place_temperatures(cooling.state, cooling.rooms.temperature, MIAMI.temperature)
    assert cooling.outdoor[6] > MIAMI.temperature[6] + 1.0
    assert cooling.outdoor[6] < MIAMI.hours.groups[6, -1]
    tight = with_ducts(
        WREN, **ATTIC, supply_leakage=0.0, return_leakage=0.0, supply_r=30.0, return_r=30.0
    )
    hot = year_energy(tight, MIAMI).cooling.ducts.around["attic"]
    assert hot[6] > places["attic"][6] + 3.0


def test_a_return_leak_in_damp_air_costs_moisture_too() -> None:
    """The same leak costs more where outdoor air is damp than where it is dry, all else equal."""
    dry = replace(MIAMI, humidity_ratio=np.full(12, 0.006))
    leaky = with_ducts(WREN, **ATTIC, supply_leakage=0.05, return_leakage=0.17)
    tight = with_ducts(WREN, **ATTIC, supply_leakage=0.05, return_leakage=0.04)
    damp_saving, dry_saving = (
        1 - cooling_of(tight, climate) / cooling_of(leaky, climate) for climate in (MIAMI, dry)
    )
    assert damp_saving > dry_saving + 0.02
    assert dry_saving > 0.03


def test_moisture_of_fans_is_cooled_too() -> None:
    fan = Fan(key="fan", label="", kind="exhaust", flow=120.0, hours=24.0, watts=0.0, recovery=0.0)
    aired = replace(WREN, fans=(fan,))
    still = replace(WREN, fans=())
    dry = replace(MIAMI, humidity_ratio=np.full(12, 0.006))
    more, sensible = (cooling_of(aired, c) - cooling_of(still, c) for c in (MIAMI, dry))
    assert more > sensible + 0.02 * cooling_of(still)


def with_setback(house, degrees: float, capacity: float):
    """A house with an ideal night setting so much colder, and a heat pump of a size."""
    zones = tuple(
        replace(
            z,
            periods=tuple(
                replace(p, heating_setpoint=z.heating_setpoint - degrees) for p in z.periods
            ),
        )
        for z in house.zones
    )
    return replace(
        house, zones=zones, heat_pumps=(replace(house.heat_pumps[0], capacity=capacity),)
    )


def backup_of(degrees: float, capacity: float) -> float:
    return float(np.sum(year(with_setback(ALDER, degrees, capacity)).backup))


def test_a_recovery_within_the_droop_of_the_thermostat_brings_no_backup() -> None:
    assert backup_of(0.8, 60_000.0) <= backup_of(0.0, 60_000.0)


def test_a_pump_too_small_anyhow_asks_no_more_backup_after_setbacks() -> None:
    """Its backup runs through the cold: a setback spares some of it, and brings none on top."""
    assert backup_of(6.0, 9_000.0) < backup_of(0.0, 9_000.0)


def test_a_deep_setback_brings_backup_where_the_pump_would_do_without() -> None:
    assert backup_of(8.0, 45_000.0) > backup_of(0.0, 45_000.0) + 20.0


@pytest.mark.parametrize("name", ["alder_street", "larkspur_drive", "heron_bay", "sycamore_lane"])
def test_sleeves_on_hot_pipes_save_what_public_guides_tell(name: str) -> None:
    """3 to 4 % of hot water by the Department of Energy as quoted by a utility, 4 to 5 % by a federal guide as
    quoted in a trade journal (read); half a percent more either way for the length of the pipe."""
    study = example(name)
    uses = [place for place, (_, use) in enumerate(study.uses) if use == "hot_water"]
    masks = np.array([study.mask(()), study.mask(["pipe_insulation"])])
    before, after = study.energy(masks).energy[:, uses].sum(axis=-1)
    assert 0.025 < 1.0 - after / before < 0.055
