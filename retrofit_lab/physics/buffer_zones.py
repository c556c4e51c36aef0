"""What sun and sky do to the outer faces of a house; zones without heating are in annual_balance.py."""

from retrofit_lab.base.values import Value


def surface_gain(
    area: Value,
    absorptance: Value,
    irradiation: Value,
    r_film: Value,
    *,
    sky_radiation: Value = 0.0,
) -> Value:
    """Warming of a surface's outer face by the sun, times its area.

    Times the U-value it is the heat that the sun adds to the place behind.

    Parameters
    ----------
    area : Value
        Surface. [ft2]
    absorptance : Value
        Share of the sun taken up. [1]
    irradiation : Value
        Mean over day and night. [Btu/(h ft2)]
    r_film : Value
        Outside film. [h ft2 F/Btu]
    sky_radiation : Value
        What the surface radiates to the sky beyond the film's exchange with the air, at most
        20 under a clear sky; it cools day and night. [Btu/(h ft2)]

    Returns
    -------
    Value
        Gain for each unit of U-value. [ft2 F]

    References
    ----------
    Sol-air temperature less air temperature, ASHRAE Handbook Fundamentals (memory).
    """
    return area * (absorptance * irradiation - sky_radiation) * r_film
