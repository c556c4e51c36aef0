"""Present-worth factors: what a later or yearly dollar is worth today, at real rates and end-of-year flows."""

import numpy as np

from retrofit_lab.base.values import Value

SAME = 1e-12


def single_present_value(rate: Value, years: Value) -> Value:
    """Worth today of a dollar at the end of a year (SPV). [1]

    Parameters
    ----------
    rate : Value
        Real discount rate. [1/year]
    years : Value
        When. [year]

    References
    ----------
    10 CFR 436 subpart A; NIST Handbook 135 worked factors, as quoted (read).
    """
    return (1.0 + rate) ** (-years)


def uniform_present_value(rate: Value, years: Value) -> Value:
    """Worth today of a dollar at the end of every year (UPV); the number of years when the rate is 0. [1]"""
    return modified_uniform_present_value(rate, 0.0, years)


def real_rate(nominal: Value, inflation: Value) -> Value:
    """Rate above general inflation of a rate in dollars of the day. [1/year]

    >>> round(real_rate(0.05, 0.02), 6)
    0.029412
    """
    return (1.0 + nominal) / (1.0 + inflation) - 1.0


def nominal_rate(real: Value, inflation: Value) -> Value:
    """Rate in dollars of the day of a rate above general inflation. [1/year]

    >>> round(nominal_rate(0.03, 0.02), 6)
    0.0506
    """
    return (1.0 + real) * (1.0 + inflation) - 1.0


def modified_uniform_present_value(rate: Value, escalation: Value, years: Value) -> Value:
    """Worth today of a yearly dollar whose price rises (UPV*). [1]

    Parameters
    ----------
    rate, escalation : Value
        Real discount rate and real price rise. [1/year]
    years : Value
        Study period. [year]
    """
    growth = (1.0 + escalation) / (1.0 + rate)
    gap = rate - escalation
    same = np.abs(gap) < SAME
    factor = (1.0 + escalation) / np.where(same, 1.0, gap) * (1.0 - growth**years)
    result = np.where(same, years, factor)
    return float(result) if result.ndim == 0 else result
