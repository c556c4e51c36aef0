"""What is compared where two answers must be the same to the last digit."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass

import numpy as np


def exact(value: object) -> object:
    """What is compared: every number of an answer by its bits, so that nan equals nan and 0 differs from -0."""
    if is_dataclass(value):
        return tuple(exact(getattr(value, field.name)) for field in fields(value))
    if isinstance(value, Mapping):
        return tuple((key, exact(value[key])) for key in sorted(value, key=str))
    if isinstance(value, tuple | list):
        return tuple(exact(one) for one in value)
    if isinstance(value, float | np.ndarray):
        return np.asarray(value).tobytes()
    return value
