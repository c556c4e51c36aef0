"""Furnaces, boilers and resistance heaters: fuel for a load, and why a label is not the season's efficiency.

What ducts and blowers take on the way is in `ducts` and `fan`.
"""

from retrofit_lab.values import Value

BTU_PER_KWH = 3412.14
TEST_SIZE_RATIO = 1.7
"""Output against design load that the AFUE test assumes. [1] ASHRAE Standard 103 (memory)"""
TEST_MEAN_LOAD_SHARE = 23.0 / 60.0
"""Mean load against design load in the AFUE test: (65 - 42) F over (65 - 5) F. [1] ASHRAE Standard 103 (memory)"""
IDLE_LOSS_GAS = 0.038
IDLE_LOSS_OIL_BOILER = 0.094
"""Loss while idle against full input. [1] Set so that 2.3 times the design load costs 5 and 10 %, the
penalty that Karg states for the usual heater in the United States (jlconline.com, read)."""
WEAR_KEPT_UP = 0.005
WEAR_NEGLECTED = 0.015
"""Relative loss of efficiency a year. [1/year] (memory, judgement)"""


def fuel_input(load: Value, efficiency: Value) -> Value:
    """Fuel for a load.

    Parameters
    ----------
    load : Value
        Heat that the heater makes. [Btu]
    efficiency : Value
        Seasonal efficiency, for example AFUE; 1 for electric resistance. [1]

    Returns
    -------
    Value
        Fuel. [Btu]
    """
    return load / efficiency


def resistance_input(load: Value) -> Value:
    """Electricity of resistance heat. [kWh]

    Parameters
    ----------
    load : Value
        Heat. [Btu]
    """
    return load / BTU_PER_KWH


def mean_load_share(size_ratio: Value) -> Value:
    """Share of the time that a heater of a given size runs, in the mean of a season like the test's. [1]

    Parameters
    ----------
    size_ratio : Value
        Output against the design load of the house. [1]
    """
    return TEST_MEAN_LOAD_SHARE / size_ratio


def oversize_factor(size_ratio: Value, idle_loss: Value) -> Value:
    """Seasonal efficiency of a heater of a given size against its label.

    While it runs it burns full input, while it idles it loses a share of that. Insulating a house
    makes its heater larger against the load, which eats a little of the saving.

    Parameters
    ----------
    size_ratio : Value
        Output against the design load of the house, above 0. [1]
    idle_loss : Value
        Loss while idle against full input, such as `IDLE_LOSS_GAS`; 0 for condensing heaters with
        sealed combustion and for electric ones. [1]

    Returns
    -------
    Value
        Factor on AFUE, 1 at the size of the test (1.7), below 1 for larger heaters. [1]
    """
    at_test = 1.0 + idle_loss * (1.0 / mean_load_share(TEST_SIZE_RATIO) - 1.0)
    here = 1.0 + idle_loss * (1.0 / mean_load_share(size_ratio) - 1.0)
    return at_test / here


def aged_efficiency(efficiency: Value, years: Value, wear: Value = WEAR_NEGLECTED) -> Value:
    """Efficiency after years of use.

    Parameters
    ----------
    efficiency : Value
        When new. [1, or the unit of the rating]
    years : Value
        Age. [years]
    wear : Value
        Relative loss a year. [1/year]

    Returns
    -------
    Value
        In the unit of ``efficiency``.

    References
    ----------
    Compound loss by year of age (memory). A measured efficiency is always better.
    """
    return efficiency * (1.0 - wear) ** years


def pilot_input(rate: Value, hours: Value) -> Value:
    """Fuel of a standing pilot in hours outside the heating season, which AFUE does not hold. [Btu]

    Parameters
    ----------
    rate : Value
        Burning rate; 500 to 1,500 Btu/h, furnaces near 1,100. [Btu/h] (read: engineerfix.com, we-energies.com)
    hours : Value
        Hours that it burns for nothing. [h]
    """
    return rate * hours


def jacket_loss(fuel: Value, share: Value) -> Value:
    """Heat that the skin of a heater gives to the place where it stands.

    Parameters
    ----------
    fuel : Value
        Fuel burned. [Btu]
    share : Value
        Share of it; up to 0.08 for old boilers (read: norareport.org, page 16), 0.01 for furnaces. [1]

    Returns
    -------
    Value
        Heat to that place: a basement keeps part of it for the house. [Btu]
    """
    return fuel * share


def run_hours(load: Value, output: Value) -> Value:
    """Hours that a heater of fixed output runs for a load. [h]

    Parameters
    ----------
    load : Value
        Heat. [Btu]
    output : Value
        Heat made in an hour, above 0. [Btu/h]
    """
    return load / output
