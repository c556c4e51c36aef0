"""Electricity of air conditioners and the moisture that they take out."""

from retrofit_lab.values import Value

LATENT_COEFFICIENT = 4840.0
"""Heat of moisture carried by air: 0.075 lb/ft3 x 60 min/h x 1076 Btu/lb. [Btu/(h cfm)]"""


def seasonal_input(load: Value, seer: Value) -> Value:
    """Electricity for a load at the seasonal rating.

    Parameters
    ----------
    load : Value
        Sensible and latent. [Btu]
    seer : Value
        Seasonal rating. [Btu/Wh]

    Returns
    -------
    Value
        Electricity. [kWh]
    """
    return load / seer / 1000.0


def latent_load_infiltration(airflow: Value, outdoor: Value, indoor: Value) -> Value:
    """Moisture load of outdoor air.

    Parameters
    ----------
    airflow : Value
        Outdoor air. [cfm]
    outdoor, indoor : Value
        Moisture of the air. [lb/lb]

    Returns
    -------
    Value
        Latent load, negative when outdoor air is drier. [Btu/h]
    """
    return LATENT_COEFFICIENT * airflow * (outdoor - indoor)
