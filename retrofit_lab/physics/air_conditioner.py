"""Electricity of air conditioners over load and outdoor temperature, and the moisture that they take out."""

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import larger

LATENT_COEFFICIENT = 4840.0
"""Heat of moisture carried by air at sea level: 0.075 lb/ft3 x 60 min/h x 1076 Btu/lb. [Btu/(h cfm)]"""
RATING_TEMPERATURE = 95.0
SEASON_TEMPERATURE = 82.0
"""Outdoor temperature at which EER is read, and at which SEER of a single-speed unit is. [F] (memory)"""
EFFICIENCY_SLOPE = 0.015
"""Relative loss of efficiency per degree of outdoor temperature. [1/F] Common practice; field advice seen
lies at 0.017 (fennigphc.com, read)."""
CAPACITY_SLOPE = 0.006
"""Relative loss of capacity per degree of outdoor temperature. [1/F] (memory)"""
RATED_HUMIDITY = 0.0112
"""Moisture of the air at 80 F and 67 F wet bulb, at which coils are rated. [lb/lb]"""
RATED_LATENT_SHARE = 0.25
"""Moisture's share of what a usual coil takes out at its rating point. [1] (memory)"""
LEAST_EXCHANGE = 1e-9
"""Keeps the moisture of rooms whose air conditioner never runs a number; nothing depends on it then. [Btu/h]"""
DRY_COIL_HUMIDITY = 0.0075
"""Air drier than this, with a dew point of 50 F, leaves no water on a usual coil. [lb/lb] (judgment)"""
MOST_LATENT_SHARE = 0.45
"""However damp the air, a usual coil takes out no more moisture than this share. [1] (judgment)"""


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


def site_seer(seer: Value, temperature: Value) -> Value:
    """Seasonal rating at another mean outdoor temperature of the cooling hours.

    Parameters
    ----------
    seer : Value
        Seasonal rating. [Btu/Wh]
    temperature : Value
        Outdoor temperature, weighted by cooling load. [F]

    Returns
    -------
    Value
        Rating at this site. [Btu/Wh] It is the label's at 82 F.
    """
    return seer * (1.0 - EFFICIENCY_SLOPE * (temperature - SEASON_TEMPERATURE))


def cooling_capacity(capacity_95: Value, temperature: Value) -> Value:
    """Total cold made while it runs, at an outdoor temperature. [Btu/h]

    Parameters
    ----------
    capacity_95 : Value
        Rated at 95 F. [Btu/h]
    temperature : Value
        Outdoor temperature. [F]
    """
    return capacity_95 * (1.0 - CAPACITY_SLOPE * (temperature - RATING_TEMPERATURE))


def latent_load(airflow: Value, moisture_difference: Value, density_ratio: Value) -> Value:
    """Moisture load of an air flow.

    Parameters
    ----------
    airflow : Value
        Air. [cfm]
    moisture_difference : Value
        Moisture of that air less that of the rooms. [lb/lb]
    density_ratio : Value
        Density of the air against sea level. [1]

    Returns
    -------
    Value
        Latent load, negative when the air is drier. [Btu/h]
    """
    return LATENT_COEFFICIENT * density_ratio * airflow * moisture_difference


def latent_share(humidity: Value) -> Value:
    """Moisture's share of what a usual coil takes out of air that enters it. [1]

    Parameters
    ----------
    humidity : Value
        Moisture of the entering air. [lb/lb]

    Returns
    -------
    Value
        A straight line from the driest air that wets the coil through the rating point.

    Examples
    --------
    >>> latent_share(0.0112), latent_share(0.0060)
    (0.25, 0.0)
    """
    wetter = (humidity - DRY_COIL_HUMIDITY) / (RATED_HUMIDITY - DRY_COIL_HUMIDITY)
    share = np.minimum(np.maximum(RATED_LATENT_SHARE * wetter, 0.0), MOST_LATENT_SHARE)
    return float(share) if np.ndim(share) == 0 else share


def room_humidity(
    *,
    outdoor: Value,
    exchange: Value,
    people: Value,
    running: Value,
    supply_leakage: Value,
    return_leakage: Value,
    flow_exchange: Value,
) -> Value:
    """Moisture of the rooms at which what comes in is what the coil takes out.

    Parameters
    ----------
    outdoor : Value
        Moisture of outdoor air, and of the place that the return leaks draw from. [lb/lb]
    exchange : Value
        Heat of moisture that all outdoor air carries for each lb/lb. [Btu/h]
    people : Value
        Moisture that people and what they do give off. [Btu/h]
    running : Value
        Cold that the coil makes, mean of the month. [Btu/h]
    supply_leakage, return_leakage : Value
        Shares of the air flow that leak out of the supply and into the return. [1]
    flow_exchange : Value
        Heat of moisture that the air flow of the ducts carries for each lb/lb, by the share of time
        that it flows. [Btu/h]

    Returns
    -------
    Value
        Moisture of the rooms. [lb/lb]

    Notes
    -----
    The balance is linear: exchange (W_out - W) + people = (1 - supply leakage) (coil - what the return
    leak draws in), with the coil a straight line in the mixture of room and leaked air, as in
    `latent_share`. Below the driest air that wets the coil it would add moisture; then nothing depends on
    the result.
    """
    per_humidity = running * RATED_LATENT_SHARE / (RATED_HUMIDITY - DRY_COIL_HUMIDITY)
    tight = 1.0 - supply_leakage
    drawn = return_leakage * flow_exchange
    fixed = per_humidity * (return_leakage * outdoor - DRY_COIL_HUMIDITY) - drawn * outdoor
    slope = per_humidity * (1.0 - return_leakage) + drawn
    settling = larger(exchange + tight * slope, LEAST_EXCHANGE)
    return (exchange * outdoor + people - tight * fixed) / settling
