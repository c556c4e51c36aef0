"""What setbacks do to the indoor temperature of a house with mass, and what warming up again takes.

The house is one heat store that drifts exponentially toward the temperature it would have without
heating. Schedules of zones and weeks are put together elsewhere from the means of the periods.
"""

from collections.abc import Sequence

from retrofit_lab.physics.elementwise import exponential, larger, logarithm, smaller
from retrofit_lab.values import Value

HOURS_PER_DAY = 24.0
HOURS_PER_WEEK = 168.0
WEEKS_PER_YEAR = 365.0 / 7.0
SMALLEST = 1e-9
"""Stands for nought where a quotient needs more than nought. [F or h]"""
LONGEST = 1e9
"""Time constant beyond which nothing drifts. [h]"""
HEAT_CAPACITY_PER_FLOOR_AREA = {"light": 5.4, "medium": 8.1, "heavy": 12.7}
"""Heat stored by rooms and furniture over a day. [Btu/(ft2 F)]

110, 165 and 260 kJ/(m2 K) for light, medium and heavy houses, EN ISO 13790 Table 12 (memory).
Light is timber with plasterboard, heavy is masonry bare to the rooms.
"""


def time_constant(heat_capacity: Value, heat_loss_coefficient: Value) -> Value:
    """Time in which a house left alone loses 63 % of its difference to balance.

    Parameters
    ----------
    heat_capacity : Value
        Of the rooms and what stands in them. [Btu/F]
    heat_loss_coefficient : Value
        Loss for each degree of indoor temperature. [Btu/(h F)]

    Returns
    -------
    Value
        Time constant. [h]
    """
    return heat_capacity / heat_loss_coefficient


def setback_period(
    setpoint: Value,
    setback: Value,
    hours: Value,
    floating_temperature: Value,
    time_constant: Value,
    *,
    cooling: bool = False,
) -> tuple[Value, Value]:
    """Mean and last temperature of a period with another setting.

    Parameters
    ----------
    setpoint, setback : Value
        Settings of the day and of the period. [F]
    hours : Value
        Length of the period. [h]
    floating_temperature : Value
        Temperature without heating or cooling. [F]
    time_constant : Value
        Of the house; 0 is a house without mass. [h]
    cooling : bool
        True for a summer setting: everything is mirrored.

    Returns
    -------
    tuple of Value
        Mean and last temperature. [F]

    Notes
    -----
    The rooms drift from the day's setting toward the floating temperature and are held when they
    reach the setting of the period. A floating temperature above the day's setting changes
    nothing: the heating is off anyhow. A period that is set warmer than the day is reached at
    once. How the rooms come back up is left out of the mean; see `recovery_heat`.
    """
    if cooling:
        mean, end = setback_period(-setpoint, -setback, hours, -floating_temperature, time_constant)
        return -mean, -end
    if _same(setpoint, setback):
        return setpoint, setpoint
    rest = smaller(floating_temperature, setpoint)
    drop = setpoint - rest
    tau = smaller(larger(time_constant, SMALLEST), LONGEST)
    reach = (setback - rest) / larger(drop, SMALLEST)
    end = smaller(larger(reach, exponential(-hours / tau)), 1.0)
    drift = -tau * logarithm(larger(end, 1e-300))
    share = (tau * (1.0 - end) + end * (hours - drift)) / larger(hours, SMALLEST)
    # A setting above the day's is reached at once, so both temperatures are then the setting.
    warmer = larger(setback - setpoint, 0.0)
    return rest + drop * share + warmer, rest + drop * end + warmer


def mean_setpoint(
    day: Value,
    hours_per_week: Sequence[Value],
    temperatures: Sequence[Value],
) -> Value:
    """Mean of a week with periods that differ from the day's setting.

    Parameters
    ----------
    day : Value
        Temperature in the rest of the week. [F]
    hours_per_week : sequence of Value
        Lengths of the periods, together at most 168. [h]
    temperatures : sequence of Value
        Their mean temperatures. [F]

    Returns
    -------
    Value
        Mean over 168 hours. [F]
    """
    mean = day
    for hours, temperature in zip(hours_per_week, temperatures, strict=True):
        mean = mean + hours / HOURS_PER_WEEK * (temperature - day)
    return mean


def with_holidays(at_home: Value, away: Value, weeks: Value) -> Value:
    """Mean of a year, or of a month, of which some weeks are spent away.

    Parameters
    ----------
    at_home, away : Value
        Mean temperatures. [F]
    weeks : Value
        Spent away. For one month, give the weeks away in it times 12. [week/year]

    Returns
    -------
    Value
        Mean temperature. [F]
    """
    return at_home + weeks / WEEKS_PER_YEAR * (away - at_home)


def recovery_heat(heat_capacity: Value, end: Value, setpoint: Value) -> Value:
    """Heat that brings the rooms back to the day's setting.

    Parameters
    ----------
    heat_capacity : Value
        Of the rooms. [Btu/F]
    end : Value
        Last temperature of the period. [F]
    setpoint : Value
        Of the day. [F]

    Returns
    -------
    Value
        Heat for one recovery. [Btu]
    """
    return heat_capacity * larger(setpoint - end, 0.0)


def backup_recovery(recovery: Value, spare_capacity: Value, hours: Value) -> Value:
    """Part of a recovery that backup heat makes because the heat pump cannot in the time given.

    Parameters
    ----------
    recovery : Value
        Heat of the recovery. [Btu]
    spare_capacity : Value
        Heat pump output beyond the load. [Btu/h]
    hours : Value
        Time given. [h]

    Returns
    -------
    Value
        Heat. [Btu]
    """
    return larger(recovery - spare_capacity * hours, 0.0)


def setback_saving_bound(degrees: Value, hours: Value, mean_difference: Value) -> Value:
    """Share of heating that a setback saves in a house without mass: an upper bound.

    Parameters
    ----------
    degrees : Value
        Depth of the setback. [F]
    hours : Value
        Hours a day. [h]
    mean_difference : Value
        Indoor setting less mean outdoor temperature less what gains make up; above 0. [F]

    Returns
    -------
    Value
        Share. [1]
    """
    return degrees * hours / HOURS_PER_DAY / mean_difference


def _same(first: Value, second: Value) -> bool:
    return isinstance(first, float) and isinstance(second, float) and first == second
