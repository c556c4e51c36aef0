"""The monthly heat balance of a house with unheated neighbors, as a straight line in indoor and outdoor temperature.

What goes into the line (areas, air flows, gains) is worked out in the other modules of this room;
what heaters and air conditioners make of the load is in theirs.

The idea: in steady state every buffer zone sits at a mean of the temperatures round it, weighted by
conductance, so its temperature and the loss to it are straight lines in the indoor temperature. The
whole loss of the house is then

    loss = inside * T_in - outside * T_out - fixed

and what leaves in a month is ``24 * outside`` times the degree days to the base at which the loss is
zero. How much of that sun, people and machines make up for depends on how what is missing varies within the
month, and on the mass of the house, which evens that out; the rest is the heat to be made, `need_of_spread`.
Cooling has a factor instead, `need_after_gains`.
"""

from dataclasses import dataclass
from math import pi

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import (
    exponential,
    is_nought,
    larger,
    logarithm_of_one_more,
    magnitude,
    smaller,
)

HOURS_PER_DAY = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BufferNode:
    """What one buffer zone exchanges, per degree, in one month; all [Btu/(h F)] unless stated.

    ``from_house`` is what the zone feels of the house: conduction and air that leaves through it.
    ``to_zone`` is what the house feels of the zone: conduction and air that enters through it.
    ``outdoor`` is conduction, ventilation and entering air; ``other`` is ground and tank; ``fixed`` is
    the heat that comes day and night from everything but house and outdoors: ground and tank, less what
    goes to the sky. ``sun`` comes by day. [Btu/h]
    """

    from_house: Value
    to_zone: Value
    outdoor: Value
    other: Value
    fixed: Value
    sun: Value = 0.0

    @property
    def total(self) -> Value:
        """Sum of all conductances that end at the zone. [Btu/(h F)]"""
        return self.from_house + self.outdoor + self.other


@dataclass(frozen=True, slots=True, kw_only=True)
class LossLine:
    """Heat loss of the house, ``inside * T_in - outside * T_out - fixed``. [Btu/h]

    Parameters
    ----------
    inside, outside : Value
        Loss for each degree indoors, and what each degree outdoors spares. [Btu/(h F)]
    fixed : Value
        What ground and tanks spare whatever the temperatures, less what goes to the sky. [Btu/h]
    """

    inside: Value
    outside: Value
    fixed: Value

    def base_temperature(self, indoor: Value, gains: Value) -> Value:
        """Outdoor temperature at which loss equals gains: the base of the degree days.

        Parameters
        ----------
        indoor : Value
            Of the rooms. [F]
        gains : Value
            Sun, people and machines. [Btu/h]

        Returns
        -------
        Value
            Temperature. [F]

        Examples
        --------
        >>> LossLine(inside=500.0, outside=500.0, fixed=0.0).base_temperature(70.0, 2500.0)
        65.0
        """
        return (self.inside * indoor - self.fixed - gains) / self.outside

    def floating_temperature(self, outdoor: Value, gains: Value) -> Value:
        """Indoor temperature without heating or cooling.

        Parameters
        ----------
        outdoor : Value
            Outdoor temperature. [F]
        gains : Value
            Sun, people and machines. [Btu/h]

        Returns
        -------
        Value
            Temperature. [F]

        Examples
        --------
        >>> LossLine(inside=500.0, outside=500.0, fixed=0.0).floating_temperature(40.0, 2500.0)
        45.0
        """
        return (self.outside * outdoor + self.fixed + gains) / self.inside


def buffer_temperature(node: BufferNode, indoor: Value, outdoor: Value) -> Value:
    """Temperature of a buffer zone in balance with what surrounds it.

    Parameters
    ----------
    node : BufferNode
        What the zone exchanges.
    indoor, outdoor : Value
        Temperatures of rooms and outdoors. [F]

    Returns
    -------
    Value
        Temperature. [F]

    References
    ----------
    ISO 13789, unheated spaces (memory).

    Examples
    --------
    Half-way where it loses as much as it gets:

    >>> buffer_temperature(BufferNode(from_house=50.0, to_zone=50.0, outdoor=50.0, other=0.0, fixed=0.0), 70.0, 30.0)
    50.0
    """
    return (node.from_house * indoor + node.outdoor * outdoor + node.fixed + node.sun) / node.total


def regain(node: BufferNode) -> Value:
    """Share of heat released in the zone that spares heat in the house. [1]

    Parameters
    ----------
    node : BufferNode
        What the zone exchanges.

    Examples
    --------
    >>> regain(BufferNode(from_house=25.0, to_zone=25.0, outdoor=75.0, other=0.0, fixed=0.0))
    0.25
    """
    return node.to_zone / node.total


def loss_line(
    direct: Value, ground: Value, ground_temperature: Value, nodes: tuple[BufferNode, ...]
) -> LossLine:
    """Loss line of a house.

    Parameters
    ----------
    direct : Value
        Conduction and air exchange with outdoors. [Btu/(h F)]
    ground : Value
        Conductance between the house and the ground. [Btu/(h F)]
    ground_temperature : Value
        Temperature of that ground. [F]
    nodes : tuple of BufferNode
        The buffer zones.

    Returns
    -------
    LossLine
        Line whose ``outside`` counts what reaches outdoors through the zones too. The sun in them is not in
        it: it is a gain, `sun_through`.
    """
    inside: Value = direct + ground
    outside: Value = direct
    fixed: Value = ground * ground_temperature
    for node in nodes:
        share = node.to_zone / node.total
        inside = inside + node.to_zone - share * node.from_house
        outside = outside + share * node.outdoor
        fixed = fixed + share * node.fixed
    return LossLine(inside=inside, outside=outside, fixed=fixed)


def sun_through(nodes: tuple[BufferNode, ...]) -> Value:
    """Heat that the sun in buffer zones spares the house.

    Parameters
    ----------
    nodes : tuple of BufferNode
        The buffer zones.

    Returns
    -------
    Value
        Heat. [Btu/h]

    Examples
    --------
    A quarter of what falls on a zone that leans a quarter on the house:

    >>> node = BufferNode(from_house=25.0, to_zone=25.0, outdoor=75.0, other=0.0, fixed=0.0, sun=400.0)
    >>> sun_through((node,))
    100.0
    """
    spared: Value = 0.0
    for node in nodes:
        if not is_nought(node.sun):
            spared = spared + regain(node) * node.sun
    return spared


def monthly_load(line: LossLine, degree_days: Value) -> Value:
    """Heat (or cold) that passes in a month for degree days to the base temperature.

    Parameters
    ----------
    line : LossLine
        Loss of the house.
    degree_days : Value
        To the base temperature. [F day]

    Returns
    -------
    Value
        Heat. [Btu]

    Examples
    --------
    >>> monthly_load(LossLine(inside=500.0, outside=500.0, fixed=0.0), 1000.0)
    12000000.0
    """
    return HOURS_PER_DAY * line.outside * degree_days


WORKING = 0.5
"""Part of the time constant by which mass evens out what a heater must make: it stores only while rooms are above
their setting. [1] Sine waves about balance followed in small steps give 0.4 to 0.65 (tests)."""
WEATHER_DAYS = 6.0
"""Days from one warm or cold spell to the next. [day] (common practice: 5 to 8)"""
LOGISTIC = 0.3989 / 0.6931
"""Scale of a logistic curve against the standard deviation that leaves as much above zero in balance. [1]"""


def evened_out(time_constant: Value, period: float) -> Value:
    """Share of the variance of a load that is left when the mass of a house evens it out. [1]

    Parameters
    ----------
    time_constant : Value
        Of the house. [h]
    period : float
        Of the load. [h]

    Examples
    --------
    >>> round(evened_out(12.0, 24.0), 2), evened_out(0.0, 24.0)
    (0.29, 1.0)
    """
    turn = WORKING * 2.0 * pi / period * time_constant
    return 1.0 / (1.0 + turn * turn)


def need_of_spread(mean: Value, deviation: Value) -> Value:
    """Heat to be made when what is missing varies about a mean, below zero in some hours. [unit of both]

    Parameters
    ----------
    mean : Value
        What leaves less what is gained, mean of a month; below 0 where more is gained.
    deviation : Value
        Standard deviation of it over hours and days, evened out by mass; above 0.

    References
    ----------
    Degree days from a mean and a standard deviation, Thom 1954 and Erbs, Klein and Beckman 1983 (memory), with a
    logistic curve for the normal one.

    Examples
    --------
    >>> [round(need_of_spread(mean, 100.0), 1) for mean in (-200.0, 0.0, 200.0)]
    [1.8, 39.9, 201.8]
    """
    scale = LOGISTIC * deviation
    beyond = logarithm_of_one_more(exponential(-magnitude(mean) / scale))
    return larger(mean, 0.0) + scale * beyond


GAINS_BASE = 1.0
GAINS_HOURS = 15.0
"""Numbers a0 [1] and tau0 [h] of the monthly utilization factor, EN ISO 13790 Table 9 (memory)."""
MOST_RATIO = 1e3
MOST_POWER = 60.0
"""Bounds beyond which nothing changes any more, so that no power overflows. [1]"""


def need_after_gains(loss: Value, gains: Value, time_constant: Value) -> Value:
    """Heat to be made in a month, when part of the gains comes at hours in which no one can use it.

    Parameters
    ----------
    loss : Value
        What leaves at the setting, by the degree days to the base *without* gains. [Btu]
    gains : Value
        Sun, people and machines; negative where more is taken than given. [Btu]
    time_constant : Value
        Of the house. [h]

    Returns
    -------
    Value
        ``loss - eta * gains`` with the utilization factor eta = (1 - r^a)/(1 - r^(a+1)), r = gains/loss,
        a = a0 + time constant/tau0. [Btu]

    Notes
    -----
    The model takes it for cooling, the two changed over: the loss is then what may cool the house usefully.
    The factor was fitted to months worked out hour by hour, so it holds everything that makes gains
    useless: sun at noon, warm days between cold ones, weather that changes within the month. The loss
    therefore counts the days to the base without gains: a base lowered by the gains would leave the same
    days out a second time. Only the days that are warmer than the rooms without any gain are left out of
    the loss, since no gain is in question there. With r = gains/loss the need is loss (1 - r)/(1 - r^(a+1)),
    so one power is enough. A house of endless mass needs ``max(loss - gains, 0)``.

    References
    ----------
    EN ISO 13790:2008, 12.2.1.1; taken over by EN ISO 52016-1 (memory).

    Examples
    --------
    >>> [round(need_after_gains(100.0, gains, 15.0), 1) for gains in (0.0, 50.0, 100.0, 200.0)]
    [100.0, 57.1, 33.3, 14.3]
    """
    taken = larger(-gains, 0.0)
    loss = loss + taken
    ratio = larger(gains, 0.0) / larger(loss, 1e-9)
    log_ratio = np.log(smaller(larger(ratio, 1e-9), MOST_RATIO))
    log_ratio = log_ratio + 1e-9 * (np.abs(log_ratio) < VANISHING)
    power = smaller(GAINS_BASE + 1.0 + time_constant / GAINS_HOURS, MOST_POWER)
    need = loss * np.expm1(log_ratio) / np.expm1(power * log_ratio)
    return need if isinstance(need, np.ndarray) and need.ndim else float(need)


VANISHING = 1e-9
"""Logarithm of the ratio below which the limit at equal loss and gains is taken. [1]"""
