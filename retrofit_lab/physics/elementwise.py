"""The few elementwise functions that keep plain floats plain and quick; the physics is in the other modules."""

import math
from typing import overload

import numpy as np

from retrofit_lab.values import FloatArray, Value


@overload
def larger(first: float, second: float) -> float: ...
@overload
def larger(first: Value, second: Value) -> Value: ...
def larger(first: Value, second: Value) -> Value:
    """Larger of two values, element by element."""
    if isinstance(first, np.ndarray) or isinstance(second, np.ndarray):
        return np.maximum(first, second)
    return max(first, second)


@overload
def smaller(first: float, second: float) -> float: ...
@overload
def smaller(first: Value, second: Value) -> Value: ...
def smaller(first: Value, second: Value) -> Value:
    """Smaller of two values, element by element."""
    if isinstance(first, np.ndarray) or isinstance(second, np.ndarray):
        return np.minimum(first, second)
    return min(first, second)


def is_nought(value: Value) -> bool:
    """Whether a value is a plain nought: what hangs on it alone need not be worked out."""
    return isinstance(value, float | int) and value == 0


def magnitude(value: Value) -> Value:
    """Value without its sign, element by element."""
    return np.abs(value) if isinstance(value, np.ndarray) else abs(value)


def exponential(value: Value) -> Value:
    """Euler's number raised to the value, element by element."""
    return np.exp(value) if isinstance(value, np.ndarray) else math.exp(value)


def logarithm(value: Value) -> Value:
    """Natural logarithm, element by element."""
    return np.log(value) if isinstance(value, np.ndarray) else math.log(value)


def interpolated(value: Value, points: tuple[float, ...], values: tuple[float, ...]) -> Value:
    """Reading of a small table between its points; beyond its ends the end values hold."""
    result: float | FloatArray = np.interp(value, points, values)
    return result if isinstance(value, np.ndarray) else float(result)
