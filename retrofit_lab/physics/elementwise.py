"""The few elementwise functions that keep plain floats plain and quick; the physics is in the other modules."""

from typing import Any, overload

import numpy as np

from retrofit_lab.base.values import Value


@overload
def larger(first: float, second: float) -> float: ...
@overload
def larger(first: Value, second: Value) -> Value: ...
def larger(first: Value, second: Value) -> Value:
    """Larger of two values, element by element.

    Parameters
    ----------
    first, second : Value
        Floats stay a float.

    Examples
    --------
    >>> larger(2.0, 3.0), larger(np.array([1.0, 5.0]), 3.0).tolist()
    (3.0, [3.0, 5.0])
    """
    if isinstance(first, np.ndarray) or isinstance(second, np.ndarray):
        return np.maximum(first, second)
    return max(first, second)


@overload
def smaller(first: float, second: float) -> float: ...
@overload
def smaller(first: Value, second: Value) -> Value: ...
def smaller(first: Value, second: Value) -> Value:
    """Smaller of two values, element by element.

    Parameters
    ----------
    first, second : Value
        Floats stay a float.

    Examples
    --------
    >>> smaller(2.0, 3.0), smaller(np.array([1.0, 5.0]), 3.0).tolist()
    (2.0, [1.0, 3.0])
    """
    if isinstance(first, np.ndarray) or isinstance(second, np.ndarray):
        return np.minimum(first, second)
    return min(first, second)


def is_nought(value: Value) -> bool:
    """Whether a value is a plain zero: what depends on it alone need not be worked out.

    An array is none, even where all of it is 0: another variant of the house may differ.

    Examples
    --------
    >>> is_nought(0.0), is_nought(np.zeros(2))
    (True, False)
    """
    return isinstance(value, float | int) and value == 0


def magnitude(value: Value) -> Value:
    """Value without its sign, element by element."""
    return np.abs(value) if isinstance(value, np.ndarray) else abs(value)


def exponential(value: Value) -> Value:
    """Euler's number raised to the value, element by element."""
    return _as_given(np.exp(value))


def logarithm(value: Value) -> Value:
    """Natural logarithm, element by element."""
    return _as_given(np.log(value))


def logarithm_of_one_more(value: Value) -> Value:
    """Natural logarithm of the value and 1, exact for small values, element by element."""
    return _as_given(np.log1p(value))


def power(base: Value, exponent: Value) -> Value:
    """A base above 0 raised to an exponent, element by element."""
    return _as_given(np.power(base, exponent))


def square_root(value: Value) -> Value:
    """Square root of a value that is not below 0, element by element."""
    return _as_given(np.sqrt(value))


def interpolated(value: Value, points: tuple[float, ...], values: tuple[float, ...]) -> Value:
    """Reading of a small table between its points; beyond its ends the end values hold.

    Parameters
    ----------
    value : Value
        Where to read.
    points, values : tuple of float
        The table, its points rising.

    Examples
    --------
    >>> interpolated(1.5, (1.0, 2.0), (10.0, 20.0)), interpolated(9.0, (1.0, 2.0), (10.0, 20.0))
    (15.0, 20.0)
    """
    return _as_given(np.interp(value, points, values))


def _as_given(result: Any) -> Value:
    """A plain number for plain numbers, worked out by the library of the arrays.

    The functions of `math` and the ``**`` of plain floats may give another last digit, and then a set of
    measures alone would differ from its row among many.
    """
    return result if isinstance(result, np.ndarray) and result.ndim else float(result)
