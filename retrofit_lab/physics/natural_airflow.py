"""Air that wind and warm air drive through the leaks of a house; fans are in ventilation.py.

Both handbook models do the work, month by month, weighted by what measured houses speak for (see
`between_models`).
"""

from dataclasses import dataclass

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import (
    interpolated,
    is_nought,
    larger,
    magnitude,
    power,
    smaller,
    square_root,
)

STORIES = (1.0, 2.0, 3.0)
STACK = {False: (0.054, 0.078, 0.098), True: (0.069, 0.089, 0.107)}
"""Stack coefficients by stories, without and with an open flue. [(Pa/K)^n]"""
WIND = {
    ("basement", False): (0.156, 0.170, 0.170),
    ("basement", True): (0.142, 0.156, 0.167),
    ("crawlspace", False): (0.128, 0.142, 0.151),
    ("crawlspace", True): (0.128, 0.142, 0.154),
}
"""Wind coefficients by stories; a slab counts as a basement. [(Pa s2/m2)^n]"""
SHELTER_CLASSES = (1.0, 2.0, 3.0, 4.0, 5.0)
SHELTER = {False: (1.00, 0.90, 0.70, 0.50, 0.30), True: (1.10, 1.02, 0.86, 0.70, 0.54)}
"""Shelter factors without a flue, and with the flue of a one-story house. [1]"""
WIND_SPEED_SHARE = (0.48, 0.59, 0.67)
"""Wind at the eaves against the weather station's. [1]

All five tables: enhanced model, ASHRAE Handbook Fundamentals chapter 16 (memory).
"""
TABLE_EXPONENT = 0.67
"""Flow exponent for which the tables of the enhanced model are printed. [1]"""
STORY_HEIGHT = 2.5
"""Height that the tables give to a story. [m]"""
LEAKAGE_LOW_OR_HIGH = (0.5, 1.0 / 3.0, 0.25)
"""Share of the leakage in floor and ceiling that gives back the tables. [1] (derived)"""
PRESSURE_PER_KELVIN_METRE = 1.2 * 9.81 / 293.0
"""Stack pressure. [Pa/(K m)]"""
HALF_AIR_DENSITY = 0.6
"""Wind pressure at 1 m/s. [Pa]"""
M_PER_S_PER_MPH = 0.44704
F_PER_K = 1.8

BASIC_LOW_OR_HIGH = 0.5
"""Share of the leakage in floor and ceiling of which the tables of the basic model are made. [1] (derived)"""
BASIC_STACK = (0.0150, 0.0299, 0.0449)
BASIC_WIND = (
    (0.0119, 0.0157, 0.0184),
    (0.0092, 0.0121, 0.0143),
    (0.0065, 0.0086, 0.0101),
    (0.0039, 0.0051, 0.0060),
    (0.0012, 0.0016, 0.0018),
)
"""Basic model by stories, wind also by shelter class: stack [cfm2/(in4 F)], wind [cfm2/(in4 mph2)].
ASHRAE Handbook Fundamentals chapter 16 (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Openings:
    """Where the leakage of a house lies, as shares of it; the rest is in the walls. [1]

    Parameters
    ----------
    low, high : Value
        In and under the lowest floor, and in and above the uppermost ceiling.
    unknown : Value
        Nobody knows where: it counts as the tables of a model spread all leakage.

    Notes
    -----
    Both handbook models are made with two numbers of this kind, R for floor and ceiling together and X for
    ceiling less floor; the handbook prints tables for one spread. A house whose leaks were found has its own.
    """

    low: Value
    high: Value
    unknown: Value

    def both(self, table: Value) -> Value:
        """Share of floor and ceiling together, R of the models, where a table spreads the unknown. [1]

        Examples
        --------
        >>> Openings(low=0.1, high=0.3, unknown=0.2).both(0.5)
        0.5
        """
        return self.low + self.high + self.unknown * table

    @property
    def tilt(self) -> Value:
        """Share of the ceiling less that of the floor, X of the models. [1]"""
        return self.high - self.low

    @property
    def all_unknown(self) -> bool:
        """Whether no leak was found, so that the printed tables hold as they are."""
        return is_nought(self.low) and is_nought(self.high) and _is_one(self.unknown)


NOBODY_LOOKED = Openings(low=0.0, high=0.0, unknown=1.0)
"""A house of which no leak is known: the printed tables."""


def usual_ends(stories: Value) -> Value:
    """Share of the leakage in floor and ceiling together of which the tables of the enhanced model are made. [1]

    Parameters
    ----------
    stories : Value
        Stories, 1 to 3. [1]

    Examples
    --------
    >>> usual_ends(1.0), usual_ends(3.0)
    (0.5, 0.25)
    """
    return interpolated(stories, STORIES, LEAKAGE_LOW_OR_HIGH)


def stack_factor(
    stories: Value,
    flue: bool,
    *,
    exponent: Value = TABLE_EXPONENT,
    openings: Openings = NOBODY_LOOKED,
) -> Value:
    """Stack coefficient of the enhanced model.

    Parameters
    ----------
    stories : Value
        Stories above the lowest leak, 1 to 3; between them it is read linearly. [1]
    flue : bool
        Whether a flue is open.
    exponent : Value
        Flow exponent of the house. [1]
    openings : Openings
        Where it leaks.

    Returns
    -------
    Value
        Coefficient. [(Pa/K)^n]

    Notes
    -----
    The tables hold for an exponent of 0.67 and one spread of the leaks. Since they contain a pressure raised
    to the exponent, another exponent would be off by a few per cent for each 0.02. Both are carried over by
    the model's own equation, f_s (rho g H / T)^n with f_s = (1 + n R) / (n + 1) x (0.5 - 0.5 M^1.25)^(n + 1)
    and M = X^2 / (2 - R), which gives back the printed values without a flue within 1 %. Leaks in floor and
    ceiling see the whole height, those in walls a part of it; with all of them at one end nothing flows.

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 16 (memory); equation of Walker and Wilson, HVAC&R
    Research 4(2), 1998 (memory).
    """
    printed = interpolated(stories, STORIES, STACK[flue])
    if _is_table_exponent(exponent) and openings.all_unknown:
        return printed
    share = usual_ends(stories)
    pressure = PRESSURE_PER_KELVIN_METRE * STORY_HEIGHT * stories
    form = _stack_form(openings.both(share), openings.tilt, exponent)
    form = form / _stack_form(share, 0.0, TABLE_EXPONENT)
    return printed * form * power(pressure, exponent - TABLE_EXPONENT)


def wind_factor(
    stories: Value,
    foundation: str,
    flue: bool = False,
    *,
    exponent: Value = TABLE_EXPONENT,
    openings: Openings = NOBODY_LOOKED,
) -> Value:
    """Wind coefficient of the enhanced model.

    Parameters
    ----------
    stories : Value
        Stories, 1 to 3. [1]
    foundation : str
        ``"basement"`` (also slab) or ``"crawlspace"``.
    flue : bool
        Whether a flue is open.
    exponent : Value
        Flow exponent of the house. [1]
    openings : Openings
        Where it leaks.

    Returns
    -------
    Value
        Coefficient. [(Pa s2/m2)^n]

    Notes
    -----
    Carried over to another exponent than 0.67 and another spread of the leaks by the model's own equation,
    0.19 (2 - n) (rho / 2)^n times 1 - ((X + R) / 2)^1.5 on a basement or slab, where the ceiling alone is out
    of the wind, or times (1 - R (n / 2 + 0.2)) (1 - ((X - (1 - R) / 5) / (2 - R))^1.5) over a crawl space.
    It gives back the printed values without a flue within 2 %.

    References
    ----------
    As `stack_factor`. Copies of the table differ for three stories over a crawl space: 0.151
    without a flue, which the equation gives too, and 0.154.
    """
    printed = interpolated(stories, STORIES, WIND[foundation, flue])
    if _is_table_exponent(exponent) and openings.all_unknown:
        return printed
    share = usual_ends(stories)
    form = (2.0 - exponent) / (2.0 - TABLE_EXPONENT)
    form = form * _wind_form(openings.both(share), openings.tilt, exponent, foundation)
    form = form / _wind_form(share, 0.0, TABLE_EXPONENT, foundation)
    factor: Value = power(HALF_AIR_DENSITY, exponent - TABLE_EXPONENT)
    return printed * form * factor


def shelter_factor(shelter_class: Value, flue: bool) -> Value:
    """Share of the wind at the eaves that acts on the house.

    Parameters
    ----------
    shelter_class : Value
        1 open country to 5 hidden by near buildings; between them it is read linearly. [1]
    flue : bool
        Whether a flue is open, which stands above the shelter.

    Returns
    -------
    Value
        Factor. [1]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 16 (memory).
    """
    return interpolated(shelter_class, SHELTER_CLASSES, SHELTER[flue])


def eave_wind_share(stories: Value) -> Value:
    """Wind at the eaves against the weather station's.

    Parameters
    ----------
    stories : Value
        Stories, 1 to 3. [1]

    Returns
    -------
    Value
        Share. [1]

    References
    ----------
    Multiplier of the enhanced model, ASHRAE Handbook Fundamentals chapter 16 (memory). The wind
    profile of suburban terrain in chapter 24 (memory) comes to within 10 % of it.
    """
    return interpolated(stories, STORIES, WIND_SPEED_SHARE)


def natural_flow(
    coefficient: Value,
    exponent: Value,
    temperature_difference: Value,
    wind_speed: Value,
    *,
    stack_factor: Value,
    wind_factor: Value,
    shelter_factor: Value,
) -> Value:
    """Air that stack and wind drive through the house.

    Parameters
    ----------
    coefficient, exponent : Value
        Power law of the house. [cfm/Pa^n, 1]
    temperature_difference : Value
        Between indoors and outdoors; its sign does not matter. [F]
    wind_speed : Value
        At the eaves, before shelter. [mph]
    stack_factor, wind_factor, shelter_factor : Value
        From the functions of these names.

    Returns
    -------
    Value
        Flow that enters, and that leaves. [cfm]

    Notes
    -----
    Stack and wind add as squares, as the handbook has it. The authors' own rule,
    [Qs^(1/n) + Qw^(1/n) - (Qs Qw)^(1/2n) / 3]^n, differs by up to 4 %. Powers are taken of
    temperature and wind before the coefficient of the house comes in, so they cost only months
    where these vary by month alone.

    References
    ----------
    Enhanced model, ASHRAE Handbook Fundamentals chapter 16 (memory). Validated within 15 % by
    wind and 7 % by stack over 3,400 hours, Walker and Wilson 1998, abstract (read).
    """
    kelvin = magnitude(temperature_difference) / F_PER_K
    sheltered = shelter_factor * wind_speed * M_PER_S_PER_MPH
    stack = stack_factor * power(kelvin, exponent)
    wind = wind_factor * power(sheltered * sheltered, exponent)
    return coefficient * square_root(stack * stack + wind * wind)


def basic_stack_factor(stories: Value, openings: Openings = NOBODY_LOOKED) -> Value:
    """Stack coefficient of the basic model. [cfm2/(in4 F)]

    Parameters
    ----------
    stories : Value
        Stories, 1 to 3. [1]
    openings : Openings
        Where the house leaks.

    Notes
    -----
    The model holds the spread of the leaks in ((1 + R/2) / 3)^2 (1 - X^2 / (2 - R)^2)^3.

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 16; Sherman and Grimsrud 1980 (memory).
    """
    printed = interpolated(stories, STORIES, BASIC_STACK)
    if openings.all_unknown:
        return printed
    both, tilt = openings.both(BASIC_LOW_OR_HIGH), openings.tilt
    even = larger(1.0 - tilt * tilt / ((2.0 - both) * (2.0 - both)), 0.0)
    spread = (1.0 + 0.5 * both) / (1.0 + 0.5 * BASIC_LOW_OR_HIGH)
    return printed * spread * spread * even * even * even


def basic_wind_factor(
    stories: Value, shelter_class: Value, openings: Openings = NOBODY_LOOKED
) -> Value:
    """Wind coefficient of the basic model. [cfm2/(in4 mph2)]

    Parameters
    ----------
    stories : Value
        Stories, 1 to 3; between them it is read linearly. [1]
    shelter_class : Value
        1 open country to 5 hidden by near buildings; between them it is read linearly. [1]
    openings : Openings
        Where the house leaks: floor and ceiling are out of the wind, (1 - R)^(2/3) of the model.

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 16, Sherman and Grimsrud 1980 (memory). The class holds the
    terrain too, so it is multiplied with the wind of the weather station, 10 m over open ground.
    """
    factor: Value = 0.0
    for number, row in zip(SHELTER_CLASSES, BASIC_WIND, strict=True):
        weight = larger(1.0 - magnitude(shelter_class - number), 0.0)
        if not is_nought(weight):
            factor = factor + weight * interpolated(stories, STORIES, row)
    if openings.all_unknown:
        return factor
    walls = larger(1.0 - openings.both(BASIC_LOW_OR_HIGH), 0.0) / (1.0 - BASIC_LOW_OR_HIGH)
    return factor * power(walls, 2.0 / 3.0)


def basic_flow(
    leakage_area: Value,
    temperature_difference: Value,
    wind_speed: Value,
    *,
    stack_factor: Value,
    wind_factor: Value,
) -> Value:
    """Air flow of the basic model.

    Parameters
    ----------
    leakage_area : Value
        Effective leakage area at 4 Pa. [in2]
    temperature_difference : Value
        Between indoors and outdoors; its sign does not matter. [F]
    wind_speed : Value
        At the weather station. [mph]
    stack_factor, wind_factor : Value
        From `basic_stack_factor` and `basic_wind_factor`.

    Returns
    -------
    Value
        Flow. [cfm]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 16, after Sherman and Grimsrud 1980 (memory).
    """
    stack = stack_factor * magnitude(temperature_difference)
    driven: Value = square_root(stack + wind_factor * wind_speed * wind_speed)
    return leakage_area * driven


def between_models(enhanced: Value, basic: Value, weight: Value) -> Value:
    """Natural air between the two handbook models.

    Parameters
    ----------
    enhanced, basic : Value
        Flow of each model for the same house and weather. [cfm]
    weight : Value
        Of the basic model, 0 to 1; 0.25 stands for every house, and the ranges draw it. [1]

    Returns
    -------
    Value
        Flow. [cfm]

    Notes
    -----
    For the same reading the basic model gives half as much air again as the enhanced one in a cold
    place, and twice as much in a mild one, so the choice matters as much as the reading. What was
    measured speaks for the enhanced model, not for dividing the reading by 20:

    * 155 houses in Florida, nearly all of one story: 12.58 air changes at 50 Pa and 0.29 by tracer
      gas with the air handler off, a ratio of 43. For a year in Miami the enhanced model gives 48 in
      shelter class 3 and 70 in class 4, the basic model 23 and 29, a quarter of the way 38 and 51.
    * 21 houses in the English Midlands, tracer gas beside a blower door: "a divide-by-37 rule would
      be more representative" than 20. The enhanced model gives about 26 in the cold months of a
      two-story house.
    * 3,400 hours of a test site in Alberta: the enhanced model within 15 % by wind and 7 % by stack.
    * The yearly method of ASHRAE 62.2 comes to 34 for one story at a weather factor of 0.56.

    For more air speak the rule of 20 itself, which was found on measured houses of the 1970s and
    80s, and the tables by climate and height made from the basic model (20, 16 and 14 for one, two
    and three stories). A quarter of the way from the enhanced model to the basic one is between the
    two Florida ratios; 0 to 0.5 are nine in ten of what the ranges draw.

    References
    ----------
    Cummings and Tooley 1990, ESL-HH-90-10-20, abstract (read); Vega Pasos and others 2020, Building
    and Environment 185, 107275, abstract (read); Walker and Wilson 1998, HVAC&R Research 4(2),
    abstract (read); rule of 20, Kronvall and Persily as quoted by Sherman 1987 (abstract read; the
    numbers memory).

    Examples
    --------
    >>> between_models(80.0, 120.0, 0.25)
    90.0
    """
    return enhanced + weight * (basic - enhanced)


def _stack_form(both: Value, tilt: Value, exponent: Value) -> Value:
    """How the stack coefficient of the enhanced model depends on the spread of the leaks. [1]

    Parameters
    ----------
    both, tilt : Value
        R and X of the model. [1]
    exponent : Value
        Flow exponent. [1]
    """
    even: Value = 0.5
    if not is_nought(tilt):
        even = 0.5 - 0.5 * power(smaller(tilt * tilt / (2.0 - both), 1.0), 1.25)
    form: Value = (1.0 + exponent * both) / (exponent + 1.0) * power(even, exponent + 1.0)
    return form


def _wind_form(both: Value, tilt: Value, exponent: Value, foundation: str) -> Value:
    """How the wind coefficient of the enhanced model depends on the spread of the leaks. [1]

    Parameters
    ----------
    both, tilt : Value
        R and X of the model. [1]
    exponent : Value
        Flow exponent. [1]
    foundation : str
        ``"basement"`` or ``"crawlspace"``.
    """
    if foundation == "basement":
        return 1.0 - power(larger(0.5 * (tilt + both), 0.0), 1.5)
    off = (tilt - 0.2 * (1.0 - both)) / (2.0 - both)
    return (1.0 - both * (0.5 * exponent + 0.2)) * (1.0 - power(magnitude(off), 1.5))


def _is_table_exponent(exponent: Value) -> bool:
    return isinstance(exponent, float) and exponent == TABLE_EXPONENT


def _is_one(value: Value) -> bool:
    return isinstance(value, float) and value == 1.0
