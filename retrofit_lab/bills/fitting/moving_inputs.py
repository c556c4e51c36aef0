"""Moves uncertain inputs of any prediction until it agrees with measurements, within the ranges of the inputs.

A Bayesian update around the best point (regularized Gauss-Newton): prior normal with the stated spread,
measurements normal with the stated error. What is predicted is not known here.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.texts.english_only import sentence

Predict = Callable[[FloatArray], FloatArray]
"""Prediction of many variants at once: inputs (variants, inputs) in, values (variants, values) out."""

STEP = 0.2
"""Step of the derivative, as a share of an input's spread: large enough to pass small kinks."""
RANGE_TO_SPREAD = 1.2815515655446004
"""Half of an 80 % range of a normal distribution, in standard deviations."""
OFF_BOUND = 0.5
"""Where the search starts for an input whose stated value is the least it can be, in spreads."""
FARTHEST = 2.0
"""How many half ranges an input may move from where it was stated."""
NEAR_ONE_ANOTHER = 0.5
"""Correlation after the fit from which two inputs are said not to be told apart. judgment"""
DISAGREEMENT = 0.01
"""Probability below which bills and inputs together are too unlikely to be forced into agreement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertainInput:
    """One input: name, stated value, half of its 80 % range, what it can be at all, and how far it may move."""

    name: str
    value: float
    half_range: float
    low: float = -np.inf
    high: float = np.inf
    farthest: float = FARTHEST

    @property
    def spread(self) -> float:
        """Standard deviation before the fit."""
        return self.half_range / RANGE_TO_SPREAD

    @property
    def bounds(self) -> tuple[float, float]:
        """How far the fit may move it."""
        reach = self.farthest * self.half_range
        return max(self.low, self.value - reach), min(self.high, self.value + reach)


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """What the fit did to one input; ``half_ranges`` is how far it moved, ``narrowed`` by how much.

    ``narrowed`` is 0 where the measurements say nothing of the input and near 1 where they fix it.
    """

    name: str
    before: float
    after: float
    spread_after: float
    half_ranges: float
    narrowed: float
    at_limit: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Posterior:
    """Inputs after the fit.

    ``mean`` (inputs,) and ``covariance`` (inputs, inputs) in the units of the inputs; ``predicted_before``
    and ``predicted`` (values,); ``misfit`` is the sum of squares of all standardized residuals, of
    measurements and inputs, and ``probability`` that it would be so large by chance.
    """

    inputs: tuple[UncertainInput, ...]
    mean: FloatArray
    covariance: FloatArray
    jacobian: FloatArray
    measured: FloatArray
    error: FloatArray
    predicted_before: FloatArray
    predicted: FloatArray
    misfit: float
    probability: float

    @property
    def disagrees(self) -> bool:
        """Whether no inputs within their ranges make the prediction agree with the measurements."""
        return self.probability < DISAGREEMENT

    @property
    def movements(self) -> tuple[Movement, ...]:
        """What happened to every input, the farthest moved first."""
        made = [self._movement(place) for place in range(len(self.inputs))]
        return tuple(sorted(made, key=lambda m: -abs(m.half_ranges)))

    def interval(self, place: int, confidence: float = 0.8) -> tuple[float, float]:
        """Range of one input after the fit."""
        from scipy.stats import norm  # noqa: PLC0415 - slow to import, needed here only

        half = float(norm.ppf(0.5 + confidence / 2.0)) * np.sqrt(self.covariance[place, place])
        return float(self.mean[place] - half), float(self.mean[place] + half)

    def value_interval(
        self, gradient: FloatArray, value: float, confidence: float = 0.8
    ) -> tuple[float, float]:
        """Range of something that follows from the inputs, by its gradient with respect to them."""
        from scipy.stats import norm  # noqa: PLC0415 - slow to import, needed here only

        half = float(norm.ppf(0.5 + confidence / 2.0)) * np.sqrt(
            gradient @ self.covariance @ gradient
        )
        return float(value - half), float(value + half)

    def draws(self, count: int, seed: int = 0) -> FloatArray:
        """Inputs drawn from the result, kept within their bounds. shape (count, inputs)"""
        rng = np.random.default_rng(seed)
        values, vectors = np.linalg.eigh(self.covariance)
        root = vectors * np.sqrt(np.maximum(values, 0.0))
        drawn = self.mean + rng.standard_normal((count, len(self.mean))) @ root.T
        low, high = _bounds(self.inputs)
        return np.asarray(np.clip(drawn, low, high))

    def entangled(self, least: float = NEAR_ONE_ANOTHER) -> tuple[tuple[str, str, float], ...]:
        """Pairs of inputs that the measurements cannot tell apart, with their correlation, strongest first."""
        spread = np.sqrt(np.diag(self.covariance))
        correlation = self.covariance / np.outer(spread, spread)
        first, second = np.nonzero(np.triu(np.abs(correlation) >= least, k=1))
        pairs = [
            (self.inputs[i].name, self.inputs[j].name, float(correlation[i, j]))
            for i, j in zip(first, second, strict=True)
        ]
        return tuple(sorted(pairs, key=lambda pair: -abs(pair[2])))

    def _movement(self, place: int) -> Movement:
        item = self.inputs[place]
        after = float(self.mean[place])
        spread = float(np.sqrt(self.covariance[place, place]))
        low, high = item.bounds
        edge = 1e-3 * item.half_range
        return Movement(
            name=item.name,
            before=item.value,
            after=after,
            spread_after=spread,
            half_ranges=(after - item.value) / item.half_range,
            narrowed=1.0 - spread / item.spread,
            at_limit=bool(after - low < edge or high - after < edge),
        )


def fit_inputs(
    predict: Predict, inputs: Sequence[UncertainInput], measured: FloatArray, error: FloatArray
) -> Posterior:
    """Inputs that make a prediction agree best with measurements, and how sure they then are.

    Parameters
    ----------
    predict : callable
        Prediction of many variants at once.
    inputs : sequence of UncertainInput
        Inputs with their stated ranges.
    measured : ndarray, shape (values,)
        Measurements.
    error : ndarray, shape (values,)
        Standard deviation of each measurement around a right prediction.

    Returns
    -------
    Posterior
        The most probable inputs, with the covariance of the problem linearised there.

    Raises
    ------
    InputError
        When there are no inputs, or a range or an error is not above zero.
    """
    _check(inputs, error)
    problem = _Problem(predict, tuple(inputs), np.asarray(measured), np.asarray(error))
    place = problem.solved()
    jacobian = problem.jacobian(place)
    precision = (jacobian.T @ jacobian) + np.eye(len(inputs))
    spread = problem.spread
    mean = problem.values(place)
    misfit = float((problem.residuals(place) ** 2).sum())
    both = predict(np.stack([problem.values(np.zeros_like(place)), mean]))
    return Posterior(
        inputs=problem.inputs,
        mean=mean,
        covariance=np.asarray(
            np.linalg.inv(precision) * np.outer(spread, spread), dtype=np.float64
        ),
        jacobian=jacobian * problem.error[:, None] / spread,
        measured=problem.measured,
        error=problem.error,
        predicted_before=both[0],
        predicted=both[1],
        misfit=misfit,
        probability=_chance(misfit, len(problem.measured)),
    )


class _Problem:
    """The fit in units of spreads from the stated values and of measurement errors."""

    def __init__(
        self,
        predict: Predict,
        inputs: tuple[UncertainInput, ...],
        measured: FloatArray,
        error: FloatArray,
    ) -> None:
        self.predict = predict
        self.inputs = inputs
        self.measured = measured
        self.error = error
        self.stated = np.array([item.value for item in inputs])
        self.spread = np.array([item.spread for item in inputs])
        low, high = _bounds(inputs)
        self.low = (low - self.stated) / self.spread
        self.high = (high - self.stated) / self.spread

    def values(self, place: FloatArray) -> FloatArray:
        return np.asarray(self.stated + place * self.spread)

    def residuals(self, place: FloatArray) -> FloatArray:
        predicted = self.predict(self.values(place)[None, :])[0]
        return np.concatenate([(predicted - self.measured) / self.error, place])

    def jacobian(self, place: FloatArray) -> FloatArray:
        """Derivative of the standardized prediction, by central steps in one call. (values, inputs)"""
        up = np.minimum(place + STEP, self.high)
        down = np.maximum(place - STEP, self.low)
        count = len(place)
        variants = np.tile(place, (2 * count, 1))
        variants[np.arange(count), np.arange(count)] = up
        variants[count + np.arange(count), np.arange(count)] = down
        predicted = self.predict(self.values(variants)) / self.error
        return np.asarray(((predicted[:count] - predicted[count:]) / (up - down)[:, None]).T)

    def solved(self) -> FloatArray:
        from scipy.optimize import least_squares  # noqa: PLC0415 - slow to import

        # the solver hardly leaves a bound that it starts on, so what is at its least starts above it
        started = np.where(self.low >= 0.0, OFF_BOUND, 0.0)
        inside = np.clip(started, self.low + 1e-9, self.high - 1e-9)
        result = least_squares(
            self.residuals,
            inside,
            jac=self.whole_jacobian,
            bounds=(self.low, self.high),
            ftol=1e-7,
            xtol=1e-7,
            gtol=1e-6,
            tr_solver="lsmr",  # no decomposition of the whole matrix: quicker with many inputs
            max_nfev=60,
        )
        return np.asarray(result.x, dtype=np.float64)

    def whole_jacobian(self, place: FloatArray) -> FloatArray:
        """Derivative of all residuals, those of the inputs themselves below the predictions'."""
        return np.vstack([self.jacobian(place), np.eye(len(place))])


def _bounds(inputs: Sequence[UncertainInput]) -> tuple[FloatArray, FloatArray]:
    bounds = np.array([item.bounds for item in inputs])
    return bounds[:, 0], bounds[:, 1]


def _chance(misfit: float, values: int) -> float:
    """Probability of so large a misfit where the stated ranges and errors are right.

    For a linear prediction the sum of squares at the best point has as many degrees of freedom as
    there are measurements: each input adds one square and takes one number away.
    """
    from scipy.stats import chi2  # noqa: PLC0415 - slow to import, needed here only

    return float(chi2.sf(misfit, values))


def _check(inputs: Sequence[UncertainInput], error: FloatArray) -> None:
    if not inputs:
        raise InputError(sentence("bills_fitting_moving_inputs.input_may"))
    for item in inputs:
        if not item.half_range > 0:
            raise InputError(
                sentence(
                    "bills_fitting_moving_inputs.half_range",
                    name=item.name,
                    half_range=f"{item.half_range:g}",
                )
            )
        low, high = item.bounds
        if not low < high or not low <= item.value <= high:
            raise InputError(
                sentence(
                    "bills_fitting_moving_inputs.outside_correct",
                    name=item.name,
                    value=f"{item.value:g}",
                    low=f"{item.low:g}",
                    high=f"{item.high:g}",
                )
            )
    if not (np.asarray(error) > 0).all():
        raise InputError(sentence("bills_fitting_moving_inputs.measurement_error"))
