"""Weighted linear least squares with standard errors; what the columns mean is decided elsewhere."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearFit:
    """Coefficients, their covariance, the residual standard deviation and its degrees of freedom."""

    coefficients: FloatArray
    covariance: FloatArray
    residual_sd: float
    degrees_of_freedom: int
    residual_sum: float
    fitted: FloatArray

    @property
    def standard_errors(self) -> FloatArray:
        """Standard error of each coefficient."""
        return np.asarray(np.sqrt(np.diag(self.covariance)))


def linear_fit(
    columns: FloatArray, measured: FloatArray, weights: FloatArray | float = 1.0
) -> LinearFit:
    """Weighted least squares.

    Parameters
    ----------
    columns : ndarray, shape (n, p)
        One column for each coefficient.
    measured : ndarray, shape (n,)
        Values to follow.
    weights : ndarray, shape (n,), or float
        Weight of each value, the inverse of its variance up to a factor.

    Returns
    -------
    LinearFit
        With n - p degrees of freedom; the standard deviation is zero when none are left.
    """
    w = np.sqrt(np.broadcast_to(np.asarray(weights, dtype=np.float64), np.shape(measured)))
    scaled = columns * w[:, None]
    inverse = np.linalg.pinv(scaled)
    coefficients = inverse @ (measured * w)
    fitted = columns @ coefficients
    residual_sum = float(((measured - fitted) ** 2 * w**2).sum())
    left = len(measured) - columns.shape[1]
    variance = residual_sum / left if left > 0 else 0.0
    return LinearFit(
        coefficients=coefficients,
        covariance=variance * (inverse @ inverse.T),
        residual_sd=float(np.sqrt(variance)),
        degrees_of_freedom=left,
        residual_sum=residual_sum,
        fitted=fitted,
    )


def line_fit(x: FloatArray, measured: FloatArray, weights: FloatArray | float = 1.0) -> LinearFit:
    """Straight line; the coefficients are intercept and slope. Arguments as `linear_fit`."""
    return linear_fit(np.stack([np.ones_like(x), x], axis=1), measured, weights)
