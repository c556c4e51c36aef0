"""The number types that every room shares: a value is one float, or an array of stacks, draws and months."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
Value: TypeAlias = float | FloatArray
"""A float, or an array whose last axis is months (length 12, or 1 where months do not matter).

Axes in front of the last are free: a stack axis, a draw axis, or both.
"""

BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.integer[Any]]


class InputError(ValueError):
    """Something typed or read cannot be used; the message names value, rule and way out."""
