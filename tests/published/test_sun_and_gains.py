"""Sun, windows and people against astronomy, an adopted code and handbook tables."""

import numpy as np
import pytest
from checks import Check, assert_check

from retrofit_lab.physics.internal_gains import people_gain, people_latent_gain
from retrofit_lab.physics.sun import (
    day_length,
    declination,
    equation_of_time,
    interior_shade_factor,
    sun_direction,
    window_solar_gain,
)

YEAR = np.arange(1.0, 366.0)
ALMANAC = "almanac"
CODE = "residential code N1105 as adopted, ecode360.com/44990124"
PEOPLE = "table of heat from people at 78 F, offices, hotels and apartments, engineeringtoolbox.com"


SPENCER = "pvlib 0.16.1, Spencer's series of 1971"
DECLINATION = {
    1: -0.402449,
    47: -0.2200684,
    80: -0.0011506,
    130: 0.3038019,
    172: 0.4093154,
    228: 0.2441596,
    265: 0.0111288,
    310: -0.2750822,
}
SUNDIAL = {
    1: -2.9197,
    47: -14.2471,
    80: -7.8737,
    130: 3.8065,
    172: -1.3437,
    228: -4.6947,
    265: 7.2571,
    310: 16.2271,
}
"""Of a day of the year, by pvlib. [radian], [minute]"""
SUN = "pvlib 0.16.1, position of the sun at 40 N 75 W in 1971, the year of the series"
PLACES = {
    (80.0, 17.0): (0.2244670, -0.9572171, -0.1826198), (266.0, 9.0): (0.5595138, 0.6836945, -0.4685148),
    (293.0, 16.0): (0.2174436, -0.8826239, -0.4167654), (49.0, 8.0): (0.2036251, 0.8762817, -0.4366546),
}  # fmt: skip
"""Up, east and north of the sun by day and hour, by pvlib. [1]"""


def place_of_sun(day: float, hour: float, axis: int) -> float:
    return float(sun_direction(40.0, -75.0, -5.0, np.array([day]), np.array([hour]))[axis][0])


def height_at_noon(day: float) -> float:
    """Greatest height of the sun at 40 degrees north, in the middle of its time zone. [degree]"""
    hours = np.linspace(11.0, 13.0, 1201)
    up, _, _ = sun_direction(40.0, 0.0, 0.0, np.full_like(hours, day), hours)
    return float(np.degrees(np.arcsin(up.max())))


CHECKS = [
    Check("sun", "greatest declination", ALMANAC, "memory", 23.44,
          lambda: float(np.degrees(declination(YEAR).max())), 0.05, "the series is good to 0.035 degrees"),
    Check("sun", "least declination", ALMANAC, "memory", -23.44,
          lambda: float(np.degrees(declination(YEAR).min())), 0.05, "the series is good to 0.035 degrees"),
    Check("sun", "sundial ahead in early November, minutes", ALMANAC, "memory", 16.4,
          lambda: float(equation_of_time(YEAR).max()), 0.3, "tenths of a minute"),
    Check("sun", "sundial behind in mid February, minutes", ALMANAC, "memory", -14.2,
          lambda: float(equation_of_time(YEAR).min()), 0.3, "tenths of a minute"),
    Check("sun", "height at noon on the June solstice, 40 degrees north", "90 - 40 + 23.44", "memory", 73.44,
          lambda: height_at_noon(172.0), 0.05, "as the declination"),
    Check("sun", "height at noon on the December solstice, 40 degrees north", "90 - 40 - 23.44", "memory",
          26.56, lambda: height_at_noon(355.0), 0.05, "as the declination"),
    Check("sun", "longest day at 40 degrees north", f"{ALMANAC}, 15 h 1 min with refraction", "memory", 15.0,
          lambda: float(day_length(40.0, YEAR).max()), 0.2, "we leave out refraction and the sun's rim"),
    Check("sun", "shortest day at 40 degrees north", f"{ALMANAC}, 9 h 20 min with refraction", "memory", 9.33,
          lambda: float(day_length(40.0, YEAR).min()), 0.2, "we leave out refraction and the sun's rim"),
    *(
        Check("sun", f"declination of day {day} [radian]", SPENCER, "read", value,
              lambda day=day: float(declination(np.array([float(day)]))[0]), 2e-6, "the same series, digit by digit")
        for day, value in DECLINATION.items() if abs(value) > 0.01
    ),
    *(
        Check("sun", f"sundial against clock on day {day} [minute]", SPENCER, "read", value,
              lambda day=day: float(equation_of_time(np.array([float(day)]))[0]), 0.02,
              "copies of the series differ in its first number, by a second")
        for day, value in SUNDIAL.items()
    ),
    *(
        Check("sun", f"sun toward {name} on day {day:g} at {hour:g} h", SUN, "read", value,
              lambda day=day, hour=hour, axis=axis: place_of_sun(day, hour, axis), 0.0025, "the series is good to 0.035 degrees")
        for (day, hour), toward in PLACES.items() for axis, (name, value) in enumerate(zip(("zenith", "east", "north"), toward, strict=True))
    ),
    Check("sun", "day at 75 degrees north in June", "midnight sun", "memory", 24.0,
          lambda: float(day_length(75.0, np.array([172.0]))[0]), 1e-9, "the sun does not set"),
    Check("sun", "night at 75 degrees north in December", "polar night", "memory", 24.0,
          lambda: 24.0 - float(day_length(75.0, np.array([355.0]))[0]), 1e-9, "the sun does not rise"),
    Check("windows", "interior shade at SHGC 0.40", CODE, "read", 0.836,
          lambda: interior_shade_factor(0.40), 1e-9, "exact: 0.92 - 0.21 SHGC"),
    Check("windows", "30 ft2, SHGC 0.40, half shaded, 40 Btu/(h ft2)", f"{CODE}; 0.9 of it not straight on, EN ISO 13790",
          "memory", 0.9 * 30 * 0.4 * 0.836 * 0.5 * 40, lambda: window_solar_gain(30.0, 0.40, 40.0, 0.5), 1e-9,
          "product of the parts"),
    Check("windows", "limit: night", "arithmetic", "common practice, no source", 0.0,
          lambda: window_solar_gain(30.0, 0.40, 0.0, 1.0), 1e-12, "limiting case"),
    Check("gains", "heat of one person, all of it", "1958 lecture on air conditioning, asmedigitalcollection.asme.org CEC1958",
          "read", 400.0, lambda: people_gain(1.0, 24.0) + people_latent_gain(1.0, 24.0), 0.06,
          "'about 400 Btu per hour' at rest; ours, of a household that also moves, is 420", True),
    Check("gains", "sensible heat of one person", PEOPLE, "read", 215.0, lambda: people_gain(1.0, 24.0), 0.08,
          "rooms here are cooler than 78 F, so more of it is sensible: ours 230", True),
    Check("gains", "latent heat of one person", PEOPLE, "read", 185.0, lambda: people_latent_gain(1.0, 24.0),
          0.05, "ours 190; a British table of 22 C has 80 and 35 W at rest, half the latent part", True),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
