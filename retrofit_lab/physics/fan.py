"""Furnace fans: electricity while heat or cold is made, and the heat they give the air."""

from retrofit_lab.base.values import Value

BTU_PER_WATT_HOUR = 3.41214


def fan_energy(heat: Value, heat_rate: Value, power: Value) -> Value:
    """Electricity of a furnace fan that runs while heat (or cold) is made.

    Parameters
    ----------
    heat : Value
        Heat made in a month. [Btu]
    heat_rate : Value
        Heat made in an hour of running, above 0. [Btu/h]
    power : Value
        Electric power. [W]

    Returns
    -------
    Value
        Electricity. [kWh]
    """
    return heat / heat_rate * power / 1000.0


def fan_heat(power: Value) -> Value:
    """Heat that a furnace fan in the air stream gives the air: it helps heating and burdens cooling.

    Parameters
    ----------
    power : Value
        Electric power. [W]

    Returns
    -------
    Value
        Heat. [Btu/h]

    Examples
    --------
    >>> round(fan_heat(365.0))
    1245
    """
    return power * BTU_PER_WATT_HOUR
