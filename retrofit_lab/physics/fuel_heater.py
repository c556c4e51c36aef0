"""Furnaces, boilers and resistance heaters: fuel for a load, run time, and the pilot beyond the label.

What ducts and furnace fans take on the way is in `ducts` and `fan`.
"""

from retrofit_lab.base.values import Value


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

    Examples
    --------
    >>> fuel_input(80.0e6, 0.8)
    100000000.0
    """
    return load / efficiency


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
