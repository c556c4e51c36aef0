"""Cooling load of a summer design day by published load factors; sizing of equipment and ducts is elsewhere."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.physics.sun import GROUND_REFLECTANCE, declination, interior_shade_factor

MIDSUMMER = 202.0
"""21 July, the day on which the clear sky is taken. [day of the year]"""
SUN_BEYOND_AIR, AIR_DIMS, SKY_SHARE = 344.0, 0.207, 0.136
"""Clear sky of July: direct sun beyond the air [Btu/(h ft2)], what each air mass takes of it, and the sky's part of
direct sun. [1] ASHRAE Handbook Fundamentals, clear-sky model of 1967 to 2005 (memory)."""
LOWEST_SUN = 0.02
"""Sine of the height below which the sun counts as set. [1]"""
FACES_AWAY = -0.2
"""Cosine of the angle to the sun beyond which an upright surface sees the dull part of a clear sky. [1] The same."""
EIGHTHS = 45.0 * np.arange(9)
GLASS_SHARES = (0.44, 0.21, 0.31, 0.37, 0.47, 0.58, 0.56, 0.46, 0.44)
"""Part of the strongest sun on a window that is a load in the hour of the house's largest load: north, northeast and
so on round to north. [1] Single-family detached houses, residential load factor method, ASHRAE Handbook Fundamentals
(memory)."""
GLASS_RANGE = 0.46
"""Part of the day's range that glass does not meet in that hour. [1] The same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadFactors:
    """How a kind of surface follows a design day: U times what these make of the day is its load.

    Parameters
    ----------
    difference, daily_range : float
        Parts of the difference to the rooms, and of the day's range. [1]
    fixed, sunlit : float
        Sun on it: as it is, and with the share of sun that the roof takes up. [F]
    """

    difference: float
    daily_range: float
    fixed: float = 0.0
    sunlit: float = 0.0


SURFACE_FACTORS = {
    "below attic": LoadFactors(difference=0.62, fixed=-8.1, sunlit=25.7, daily_range=-0.19),
    "roof": LoadFactors(difference=1.0, fixed=-12.6, sunlit=68.9, daily_range=-0.36),
    "sunlit wall": LoadFactors(difference=1.0, fixed=14.8, daily_range=-0.36),
    "shaded wall": LoadFactors(difference=1.0, daily_range=-0.36),
    "open floor": LoadFactors(difference=1.0, daily_range=-0.06),
    "floor over crawl space": LoadFactors(difference=0.33, daily_range=-0.28),
}
"""Frame houses: residential load factor method, ASHRAE Handbook Fundamentals, opaque surfaces (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignDay:
    """A summer day that equipment is sized for.

    Parameters
    ----------
    difference : float
        Outdoors at its hottest less the rooms. [F]
    daily_range : float
        From its coolest to its hottest hour. [F]
    latitude : float
        North positive. [degree]
    """

    difference: float
    daily_range: float
    latitude: float


def surface_difference(day: DesignDay, kind: str, absorptance: Value = 0.0) -> Value:
    """Temperature difference that stands for a design day: U times area times this is a surface's load.

    Parameters
    ----------
    day : DesignDay
        What it is outdoors.
    kind : str
        One of `SURFACE_FACTORS`.
    absorptance : Value
        Share of the sun that the roof takes up; walls have theirs in the table. [1]

    Returns
    -------
    Value
        Difference, not below 0. [F]

    Examples
    --------
    A dark roof over a vented attic, 95 F outdoors and 75 F in the rooms, a day's range of 20 F:

    >>> day = DesignDay(difference=20.0, daily_range=20.0, latitude=40.0)
    >>> round(float(surface_difference(day, "below attic", 0.85)), 1)
    22.3
    """
    factors = SURFACE_FACTORS[kind]
    sun = factors.fixed + factors.sunlit * absorptance
    found = factors.difference * day.difference + sun + factors.daily_range * day.daily_range
    return np.maximum(found, 0.0)


def window_load(
    day: DesignDay, conductance: Value, glass: Value, shgc: Value, facing: float
) -> Value:
    """Load of a window on a design day.

    Parameters
    ----------
    day : DesignDay
        What it is outdoors.
    conductance : Value
        Loss per degree. [Btu/(h F)]
    glass : Value
        Area with frame, less what trees and eaves shade. [ft2]
    shgc : Value
        Share of the sun that gets in, before curtains. [1]
    facing : float
        Azimuth, north 0, east 90. [degree]

    Returns
    -------
    Value
        Heat. [Btu/h]

    Examples
    --------
    West glass asks for more than east glass, which has its sun while it is cool:

    >>> day = DesignDay(difference=20.0, daily_range=20.0, latitude=40.0)
    >>> west, east = (window_load(day, 10.0, 20.0, 0.5, facing) for facing in (270.0, 90.0))
    >>> bool(west > 1.4 * east)
    True
    """
    through = conductance * (day.difference - GLASS_RANGE * day.daily_range)
    share = np.interp(np.mod(facing, 360.0), EIGHTHS, GLASS_SHARES)
    sun = strongest_sun(day.latitude, facing) * share * shgc * interior_shade_factor(shgc)
    return np.maximum(through, 0.0) + glass * sun


def strongest_sun(latitude: float, facing: float) -> float:
    """Strongest sun on an upright surface in the hours of a clear day of July, with sky and ground.

    Parameters
    ----------
    latitude : float
        North positive. [degree]
    facing : float
        Azimuth, north 0, east 90. [degree]

    Returns
    -------
    float
        Irradiation. [Btu/(h ft2)]

    References
    ----------
    Clear sky: ASHRAE Handbook Fundamentals, 1967 to 2005 (memory).
    """
    hour = np.arange(4.0, 20.5, 0.5)
    up, east, north = _toward(latitude, np.radians(15.0 * (hour - 12.0)))
    seen = up > LOWEST_SUN
    beam = SUN_BEYOND_AIR * np.exp(-AIR_DIMS / np.where(seen, up, 1.0)) * seen
    angle = np.radians(facing)
    cosine = north * np.cos(angle) + east * np.sin(angle)
    sky = np.where(cosine > FACES_AWAY, 0.55 + 0.437 * cosine + 0.313 * cosine**2, 0.45)
    ground = 0.5 * GROUND_REFLECTANCE * (up + SKY_SHARE)
    return float(np.max(beam * (np.maximum(cosine, 0.0) + SKY_SHARE * sky + ground)))


def _toward(latitude: float, angle: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Direction of the sun in July toward up, east and north, by the angle from noon. [1]"""
    phi, delta = np.radians(latitude), declination(np.asarray(MIDSUMMER))
    up = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(angle)
    north = np.cos(phi) * np.sin(delta) - np.sin(phi) * np.cos(delta) * np.cos(angle)
    return up, -np.cos(delta) * np.sin(angle), north


def people_and_machines(floor_area: Value, people: Value) -> tuple[Value, Value]:
    """Heat and moisture of people, lights and machines in the hour of the largest load.

    Parameters
    ----------
    floor_area : Value
        Conditioned. [ft2]
    people : Value
        Who live there. [1]

    Returns
    -------
    tuple of Value
        Heat and moisture. [Btu/h]

    References
    ----------
    Residential load factor method, ASHRAE Handbook Fundamentals (memory).

    Examples
    --------
    >>> people_and_machines(2000.0, 4.0)
    (2164.0, 372.0)
    """
    return 464.0 + 0.7 * floor_area + 75.0 * people, 68.0 + 0.07 * floor_area + 41.0 * people
