"""How much of the heat or cold that goes into ducts arrives in the rooms, and where the rest goes.

What a zone does with the heat that ducts release into it is worked out where the zone is; leaks as
holes, duct-leakage readings and sealing are in `duct_leakage`.

Signs: temperature differences are rooms less surroundings of the ducts, the rise in the equipment is
positive for heating and negative for cooling. One set of equations then serves both seasons.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.values import Value

AIR_COEFFICIENT = 1.08
"""Heat carried by air at sea level and 70 F: 0.075 lb/ft3 x 0.24 Btu/(lb F) x 60 min/h. [Btu/(h F cfm)]"""
LATENT_COEFFICIENT = 4840.0
"""Heat of moisture carried by air. [Btu/(h cfm)] (read: engineeringtoolbox.com d_747)"""
INSIDE_FILM = 0.50
OUTSIDE_FILM = 0.65
"""Air films of a round duct on their own surfaces. [h ft2 F/Btu] Fitted to `round_duct_resistance`'s source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DuctLosses:
    """Where the heat of the equipment goes that the registers do not deliver, as shares of it. [1]

    All are reckoned from room temperature, so ``supply_leakage`` counts the air as worth what it would
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
    """Share of the equipment's sensible heat (or cold) that reaches the rooms, without regain. [1]

    Negative when the ducts lose more than the equipment makes: the rooms are then cooled while
    heating. It is not cut off at 0, so that heat stays conserved; a caller that divides by it must.

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
    ASHRAE Standard 152, steady heating (memory); heating and cooling both follow from a node balance
    in which conduction comes before the return leak and the supply leak comes after conduction.
    """
    supply_tight = 1.0 - supply_leakage
    return_tight = 1.0 - return_leakage
    kept = supply_tight * supply_conduction
    back = kept * (1.0 - return_tight * return_conduction) * return_temperature_difference
    out = supply_tight * (1.0 - supply_conduction) * supply_temperature_difference
    return kept - (back + out) / equipment_temperature_rise


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
    """Break down what `delivery_effectiveness` leaves out; same parameters.

    Returns
    -------
    DuctLosses
        Shares of the equipment's heat. [1] They add to 1 less the delivery effectiveness.
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


def total_cooling_effectiveness(
    sensible: Value,
    *,
    sensible_heat_ratio: Value,
    supply_leakage: Value,
    return_leakage: Value,
    moisture_difference: Value,
    capacity: Value,
    flow: Value,
) -> Value:
    """Share of the total cold, moisture removal included, that reaches the rooms. [1]

    A return that leaks in a hot and humid attic costs twice: the coil cools the attic's air and dries it.

    Parameters
    ----------
    sensible : Value
        `delivery_effectiveness` while cooling. [1]
    sensible_heat_ratio : Value
        Sensible share of the capacity. [1]
    supply_leakage, return_leakage : Value
        Shares of the flow that leak. [1]
    moisture_difference : Value
        Humidity ratio round the return ducts less that of the rooms. [lb/lb]
    capacity : Value
        Total cold that the equipment makes while it runs, above 0. [Btu/h]
    flow : Value
        Air flow. [cfm]

    References
    ----------
    Node balance of moisture; ASHRAE Standard 152 states the same with enthalpies (memory).
    """
    latent = 1.0 - sensible_heat_ratio
    drawn = return_leakage * LATENT_COEFFICIENT * flow * moisture_difference / capacity
    return sensible_heat_ratio * sensible + (1.0 - supply_leakage) * (latent - drawn)


def net_effectiveness(delivery: Value, regain_fraction: Value) -> Value:
    """Delivery with the share of duct losses that comes back to the house. [1]

    Parameters
    ----------
    delivery : Value
        From `delivery_effectiveness`. [1]
    regain_fraction : Value
        Share of the released heat that spares heat in the rooms. [1]
    """
    return delivery + regain_fraction * (1.0 - delivery)


def duct_loss(load: Value, delivery: Value, regain_fraction: Value = 0.0) -> Value:
    """Heat that ducts release to where they are while the rooms get what they ask for.

    Parameters
    ----------
    load : Value
        Heat (or cold) the rooms ask for. [Btu, or Btu/h]
    delivery : Value
        From `delivery_effectiveness`, above 0. [1]
    regain_fraction : Value
        Share of the released heat that spares heat in the rooms. [1]

    Returns
    -------
    Value
        Released heat, in the unit of the load. The equipment makes
        ``load / net_effectiveness(delivery, regain_fraction)``.
    """
    return load * (1.0 - delivery) / net_effectiveness(delivery, regain_fraction)


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
    """
    return heat_rate / (air_coefficient * flow)


def register_temperature(
    room: Value,
    delivery: Value,
    supply_leakage: Value,
    equipment_rise: Value,
) -> Value:
    """Temperature of the air at the registers: what an auditor's thermometer should read. [F]

    Parameters
    ----------
    room : Value
        Temperature of the rooms. [F]
    delivery : Value
        From `delivery_effectiveness`. [1]
    supply_leakage : Value
        Share of the supply air that leaks, below 1. [1]
    equipment_rise : Value
        From `equipment_temperature_rise`. [F]
    """
    return room + equipment_rise * delivery / (1.0 - supply_leakage)


def mean_temperature_difference(
    room: Value, shares: Sequence[Value], temperatures: Sequence[Value]
) -> Value:
    """Temperature difference of ducts that run through several places. [F]

    For parallel branches with air in step with their surface, and one R-value, the mean by surface is
    exact, because the losses are straight lines in the temperature of the surroundings.

    Parameters
    ----------
    room : Value
        Temperature of the rooms. [F]
    shares : sequence of Value
        Share of the duct surface in each place; the rest to 1 lies inside the rooms. [1]
    temperatures : sequence of Value
        Temperature of each place. [F]

    Returns
    -------
    Value
        Rooms less surroundings, 0 for what lies inside. [F]
    """
    difference: Value = 0.0
    for share, temperature in zip(shares, temperatures, strict=True):
        difference = difference + share * (room - temperature)
    return difference


def round_duct_resistance(
    label: Value, diameter: Value, *, resistance_per_inch: Value = 2.8
) -> Value:
    """R-value of a round duct as it hangs, per area of its inner wall, films included.

    Labels are measured on the insulation laid flat; wrapped round a duct, the outer layers have more
    area than the inner ones and resist less.

    Parameters
    ----------
    label : Value
        R-value on the jacket; 0 for bare metal. [h ft2 F/Btu]
    diameter : Value
        Inner diameter. [in]
    resistance_per_inch : Value
        Of the insulation as installed. [h ft2 F/(Btu in)]

    Returns
    -------
    Value
        R-value for `conduction_effectiveness` with the inner area. [h ft2 F/Btu]

    References
    ----------
    Palmiter and Kruse, True R-Values of Round Residential Ductwork, abstract (read); 2.8 per inch and
    the films are what its numbers for R-4.2 and R-8 give back.
    """
    radius = diameter / 2.0
    ratio = 1.0 + label / (resistance_per_inch * radius)
    return INSIDE_FILM + radius * np.log(ratio) * resistance_per_inch + OUTSIDE_FILM / ratio
