"""The whole year's balance: it conserves energy, responds the right way, and is the same for one and for many."""

from dataclasses import replace

import numpy as np
import pytest
from balances import loss_of, residual_of
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.model.air import site_shares
from retrofit_lab.model.balance import place_temperatures, with_sun
from retrofit_lab.model.running_hours import running_hours
from retrofit_lab.model.year import heat_leaving, year_energy

HOUSES = {
    name: load_house(data_path("houses", f"{name}.toml"))
    for name in ("alder_street", "wren_cottage")
}
CLIMATE = find_climate("greensboro_nc")
either = pytest.mark.parametrize("name", HOUSES)


def energy(house, end_use: str) -> float:
    year = year_energy(house, CLIMATE)
    return float(sum(year.annual(f, u) for f, u in year.monthly if u == end_use))


def heating(house) -> float:
    return energy(house, "heating")


@either
def test_every_buffer_zone_is_in_balance(name: str) -> None:
    year = year_energy(HOUSES[name], CLIMATE)
    room = year.heating.rooms.temperature
    places = place_temperatures(year.heating.state, room, CLIMATE.temperature)
    for place, node in year.heating.state.nodes.items():
        residual = residual_of(node, places[place], room, CLIMATE.temperature)
        scale = np.max(np.abs(node.total * places[place]))
        assert np.max(np.abs(residual)) <= 1e-9 * scale, place


@either
def test_loss_line_is_the_sum_of_what_leaves(name: str) -> None:
    """Independent of the line: add the flows to outdoors, sky, ground and every zone without sun one by one."""
    year = year_energy(HOUSES[name], CLIMATE)
    state, parts = year.heating.state, year.parts
    room, outdoor = 68.0, CLIMATE.temperature
    places = place_temperatures(with_sun(state, 0.0), room, outdoor)
    direct = parts.shell.conductance[("house", "outdoors")] * (room - outdoor)
    entering = sum(parts.flows.entering.values())
    airflow = year.heating.state.airflow
    direct = direct + parts.flows.heat_coefficient * (airflow - entering * parts.flows.natural) * (
        room - outdoor
    )
    zones = sum(node.to_zone * (room - places[p]) for p, node in state.nodes.items())
    ground = parts.shell.ground.get("house", 0.0) * (
        room - parts.shell.ground_temperature.get("house", 0.0)
    )
    tank = parts.water.conductance("house") * (room - parts.water.setpoint)
    expected = direct + zones + ground + tank + parts.shell.sky["house"]
    assert loss_of(state.line, room, outdoor) == pytest.approx(expected, rel=1e-9)


@either
def test_sun_on_a_roof_is_a_gain_and_no_smaller_loss(name: str) -> None:
    """A darker roof leaves what goes out as it was, and gives what of its sun comes back through the attic floor."""
    pale, dark = (
        year_energy(with_numbers(HOUSES[name], {"buffers.attic.sun_absorptance": a}), CLIMATE).heating
        for a in (0.4, 0.8)
    )  # fmt: skip
    assert dark.state.line.fixed == pytest.approx(pale.state.line.fixed, rel=1e-3)
    node = pale.state.nodes["attic"]
    more = node.to_zone / node.total * node.sun
    assert dark.state.gains - pale.state.gains == pytest.approx(more, rel=0.02)


def test_the_cold_sky_is_a_loss_and_no_negative_gain() -> None:
    clear, dull = CLIMATE, replace(CLIMATE, sun={k: 0.3 * v for k, v in CLIMATE.sun.items()})
    lost = [year_energy(HOUSES["wren_cottage"], c).heating.state for c in (clear, dull)]
    assert np.all(lost[0].line.fixed < lost[1].line.fixed)
    assert np.all(lost[1].sun >= 0.0)


@either
def test_a_month_needs_less_than_it_loses_and_more_than_gains_leave(name: str) -> None:
    """Of every month: gains are never of more use than they are, and those of use are what is spared."""
    year = year_energy(HOUSES[name], CLIMATE)
    season = year.heating
    hours = 24 * CLIMATE.days
    leaving = heat_leaving(year.parts, season.state, season.rooms.temperature)
    gains = season.state.gains * hours
    assert np.all(season.demand >= np.maximum(leaving - gains, 0.0) - 1.0)
    assert np.all(season.demand <= leaving + 1.0)
    assert np.all(season.useful <= season.state.gains + 1e-6)
    used = season.useful / season.state.gains
    assert used[0] > 0.9, "nearly all in January"
    assert used[6] < 0.5, "little in July"


@either
def test_mass_makes_gains_useful(name: str) -> None:
    house = HOUSES[name]
    heat = [
        float(year_energy(with_numbers(house, {"size.heat_capacity": c}), CLIMATE).heating.demand.sum())
        for c in (1.0, 3.0, 5.0, 12.0, 60.0)
    ]  # fmt: skip
    assert heat == sorted(heat, reverse=True)
    assert heat[1] > 1.02 * heat[3]


@given(st.sampled_from(list(HOUSES)), st.data())
@settings(deadline=None, max_examples=60)
def test_more_insulation_never_raises_heat_demand(name: str, data: st.DataObject) -> None:
    """Of any surface that parts the house from outdoors or an unheated place without ducts."""
    house = HOUSES[name]
    ducts = {house.ducts.supply_place, house.hot_water.pipe_place}
    keys = [s.key for s in house.surfaces if s.inside == "house" and s.outside not in ducts]
    key = data.draw(st.sampled_from(keys))
    field = data.draw(st.sampled_from(["r_continuous", "r_label"]))
    more = data.draw(st.floats(0.1, 40.0))
    path = f"surfaces.{key}.{field}"
    better = with_numbers(house, {path: number_at(house, path) + more})
    before = year_energy(house, CLIMATE).heating.demand.sum()
    assert year_energy(better, CLIMATE).heating.demand.sum() <= before * (1 + 1e-12)


@either
@pytest.mark.parametrize(
    ("path", "factor", "end_use", "rises"),
    [
        ("leakage.flow", 1.3, "heating", True),
        ("ducts.supply_leakage", 1.5, "heating", True),
        ("ducts.supply_r", 3.0, "heating", False),
        ("size.occupants", 2.0, "heating", False),
        ("size.occupants", 2.0, "hot_water", True),
        ("water_heaters.tank.setpoint", 1.1, "hot_water", True),
        ("water_heaters.tank.r_tank", 2.0, "hot_water", False),
        ("hot_water.tap_flow", 0.5, "hot_water", False),
        ("windows.south.shgc", 1.4, "heating", False),
        ("windows.south.shgc", 1.4, "cooling", True),
        ("surfaces.attic_floor.gap_fraction", 3.0, "heating", True),
        ("buffers.attic.sun_absorptance", 0.3, "cooling", False),
        ("standby.television.watts", 3.0, "heating", False),
        ("standby.television.watts", 3.0, "cooling", True),
    ],
)
def test_direction(name: str, path: str, factor: float, end_use: str, rises: bool) -> None:
    house = HOUSES[name]
    changed = with_numbers(house, {path: number_at(house, path) * factor})
    before, after = energy(house, end_use), energy(changed, end_use)
    assert (after > before) if rises else (after < before)


@either
def test_many_variants_equal_one_by_one(name: str) -> None:
    house = HOUSES[name]
    rng = np.random.default_rng(3)
    paths = ["surfaces.walls.r_label", "leakage.flow", "ducts.supply_leakage", "size.occupants",
             f"zones.{house.zones[0].key}.heating_setpoint"]  # fmt: skip
    factors = {path: rng.uniform(0.85, 1.15, (2, 3, 1)) for path in paths}
    many = with_numbers(house, {p: number_at(house, p) * f for p, f in factors.items()})
    together = year_energy(many, CLIMATE)
    for i in np.ndindex(2, 3):
        one = with_numbers(
            house, {p: float(number_at(house, p) * f[i][0]) for p, f in factors.items()}
        )
        single = year_energy(one, CLIMATE)
        for use in single.monthly:
            ours = np.broadcast_to(together.annual(*use), (2, 3))[i]
            assert ours == pytest.approx(single.annual(*use), rel=1e-12), use


@either
def test_leak_sites_share_all_of_the_leakage(name: str) -> None:
    assert sum(site_shares(HOUSES[name]).values()) == pytest.approx(1.0, abs=1e-12)


def test_sealing_one_site_twice_is_not_counted_twice() -> None:
    house = HOUSES["alder_street"]
    sealed = with_numbers(house, {"leakage.sites.band_joist.sealed": 1.0})
    again = with_numbers(sealed, {"leakage.sites.band_joist.condition": 1.3})
    assert heating(sealed) == heating(again)


def test_basement_insulation_moves_the_boundary() -> None:
    house = HOUSES["alder_street"]
    walls = with_numbers(house, {"underground.basement_walls.r_value": 12.0})
    ceiling = with_numbers(house, {"surfaces.first_floor.r_continuous": 17.5})

    def basement(variant) -> float:
        year = year_energy(variant, CLIMATE)
        room = year.heating.rooms.temperature
        return place_temperatures(year.heating.state, room, CLIMATE.temperature)["basement"][0]

    assert basement(ceiling) < basement(house) < basement(walls)


def test_deep_setback_without_time_to_recover_costs_backup_heat() -> None:
    house = HOUSES["alder_street"]
    deep = {f"zones.{z.key}.periods.night.heating_setpoint": 58.0 for z in house.zones}
    hurried = {**deep, "heat_pumps.heat_pump.recovery_hours": 0.0}
    patient = {**deep, "heat_pumps.heat_pump.recovery_hours": 6.0}
    quick = year_energy(with_numbers(house, hurried), CLIMATE).backup.sum()
    slow = year_energy(with_numbers(house, patient), CLIMATE).backup.sum()
    assert quick > slow


def test_monthly_table_equals_the_line_summed_day_by_day() -> None:
    """The degree-day table is a short cut; the long way is the loss line on each of the 365 daily means."""
    from retrofit_lab.climate.daily_csv import shipped_weather

    weather = shipped_weather("greensboro_nc")
    year = year_energy(HOUSES["wren_cottage"], CLIMATE)
    line, room = year.heating.state.line, year.heating.rooms.temperature
    month = weather.month.astype(int)
    loss = line.inside[month] * room[month] - line.outside[month] * weather.temperature
    daily = 24 * np.maximum(loss - line.fixed[month], 0.0)
    leaving = heat_leaving(year.parts, year.heating.state, room)
    assert leaving.sum() == pytest.approx(daily.sum(), rel=2e-3)


@either
def test_ducts_and_the_zone_that_they_warm_agree(name: str) -> None:
    """The zone is as much warmer as what the ducts lose at that temperature makes it."""
    year = year_energy(HOUSES[name], CLIMATE)
    season = year.heating
    place = HOUSES[name].ducts.supply_place
    room = season.rooms.temperature
    when = running_hours(
        year.parts, season.state, season.demand / (24 * CLIMATE.days) / season.state.line.outside,
        season.state.line.base_temperature(room, season.useful), cooling=False,
    )  # fmt: skip
    state = with_sun(season.state, when.sun)
    without = place_temperatures(state, room, season.outdoor)[place]
    kind = next(b.kind for b in HOUSES[name].buffers if b.key == place)
    peak = 1.0 if kind == "basement" else when.peak / (1.0 - season.rooms.falling)
    made = peak * season.demand / (24 * CLIMATE.days) / season.ducts.useful
    node = season.state.nodes[place]
    warmer = season.ducts.around[place] - without
    assert warmer == pytest.approx(made * season.ducts.released[place] / node.total, abs=0.5)


@either
def test_warmer_year_needs_less_heat_and_more_cooling_by_its_degree_days(name: str) -> None:
    house = HOUSES[name]
    warm = with_numbers(house, {"site.warmer_by": 2.0})
    assert heating(warm) < heating(house)
    assert energy(warm, "cooling") > energy(house, "cooling")
    shifted = year_energy(warm, CLIMATE).parts.climate
    base = np.full(12, 60.0)
    assert shifted.degree_days.heating(base) == pytest.approx(
        CLIMATE.degree_days.heating(base - 2.0)
    )
    assert shifted.degree_days.cooling(base) == pytest.approx(
        CLIMATE.degree_days.cooling(base - 2.0)
    )


@either
def test_years_of_weather_at_once_equal_one_by_one(name: str) -> None:
    shifts = np.array([-3.0, 0.5, 2.0])
    many = year_energy(with_numbers(HOUSES[name], {"site.warmer_by": shifts[:, None]}), CLIMATE)
    for i, shift in enumerate(shifts):
        one = year_energy(with_numbers(HOUSES[name], {"site.warmer_by": float(shift)}), CLIMATE)
        for use in one.monthly:
            ours = np.broadcast_to(many.annual(*use), (3,))[i]
            assert ours == pytest.approx(one.annual(*use), rel=1e-12), use


def test_cooler_that_cools_no_room_takes_nothing() -> None:
    house = HOUSES["alder_street"]
    unit = house.air_conditioners[0]
    idle = with_numbers(house, {f"air_conditioners.{unit.key}.share": 0.0})
    year = year_energy(idle, CLIMATE)
    assert year.annual("electricity", "cooling") == 0.0
    assert all(np.isfinite(year.annual(*use)).all() for use in year.monthly)
