import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.values import InputError
from retrofit_lab.physics.blower_door import (
    envelope_flow,
    fit_power_law,
    flow_at,
    flow_coefficient,
)

PRESSURES = (60.0, 50.0, 40.0, 30.0, 20.0, 12.0)
READINGS = (2750.0, 2410.0, 2110.0, 1730.0, 1340.0, 955.0)


@given(st.floats(100, 9000), st.floats(10, 75), st.floats(0.5, 1.0))
@settings(deadline=None)
def test_one_reading_gives_itself_back(flow: float, pressure: float, exponent: float) -> None:
    coefficient = flow_coefficient(flow, pressure, exponent)
    assert flow_at(coefficient, exponent, pressure) == pytest.approx(flow, rel=1e-12)


@given(st.floats(10, 400), st.floats(0.51, 0.99))
@settings(deadline=None, max_examples=40)
def test_exact_readings_give_the_exact_law(coefficient: float, exponent: float) -> None:
    fit = fit_power_law(PRESSURES, [flow_at(coefficient, exponent, p) for p in PRESSURES])
    assert fit.coefficient == pytest.approx(coefficient, rel=1e-9)
    assert fit.exponent == pytest.approx(exponent, rel=1e-9)
    assert fit.correlation == pytest.approx(1.0)
    assert fit.flow_50_range == pytest.approx((fit.flow_50, fit.flow_50), rel=1e-6)


def test_fit_agrees_with_an_independent_regression() -> None:
    stats = pytest.importorskip("scipy.stats")
    theirs = stats.linregress(np.log(PRESSURES), np.log(READINGS))
    fit = fit_power_law(PRESSURES, READINGS)
    reach = stats.t.ppf(0.975, len(PRESSURES) - 2)
    assert fit.exponent == pytest.approx(theirs.slope, rel=1e-10)
    assert fit.exponent_error == pytest.approx(theirs.stderr, rel=1e-9)
    assert math.log(fit.coefficient) == pytest.approx(theirs.intercept, rel=1e-10)
    assert fit.coefficient_error == pytest.approx(theirs.intercept_stderr, rel=1e-9)
    assert fit.correlation == pytest.approx(theirs.rvalue, rel=1e-9)
    half = reach * theirs.intercept_stderr
    expected = (math.exp(theirs.intercept - half), math.exp(theirs.intercept + half))
    assert fit.coefficient_range == pytest.approx(expected, rel=1e-9)


def test_ninety_five_per_cent_ranges_hold_the_truth_that_often() -> None:
    random = np.random.default_rng(20)
    held = {"exponent": 0, "coefficient": 0, "flow_50": 0}
    truth = {"exponent": 0.66, "coefficient": 180.0, "flow_50": 180.0 * 50.0**0.66}
    trials = 600
    for _ in range(trials):
        noise = random.normal(0.0, 0.015, len(PRESSURES))
        flows = [
            flow_at(180.0, 0.66, p) * math.exp(e) for p, e in zip(PRESSURES, noise, strict=True)
        ]
        fit = fit_power_law(PRESSURES, flows)
        for name in held:
            low, high = getattr(fit, f"{name}_range")
            held[name] += low <= truth[name] <= high
    for name, count in held.items():
        assert 0.92 <= count / trials <= 0.98, name


def test_low_pressures_are_less_sure_than_50_pa() -> None:
    fit = fit_power_law(PRESSURES, READINGS)
    assert fit.coefficient_range[1] / fit.coefficient > fit.flow_50_range[1] / fit.flow_50


@pytest.mark.parametrize(
    ("pressures", "flows", "words"),
    [
        ((50.0, 25.0), (2400.0, 1500.0), "at least 3 readings"),
        ((50.0, 25.0, 10.0), (2400.0, 1500.0), "3 pressures and 2 flows"),
        ((50.0, 25.0, 0.0), (2400.0, 1500.0, 10.0), "both must be above 0"),
        ((50.0, 25.0, 10.0), (2400.0, -5.0, 800.0), "reading of -5 cfm at 25 Pa"),
        ((50.0, 50.0, 50.0), (2400.0, 2410.0, 2390.0), "all readings are at 50 Pa"),
        ((60.0, 40.0, 20.0), (2400.0, 2300.0, 2200.0), "must be 0.5 to 1. Look for"),
        ((60.0, 40.0, 20.0), (2400.0, 1200.0, 400.0), "must be 0.5 to 1. Look for"),
    ],
)
def test_impossible_readings_are_refused(pressures, flows, words: str) -> None:
    with pytest.raises(InputError, match=words):
        fit_power_law(pressures, flows)


def test_three_readings_fit_but_are_too_few_for_the_standard() -> None:
    fit = fit_power_law(PRESSURES[:3], READINGS[:3])
    assert fit.exponent_range[1] - fit.exponent_range[0] > 0.1


def test_fan_and_leaks_move_the_same_mass_either_way() -> None:
    out = envelope_flow(1000.0, 70.0, 10.0)
    assert out < 1000.0
    assert envelope_flow(out, 70.0, 10.0, pressurized=True) == pytest.approx(1000.0)
    assert envelope_flow(1000.0, 68.0, 68.0) == 1000.0
