"""What setbacks do to the indoor temperature of a house with mass, and what warming up again takes.

The house is one heat store that drifts exponentially toward the temperature it would have without
heating. Schedules of zones and weeks are put together elsewhere from the means of the periods.
"""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import (
    exponential,
    larger,
    logarithm,
    logarithm_of_one_more,
    smaller,
)

WEEKS_PER_YEAR = 365.0 / 7.0
SMALLEST = 1e-9
"""Stands for zero where a quotient needs more than zero. [F or h]"""
LONGEST = 1e9
"""Time constant beyond which nothing drifts. [h]"""
MASS_LINK = 4.0
"""Heat between the air and the mass of a house, for each degree and floor area. [Btu/(h ft2 F)]
9.1 W/(m2 K) times a mass area of 2.5 times the floor's, EN ISO 13790 12.2.2 (memory)."""
LONGEST_RECOVERY = 16.0
"""Hours between two nights: no recovery lasts longer. [h]"""
WALL_SHARE = 0.8
"""Share of the heat store that is not air and what follows it at once. [1] (judgment)"""


def time_constant(heat_capacity: Value, heat_loss_coefficient: Value) -> Value:
    """Time in which a house left alone loses 63 % of its difference to balance.

    Parameters
    ----------
    heat_capacity : Value
        Of the rooms and what is in them. [Btu/F]
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
    tau, first, end, drift = _fall(setpoint, setback, hours, rest, tau=time_constant, drop=drop)
    share = (tau * (first - end) + end * (hours - drift)) / larger(hours, SMALLEST)
    # A setting above the day's is reached at once, so both temperatures are then the setting.
    warmer = larger(setback - setpoint, 0.0)
    return rest + difference * share + warmer, rest + difference * end + warmer


def hours_falling(
    setpoint: Value,
    setback: Value,
    hours: Value,
    floating_temperature: Value,
    time_constant: Value,
    *,
    drop: Value = 0.0,
) -> Value:
    """Time of a heating period with another setting in which the rooms fall and no heat is made. [h]

    Parameters
    ----------
    setpoint, setback, hours, floating_temperature, time_constant, drop : Value
        As in `setback_period`.

    Returns
    -------
    Value
        Time; 0 where the rooms would not fall. [h]

    Examples
    --------
    From 70 F toward 20 F with 20 h: 62 F after 20 ln(50 / 42) h.

    >>> round(hours_falling(70.0, 62.0, 8.0, 20.0, 20.0), 2), hours_falling(70.0, 62.0, 8.0, 75.0, 20.0)
    (3.49, 0.0)
    """
    rest = smaller(floating_temperature, setpoint)
    *_, falling = _fall(setpoint, setback, hours, rest, tau=time_constant, drop=drop)
    if isinstance(rest < setpoint, np.ndarray):
        return np.where(rest < setpoint, falling, 0.0)
    return falling if rest < setpoint else 0.0


def _fall(
    setpoint: Value, setback: Value, hours: Value, rest: Value, *, tau: Value, drop: Value
) -> tuple[Value, Value, Value, Value]:
    """Time constant [h], air after its first drop and at the end as shares of the way up from rest [1], time between.

    The time between is how long the air falls. [h]
    """
    tau = smaller(larger(tau / (1.0 - drop), SMALLEST), LONGEST)
    reach = (setback - rest) / larger(setpoint - rest, SMALLEST)
    start = 1.0 - drop
    end = smaller(larger(reach, start * exponential(-hours / tau)), 1.0)
    first = larger(start, end)
    return tau, first, end, tau * logarithm(first / larger(end, 1e-300))


def hours_above_setting(excess: Value, below: Value, time_constant: Value) -> Value:
    """Time that rooms which the sun has warmed beyond their setting take to fall to it. [h]

    Parameters
    ----------
    excess : Value
        By how much they are too warm. [F]
    below : Value
        How far below the setting they tend to. [F]
    time_constant : Value
        Of the house. [h]

    Examples
    --------
    >>> round(hours_above_setting(2.0, 10.0, 20.0), 2), hours_above_setting(0.0, 10.0, 20.0)
    (3.65, 0.0)
    """
    return time_constant * logarithm_of_one_more(larger(excess, 0.0) / larger(below, SMALLEST))


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


@dataclass(frozen=True, slots=True, kw_only=True)
class SlowRecovery:
    """What comes of a recovery that a heat pump makes as fast as it can.

    ``backup`` is the part that backup heat makes [Btu], ``late`` the degree-hours by which rooms are colder
    than their setting from the moment at which it is raised. [F h]
    """

    backup: Value
    late: Value


def slow_recovery(
    recovery: Value,
    *,
    spare_first: Value,
    spare_then: Value,
    hours: Value,
    lag: Value,
    heat_capacity: Value,
    droop: float,
) -> SlowRecovery:
    """Recovery of rooms by a heat pump, with backup heat after a time.

    Parameters
    ----------
    recovery : Value
        Heat of the recovery. [Btu]
    spare_first, spare_then : Value
        Heat pump output beyond the load before backup may help, and from then on. [Btu/h]
    hours : Value
        Time given before backup helps. [h]
    lag : Value
        From `wall_lag`. [h]
    heat_capacity : Value
        Of the rooms. [Btu/F]
    droop : float
        How far below the setting backup leaves the rooms to the compressor. [F]

    Returns
    -------
    SlowRecovery
        Backup heat and what the rooms are late.

    Notes
    -----
    A house of air and walls: the air is behind its setting by what the walls are, less what flows into
    them over `MASS_LINK`, and falls behind less along a straight line. When backup may help, it brings the
    air near the setting and holds it there; what flows into the walls then fades with the lag, and backup
    ends when the compressor alone keeps up with it. Its heat is the integral of
    ``left/lag exp(-t/lag) - spare`` as long as that is above zero.
    """
    slowest = larger(heat_capacity * droop / LONGEST_RECOVERY, SMALLEST)
    pace, later = (larger(s, slowest) / heat_capacity for s in (spare_first, spare_then))
    behind = larger(recovery / heat_capacity - pace * lag, 0.0)
    left = larger(behind - pace * hours, smaller(behind, droop))
    keeps_up = larger(spare_then * lag, SMALLEST)
    beyond = larger(recovery - droop * heat_capacity - spare_first * hours, 0.0)
    ratio = larger(beyond / keeps_up, 1.0)
    held = smaller(lag * logarithm(ratio), LONGEST_RECOVERY)
    last = smaller(behind, droop)
    late = (behind * behind - left * left) / (2.0 * pace) + last * last / (2.0 * later)
    return SlowRecovery(
        backup=keeps_up * (ratio - 1.0 - logarithm(ratio)),
        late=late + droop * held,
    )


def _same(first: Value, second: Value) -> bool:
    return isinstance(first, float) and isinstance(second, float) and first == second
