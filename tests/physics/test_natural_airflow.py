from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.natural_airflow import (
    basic_flow,
    basic_stack_factor,
    basic_wind_factor,
    between_models,
    eave_wind_share,
    natural_flow,
    shelter_factor,
    stack_factor,
    wind_factor,
)

FACTORS = {"stack_factor": 0.078, "wind_factor": 0.17, "shelter_factor": 0.7}
differences = st.floats(0, 90)
winds = st.floats(0, 40)
exponents = st.floats(0.5, 0.9)


def flow(difference, wind, exponent=0.65, coefficient=180.0, **factors):
    return natural_flow(coefficient, exponent, difference, wind, **{**FACTORS, **factors})


@given(differences, winds, exponents, st.floats(0.01, 20))
@settings(deadline=None)
def test_every_driver_raises_the_flow(
    difference: float, wind: float, exponent: float, more: float
) -> None:
    before = flow(difference, wind, exponent)
    assert flow(difference + more, wind, exponent) >= before
    assert flow(difference, wind + more, exponent) >= before
    assert flow(difference, wind, exponent, coefficient=180.0 + more) >= before
    for name, value in FACTORS.items():
        assert flow(difference, wind, exponent, **{name: value * (1.0 + more)}) >= before


@given(differences, winds, exponents)
@settings(deadline=None)
def test_stack_and_wind_hinder_each_other(difference: float, wind: float, exponent: float) -> None:
    stack, gust = flow(difference, 0.0, exponent), flow(0.0, wind, exponent)
    both = flow(difference, wind, exponent)
    assert max(stack, gust) * (1 - 1e-12) <= both <= (stack + gust) * (1 + 1e-12)


@given(differences, winds)
@settings(deadline=None)
def test_warmer_outdoors_drives_as_much(difference: float, wind: float) -> None:
    assert flow(-difference, wind) == flow(difference, wind)


@given(st.lists(st.tuples(differences, winds), min_size=1, max_size=12), exponents)
@settings(deadline=None, max_examples=40)
def test_months_and_stacks_are_the_single_numbers(months, exponent: float) -> None:
    difference, wind = (np.array(part) for part in zip(*months, strict=True))
    coefficients = np.array([[60.0], [180.0], [0.0]])
    whole = flow(difference, wind, exponent, coefficient=coefficients)
    assert whole.shape == (3, len(months))
    for i, row in enumerate(whole):
        for j, value in enumerate(row):
            alone = flow(difference[j].item(), wind[j].item(), exponent, coefficients[i, 0].item())
            assert value == pytest.approx(alone, rel=1e-12)


def test_zero_leakage_has_no_flow() -> None:
    assert flow(60.0, 20.0, coefficient=0.0) == 0.0


def test_original_rule_of_the_authors_is_near() -> None:
    ratio = np.logspace(-3, 3, 601)
    for n in (0.6, 0.65, 0.7, 0.75):
        theirs = (ratio ** (1 / n) + 1 - ratio ** (0.5 / n) / 3) ** n
        assert np.hypot(ratio, 1.0) == pytest.approx(theirs, rel=0.045)


@pytest.mark.parametrize("flue", [False, True])
def test_factors_between_stories_lie_between_them(flue: bool) -> None:
    for low, middle, high in ((1.0, 1.5, 2.0), (2.0, 2.5, 3.0)):
        assert stack_factor(low, flue) < stack_factor(middle, flue) < stack_factor(high, flue)
        for foundation in ("basement", "crawlspace"):
            at = [wind_factor(s, foundation, flue) for s in (low, middle, high)]
            assert at == sorted(at)
    assert stack_factor(4.0, flue) == stack_factor(3.0, flue)


def test_a_flue_adds_stack_and_opens_the_shelter() -> None:
    for stories in (1.0, 2.0, 3.0):
        assert stack_factor(stories, True) > stack_factor(stories, False)
    for shelter in (1.0, 2.5, 5.0):
        assert shelter_factor(shelter, True) > shelter_factor(shelter, False)


def test_better_shelter_takes_wind_off() -> None:
    values = [shelter_factor(c, False) for c in np.arange(1.0, 5.01, 0.25).tolist()]
    assert all(a > b for a, b in pairwise(values))


def test_other_exponents_join_the_table_smoothly() -> None:
    near = 0.67 + 1e-9
    assert stack_factor(2.0, False, exponent=near) == pytest.approx(stack_factor(2.0, False))
    assert wind_factor(2.0, "basement", exponent=near) == pytest.approx(
        wind_factor(2.0, "basement")
    )
    many = stack_factor(2.0, False, exponent=np.array([[0.6], [0.7]]))
    one = stack_factor(2.0, False, exponent=0.6)
    assert many[0, 0] == pytest.approx(one)


def test_floats_stay_floats() -> None:
    values = [
        flow(30.0, 5.0),
        stack_factor(1.5, False),
        stack_factor(1.5, False, exponent=0.6),
        wind_factor(1.5, "basement"),
        shelter_factor(2.5, True),
        eave_wind_share(2.0),
        basic_stack_factor(2.0),
    ]
    assert {type(value) for value in values} == {float}


def test_three_models_agree_on_the_size_of_a_usual_house() -> None:
    """Two stories, 2,000 cfm at 50 Pa, a heating season of 30 F and 10 mph, shelter class 3.

    The basic model takes more wind than the enhanced one, so it lies above it; the yearly method has
    a weather factor (0.6 here) that mild months bring down.
    """
    coefficient = 2000.0 / 50.0**0.65
    enhanced = natural_flow(
        coefficient, 0.65, 30.0, 10.0 * eave_wind_share(2.0),
        stack_factor=stack_factor(2.0, False, exponent=0.65),
        wind_factor=wind_factor(2.0, "basement", exponent=0.65),
        shelter_factor=shelter_factor(3.0, False),
    )  # fmt: skip
    basic = basic_flow(
        2000.0 / 18.2, 30.0, 10.0,
        stack_factor=basic_stack_factor(2.0), wind_factor=basic_wind_factor(2.0, 3),
    )  # fmt: skip
    yearly = 0.052 * 0.6 * 2.0**0.4 * 2000.0
    assert 1.0 < basic / enhanced < 1.5
    assert 0.75 < yearly / enhanced < 1.0


def test_basic_wind_between_classes_lies_between_them_and_arrays_are_single_numbers() -> None:
    classes = np.arange(1.0, 5.01, 0.25)
    whole = basic_wind_factor(2.0, classes[:, None])[:, 0]
    assert whole == pytest.approx([basic_wind_factor(2.0, c) for c in classes.tolist()])
    assert np.all(np.diff(whole) < 0)
    assert basic_wind_factor(2.0, 3.5) == pytest.approx((0.0086 + 0.0051) / 2.0)


def test_the_weight_goes_from_one_model_to_the_other() -> None:
    assert between_models(80.0, 120.0, 0.0) == 80.0
    assert between_models(80.0, 120.0, 1.0) == 120.0


@given(st.floats(1, 300), differences, winds, st.floats(0.1, 10))
@settings(deadline=None)
def test_basic_model_rises_with_every_driver(
    area: float, difference: float, wind: float, more: float
) -> None:
    factors = {"stack_factor": 0.0299, "wind_factor": 0.0086}
    before = basic_flow(area, difference, wind, **factors)
    assert basic_flow(area + more, difference, wind, **factors) >= before
    assert basic_flow(area, difference + more, wind, **factors) >= before
    assert basic_flow(area, difference, wind + more, **factors) >= before
    assert basic_flow(area, 0.0, 0.0, **factors) == 0.0
