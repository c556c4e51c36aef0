import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.buffer_zones import (
    balance_temperature,
    effective_conductance,
    heat_residual,
    house_loss_to_zone,
    reduction_factor,
    regain_fraction,
    surface_gain,
    ventilation_conductance,
    zone_temperature,
)

conductances = st.floats(0.1, 2000)
temperatures = st.floats(-20, 110)
heat = st.floats(-20_000, 40_000)
ZONE = {
    "house_conductance": 60.0,
    "house_temperature": 70.0,
    "outdoor_conductance": 300.0,
    "outdoor_temperature": 25.0,
    "ground_conductance": 40.0,
    "ground_temperature": 52.0,
    "gains": 1500.0,
    "entering": 35.0,
    "leaving": 20.0,
}


@given(st.lists(st.tuples(conductances, temperatures), min_size=1, max_size=6), heat)
@settings(deadline=None)
def test_heat_in_equals_heat_out(neighbours, gains: float) -> None:
    links, warmth = zip(*neighbours, strict=True)
    zone = balance_temperature(links, warmth, gains)
    size = sum(links) * 110.0 + abs(gains) + abs(zone) * sum(links)
    assert abs(heat_residual(zone, links, warmth, gains)) <= 1e-9 * size


@given(st.lists(st.tuples(conductances, temperatures), min_size=1, max_size=6))
@settings(deadline=None)
def test_without_gains_a_zone_lies_between_its_neighbours(neighbours) -> None:
    links, warmth = zip(*neighbours, strict=True)
    assert min(warmth) - 1e-9 <= balance_temperature(links, warmth) <= max(warmth) + 1e-9


@pytest.mark.parametrize(
    "name", ["house_temperature", "outdoor_temperature", "ground_temperature", "gains", "leaving"]
)
def test_zone_warms_with_everything_warm(name: str) -> None:
    more = zone_temperature(**{**ZONE, name: ZONE[name] + 10.0})
    assert more > zone_temperature(**ZONE)


@pytest.mark.parametrize("name", ["outdoor_conductance", "entering"])
def test_zone_cools_with_more_outdoors(name: str) -> None:
    assert zone_temperature(**{**ZONE, name: ZONE[name] + 10.0}) < zone_temperature(**ZONE)


def test_heat_of_house_and_zone_together_reaches_outdoors_and_ground() -> None:
    """The house pays for conduction and for warming what enters; the zone hands on the rest."""
    zone = zone_temperature(**ZONE)
    lost = house_loss_to_zone(60.0, 70.0, zone, entering=35.0)
    # The air that left the house through the zone came in elsewhere at 25 F and was warmed to 70 F.
    other_inlet = 20.0 * (70.0 - 25.0)
    outdoors = 300.0 * (zone - 25.0) + 20.0 * (zone - 25.0) + 35.0 * (70.0 - 25.0)
    ground = 40.0 * (zone - 52.0)
    assert lost + other_inlet + 1500.0 == pytest.approx(outdoors + ground, abs=1e-9 * 1e4)


def test_air_entering_through_a_warm_zone_costs_less() -> None:
    zone = zone_temperature(**ZONE)
    through = house_loss_to_zone(60.0, 70.0, zone, entering=35.0)
    straight = house_loss_to_zone(60.0, 70.0, zone) + 35.0 * (70.0 - 25.0)
    assert through < straight


@given(conductances, conductances)
@settings(deadline=None)
def test_factors_are_shares(house: float, outdoor: float) -> None:
    factor = reduction_factor(house, outdoor)
    assert 0 <= factor <= 1
    assert regain_fraction(house, outdoor) == pytest.approx(1.0 - factor)
    assert effective_conductance(house, outdoor) <= min(house, outdoor) * (1 + 1e-12)


@given(conductances, conductances, st.floats(1, 5000))
@settings(deadline=None)
def test_regain_is_what_the_house_no_longer_loses(house: float, other: float, gain: float) -> None:
    def lost(gains: float) -> float:
        zone = balance_temperature((house, other), (70.0, 30.0), gains)
        return house_loss_to_zone(house, 70.0, zone)

    spared = lost(0.0) - lost(gain)
    assert spared == pytest.approx(regain_fraction(house, other) * gain, rel=1e-6, abs=1e-8 * house)


def test_months_and_stacks_are_the_single_numbers() -> None:
    outdoor = np.array([20.0, 45.0, 80.0])
    house = np.array([[20.0], [90.0]])
    whole = zone_temperature(**{**ZONE, "outdoor_temperature": outdoor, "house_conductance": house})
    assert whole.shape == (2, 3)
    for i in range(2):
        for j in range(3):
            one = {**ZONE, "outdoor_temperature": outdoor[j].item()}
            alone = zone_temperature(**{**one, "house_conductance": house[i, 0].item()})
            assert whole[i, j] == pytest.approx(alone, rel=1e-12)


def test_floats_stay_floats() -> None:
    values = [
        zone_temperature(**ZONE),
        reduction_factor(1.0, 2.0),
        surface_gain(9.0, 0.8, 20.0, 0.17),
    ]
    assert {type(value) for value in values} == {float}


def test_sun_warms_and_the_sky_cools_a_roof() -> None:
    assert surface_gain(100.0, 0.8, 0.0, 0.17) == 0.0
    assert surface_gain(100.0, 0.9, 30.0, 0.17) > surface_gain(100.0, 0.4, 30.0, 0.17) > 0
    assert surface_gain(100.0, 0.9, 0.0, 0.17, sky_radiation=15.0) < 0


def test_vents_exchange_in_proportion() -> None:
    assert ventilation_conductance(0.0, 3.0) == 0.0
    assert ventilation_conductance(6000.0, 1.0, 1.0) == pytest.approx(100.0)
