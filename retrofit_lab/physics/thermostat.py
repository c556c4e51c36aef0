"""What setbacks do to the indoor temperature of a house with mass, and what warming up again takes.

The house is one heat store that drifts exponentially toward the temperature it would have without
heating. Schedules of zones and weeks are put together elsewhere from the means of the periods.
"""

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import exponential, larger, logarithm, smaller

WEEKS_PER_YEAR = 365.0 / 7.0
SMALLEST = 1e-9
"""Stands for nought where a quotient needs more than nought. [F or h]"""
LONGEST = 1e9
"""Time constant beyond which nothing drifts. [h]"""
MASS_LINK = 4.0
"""Heat between the air and the mass of a house, for each degree and floor area. [Btu/(h ft2 F)]
9.1 W/(m2 K) times a mass area of 2.5 times the floor's, EN ISO 13790 12.2.2 (memory)."""
WALL_SHARE = 0.8
"""Share of the heat store that is not air and what follows it at once. [1] (judgement)"""


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


def air_drop(heat_loss_coefficient: Value, floor_area: Value) -> Value:
    """Share of the way to the floating temperature that the air falls as soon as the heat is off. [1]

    Parameters
    ----------
    heat_loss_coefficient : Value
        Loss for each degree of indoor temperature. [Btu/(h F)]
    floor_area : Value
        Heated floor. [ft2]

    Notes
    -----
    Heat was held in the air; without it, what leaves must flow out of walls and furniture first, and for
    that the air has to be colder than they are, by what they give of the loss over `MASS_LINK`. From then
    on both fall together, slower by the same share: the time constant is that of the house over
    ``1 - drop``. This is the slow one of the two modes of a house of air and walls; the quick one is over
    within the hour.
    """
    loss = WALL_SHARE * heat_loss_coefficient
    return loss / (loss + MASS_LINK * floor_area)


def setback_period(
    setpoint: Value,
    setback: Value,
    hours: Value,
    floating_temperature: Value,
    time_constant: Value,
    *,
    drop: Value = 0.0,
    cooling: bool = False,
) -> tuple[Value, Value]:
    """Mean and last temperature of the air in a period with another setting.

    Parameters
    ----------
    setpoint, setback : Value
        Settings of the day and of the period. [F]
    hours : Value
        Length of the period. [h]
    floating_temperature : Value
        Temperature without heating or cooling *in the hours of the period*: at night without sun. [F]
    time_constant : Value
        Of the house; 0 is a house without mass. [h]
    drop : Value
        From `air_drop`. [1]
    cooling : bool
        True for a summer setting: everything is mirrored.

    Returns
    -------
    tuple of Value
        Mean and last temperature. [F]

    Notes
    -----
    The air falls at once by `drop`, then drifts toward the floating temperature and is held when it
    reaches the setting of the period. A floating temperature above the day's setting changes
    nothing: the heating is off anyhow. A period that is set warmer than the day is reached at
    once. How the rooms come back up is left out of the mean; see `recovery_heat`.
    """
    if cooling:
        mean, end = setback_period(
            -setpoint, -setback, hours, -floating_temperature, time_constant, drop=drop
        )
        return -mean, -end
    if _same(setpoint, setback):
        return setpoint, setpoint
    rest = smaller(floating_temperature, setpoint)
    difference = setpoint - rest
    tau = smaller(larger(time_constant / (1.0 - drop), SMALLEST), LONGEST)
    reach = (setback - rest) / larger(difference, SMALLEST)
    start = 1.0 - drop
    end = smaller(larger(reach, start * exponential(-hours / tau)), 1.0)
    first = larger(start, end)
    drift = tau * logarithm(first / larger(end, 1e-300))
    share = (tau * (first - end) + end * (hours - drift)) / larger(hours, SMALLEST)
    # A setting above the day's is reached at once, so both temperatures are then the setting.
    warmer = larger(setback - setpoint, 0.0)
    return rest + difference * share + warmer, rest + difference * end + warmer


def mass_temperature(end: Value, setback: Value, floating_temperature: Value, drop: Value) -> Value:
    """Temperature of walls and furniture at the end of a heating period with another setting. [F]

    Parameters
    ----------
    end, setback : Value
        Last temperature of the air, and the setting. [F]
    floating_temperature : Value
        As in `setback_period`. [F]
    drop : Value
        From `air_drop`. [1]

    Notes
    -----
    While the air drifts, walls are warmer than it by what leaves over `MASS_LINK`; where it is held at
    the setting they come near it within an hour or two.
    """
    lag = drop / (1.0 - drop) * larger(end - floating_temperature, 0.0)
    return end + np.where(end > setback, lag, 0.0)


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
        Of walls and furniture at the end of the period, see `mass_temperature`. [F]
    setpoint : Value
        Of the day. [F]

    Returns
    -------
    Value
        Heat for one recovery. [Btu]
    """
    return heat_capacity * larger(setpoint - end, 0.0)


def wall_lag(capacity_per_floor_area: Value) -> Value:
    """Time by which walls and furniture follow the air when a house is warmed up. [h]

    Parameters
    ----------
    capacity_per_floor_area : Value
        Heat stored for each degree. [Btu/(ft2 F)]

    Notes
    -----
    The thermostat asks for no more than warm air. At that moment the walls are still colder by what flows
    into them over `MASS_LINK`, and a heat pump goes on warming them without backup: so much longer has it.
    """
    return WALL_SHARE * capacity_per_floor_area / MASS_LINK


def backup_recovery(recovery: Value, spare_capacity: Value, hours: Value) -> Value:
    """Part of a recovery that backup heat makes because the heat pump cannot in the time given.

    Parameters
    ----------
    recovery : Value
        Heat of the recovery. [Btu]
    spare_capacity : Value
        Heat pump output beyond the load. [Btu/h]
    hours : Value
        Time given before backup helps, and the `wall_lag`. [h]

    Returns
    -------
    Value
        Heat. [Btu]
    """
    return larger(recovery - spare_capacity * hours, 0.0)


def _same(first: Value, second: Value) -> bool:
    return isinstance(first, float) and isinstance(second, float) and first == second
