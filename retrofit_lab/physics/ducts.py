"""How much of the heat that goes into ducts arrives in the rooms; where the rest goes is for the caller."""

import numpy as np

from retrofit_lab.values import Value


def conduction_effectiveness(
    area: Value, resistance: Value, flow: Value, air_coefficient: float = 1.08
) -> Value:
    """Share of the temperature difference to the surroundings that air keeps along a duct. [1]

    Parameters
    ----------
    area : Value
        Duct surface. [ft2]
    resistance : Value
        Duct wall with films. [h ft2 F/Btu]
    flow : Value
        Air flow. [cfm]
    air_coefficient : float
        Heat carried by air. [Btu/(h F cfm)]

    References
    ----------
    ASHRAE Standard 152 (memory).
    """
    return np.exp(-area / (resistance * air_coefficient * flow))


def delivery_effectiveness(
    *,
    supply_leakage: Value,
    return_leakage: Value,
    supply_conduction: Value,
    return_conduction: Value,
    supply_temperature_difference: Value,
    return_temperature_difference: Value,
    equipment_temperature_rise: Value,
) -> Value:
    """Share of the equipment's heat (or cold) that reaches the rooms, without regain. [1]

    Parameters
    ----------
    supply_leakage, return_leakage : Value
        Shares of the flow that leak. [1]
    supply_conduction, return_conduction : Value
        From `conduction_effectiveness`. [1]
    supply_temperature_difference, return_temperature_difference : Value
        Rooms less surroundings of the ducts. [F]
    equipment_temperature_rise : Value
        Of the air in the equipment, negative for cooling. [F]

    References
    ----------
    ASHRAE Standard 152, steady heating (memory); the same follows from a node balance.
    """
    supply_tight = 1.0 - supply_leakage
    return_tight = 1.0 - return_leakage
    kept = supply_tight * supply_conduction
    back = kept * (1.0 - return_tight * return_conduction) * return_temperature_difference
    out = supply_tight * (1.0 - supply_conduction) * supply_temperature_difference
    return kept - (back + out) / equipment_temperature_rise


def net_effectiveness(delivery: Value, regain: Value) -> Value:
    """Delivery with the share of duct losses that comes back to the house. [1]"""
    return delivery + regain * (1.0 - delivery)
