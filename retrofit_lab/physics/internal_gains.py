"""Heat that people give off, and a published figure to compare with; plugs and lights are in electricity.py."""

from retrofit_lab.base.values import Value

SENSIBLE_PER_PERSON = 230.0
LATENT_PER_PERSON = 190.0
HOURS_AT_HOME = 16.0
"""A person at rest or light work [Btu/h], ASHRAE Fundamentals (memory); hours a day at home (judgment).
A table for offices, hotels and apartments at 78 F has 215 and 185 (read)."""


def people_gain(people: Value, hours_at_home: Value = HOURS_AT_HOME) -> Value:
    """Sensible heat of people, mean over the day. [Btu/h]

    Parameters
    ----------
    people : Value
        Who live there. [1]
    hours_at_home : Value
        Mean over the week. [h/day]
    """
    return people * (SENSIBLE_PER_PERSON / 24.0) * hours_at_home


def people_latent_gain(people: Value, hours_at_home: Value = HOURS_AT_HOME) -> Value:
    """Moisture heat of people, mean over the day. [Btu/h]

    Parameters
    ----------
    people : Value
        Who live there. [1]
    hours_at_home : Value
        Mean over the week. [h/day]
    """
    return people * (LATENT_PER_PERSON / 24.0) * hours_at_home
