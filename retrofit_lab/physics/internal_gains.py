"""Heat that people give off, and a published whole-house figure to compare with."""

from retrofit_lab.values import Value

SENSIBLE_PER_PERSON = 230.0
LATENT_PER_PERSON = 190.0
HOURS_AT_HOME = 16.0
"""A person at rest or light work [Btu/h], ASHRAE Fundamentals (memory); hours a day at home (judgement)."""


def people_gain(people: Value) -> Value:
    """Sensible heat of people, mean over the day. [Btu/h]"""
    return people * SENSIBLE_PER_PERSON * HOURS_AT_HOME / 24.0


def people_latent_gain(people: Value) -> Value:
    """Moisture heat of people, mean over the day. [Btu/h]"""
    return people * LATENT_PER_PERSON * HOURS_AT_HOME / 24.0


def published_gains(floor_area: Value, bedrooms: Value) -> Value:
    """Internal gains of a whole house by the energy code, as a cross-check. [Btu/day]

    References
    ----------
    IECC 2006 Table 404.5.2: 17,900 + 23.8 A + 4,104 bedrooms (formula memory, worked value read).
    """
    return 17_900.0 + 23.8 * floor_area + 4_104.0 * bedrooms
