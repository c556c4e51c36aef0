"""Heat pump, air conditioner and their labels in the hourly house; loads come from elsewhere.

The curves are those of one usual single-speed machine. The label follows from the curves by the test
procedure of 10 CFR 430 subpart B appendix M (memory): bins of region IV, defrost point at 35 F at 0.90
of the capacity and 0.985 of the power of the straight line, cycling loss 0.25, SEER at 82 F. The cooling
coil is a bypass-factor coil (0.15), with capacity and power against outdoor and wet-bulb temperature as
maps of such machines show (memory).
"""

import numpy as np

BTU, WATT_FAN_RATED = 3.412, 0.365
BINS = np.arange(62, -24, -5)[:15].astype(float)
SHARES = np.array(
    [0.132, 0.111, 0.103, 0.093, 0.100, 0.109, 0.126, 0.087, 0.055, 0.036, 0.026, 0.013, 0.006, 0.002, 0.001]
)  # fmt: skip
CAPACITY_17, COP_17 = 0.62, 0.70
"""Capacity and COP at 17 F against 47 F of a usual single-speed machine. (judgment)"""
CYCLING = 0.25
COOL_CYCLING = 0.20
BYPASS = 0.15


def heating_capacity(fahrenheit, capacity_47):
    """Output with frost and defrost. [unit of the rated output]"""
    at_17 = CAPACITY_17 * capacity_47
    return _frosted(fahrenheit, capacity_47, at_17, 0.90)


def heating_power(fahrenheit, capacity_47, cop_47):
    """Electric power, blower at its rated power included. [unit of the rated output]"""
    at_47 = capacity_47 / cop_47
    at_17 = CAPACITY_17 * capacity_47 / (COP_17 * cop_47)
    return _frosted(fahrenheit, at_47, at_17, 0.985)


def _frosted(t, at_47, at_17, factor):
    slope = (at_47 - at_17) / 30
    clean = at_17 + slope * (t - 17)
    at_35 = factor * (at_17 + 0.6 * (at_47 - at_17))
    frosted = at_17 + (at_35 - at_17) * (t - 17) / 18
    return np.where((t > 17) & (t < 45), frosted, np.maximum(clean, 0.2 * at_47))


def hspf_label(capacity_47, cop_47):
    """Label of a machine: region IV bins, design load at the least requirement. [Btu/Wh]"""
    need = _design_requirement(capacity_47)
    load = 0.77 * need * (65 - BINS) / 60
    able, power = heating_capacity(BINS, capacity_47), heating_power(BINS, capacity_47, cop_47)
    x = np.minimum(load / able, 1)
    plf = 1 - CYCLING * (1 - x)
    electric = x * power / plf + np.maximum(load - able, 0)
    return BTU * (SHARES * load).sum() / (SHARES * electric).sum()


def _design_requirement(capacity_47):
    """Least design heating requirement in region IV (5 F): the rated output at the nearest step. [Btu/h]"""
    steps = np.array([5, 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 90, 100, 110, 130]) * 1000.0
    return steps[np.abs(steps - capacity_47).argmin()]


def seer_label(eer_95):
    """Label of a cooling machine by its EER at 82 F and half cycling. [Btu/Wh]"""
    return (
        eer_95 * cool_capacity_share(82.0, 67.0) / cool_power_share(82.0) * (1 - 0.5 * COOL_CYCLING)
    )


def cool_capacity_share(outdoor_f, wet_bulb_f):
    """Total capacity against rating (95 F, 67 F wet bulb). [1]"""
    return (1 - 0.0045 * (outdoor_f - 95)) * (1 + 0.010 * (wet_bulb_f - 67))


def cool_power_share(outdoor_f):
    """Power against rating. [1]"""
    return 1 + 0.009 * (outdoor_f - 95)


def coil(total, mass_flow, enter_c, enter_w, pressure):
    """Sensible and latent heat [W] that a coil of a total capacity takes from air passing it.

    The surface temperature is found at which both add to the total; a dry surface takes sensible heat only.
    """
    touched = mass_flow * (1 - BYPASS)
    surface = enter_c - total / (touched * 1006 * 1.3)
    for _ in range(5):
        wet, slope = _saturated(surface, pressure)
        latent = np.where(enter_w > wet, touched * 2.45e6 * (enter_w - wet), 0.0)
        rest = touched * 1006 * (enter_c - surface) + latent - total
        steep = touched * 1006 + np.where(enter_w > wet, touched * 2.45e6 * slope, 0.0)
        surface = np.maximum(surface + rest / steep, -2.0)
    wet, _ = _saturated(surface, pressure)
    sensible = touched * 1006 * (enter_c - surface)
    latent = np.where(enter_w > wet, touched * 2.45e6 * (enter_w - wet), 0.0)
    return sensible, latent


def _saturated(celsius, pressure):
    vapor = 610.94 * np.exp(17.625 * celsius / (celsius + 243.04))
    ratio = 0.622 * vapor / (pressure - vapor)
    slope = ratio * pressure / (pressure - vapor) * 17.625 * 243.04 / (celsius + 243.04) ** 2
    return ratio, slope
