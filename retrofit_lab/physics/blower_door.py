"""From blower-door readings to the power law of a house and its leakage area; natural flow is elsewhere."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError, Value
from retrofit_lab.physics.air_properties import air_density
from retrofit_lab.physics.elementwise import power
from retrofit_lab.texts.refusals import told

FT_PER_MIN_PER_M_PER_S = 196.85
SQUARE_INCHES_PER_FT2 = 144.0
REFERENCE_DENSITY = 1.2041
"""Density of air at 20 C and sea level, to which leakage areas are referred. [kg/m3]"""
LEAST_READINGS = 3
LOWEST_EXPONENT, HIGHEST_EXPONENT = 0.5, 1.0
"""Physics ends here: an orifice has 0.5, a long narrow crack 1. [1]"""


def flow_at(coefficient: Value, exponent: Value, pressure: Value) -> Value:
    """Flow of a power law at a pressure.

    Parameters
    ----------
    coefficient : Value
        Flow at 1 Pa. [cfm/Pa^n]
    exponent : Value
        Flow exponent. [1]
    pressure : Value
        Across the envelope. [Pa]

    Returns
    -------
    Value
        Flow. [cfm]

    Examples
    --------
    >>> flow_at(100.0, 0.5, 4.0)
    200.0
    """
    return coefficient * power(pressure, exponent)


def flow_coefficient(flow: Value, pressure: Value, exponent: Value) -> Value:
    """Flow at 1 Pa from one reading and an assumed exponent.

    Parameters
    ----------
    flow : Value
        Reading. [cfm]
    pressure : Value
        At which it was read. [Pa]
    exponent : Value
        Flow exponent; 0.65 is usual where it was not measured. [1]

    Returns
    -------
    Value
        Coefficient. [cfm/Pa^n]
    """
    return flow / power(pressure, exponent)


def leakage_area(
    flow: Value,
    pressure: Value,
    *,
    discharge_coefficient: float = 1.0,
    density: float = REFERENCE_DENSITY,
) -> Value:
    """Area of one opening that passes the same flow at the same pressure.

    Parameters
    ----------
    flow : Value
        Flow at the pressure. [cfm]
    pressure : Value
        Reference pressure. [Pa]
    discharge_coefficient : float
        1 for an ideal nozzle, 0.611 for a sharp-edged hole. [1]
    density : float
        Of the air. [kg/m3]

    Returns
    -------
    Value
        Area. [in2]

    References
    ----------
    A = Q sqrt(rho / (2 dP)) / Cd, ASTM E779 and CGSB 149.10 (memory).
    """
    speed = FT_PER_MIN_PER_M_PER_S * sqrt(2.0 / density) * discharge_coefficient
    return SQUARE_INCHES_PER_FT2 * flow / (speed * pressure**0.5)


def effective_leakage_area(coefficient: Value, exponent: Value) -> Value:
    """Ideal opening that passes the house's flow at 4 Pa (ELA4 of ASTM E779).

    Parameters
    ----------
    coefficient, exponent : Value
        Power law of the house. [cfm/Pa^n, 1]

    Returns
    -------
    Value
        Area. [in2]

    Examples
    --------
    The usual rule, 1 in2 for 18 cfm at 50 Pa where the exponent is 0.65:

    >>> coefficient = flow_coefficient(1_000.0, 50.0, 0.65)
    >>> round(1_000.0 / effective_leakage_area(coefficient, 0.65), 1)
    18.2
    """
    return leakage_area(flow_at(coefficient, exponent, 4.0), 4.0)


def envelope_flow(
    fan_flow: Value,
    indoor_temperature: Value,
    outdoor_temperature: Value,
    *,
    pressurized: bool = False,
) -> Value:
    """Flow through the leaks, from the flow through the fan.

    Parameters
    ----------
    fan_flow : Value
        Reading at the fan, corrected for the air that passes the fan. [cfm]
    indoor_temperature, outdoor_temperature : Value
        During the test. [F]
    pressurized : bool
        True if the fan blew in; usually it draws out.

    Returns
    -------
    Value
        Volume flow of the air in the leaks. [cfm]

    Notes
    -----
    The same mass passes fan and leaks. Drawing out, the fan moves indoor air and the leaks outdoor
    air, so the reading shrinks with the ratio of densities in cold weather. ASTM E779 (memory).
    """
    ratio = air_density(indoor_temperature) / air_density(outdoor_temperature)
    return fan_flow / ratio if pressurized else fan_flow * ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLawFit:
    """Power law through several readings, and how sure it is; ranges hold with 95 % confidence.

    Parameters
    ----------
    coefficient : float
        Flow at 1 Pa. [cfm/Pa^n]
    coefficient_error : float
        Standard error of its logarithm. [1]
    coefficient_range : tuple of float
        [cfm/Pa^n]
    exponent, exponent_error : float
        Flow exponent and its standard error. [1]
    exponent_range : tuple of float
        [1]
    flow_50 : float
        Flow at 50 Pa. [cfm]
    flow_50_range : tuple of float
        [cfm]
    correlation : float
        Between the logarithms of flow and pressure. [1]
    readings : int
        Their number.
    """

    coefficient: float
    coefficient_error: float
    coefficient_range: tuple[float, float]
    exponent: float
    exponent_error: float
    exponent_range: tuple[float, float]
    flow_50: float
    flow_50_range: tuple[float, float]
    correlation: float
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """Least-squares line through logarithms, with what its confidence needs."""

    middle: float
    height: float
    slope: float
    spread: float
    scatter: float
    count: int

    def value(self, x: float) -> float:
        return self.height + self.slope * (x - self.middle)

    def error(self, x: float) -> float:
        return self.scatter * sqrt(1.0 / self.count + (x - self.middle) ** 2 / self.spread)


def fit_power_law(pressures: Sequence[float], flows: Sequence[float]) -> PowerLawFit:
    """Straight line through the logarithms of readings, with its confidence.

    Parameters
    ----------
    pressures : sequence of float, length at least 3
        Without sign, baseline taken off. [Pa]
    flows : sequence of float, same length
        Readings. [cfm]

    Returns
    -------
    PowerLawFit
        With two-sided 95 % confidence by Student's t for two fewer than the readings.

    Raises
    ------
    InputError
        When there are too few readings or one is not above zero, when all are at one pressure, or
        when the exponent leaves 0.5 to 1.

    References
    ----------
    ASTM E779, unweighted log-linear regression (memory).
    """
    line = _log_line(*_checked(pressures, flows))
    if not LOWEST_EXPONENT <= line.slope <= HIGHEST_EXPONENT:
        raise InputError(told("blower_door.exponent", exponent=f"{line.slope:.2f}"))
    reach = _student_95(line.count - 2)
    exponent_error = line.scatter / sqrt(line.spread)
    half = reach * exponent_error
    coefficient, coefficient_range = _reading(line, 0.0, reach)
    flow_50, flow_50_range = _reading(line, float(np.log(50.0)), reach)
    return PowerLawFit(
        coefficient=coefficient,
        coefficient_error=line.error(0.0),
        coefficient_range=coefficient_range,
        exponent=line.slope,
        exponent_error=exponent_error,
        exponent_range=(line.slope - half, line.slope + half),
        flow_50=flow_50,
        flow_50_range=flow_50_range,
        correlation=float(np.corrcoef(np.log(pressures), np.log(flows))[0, 1]),
        readings=line.count,
    )


def _checked(pressures: Sequence[float], flows: Sequence[float]) -> tuple[FloatArray, FloatArray]:
    if len(pressures) != len(flows) or len(pressures) < LEAST_READINGS:
        given = {"pressures": len(pressures), "flows": len(flows)}
        raise InputError(told("blower_door.count", **given, least=LEAST_READINGS))
    wrong = next((pair for pair in zip(pressures, flows, strict=True) if min(pair) <= 0), None)
    if wrong is not None:
        pressure, flow = (f"{number:g}" for number in wrong)
        raise InputError(told("blower_door.reading", flow=flow, pressure=pressure))
    x, y = np.log(pressures), np.log(flows)
    if np.ptp(x) < 1e-9:
        raise InputError(told("blower_door.one_pressure", pressure=f"{pressures[0]:g}"))
    return x, y


def _log_line(x: FloatArray, y: FloatArray) -> _Line:
    offset = x - x.mean()
    spread = float(offset @ offset)
    slope = float(offset @ y) / spread
    residual = y - y.mean() - slope * offset
    scatter = sqrt(float(residual @ residual) / (len(x) - 2))
    return _Line(
        middle=float(x.mean()),
        height=float(y.mean()),
        slope=slope,
        spread=spread,
        scatter=scatter,
        count=len(x),
    )


def _reading(line: _Line, x: float, reach: float) -> tuple[float, tuple[float, float]]:
    half = reach * line.error(x)
    value = line.value(x)
    return exp(value), (exp(value - half), exp(value + half))


def _student_95(freedom: int) -> float:
    # SciPy takes longer to import than the whole model may; few visits fit several readings.
    from scipy.special import stdtrit  # noqa: PLC0415

    return float(stdtrit(freedom, 0.975))
