"""Ducts against an independent solution of all nodes; what must hold for any ducts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.ducts import (
    conduction_effectiveness,
    delivery_effectiveness,
    duct_loss,
    duct_losses,
    equipment_temperature_rise,
    mean_temperature_difference,
    net_effectiveness,
    register_temperature,
    round_duct_resistance,
    total_cooling_effectiveness,
)

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
    return delivered, parts, end


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
    delivered, parts, end = solve_nodes(leaks, kept, room, (supply_place, return_place), rise)
    ours = delivery_effectiveness(**numbers)
    assert ours == pytest.approx(delivered, abs=1e-9)
    losses = duct_losses(**numbers)
    for name, share in parts.items():
        assert getattr(losses, name) == pytest.approx(share, abs=1e-9), name
    assert ours + losses.supply + losses.back == pytest.approx(1.0, abs=1e-9)
    assert register_temperature(room, ours, leaks[0], rise) == pytest.approx(end, abs=1e-9)


@given(st.tuples(LEAK, LEAK), st.tuples(KEPT, KEPT), st.floats(80, 140), st.floats(-0.002, 0.012))
@settings(deadline=None)
def test_moisture_follows_the_same_nodes(leaks, kept, attic, wetter) -> None:
    capacity, flow, ratio, room = 36_000.0, 1200.0, 0.75, 76.0
    rise = equipment_temperature_rise(-ratio * capacity, flow)
    sensible, _, _ = solve_nodes(leaks, kept, room, (attic, attic), rise)
    inside = 0.010
    mixed = (1 - leaks[1]) * inside + leaks[1] * (inside + wetter)
    supplied = mixed - (1 - ratio) * capacity / (4840.0 * flow)
    latent = (1 - leaks[0]) * 4840.0 * flow * (inside - supplied)
    total = (sensible * ratio * capacity + latent) / capacity
    ours = total_cooling_effectiveness(
        delivery_effectiveness(**arguments(leaks, kept, room, (attic, attic), rise)),
        sensible_heat_ratio=ratio,
        supply_leakage=leaks[0],
        return_leakage=leaks[1],
        moisture_difference=wetter,
        capacity=capacity,
        flow=flow,
    )
    assert ours == pytest.approx(total, abs=1e-9)


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
    assert (
        delivery_effectiveness(**arguments((0.0, 0.0), (1.0, 1.0), 70.0, (0.0, 0.0), 50.0)) == 1.0
    )


@given(st.tuples(LEAK, LEAK), st.tuples(KEPT, KEPT), EITHER, st.floats(0, 0.4))
@settings(deadline=None)
def test_leaking_more_or_insulating_less_never_delivers_more(leaks, kept, case, more) -> None:
    room, supply_place, return_place, rise = case
    places = (supply_place, return_place)
    now = delivery_effectiveness(**arguments(leaks, kept, room, places, rise))
    assert now <= 1.0 + 1e-12
    worse_return = (leaks[0], min(leaks[1] + more, 1.0))
    back = delivery_effectiveness(**arguments(worse_return, kept, room, places, rise))
    assert back <= now + 1e-12
    worse_kept = (kept[0] * (1 - more), kept[1] * (1 - more))
    conducted = delivery_effectiveness(
        **arguments(leaks, (kept[0], worse_kept[1]), room, places, rise)
    )
    assert conducted <= now + 1e-12
    if now >= 0:
        worse_supply = (min(leaks[0] + more, 1.0), leaks[1])
        out = delivery_effectiveness(**arguments(worse_supply, kept, room, places, rise))
        assert -1e-12 <= out <= now + 1e-12
    same = (supply_place, supply_place)
    insulated = delivery_effectiveness(**arguments(leaks, kept, room, same, rise))
    bare = delivery_effectiveness(**arguments(leaks, worse_kept, room, same, rise))
    assert bare <= insulated + 1e-12


def test_effectiveness_falls_below_zero_only_when_ducts_lose_more_than_is_made() -> None:
    numbers = arguments((0.3, 0.5), (0.6, 0.6), 70.0, (0.0, 0.0), 10.0)
    losses = duct_losses(**numbers)
    assert losses.supply + losses.back > 1.0
    assert delivery_effectiveness(**numbers) < 0.0


@given(st.floats(0.3, 1.0), st.floats(0.0, 1.0), st.floats(1.0, 1e8))
@settings(deadline=None)
def test_made_heat_is_delivered_or_released(delivery, regained, load) -> None:
    made = load / net_effectiveness(delivery, regained)
    released = duct_loss(load, delivery, regained)
    assert released == pytest.approx(made * (1 - delivery), rel=1e-9)
    assert made - released + regained * released == pytest.approx(load, rel=1e-9)


@given(st.lists(st.floats(0.05, 1.0), min_size=2, max_size=4), st.floats(0.6, 1.0), LEAK)
@settings(deadline=None)
def test_mean_of_places_is_the_sum_of_parallel_branches(weights, supply_kept, leak) -> None:
    shares = [weight / sum(weights) for weight in weights]
    places = [20.0 + 12.0 * i for i in range(len(shares))]
    room, rise = 70.0, 50.0
    plenum = room + rise
    ends = [place + supply_kept * (plenum - place) for place in places]
    delivered = (
        sum(s * (1 - leak) * (end - room) for s, end in zip(shares, ends, strict=True)) / rise
    )
    numbers = arguments((leak, 0.0), (supply_kept, 1.0), room, (0.0, room), rise)
    numbers["supply_temperature_difference"] = mean_temperature_difference(room, shares, places)
    assert delivery_effectiveness(**numbers) == pytest.approx(delivered, abs=1e-9)


def test_what_lies_inside_the_rooms_loses_nothing() -> None:
    assert mean_temperature_difference(70.0, [0.5], [30.0]) == pytest.approx(20.0)
    assert mean_temperature_difference(70.0, [], []) == 0.0


def test_shares_and_places_must_match() -> None:
    with pytest.raises(ValueError, match="shorter"):
        mean_temperature_difference(70.0, [0.5, 0.5], [30.0])


def test_more_insulation_resists_more_but_less_than_its_label() -> None:
    labels = np.array([0.0, 2.0, 4.2, 6.0, 8.0, 11.0])
    hung = round_duct_resistance(labels, 6.0)
    assert (np.diff(hung) > 0).all()
    assert (np.diff(hung) < np.diff(labels)).all()
    assert round_duct_resistance(8.0, 1e6) == pytest.approx(8.0 + 0.5 + 0.65, abs=1e-3)


def test_many_houses_and_months_at_once_equal_one_by_one() -> None:
    leak = np.array([0.0, 0.1, 0.3])[:, None]
    places = np.linspace(10.0, 60.0, 12)
    numbers = arguments((leak, leak), (0.9, 0.95), 70.0, (places, places), 50.0)
    together = delivery_effectiveness(**numbers)
    assert together.shape == (3, 12)
    for i in range(3):
        for month in range(12):
            one = arguments(
                (float(leak[i, 0]),) * 2, (0.9, 0.95), 70.0, (float(places[month]),) * 2, 50.0
            )
            single = delivery_effectiveness(**one)
            assert type(single) is float
            assert together[i, month] == pytest.approx(single, abs=1e-12)
