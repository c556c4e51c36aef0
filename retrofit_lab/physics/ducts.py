"""How much of the heat or cold that goes into ducts arrives in the rooms, and where the rest goes.

What a zone does with the heat that ducts release into it is worked out where the zone is.

Signs: temperature differences are rooms less surroundings of the ducts, the rise in the equipment is
positive for heating and negative for cooling. One set of equations then serves both seasons.
"""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import Value

AIR_COEFFICIENT = 1.08
"""Heat carried by air at sea level and 70 F: 0.075 lb/ft3 x 0.24 Btu/(lb F) x 60 min/h. [Btu/(h F cfm)]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DuctLosses:
    """Where the heat of the equipment goes that the registers do not deliver, as shares of it. [1]

    All are counted from room temperature, so ``supply_leakage`` counts the air as worth what it would
    have been worth in the rooms. The four parts and the delivered share add to 1.
    """

    supply_conduction: Value
    supply_leakage: Value
    return_conduction: Value
    return_leakage: Value

    @property
    def supply(self) -> Value:
        """Share lost where the supply ducts are. [1]"""
        return self.supply_conduction + self.supply_leakage

    @property
    def back(self) -> Value:
        """Share lost where the return ducts are. [1]"""
        return self.return_conduction + self.return_leakage

    @property
    def delivered(self) -> Value:
        """Share that reaches the rooms; below 0 where more is lost than is made. [1]"""
        return 1.0 - self.supply - self.back


def conduction_effectiveness(
    area: Value, resistance: Value, flow: Value, air_coefficient: Value = AIR_COEFFICIENT
) -> Value:
    """Share of the temperature difference to the surroundings that air keeps along a duct. [1]

    Parameters
    ----------
    area : Value
        Duct surface. [ft2]
    resistance : Value
        Duct wall with films. [h ft2 F/Btu]
    flow : Value
        Air flow, above 0. [cfm]
    air_coefficient : Value
        Heat carried by air. [Btu/(h F cfm)]

    References
    ----------
    ASHRAE Standard 152 (memory); the steady solution for a pipe in surroundings of one temperature.

    Examples
    --------
    300 ft2 of R-4 duct with 1,000 cfm:

    >>> round(float(conduction_effectiveness(300.0, 4.0, 1000.0)), 5)
    0.93291
    """
    return np.exp(-area / (resistance * air_coefficient * flow))


def duct_losses(
    *,
    supply_leakage: Value,
    return_leakage: Value,
    supply_conduction: Value,
    return_conduction: Value,
    supply_temperature_difference: Value,
    return_temperature_difference: Value,
    equipment_temperature_rise: Value,
) -> DuctLosses:
    """Shares of the equipment's sensible heat (or cold) that do not reach the rooms, without regain. [1]

    They may add to more than 1: the rooms are then cooled while heating. Nothing is cut off, so that heat
    stays conserved; a caller that divides by what is delivered must.

    Parameters
    ----------
    supply_leakage, return_leakage : Value
        Shares of the flow that leak. [1]
    supply_conduction, return_conduction : Value
        From `conduction_effectiveness`. [1]
    supply_temperature_difference, return_temperature_difference : Value
        Rooms less surroundings of the ducts; negative in a hot attic. [F]
    equipment_temperature_rise : Value
        Of the air in the equipment, negative for cooling. [F]

    References
    ----------
    What is left is the delivery effectiveness of ASHRAE Standard 152, steady heating (memory); heating and
    cooling both follow from a node balance in which conduction comes before the return leak and the
    supply leak comes after conduction.
    """
    drop = return_temperature_difference / equipment_temperature_rise
    return_tight = 1.0 - return_leakage
    back = 1.0 - return_tight * return_conduction
    plenum = 1.0 - back * drop
    to_place = plenum + supply_temperature_difference / equipment_temperature_rise
    conducted = (1.0 - supply_conduction) * to_place
    return DuctLosses(
        supply_conduction=conducted,
        supply_leakage=supply_leakage * (plenum - conducted),
        return_conduction=return_tight * (1.0 - return_conduction) * drop,
        return_leakage=return_leakage * drop,
    )


def equipment_temperature_rise(
    heat_rate: Value, flow: Value, air_coefficient: Value = AIR_COEFFICIENT
) -> Value:
    """Warming of the air in the equipment. [F]

    Parameters
    ----------
    heat_rate : Value
        Sensible heat made while it runs, negative for cooling. [Btu/h]
    flow : Value
        Air flow. [cfm]
    air_coefficient : Value
        Heat carried by air. [Btu/(h F cfm)]

    Examples
    --------
    >>> round(equipment_temperature_rise(54_000.0, 1000.0), 6)
    50.0
    """
    return heat_rate / (air_coefficient * flow)


def unbalanced_flow(supply_leakage: Value, return_leakage: Value, flow: Value) -> Value:
    """Air that unequal leaks draw through the envelope while the furnace fan runs. [cfm]

    Parameters
    ----------
    supply_leakage, return_leakage : Value
        Shares of the flow that leak outside the rooms. [1]
    flow : Value
        Air flow. [cfm]

    Returns
    -------
    Value
        Above 0 when the house is depressurized (supply leaks more), below 0 when it is pressurized. [cfm]

    Examples
    --------
    >>> unbalanced_flow(0.25, 0.125, 1000.0)
    125.0
    """
    return (supply_leakage - return_leakage) * flow
