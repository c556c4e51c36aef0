"""Electricity of air conditioners over load and outdoor temperature, and the moisture that they take out.

Moisture taken out by an appliance of its own is in `dehumidifier`.
"""

import numpy as np

from retrofit_lab.values import Value

LATENT_COEFFICIENT = 4840.0
"""Heat of moisture carried by air: 0.075 lb/ft3 x 60 min/h x 1076 Btu/lb. [Btu/(h cfm)]"""
RATING_TEMPERATURE = 95.0
SEASON_TEMPERATURE = 82.0
"""Outdoor temperature at which EER is read, and at which SEER of a single-speed unit is. [F] (memory)"""
EFFICIENCY_SLOPE = 0.015
"""Relative loss of efficiency per degree of outdoor temperature. [1/F] Common practice; field advice seen
lies at 0.017 (fennigphc.com, read)."""
CAPACITY_SLOPE = 0.006
"""Relative loss of capacity per degree of outdoor temperature. [1/F] (memory)"""
SEER_PER_SEER2 = 15.0 / 14.3
"""Old seasonal rating per new one of a ducted split unit: the 2023 minimum of the South in both. [1] (memory)"""


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


def eer_from_seer(seer: Value) -> Value:
    """Efficiency at 95 F of the usual unit with a seasonal rating.

    Parameters
    ----------
    seer : Value
        Seasonal rating, 8 to 20. [Btu/Wh]

    Returns
    -------
    Value
        EER. [Btu/Wh]

    References
    ----------
    1.12 SEER - 0.02 SEER2, quoted in a public answer on ratings (read); it bends over beyond 20.
    """
    return seer * (1.12 - 0.02 * seer)


def seer_from_seer2(seer2: Value) -> Value:
    """SEER of a ducted unit whose label states SEER2, the rating since 2023. [Btu/Wh]"""
    return seer2 * SEER_PER_SEER2


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


def sensible_heat_ratio(sensible: Value, latent: Value) -> Value:
    """Sensible share of a total load that is above 0. [1]

    Parameters
    ----------
    sensible, latent : Value
        Loads. [Btu, or Btu/h]
    """
    return sensible / (sensible + latent)


def latent_removed(sensible: Value, latent: Value, ratio: Value) -> Value:
    """Moisture load that a cooler takes out while it follows the thermostat.

    It runs for the sensible load and dries as it goes, at most what there is to dry. What is left
    stays in the house as damper air, or is a dehumidifier's.

    Parameters
    ----------
    sensible, latent : Value
        Loads, not below 0. [Btu, or Btu/h]
    ratio : Value
        Sensible heat ratio of the cooler, above 0. [1]

    Returns
    -------
    Value
        Latent load met, in the unit of the loads.
    """
    able = sensible * (1.0 / ratio - 1.0)
    if isinstance(able, float) and isinstance(latent, float):
        return min(able, latent)
    return np.minimum(able, latent)
