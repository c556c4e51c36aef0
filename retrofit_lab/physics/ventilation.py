"""Fans together with natural flow, and the least ventilation that the standard asks for.

All rules come from one: an unbalanced fan adds half of its flow to the natural flow through the
envelope, until it pulls all air one way.
"""

from retrofit_lab.physics.elementwise import is_nought, larger, smaller
from retrofit_lab.values import Value


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


def envelope_outflow(natural: Value, net_exhaust: Value) -> Value:
    """Air that leaves through the leaks while fans pull or push. [cfm]; as `envelope_inflow`."""
    return envelope_inflow(natural, -net_exhaust)


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


def duct_net_exhaust(blower_flow: Value, supply_leakage: Value, return_leakage: Value) -> Value:
    """Net flow out of the house that unequal duct leaks make while the blower runs.

    Parameters
    ----------
    blower_flow : Value
        Flow through the blower. [cfm]
    supply_leakage, return_leakage : Value
        Shares of it that leak to and from outside the house. [1]

    Returns
    -------
    Value
        Positive where the supply leaks more, which draws outdoor air in through the envelope;
        negative where the return leaks more, which pushes house air out. [cfm]

    Notes
    -----
    Outdoor air that enters through return leaks is heated inside the ducts and belongs to their
    efficiency, not to the envelope's flow; give this to `envelope_inflow`.
    """
    return blower_flow * (supply_leakage - return_leakage)


def flow_to_condition(outdoor_air: Value, recovered_flow: Value, recovery: Value) -> Value:
    """Outdoor air that costs heat once an exchanger has given some back.

    Parameters
    ----------
    outdoor_air : Value
        All outdoor air. [cfm]
    recovered_flow : Value
        The part that passes the exchanger. [cfm]
    recovery : Value
        Share of the temperature difference that it gives back. [1]

    Returns
    -------
    Value
        Flow at the full temperature difference that costs the same heat. [cfm]
    """
    return outdoor_air - recovery * smaller(recovered_flow, outdoor_air)


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


def ventilation_shortfall(minimum: Value, infiltration: Value, fans: Value) -> Value:
    """Flow that is missing to the minimum.

    Parameters
    ----------
    minimum : Value
        From `minimum_ventilation`. [cfm]
    infiltration : Value
        Credit for leakage, in full as for existing houses: `natural_airflow.annual_flow`. [cfm]
    fans : Value
        Mean flow of the fans that ventilate. [cfm]

    Returns
    -------
    Value
        Flow, 0 where nothing is missing. [cfm]
    """
    return larger(minimum - infiltration - fans, 0.0)
