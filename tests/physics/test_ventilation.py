import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.ventilation import (
    combine_with_fans,
    envelope_inflow,
    mean_over_run_time,
    ventilation_shortfall,
)

flows = st.floats(0, 1500)
signed = st.floats(-1500, 1500)


@given(flows, signed)
@settings(deadline=None)
def test_what_enters_and_leaves_differs_by_the_fans(natural: float, net: float) -> None:
    into, out = envelope_inflow(natural, net), envelope_inflow(natural, -net)
    assert into - out == pytest.approx(net, abs=1e-9)
    assert into >= 0
    assert out >= 0


@given(flows, flows, flows, flows, st.floats(0, 500))
@settings(deadline=None)
def test_outdoor_air_is_never_less_than_any_of_its_makers(
    natural: float, exhaust: float, supply: float, balanced: float, more: float
) -> None:
    total = combine_with_fans(natural, exhaust, supply, balanced=balanced)
    slack = 1e-9
    assert total >= natural + balanced - slack
    assert total >= max(exhaust, supply) + balanced - slack
    assert total <= natural + exhaust + supply + balanced + slack
    assert combine_with_fans(natural + more, exhaust, supply, balanced=balanced) >= total - slack
    assert combine_with_fans(natural, exhaust, supply, balanced=balanced + more) == pytest.approx(
        total + more
    )


@given(flows, flows, flows)
@settings(deadline=None)
def test_exhaust_and_supply_are_alike(natural: float, one: float, other: float) -> None:
    there = combine_with_fans(natural, one, other)
    assert combine_with_fans(natural, other, one) == pytest.approx(there, abs=1e-9)


@given(flows, flows, st.floats(0, 400))
@settings(deadline=None)
def test_a_stronger_lone_fan_never_brings_less(natural: float, fan: float, more: float) -> None:
    before = combine_with_fans(natural, fan, 0.0)
    assert combine_with_fans(natural, fan + more, 0.0) >= before - 1e-9


def test_arrays_are_the_single_numbers() -> None:
    natural = np.array([[0.0, 50.0, 200.0], [10.0, 90.0, 400.0]])
    exhaust = np.array([[0.0], [120.0]])
    whole = combine_with_fans(natural, exhaust, 30.0, balanced=5.0)
    for i in range(2):
        for j in range(3):
            alone = combine_with_fans(
                natural[i, j].item(), exhaust[i, 0].item(), 30.0, balanced=5.0
            )
            assert whole[i, j] == pytest.approx(alone)


def test_no_fans_leave_nature_alone() -> None:
    assert combine_with_fans(80.0, 0.0, 0.0) == 80.0


@given(flows, flows, st.floats(0, 1))
@settings(deadline=None)
def test_run_time_weighs_between_off_and_on(off: float, on: float, share: float) -> None:
    mean = mean_over_run_time(off, on, share)
    assert min(off, on) - 1e-9 <= mean <= max(off, on) + 1e-9
    assert mean_over_run_time(off, on, 0.0) == off


@given(st.floats(0, 500), st.floats(0, 500), st.floats(0, 500))
@settings(deadline=None)
def test_shortfall_is_what_would_just_suffice(minimum: float, leak: float, fan: float) -> None:
    missing = ventilation_shortfall(minimum, leak, fan)
    assert missing >= 0
    assert leak + fan + missing >= minimum - 1e-9
    assert missing == 0 or leak + fan + missing == pytest.approx(minimum)
