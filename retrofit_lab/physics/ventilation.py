"""Fans together with natural flow, and the least ventilation that the standard asks for.

All rules come from one: an unbalanced fan adds half of its flow to the natural flow through the
envelope, until it pulls all air one way.
"""

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import is_nought, larger, power


def envelope_inflow(natural: Value, net_exhaust: Value) -> Value:
    """Air that enters through the leaks while fans pull or push.

    Parameters
    ----------
    natural : Value
        By wind and stack alone. [cfm]
    net_exhaust : Value
        Fans out less fans in; negative where the house is pushed up. Duct leaks count too: a
        supply leak outside the house draws out, a return leak pushes in. [cfm]

    Returns
    -------
    Value
        Flow, never below zero. [cfm]

    Notes
    -----
    max(Q + F/2, F, 0). What leaves is the same with F turned round, and what enters less what
    leaves is F exactly.

    References
    ----------
    Half-fan rule, Palmiter and Bond 1991 (memory). Contradiction: the handbook's older rule adds
    in quadrature, sqrt(Q^2 + F^2); where both flows are equal that is 1.41 Q against 1.5 Q here.
    The half-fan rule is taken because it keeps the air's balance.
    """
    return larger(larger(natural + 0.5 * net_exhaust, net_exhaust), 0.0)


def combine_with_fans(
    natural: Value, exhaust: Value, supply: Value, *, balanced: Value = 0.0
) -> Value:
    """All outdoor air that comes in.

    Parameters
    ----------
    natural : Value
        By wind and stack alone. [cfm]
    exhaust, supply : Value
        Mean flows of fans one way. [cfm]
    balanced : Value
        Mean flow of balanced fans. [cfm]

    Returns
    -------
    Value
        Flow through leaks and supply fans. [cfm]

    Notes
    -----
    Half of what is unbalanced adds to the natural flow and the whole is never less than the fan;
    what is balanced adds in full.

    References
    ----------
    As `envelope_inflow`.
    """
    if is_nought(exhaust) and is_nought(supply):
        return natural + balanced
    return envelope_inflow(natural, exhaust - supply) + supply + balanced


def mean_over_run_time(off: Value, on: Value, run_fraction: Value) -> Value:
    """Mean of a flow that is one while the blower rests and another while it runs.

    Parameters
    ----------
    off, on : Value
        Flows. [cfm]
    run_fraction : Value
        Share of the time that the blower runs. [1]

    Returns
    -------
    Value
        Mean flow. [cfm]
    """
    return off + run_fraction * (on - off)


def minimum_ventilation(floor_area: Value, bedrooms: Value) -> Value:
    """Whole-house ventilation that the standard asks for.

    Parameters
    ----------
    floor_area : Value
        Heated floor area. [ft2]
    bedrooms : Value
        Number of bedrooms; one more than these people are counted. [1]

    Returns
    -------
    Value
        Flow. [cfm]

    References
    ----------
    ASHRAE 62.2-2013: 0.03 A + 7.5 (bedrooms + 1) (read in a secondary copy). Editions before 2013
    have 0.01 A (memory).
    """
    return 0.03 * floor_area + 7.5 * (bedrooms + 1.0)


CREDIT_OF_READING = 0.052
"""Credit for each cfm at 50 Pa of a one-story house, at a weather factor of 1. [1] (62.2, read in a summary)"""


def infiltration_credit(flow_50: Value, weather_factor: Value, stories: Value) -> Value:
    """Outdoor air through leaks that the standard counts over a year.

    Parameters
    ----------
    flow_50 : Value
        Blower-door flow at 50 Pa. [cfm]
    weather_factor : Value
        Weather and shielding factor of the place. [1/h]
    stories : Value
        Stories above the lowest leak. [1]

    Returns
    -------
    Value
        Flow, counted in full as for existing houses. [cfm]

    References
    ----------
    ASHRAE 62.2-2013: 0.052 wsf S Q50 with S = (H / 8.2 ft)^0.4, which for whole stories is their number
    to 0.4; for 1, 1.5, 2, 2.5 and 3 stories the summary prints 1.00, 1.18, 1.32, 1.44 and 1.55 (read in
    the archived standard work specifications of the National Renewable Energy Laboratory). The editions
    from 2016 on count less beside a fan that blows one way only (memory).
    """
    return CREDIT_OF_READING * weather_factor * power(stories, 0.4) * flow_50


def ventilation_shortfall(minimum: Value, infiltration: Value, fans: Value) -> Value:
    """Flow that is missing to the minimum.

    Parameters
    ----------
    minimum : Value
        From `minimum_ventilation`. [cfm]
    infiltration : Value
        Credit for leakage, in full as for existing houses. [cfm]
    fans : Value
        Mean flow of the fans that ventilate. [cfm]

    Returns
    -------
    Value
        Flow, 0 where nothing is missing. [cfm]
    """
    return larger(minimum - infiltration - fans, 0.0)
