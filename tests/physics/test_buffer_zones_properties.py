"""Zones between house, outdoors and ground: what they pass on; sun and sky on outer faces."""

import pytest
from balances import loss_of
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.annual_balance import (
    BufferNode,
    buffer_temperature,
    loss_line,
    regain,
)
from retrofit_lab.physics.buffer_zones import surface_gain

conductances = st.floats(0.1, 2000)
air = st.floats(0.0, 100.0)
ROOM, OUTDOOR, GROUND = 70.0, 25.0, 52.0


def node(house, outdoor, ground, entering, leaving, heat) -> BufferNode:
    return BufferNode(
        from_house=house + leaving,
        to_zone=house + entering,
        outdoor=outdoor + entering,
        other=ground,
        fixed=heat + ground * GROUND,
    )


@given(conductances, conductances, conductances, air, air, st.floats(0.0, 5000.0))
@settings(deadline=None)
def test_heat_of_house_and_zone_together_reaches_outdoors_and_ground(
    house, outdoor, ground, entering, leaving, heat
) -> None:
    """The house pays for conduction and for warming what enters; the zone hands on the rest."""
    made = node(house, outdoor, ground, entering, leaving, heat)
    zone = buffer_temperature(made, ROOM, OUTDOOR)
    lost = (house + entering) * (ROOM - zone)
    # the air that left the house through the zone came in elsewhere at 25 F and was warmed to 70 F
    other_inlet = leaving * (ROOM - OUTDOOR)
    outdoors = outdoor * (zone - OUTDOOR) + leaving * (zone - OUTDOOR) + entering * (ROOM - OUTDOOR)
    scale = 100.0 * (house + outdoor + ground + entering + leaving) + heat
    assert lost + other_inlet + heat == pytest.approx(
        outdoors + ground * (zone - GROUND), abs=1e-9 * scale
    )


@given(conductances, conductances, conductances)
@settings(deadline=None)
def test_zone_without_gains_lies_between_its_neighbors(house, outdoor, ground) -> None:
    zone = buffer_temperature(node(house, outdoor, ground, 0.0, 0.0, 0.0), ROOM, OUTDOOR)
    assert OUTDOOR - 1e-9 <= zone <= ROOM + 1e-9


@given(conductances, conductances, st.floats(1.0, 5000.0))
@settings(deadline=None)
def test_regain_is_what_the_house_no_longer_loses(house, outdoor, heat) -> None:
    def lost(released: float) -> float:
        made = node(house, outdoor, 0.0, 0.0, 0.0, released)
        return loss_of(loss_line(0.0, 0.0, 0.0, (made,)), ROOM, OUTDOOR)

    share = regain(node(house, outdoor, 0.0, 0.0, 0.0, 0.0))
    assert 0.0 <= share <= 1.0
    assert lost(0.0) - lost(heat) == pytest.approx(share * heat, rel=1e-6, abs=1e-7 * house)


def test_sun_warms_and_the_sky_cools_a_face() -> None:
    assert surface_gain(100.0, 0.8, 0.0, 0.17) == 0.0
    assert surface_gain(100.0, 0.9, 30.0, 0.17) > surface_gain(100.0, 0.4, 30.0, 0.17) > 0
    assert surface_gain(100.0, 0.9, 0.0, 0.17, sky_radiation=15.0) < 0
