"""From blower-door readings to the power law of a house and its leakage area; natural flow is elsewhere."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from retrofit_lab.values import InputError, Value

FT_PER_MIN_PER_SQRT_PA = 196.85 * sqrt(2.0 / 1.2)
"""Speed of air through an ideal opening at 1 Pa and 1.2 kg/m3. [ft/min]"""


def flow_at(coefficient: Value, exponent: Value, pressure: Value) -> Value:
    """Flow of a power law at a pressure. [cfm]

    Parameters
    ----------
    coefficient : Value
        Flow at 1 Pa. [cfm/Pa^n]
    exponent : Value
        Flow exponent. [1]
    pressure : Value
        Across the envelope. [Pa]
    """
    return coefficient * pressure**exponent


def flow_coefficient(flow: Value, pressure: Value, exponent: Value) -> Value:
    """Flow at 1 Pa from one reading. [cfm/Pa^n]; arguments as `flow_at`."""
    return flow / flow_at(1.0, exponent, pressure)


def effective_leakage_area(flow: Value, pressure: float = 4.0) -> Value:
    """Area of an ideal opening that passes the same flow.

    Parameters
    ----------
    flow : Value
        Flow at the pressure. [cfm]
    pressure : float
        Reference pressure. [Pa]

    Returns
    -------
    Value
        Area. [in2]

    References
    ----------
    ASTM E779 (memory).
    """
    return 144.0 * flow / (FT_PER_MIN_PER_SQRT_PA * sqrt(pressure))


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLawFit:
    """Power law through several readings with 95 % confidence of coefficient, exponent and flow at 50 Pa."""

    coefficient: float
    exponent: float
    coefficient_range: tuple[float, float]
    exponent_range: tuple[float, float]
    flow_50: float
    flow_50_range: tuple[float, float]


def fit_power_law(pressures: Sequence[float], flows: Sequence[float]) -> PowerLawFit:
    """Straight line through the logarithms of readings.

    Parameters
    ----------
    pressures, flows : sequence of float, length at least 3
        Readings. [Pa, cfm]

    Raises
    ------
    InputError
        When there are too few readings, or the exponent leaves 0.5 to 1.

    References
    ----------
    ASTM E779, unweighted log-linear regression (memory).
    """
    from scipy.stats import t as student  # noqa: PLC0415 - slow to import, rarely needed

    if len(pressures) < 3 or len(pressures) != len(flows) or min(*pressures, *flows) <= 0:
        raise InputError("a fit needs at least 3 readings, each with pressure and flow above zero")
    x, y = np.log(pressures), np.log(flows)
    dx = x - x.mean()
    slope = float((dx * y).sum() / (dx**2).sum())
    residual = y - y.mean() - slope * dx
    spread = np.sqrt((residual**2).sum() / (len(x) - 2))
    reach = student.ppf(0.975, len(x) - 2) * spread

    def at(log_pressure: float) -> tuple[float, tuple[float, float]]:
        middle = y.mean() + slope * (log_pressure - x.mean())
        width = reach * np.sqrt(1.0 / len(x) + (log_pressure - x.mean()) ** 2 / (dx**2).sum())
        return float(np.exp(middle)), (float(np.exp(middle - width)), float(np.exp(middle + width)))

    if not 0.5 <= slope <= 1.0:
        raise InputError(
            f"the exponent is {slope:.2f}; must be 0.5 to 1. Look for a wrong reading."
        )
    coefficient, coefficient_range = at(0.0)
    flow_50, flow_50_range = at(float(np.log(50.0)))
    half = float(reach / np.sqrt((dx**2).sum()))
    return PowerLawFit(
        coefficient=coefficient,
        exponent=slope,
        coefficient_range=coefficient_range,
        exponent_range=(slope - half, slope + half),
        flow_50=flow_50,
        flow_50_range=flow_50_range,
    )
