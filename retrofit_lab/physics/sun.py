"""Where the sun stands, what falls on walls, and what windows let in; daily and monthly sums, no shading geometry."""

from collections.abc import Mapping

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.physics.months import MID_MONTH

ORIENTATIONS = ("north", "east", "south", "west")
GROUND_REFLECTANCE = 0.2
"""Share of the sun that ordinary ground throws back. [1] (common practice, no source)"""


SOLAR_CONSTANT = 433.0
"""Sun above the air. [Btu/(h ft2)] (memory)"""
AT_AN_ANGLE = 0.9
"""Share of the sun through glass that is left because it does not come straight on, as labels take it. [1]
EN ISO 13790, 11.4.2 (memory)"""
LEAST_SUN = 0.02
"""Stands for a polar night, in which no one can tell a clear sky by its sun. [1]"""


def declination(day: FloatArray) -> FloatArray:
    """Declination of the sun on a day of the year, counted from 1 and with its fraction. [radian]

    References
    ----------
    Spencer 1971 Fourier series (memory).

    Examples
    --------
    The tropics on 21 June and 21 December:

    >>> np.degrees(declination(np.array([172.0, 355.0]))).round(1).tolist()
    [23.5, -23.4]
    """
    b = 2.0 * np.pi * (day - 1.0) / 365.0
    return np.asarray(
        0.006918
        - 0.399912 * np.cos(b)
        + 0.070257 * np.sin(b)
        - 0.006758 * np.cos(2 * b)
        + 0.000907 * np.sin(2 * b)
        - 0.002697 * np.cos(3 * b)
        + 0.00148 * np.sin(3 * b)
    )


def equation_of_time(day: FloatArray) -> FloatArray:
    """Sun time less mean time.

    Parameters
    ----------
    day : ndarray
        Day of the year, counted from 1. [day]

    Returns
    -------
    ndarray
        Time. [minute]

    References
    ----------
    Spencer 1971 (memory); pvlib has 0.0000075 for the first number, a second of time apart (read).

    Examples
    --------
    The sundial is a quarter of an hour ahead in early November:

    >>> round(float(equation_of_time(np.array([308.0]))[0]))
    16
    """
    b = 2.0 * np.pi * (day - 1.0) / 365.0
    return np.asarray(
        229.18
        * (
            0.000075
            + 0.001868 * np.cos(b)
            - 0.032077 * np.sin(b)
            - 0.014615 * np.cos(2 * b)
            - 0.040849 * np.sin(2 * b)
        )
    )


def day_length(latitude: Value, day: FloatArray) -> FloatArray:
    """Time from sunrise to sunset, for the sun's middle and without refraction. [h]

    Parameters
    ----------
    latitude : Value
        North positive; float or array with a last axis of 1. [degree]
    day : ndarray, shape (n,)
        Days of the year. [day]

    Returns
    -------
    ndarray, shape (..., n)
        0 in the polar night, 24 in the polar day.
    """
    rise = np.clip(-np.tan(np.radians(latitude)) * np.tan(declination(day)), -1.0, 1.0)
    return np.asarray(np.degrees(np.arccos(rise)) * 2.0 / 15.0)


def clearness(horizontal: FloatArray, latitude: float) -> FloatArray:
    """Sun on the ground against that above the air, by month: 0 under a dark sky, near 0.7 under a clear one. [1]

    Parameters
    ----------
    horizontal : ndarray, shape (12,)
        On a level plane. [Btu/(ft2 day)]
    latitude : float
        North positive. [degree]

    References
    ----------
    Daily sun above the air: Duffie and Beckman, solar constant 433 Btu/(h ft2) (memory).
    """
    phi, delta = np.radians(latitude), declination(MID_MONTH)
    rise = np.arccos(np.clip(-np.tan(phi) * np.tan(delta), -1.0, 1.0))
    up = np.cos(phi) * np.cos(delta) * np.sin(rise) + rise * np.sin(phi) * np.sin(delta)
    above = SOLAR_CONSTANT * 24.0 / np.pi * np.maximum(up, LEAST_SUN)
    return np.asarray(horizontal / above)


def sun_direction(
    latitude: float, longitude: float, zone: float, day: FloatArray, hour: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Direction cosines of the sun toward up, east and north.

    Parameters
    ----------
    latitude, longitude : float
        Place, north and east positive. [degree]
    zone : float
        Clock against universal time. [h]
    day, hour : ndarray, shape (n,)
        Day of the year and local standard clock time. [day, h]

    Returns
    -------
    tuple of ndarray, shape (n,)
        Up, east, north. [1]
    """
    phi = np.radians(latitude)
    delta = declination(day + hour / 24.0)
    minutes = 4.0 * (longitude - 15.0 * zone) + equation_of_time(day)
    omega = np.radians(15.0 * (hour + minutes / 60.0 - 12.0))
    up = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(omega)
    east = -np.cos(delta) * np.sin(omega)
    north = np.cos(phi) * np.sin(delta) - np.sin(phi) * np.cos(delta) * np.cos(omega)
    return up, east, north


def on_wall(
    facing: str,
    direction: tuple[FloatArray, FloatArray, FloatArray],
    beam: FloatArray,
    diffuse: FloatArray,
    horizontal: FloatArray,
) -> FloatArray:
    """Sun on a vertical wall: beam, half of an even sky, half of what the ground throws back.

    Parameters
    ----------
    facing : str
        One of `ORIENTATIONS`.
    direction : tuple of ndarray, shape (n,)
        Result of `sun_direction`.
    beam, diffuse, horizontal : ndarray, shape (n,)
        Direct normal, diffuse horizontal and global horizontal irradiation. [any power per area]

    Returns
    -------
    ndarray, shape (n,)
        Irradiation in the same unit.
    """
    up, east, north = direction
    toward = {"north": north, "east": east, "south": -north, "west": -east}[facing]
    seen = np.where(up > 0.0, np.maximum(toward, 0.0), 0.0)
    return np.asarray(beam * seen + 0.5 * diffuse + 0.5 * GROUND_REFLECTANCE * horizontal)


def wall_irradiation(sun: Mapping[str, FloatArray], facing: Value) -> FloatArray:
    """Sun on a wall of any direction, from the four cardinal walls.

    The lowest waves around the compass that pass through all four, never below the least of them.

    Parameters
    ----------
    sun : mapping of ndarray, shape (12,)
        Irradiation by orientation. [Btu/(ft2 day)]
    facing : Value
        Azimuth, north 0, east 90; float or array with a last axis of 1. [degree]

    Returns
    -------
    ndarray, shape (..., 12)
        In the unit of ``sun``.

    Notes
    -----
    Against clear days worked out for the wall itself, from 26 to 60 degrees north, it lies within 10 % on
    the sunny half of the compass and 20 % on the other; a straight line between two walls is up to 19 %
    low on the sunny half and 90 % high on the other.
    """
    north, east, south, west = (sun[orientation] for orientation in ORIENTATIONS)
    angle = np.radians(facing)
    level = 0.25 * (north + east + south + west)
    across = 0.5 * ((north - south) * np.cos(angle) + (east - west) * np.sin(angle))
    oval = 0.25 * (north + south - east - west) * np.cos(2.0 * angle)
    least = np.minimum(np.minimum(north, south), np.minimum(east, west))
    return np.asarray(np.maximum(level + across + oval, least))


def interior_shade_factor(shgc: Value) -> Value:
    """Share of the sun left by usual curtains and blinds. [1]

    Parameters
    ----------
    shgc : Value
        Of the window. [1]

    References
    ----------
    Residential code N1105, interior shade fraction 0.92 - 0.21 SHGC (read in an adopted code).

    Examples
    --------
    >>> round(interior_shade_factor(0.40), 3)
    0.836
    """
    return 0.92 - 0.21 * shgc


def window_solar_gain(area: Value, shgc: Value, irradiation: Value, shading: Value) -> Value:
    """Sun that windows let in.

    Parameters
    ----------
    area : Value
        Glass with frame. [ft2]
    shgc : Value
        Share of the sun that gets in. [1]
    irradiation : Value
        On the wall. [Btu/(h ft2)]
    shading : Value
        Share left by trees and eaves. [1]

    Returns
    -------
    Value
        Gain. [Btu/h]
    """
    return area * AT_AN_ANGLE * shgc * interior_shade_factor(shgc) * shading * irradiation
