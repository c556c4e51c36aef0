"""Density of air by elevation and the heat that a flow of it carries."""

DENSITY_AT_SEA_LEVEL = 0.075
"""Density of standard air. [lb/ft3]"""


def air_density_ratio(elevation: float) -> float:
    """Density of air against sea level in the standard atmosphere.

    Parameters
    ----------
    elevation : float
        Above sea level. [ft]

    References
    ----------
    Standard atmosphere pressure (1 - 6.8754e-6 h)^5.2559, ASHRAE Fundamentals (memory); checked
    against a published altitude table.
    """
    return float((1.0 - 6.8754e-6 * elevation) ** 5.2559)


def air_heat_coefficient(density_ratio: float) -> float:
    """Heat carried by air per flow and degree. [Btu/(h F cfm)]

    0.075 lb/ft3 x 0.24 Btu/(lb F) x 60 min/h is 1.08 at sea level and 70 F.
    """
    return 1.08 * density_ratio
