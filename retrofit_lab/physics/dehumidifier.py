"""Dehumidifiers: electricity for the water they collect, and the heat they leave in the room."""

from retrofit_lab.values import Value

BTU_PER_KWH = 3412.14
POUNDS_PER_LITRE = 2.2046
POUNDS_PER_PINT = 1.0432
"""A United States pint of water is 0.47318 L. [lb]"""
HEAT_OF_VAPORIZATION = 1060.0
"""Heat that a pound of moisture gives up near 65 F. [Btu/lb] (memory)"""


def dehumidifier_input(water: Value, energy_factor: Value) -> Value:
    """Electricity for the water taken out of the air.

    Parameters
    ----------
    water : Value
        Water collected. [lb]
    energy_factor : Value
        Integrated energy factor; United States minimum since 2019: 1.3 up to 25 pints a day, 1.6 up
        to 50, 2.8 above (read: ul.com, notice of 19 July 2016). [L/kWh]

    Returns
    -------
    Value
        Electricity. [kWh]
    """
    return water / (POUNDS_PER_LITRE * energy_factor)


def dehumidifier_heat(water: Value, electricity: Value) -> Value:
    """Heat that stays in the room: all the electricity, and what the vapour gave up. [Btu]

    Parameters
    ----------
    water : Value
        Water collected. [lb]
    electricity : Value
        From `dehumidifier_input`. [kWh]
    """
    return electricity * BTU_PER_KWH + water * HEAT_OF_VAPORIZATION
