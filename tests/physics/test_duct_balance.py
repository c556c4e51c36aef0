"""Ducts against an independent solution of all nodes; what must hold for any ducts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.ducts import conduction_effectiveness, duct_losses, unbalanced_flow

LEAK = st.floats(0.0, 0.5)
KEPT = st.floats(0.5, 1.0)
HEATING = {"room": st.floats(60, 75), "place": st.floats(0, 60), "rise": st.floats(30, 80)}
COOLING = {"room": st.floats(70, 80), "place": st.floats(80, 140), "rise": st.floats(-25, -12)}
EITHER = st.one_of(
    *(st.tuples(case["room"], case["place"], case["place"], case["rise"]) for case in (HEATING, COOLING))
)  # fmt: skip


def solve_nodes(leaks, kept, room, places, rise):
    """Temperatures at the return's end, after its leak, after the equipment and at the supply's end.

    All four are unknowns of one linear system, solved at once; nothing of the closed form is used.
    """
    (supply_leak, return_leak), (supply_kept, return_kept) = leaks, kept
    supply_place, return_place = places
    matrix = np.array(
        [
            [1.0, 0.0, 0.0, 0.0],
            [-(1.0 - return_leak), 1.0, 0.0, 0.0],
            [0.0, -1.0, 1.0, 0.0],
            [0.0, 0.0, -supply_kept, 1.0],
        ]
    )
    right = np.array(
        [
            return_kept * room + (1.0 - return_kept) * return_place,
            return_leak * return_place,
            rise,
            (1.0 - supply_kept) * supply_place,
        ]
    )
    end_of_return, _, plenum, end = np.linalg.solve(matrix, right)
    delivered = (1.0 - supply_leak) * (end - room) / rise
    parts = {
        "supply_conduction": (plenum - end) / rise,
        "supply_leakage": supply_leak * (end - room) / rise,
        "return_conduction": (1.0 - return_leak) * (room - end_of_return) / rise,
        "return_leakage": return_leak * (room - return_place) / rise,
    }
    return delivered, parts


def arguments(leaks, kept, room, places, rise):
    return {
        "supply_leakage": leaks[0],
        "return_leakage": leaks[1],
        "supply_conduction": kept[0],
        "return_conduction": kept[1],
        "supply_temperature_difference": room - places[0],
        "return_temperature_difference": room - places[1],
        "equipment_temperature_rise": rise,
    }


@given(st.tuples(LEAK, LEAK), st.tuples(KEPT, KEPT), EITHER)
@settings(deadline=None, max_examples=200)
def test_closed_form_is_the_node_balance_heating_and_cooling(leaks, kept, case) -> None:
    room, supply_place, return_place, rise = case
    numbers = arguments(leaks, kept, room, (supply_place, return_place), rise)
    delivered, parts = solve_nodes(leaks, kept, room, (supply_place, return_place), rise)
    ours = duct_losses(**numbers).delivered
    assert ours == pytest.approx(delivered, abs=1e-9)
    losses = duct_losses(**numbers)
    for name, share in parts.items():
        assert getattr(losses, name) == pytest.approx(share, abs=1e-9), name
    assert ours + losses.supply + losses.back == pytest.approx(1.0, abs=1e-9)


@given(st.floats(0, 2000), st.floats(0.3, 40), st.floats(50, 3000))
@settings(deadline=None)
def test_conduction_effectiveness_is_a_share(area, resistance, flow) -> None:
    kept = conduction_effectiveness(area, resistance, flow)
    assert isinstance(kept, float)
    assert 0.0 <= kept <= 1.0
    assert conduction_effectiveness(area, 2 * resistance, flow) >= kept
    assert conduction_effectiveness(2 * area, resistance, flow) <= kept


def test_no_leak_and_no_conduction_deliver_everything() -> None:
    assert conduction_effectiveness(300.0, np.inf, 1000.0) == 1.0
    assert duct_losses(**arguments((0.0, 0.0), (1.0, 1.0), 70.0, (0.0, 0.0), 50.0)).delivered == 1.0


@given(st.tuples(LEAK, LEAK), st.tuples(KEPT, KEPT), EITHER, st.floats(0, 0.4))
@settings(deadline=None)
def test_leaking_more_or_insulating_less_never_delivers_more(leaks, kept, case, more) -> None:
    room, supply_place, return_place, rise = case
    places = (supply_place, return_place)
    now = duct_losses(**arguments(leaks, kept, room, places, rise)).delivered
    assert now <= 1.0 + 1e-12
    worse_return = (leaks[0], min(leaks[1] + more, 1.0))
    back = duct_losses(**arguments(worse_return, kept, room, places, rise)).delivered
    assert back <= now + 1e-12
    worse_kept = (kept[0] * (1 - more), kept[1] * (1 - more))
    conducted = duct_losses(
        **arguments(leaks, (kept[0], worse_kept[1]), room, places, rise)
    ).delivered
    assert conducted <= now + 1e-12
    if now >= 0:
        worse_supply = (min(leaks[0] + more, 1.0), leaks[1])
        out = duct_losses(**arguments(worse_supply, kept, room, places, rise)).delivered
        assert -1e-12 <= out <= now + 1e-12
    same = (supply_place, supply_place)
    insulated = duct_losses(**arguments(leaks, kept, room, same, rise)).delivered
    bare = duct_losses(**arguments(leaks, worse_kept, room, same, rise)).delivered
    assert bare <= insulated + 1e-12


def test_effectiveness_falls_below_zero_only_when_ducts_lose_more_than_is_made() -> None:
    numbers = arguments((0.3, 0.5), (0.6, 0.6), 70.0, (0.0, 0.0), 10.0)
    losses = duct_losses(**numbers)
    assert losses.supply + losses.back > 1.0
    assert duct_losses(**numbers).delivered < 0.0


def test_supply_leaks_draw_air_in_and_return_leaks_push_it_out() -> None:
    assert unbalanced_flow(0.15, 0.05, 1000.0) == pytest.approx(100.0)
    assert unbalanced_flow(0.05, 0.15, 1000.0) == pytest.approx(-100.0)
    assert unbalanced_flow(0.1, 0.1, 1000.0) == 0.0


def test_many_houses_and_months_at_once_equal_one_by_one() -> None:
    leak = np.array([0.0, 0.1, 0.3])[:, None]
    places = np.linspace(10.0, 60.0, 12)
    numbers = arguments((leak, leak), (0.9, 0.95), 70.0, (places, places), 50.0)
    together = duct_losses(**numbers).delivered
    assert together.shape == (3, 12)
    for i in range(3):
        for month in range(12):
            one = arguments(
                (float(leak[i, 0]),) * 2, (0.9, 0.95), 70.0, (float(places[month]),) * 2, 50.0
            )
            single = duct_losses(**one).delivered
            assert type(single) is float
            assert together[i, month] == pytest.approx(single, abs=1e-12)
