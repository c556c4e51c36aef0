"""How closely a prediction follows measured use: criteria with their formula in the open; no fitting."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.texts.english_only import sentence

Sign = Literal["measured minus predicted", "predicted minus measured"]

MONTHLY_CV_RMSE = 0.15
MONTHLY_NMBE = 0.05
"""Limits for monthly data. ASHRAE Guideline 14, 2002 and 2014, as quoted elsewhere (read)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FitCriteria:
    """Criteria of one fit and what went into them.

    ``cv_rmse`` and ``nmbe`` are shares of the mean; ``parameters`` is what is taken off the number of
    values ``count`` in both denominators; ``nmbe`` is measured minus predicted.
    """

    cv_rmse: float
    nmbe: float
    r_squared: float
    count: int
    parameters: int

    @property
    def within_monthly_limits(self) -> bool:
        """Whether both criteria are within the guideline's limits for monthly data."""
        return self.cv_rmse <= MONTHLY_CV_RMSE and abs(self.nmbe) <= MONTHLY_NMBE

    @property
    def formula(self) -> str:
        """The definitions used, in words: several are in circulation."""
        n_less_p = f"({self.count} - {self.parameters})"
        return (
            f"CV(RMSE) = root of [sum of (measured - predicted)² / {n_less_p}] / mean measured; "
            f"NMBE = sum of (measured - predicted) / [{n_less_p} × mean measured]"
        )


def cv_rmse(measured: FloatArray, predicted: FloatArray, *, parameters: int) -> float:
    """Coefficient of variation of the root mean square error.

    Parameters
    ----------
    measured, predicted : ndarray, shape (n,)
        Use by period, in one unit.
    parameters : int
        What is taken off n in the denominator: 0, 1, or the number of fitted coefficients.

    Returns
    -------
    float
        Share of the mean of the measured values.

    Notes
    -----
    Guideline 14 takes off the number of coefficients for a regression and 1 for a calibrated
    simulation; others divide by n (all read in quotations; Ruiz and Bandera 2017, Energies 10:1587,
    exists because these are mixed up).
    """
    left = _left(measured, parameters)
    errors = np.asarray(measured) - np.asarray(predicted)
    return float(np.sqrt((errors**2).sum() / left) / _mean(measured))


def nmbe(
    measured: FloatArray,
    predicted: FloatArray,
    *,
    parameters: int,
    sign: Sign = "measured minus predicted",
) -> float:
    """Normalized mean bias error; arguments as `cv_rmse`, with the sign in words.

    Returns
    -------
    float
        Share of the mean of the measured values; above zero when the first named is larger.
    """
    left = _left(measured, parameters)
    bias = float((np.asarray(measured) - np.asarray(predicted)).sum() / left) / _mean(measured)
    return bias if sign == "measured minus predicted" else -bias


def r_squared(
    measured: FloatArray, predicted: FloatArray, weights: FloatArray | float = 1.0
) -> float:
    """Share of the weighted variance around the mean that the prediction explains."""
    w = np.broadcast_to(np.asarray(weights, dtype=np.float64), np.shape(measured))
    mean = float((w * measured).sum() / w.sum())
    total = float((w * (np.asarray(measured) - mean) ** 2).sum())
    left = float((w * (np.asarray(measured) - predicted) ** 2).sum())
    return 1.0 - left / total if total > 0 else 0.0


def fit_criteria(measured: FloatArray, predicted: FloatArray, *, parameters: int) -> FitCriteria:
    """All criteria of one fit. Where data are too few for the formula they are not a number."""
    count = len(measured)
    enough = count > parameters and float(np.mean(measured)) != 0
    return FitCriteria(
        cv_rmse=cv_rmse(measured, predicted, parameters=parameters) if enough else float("nan"),
        nmbe=nmbe(measured, predicted, parameters=parameters) if enough else float("nan"),
        r_squared=r_squared(measured, predicted),
        count=count,
        parameters=parameters,
    )


def _left(measured: FloatArray, parameters: int) -> int:
    left = len(measured) - parameters
    if left <= 0:
        raise InputError(
            sentence(
                "bills_fitting_fit_criteria.values_too", count=len(measured), parameters=parameters
            )
        )
    return left


def _mean(measured: FloatArray) -> float:
    mean = float(np.mean(measured))
    if mean == 0:
        raise InputError(sentence("bills_fitting_fit_criteria.measured_values"))
    return mean
