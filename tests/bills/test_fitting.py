"""The fit recovers known truth, says what it cannot know, and does not force what disagrees."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.fitting.moving_inputs import UncertainInput, fit_inputs

BASES = np.linspace(-1.0, 1.0, 12)


def inputs_of(count: int, half: float = 0.3) -> list[UncertainInput]:
    return [
        UncertainInput(name=f"input {n}", value=1.0 + n, half_range=half * (1.0 + n))
        for n in range(count)
    ]


def curved(x: np.ndarray) -> np.ndarray:
    """Three inputs, bent and mixed, at twelve months."""
    a, b, c = (x[:, n, None] for n in range(3))
    return a * (1.5 + BASES) + b * np.exp(0.4 * BASES * c) + np.sqrt(np.abs(a * c)) * BASES**2


def line(x: np.ndarray) -> np.ndarray:
    return x[:, :1] + x[:, 1:2] * BASES


def drawn_case(seed: int, error: float = 0.3):
    rng = np.random.default_rng(seed)
    inputs = inputs_of(3)
    truth = np.array([i.value + rng.normal(0.0, i.spread) for i in inputs])
    truth = np.clip(truth, [i.bounds[0] for i in inputs], [i.bounds[1] for i in inputs])
    measured = curved(truth[None])[0] + rng.normal(0.0, error, 12)
    return inputs, truth, measured, np.full(12, error)


def test_linear_case_is_the_textbook_update() -> None:
    """Against the closed form: precision = prior + J' W J, mean = prior + gain × innovation."""
    inputs = inputs_of(2)
    measured, error = 1.2 + 1.7 * BASES, np.full(12, 0.25)
    result = fit_inputs(line, inputs, measured, error)
    jacobian = np.stack([np.ones(12), BASES], axis=1)
    prior = np.diag([i.spread**-2 for i in inputs])
    covariance = np.linalg.inv(prior + jacobian.T @ jacobian / 0.25**2)
    stated = np.array([i.value for i in inputs])
    mean = stated + covariance @ jacobian.T @ (measured - jacobian @ stated) / 0.25**2
    assert result.mean == pytest.approx(mean, rel=1e-6)
    assert result.covariance == pytest.approx(covariance, rel=1e-9)
    assert result.jacobian == pytest.approx(jacobian)
    assert result.predicted_before == pytest.approx(line(stated[None])[0])


def test_known_truth_is_recovered_in_ninety_of_a_hundred() -> None:
    held = np.zeros(4)
    for seed in range(100):
        inputs, truth, measured, error = drawn_case(seed)
        result = fit_inputs(curved, inputs, measured, error)
        for place in range(3):
            low, high = result.interval(place, 0.95)
            held[place] += low <= truth[place] <= high
        total = curved(result.mean[None])[0].sum()
        low, high = result.value_interval(result.jacobian.sum(axis=0), total, 0.95)
        held[3] += low <= curved(truth[None])[0].sum() <= high
    assert held.min() >= 90, held


def test_fair_cases_are_seldom_called_disagreement_and_foul_ones_always() -> None:
    fair = foul = 0
    for seed in range(60):
        inputs, _, measured, error = drawn_case(seed)
        fair += fit_inputs(curved, inputs, measured, error).disagrees
        foul += fit_inputs(curved, inputs, 3.0 * measured, error).disagrees
    assert fair <= 4
    assert foul == 60


def test_inputs_stay_within_their_bounds_when_bills_are_absurd() -> None:
    inputs, _, measured, error = drawn_case(1)
    result = fit_inputs(curved, inputs, 10.0 * measured, error)
    for item, value in zip(inputs, result.mean, strict=True):
        assert item.bounds[0] <= value <= item.bounds[1]
    assert any(m.at_limit for m in result.movements)


def test_legal_limits_hold() -> None:
    item = UncertainInput(name="share", value=0.9, half_range=0.3, low=0.0, high=1.0)
    other = UncertainInput(name="level", value=1.0, half_range=0.1)
    result = fit_inputs(line, [item, other], 3.0 + BASES, np.full(12, 0.05))
    assert result.mean[0] <= 1.0
    assert result.draws(500)[:, 0].max() <= 1.0


def test_a_sum_tells_its_parts_not_apart() -> None:
    def total(x: np.ndarray) -> np.ndarray:
        return (x[:, 0] + x[:, 1])[:, None] * np.ones(12)

    inputs = [*inputs_of(2), UncertainInput(name="idle", value=5.0, half_range=1.0)]
    result = fit_inputs(total, inputs, np.full(12, 3.4), np.full(12, 0.05))
    ((first, second, correlation),) = result.entangled()
    assert (first, second) == ("input 0", "input 1")
    assert correlation < -0.95
    idle = next(m for m in result.movements if m.name == "idle")
    assert idle.half_ranges == pytest.approx(0.0, abs=1e-6)
    assert idle.narrowed == pytest.approx(0.0, abs=1e-6)


def test_more_bills_narrow_more() -> None:
    inputs, _, measured, error = drawn_case(3)
    one = fit_inputs(curved, inputs, measured, error)
    surer = fit_inputs(curved, inputs, measured, error / 3.0)
    assert (np.diag(surer.covariance) < np.diag(one.covariance)).all()


def test_draws_have_the_stated_mean_and_spread() -> None:
    inputs, _, measured, error = drawn_case(5)
    result = fit_inputs(curved, inputs, measured, error)
    draws = result.draws(20_000)
    assert draws.mean(axis=0) == pytest.approx(result.mean, rel=0.01)
    assert np.cov(draws.T) == pytest.approx(result.covariance, rel=0.1, abs=1e-4)


@given(st.permutations(range(12)))
@settings(deadline=None, max_examples=10)
def test_order_of_measurements_does_not_matter(order) -> None:
    inputs, _, measured, error = drawn_case(7)
    one = fit_inputs(curved, inputs, measured, error)
    other = fit_inputs(lambda x: curved(x)[:, order], inputs, measured[list(order)], error)
    assert other.mean == pytest.approx(one.mean, rel=1e-5)
    assert other.misfit == pytest.approx(one.misfit, rel=1e-5)


@given(st.floats(0.01, 100.0), st.floats(0.01, 100.0))
@settings(deadline=None, max_examples=10)
def test_units_do_not_matter(unit, scale) -> None:
    inputs, _, measured, error = drawn_case(9)
    one = fit_inputs(curved, inputs, measured, error)
    other_inputs = [
        UncertainInput(name=i.name, value=i.value * unit, half_range=i.half_range * unit)
        for i in inputs
    ]
    other = fit_inputs(
        lambda x: curved(x / unit) * scale, other_inputs, measured * scale, error * scale
    )
    assert other.mean / unit == pytest.approx(one.mean, rel=1e-4)
    assert other.probability == pytest.approx(one.probability, rel=1e-4)


@pytest.mark.parametrize(
    ("inputs", "error", "message"),
    [
        ([], 0.1, "no input may move"),
        (
            [UncertainInput(name="r", value=1.0, half_range=0.0)],
            0.1,
            "r: half range is 0; must be above 0",
        ),
        ([UncertainInput(name="r", value=2.0, half_range=1.0, high=1.5)], 0.1, "r: 2 is outside"),
        (inputs_of(2), 0.0, "measurement error is not above 0"),
    ],
)
def test_impossible_problems_are_refused(inputs, error, message) -> None:
    with pytest.raises(InputError, match=message):
        fit_inputs(line, inputs, np.ones(12), np.full(12, error))
