"""Duct leaks as holes: a reading as shares of the flow, what sealing leaves, and what leaks do to the house.

What the leaks do to delivered heat is in `ducts`; how drawn-in air joins other outdoor air is in
`ventilation`.
"""

import math

import numpy as np

from retrofit_lab.values import Value

READING_PRESSURE = 25.0
"""Pressure at which duct leakage is read. [Pa] (read: basc.pnnl.gov, duct leakage to outdoors)"""
LEAK_EXPONENT = 0.6
"""Flow exponent of duct leaks. [1] ASHRAE Standard 152 (memory)"""
CLOTH_TAPE_HALF_LIFE = 3.0
MASTIC_HALF_LIFE = 60.0
"""Time in which half of a seal's effect is gone. [years] Judgement: in ageing tests cloth tape alone failed,
11 of 19 samples within days, mastic and foil tape held (Sherman and Walker 1999, LBL Research Review, read);
in the field seals fail in days to years (LBNL-45423, abstract, read)."""


def leakage_fraction(
    reading: Value,
    flow: Value,
    *,
    side_share: Value = 0.5,
    outside_share: Value = 1.0,
    operating_pressure: Value = READING_PRESSURE,
    exponent: Value = LEAK_EXPONENT,
) -> Value:
    """Share of the flow that one side of the ducts leaks while the blower runs. [1]

    Parameters
    ----------
    reading : Value
        Duct leakage at 25 Pa, supply and return together. [cfm]
    flow : Value
        Air flow of the blower. [cfm]
    side_share : Value
        Share of the leakage on this side (supply or return); half where only the total was read. [1]
    outside_share : Value
        Share that leads outside the heated rooms; 1 where the reading was of leakage to outside. [1]
    operating_pressure : Value
        Pressure across this side's leaks while running; 25 Pa is the usual stand-in for half the
        plenum's pressure. [Pa]
    exponent : Value
        Flow exponent. [1]

    References
    ----------
    Power law of leaks; the half-plenum stand-in is ASHRAE Standard 152 (memory).
    """
    running = reading * (operating_pressure / READING_PRESSURE) ** exponent
    return running * side_share * outside_share / flow


def sealed_leakage(before: Value, sealed_share: Value, persistence: Value = 1.0) -> Value:
    """Leakage after sealing. [unit of ``before``]

    Parameters
    ----------
    before : Value
        Leakage as found. [1, or cfm]
    sealed_share : Value
        Share of it that was closed on the day. [1]
    persistence : Value
        Share of the seal that still holds, from `mean_persistence`. [1]
    """
    return before * (1.0 - sealed_share * persistence)


def persistence_after(years: Value, half_life: Value) -> Value:
    """Share of a seal that still holds after some years. [1]

    Parameters
    ----------
    years : Value
        Age of the seal. [years]
    half_life : Value
        For example `CLOTH_TAPE_HALF_LIFE`. [years]
    """
    return np.exp(-math.log(2.0) * years / half_life)


def mean_persistence(life: Value, half_life: Value) -> Value:
    """Mean share of a seal that holds over the life that it is credited with. [1]

    Parameters
    ----------
    life : Value
        Years over which savings are counted, above 0. [years]
    half_life : Value
        For example `MASTIC_HALF_LIFE`. [years]
    """
    decay = math.log(2.0) * life / half_life
    return (1.0 - np.exp(-decay)) / decay


def unbalanced_flow(supply_leakage: Value, return_leakage: Value, flow: Value) -> Value:
    """Air that unequal leaks draw through the envelope while the blower runs. [cfm]

    Parameters
    ----------
    supply_leakage, return_leakage : Value
        Shares of the flow that leak outside the rooms. [1]
    flow : Value
        Air flow of the blower. [cfm]

    Returns
    -------
    Value
        Above 0 when the house is sucked empty (supply leaks more), below 0 when it is blown up. [cfm]
    """
    return (supply_leakage - return_leakage) * flow


def house_pressure(unbalanced: Value, airflow_50: Value, exponent: Value = 0.65) -> Value:
    """Pressure of the house against outdoors that an unbalanced flow causes.

    A rough size of what can pull flue gas back down a chimney; only a test of the appliance tells.

    Parameters
    ----------
    unbalanced : Value
        From `unbalanced_flow`. [cfm]
    airflow_50 : Value
        Blower-door flow of the house at 50 Pa, above 0. [cfm]
    exponent : Value
        Flow exponent of the house. [1]

    Returns
    -------
    Value
        Below 0 when the house is sucked empty. [Pa]

    References
    ----------
    Power law of the envelope, with stack and wind left out (common practice, no source).
    """
    size = 50.0 * (np.abs(unbalanced) / airflow_50) ** (1.0 / exponent)
    return -np.sign(unbalanced) * size
