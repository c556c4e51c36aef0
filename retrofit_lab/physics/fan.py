"""Blowers: electric power from flow and pressure, what a filter does to both, and the heat they give the air."""

from retrofit_lab.physics.ducts import AIR_COEFFICIENT
from retrofit_lab.values import Value

WATTS_PER_CFM_PASCAL = 0.000471947
"""Power in moving air against a pressure: 1 cfm is 0.000471947 m3/s. [W/(cfm Pa)]"""
BTU_PER_WATT_HOUR = 3.41214
PASCALS_PER_INCH_WATER = 248.84
"""One inch of water at 60 F. [Pa]"""
FIXED_SPEED_FLOW_SLOPE = 0.0012
"""Flow that a fixed-speed blower loses, about 9 % from 0.5 to 0.8 inches of water. [1/Pa]
(common practice, no source)"""
FLOW_SENSITIVITY = 0.20
"""Relative loss of a cooler's or heat pump's efficiency per relative loss of air flow. [1] (memory)"""


def fan_power(flow: Value, static_pressure: Value, efficiency: Value) -> Value:
    """Electric power of a blower.

    Parameters
    ----------
    flow : Value
        Air flow. [cfm]
    static_pressure : Value
        Total external static pressure. [Pa]
    efficiency : Value
        Of blower and motor together, above 0; household blowers reach 0.1 to 0.3. [1]

    Returns
    -------
    Value
        Electric power. [W]
    """
    return WATTS_PER_CFM_PASCAL * flow * static_pressure / efficiency


def watts_per_cfm(power: Value, flow: Value) -> Value:
    """Power of a blower per air flow, the number field studies compare. [W/cfm]"""
    return power / flow


def flow_with_resistance(flow: Value, added_pressure: Value, constant_flow_share: Value) -> Value:
    """Air flow after something is put in the way, such as a dirty or thick filter.

    Parameters
    ----------
    flow : Value
        Air flow as it was. [cfm]
    added_pressure : Value
        Added pressure drop; negative when a clean filter goes in. [Pa]
    constant_flow_share : Value
        1 for a motor that holds the flow (electronically commutated, constant flow), 0 for one of
        fixed speed (permanent split capacitor). [1]

    Returns
    -------
    Value
        Air flow. [cfm]
    """
    return flow * (1.0 - FIXED_SPEED_FLOW_SLOPE * added_pressure * (1.0 - constant_flow_share))


def power_with_resistance(
    power: Value, static_pressure: Value, added_pressure: Value, constant_flow_share: Value
) -> Value:
    """Electric power after something is put in the way.

    A motor that holds the flow works against the whole added pressure and takes more; a motor of fixed
    speed moves less air and takes about as much less.

    Parameters
    ----------
    power : Value
        Electric power as it was. [W]
    static_pressure : Value
        Total external static pressure as it was, above 0. [Pa]
    added_pressure : Value
        Added pressure drop. [Pa]
    constant_flow_share : Value
        As in `flow_with_resistance`. [1]

    Returns
    -------
    Value
        Electric power. [W]

    References
    ----------
    Fan laws for constant flow (memory); the fixed-speed answer is common practice, no source.
    """
    holding = added_pressure / static_pressure
    fixed = -FIXED_SPEED_FLOW_SLOPE * added_pressure
    return power * (1.0 + constant_flow_share * holding + (1.0 - constant_flow_share) * fixed)


def efficiency_at_flow(flow_ratio: Value) -> Value:
    """Efficiency of a cooler or heat pump at another air flow, against that at the rated one.

    Parameters
    ----------
    flow_ratio : Value
        Air flow against the rated flow, 0.7 to 1.1. [1]

    Returns
    -------
    Value
        Factor on the efficiency. [1] Furnaces have no such loss worth counting.
    """
    return 1.0 - FLOW_SENSITIVITY * (1.0 - flow_ratio)


def fan_energy(heat: Value, heat_rate: Value, power: Value) -> Value:
    """Electricity of a blower that runs while heat (or cold) is made.

    Parameters
    ----------
    heat : Value
        Heat made in a month. [Btu]
    heat_rate : Value
        Heat made in an hour of running, above 0. [Btu/h]
    power : Value
        Electric power. [W]

    Returns
    -------
    Value
        Electricity. [kWh]
    """
    return heat / heat_rate * power / 1000.0


def fan_heat(power: Value) -> Value:
    """Heat that a blower in the air stream gives the air: it helps heating and burdens cooling. [Btu/h]"""
    return power * BTU_PER_WATT_HOUR


def fan_temperature_rise(
    power: Value, flow: Value, air_coefficient: Value = AIR_COEFFICIENT
) -> Value:
    """Warming of the air by its own blower. [F]

    Parameters
    ----------
    power : Value
        Electric power. [W]
    flow : Value
        Air flow. [cfm]
    air_coefficient : Value
        Heat carried by air. [Btu/(h F cfm)]
    """
    return fan_heat(power) / (air_coefficient * flow)
