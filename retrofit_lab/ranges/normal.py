"""The normal distribution, from a share to a place on its axis and back; what is distributed so is not known here."""

import math
from statistics import NormalDist

import numpy as np

from retrofit_lab.values import FloatArray

OUTERMOST = 1e-11
"""Share that may lie beyond a place; nearer to 0 or 1 the place stays there. [1]"""
_MIDDLE = 0.425
_IN_MIDDLE = (
    (3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3,
     1.3731693765509461125e4, 4.5921953931549871457e4, 6.7265770927008700853e4,
     3.3430575583588128105e4, 2.5090809287301226727e3),
    (1.0, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
     2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4,
     5.2264952788528545610e3),
)  # fmt: skip
_OUTSIDE = (
    (1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0,
     3.64784832476320460504e0, 1.27045825245236838258e0, 2.41780725177450611770e-1,
     2.27238449892691845833e-2, 7.74545014278341407640e-4),
    (1.0, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
     1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4,
     1.05075007164441684324e-9),
)  # fmt: skip
Terms = tuple[tuple[float, ...], tuple[float, ...]]


def normal_place(share: FloatArray) -> FloatArray:
    """Place below which a share of the standard normal distribution lies.

    Parameters
    ----------
    share : ndarray
        From 0 to 1; see `OUTERMOST`. [1]

    References
    ----------
    Wichura 1988, algorithm AS 241, as in Python's `statistics` (read).
    """
    inside = np.minimum(np.maximum(share, OUTERMOST), 1.0 - OUTERMOST)
    off = inside - 0.5
    middle = _MIDDLE**2 - off * off
    place = off * _quotient(middle, _IN_MIDDLE)
    far = np.abs(off) > _MIDDLE
    beyond = np.sqrt(-np.log(np.minimum(inside[far], 1.0 - inside[far])))
    place[far] = np.sign(off[far]) * _quotient(beyond - 1.6, _OUTSIDE)
    return np.asarray(place)


def _quotient(at: FloatArray, terms: Terms) -> FloatArray:
    above, below = (_polynomial(at, factors) for factors in terms)
    return above / below


def _polynomial(at: FloatArray, factors: tuple[float, ...]) -> FloatArray:
    total = np.full_like(at, factors[-1])
    for factor in factors[-2::-1]:
        total *= at
        total += factor
    return total


def normal_share(place: FloatArray) -> FloatArray:
    """Share of the standard normal distribution below each place. [1]"""
    flat = map(math.erfc, (place.ravel() * -math.sqrt(0.5)).tolist())
    return 0.5 * np.fromiter(flat, np.float64, place.size).reshape(place.shape)


def share_below(place: float) -> float:
    """Share of the standard normal distribution below one place. [1]"""
    return NormalDist().cdf(place)
