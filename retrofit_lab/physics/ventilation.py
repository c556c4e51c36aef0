"""Fans together with natural flow, and the least ventilation that the standard asks for."""

import numpy as np

from retrofit_lab.values import Value


def combine_with_fans(
    natural: Value, exhaust: Value, supply: Value, *, balanced: Value = 0.0
) -> Value:
    """All outdoor air that comes in.

    Half of an unbalanced fan's flow adds to the natural flow, and it is never less than the fan's;
    balanced flow adds fully.

    Parameters
    ----------
    natural : Value
        By wind and stack. [cfm]
    exhaust, supply : Value
        Mean flows of fans one way. [cfm]
    balanced : Value
        Mean flow of balanced fans. [cfm]

    References
    ----------
    Half-fan rule, Palmiter and Bond 1991 (memory); other published rules add in quadrature.
    """
    if isinstance(exhaust, float) and isinstance(supply, float) and exhaust == supply == 0.0:
        return natural + balanced
    unbalanced = np.abs(exhaust - supply)
    both = np.minimum(exhaust, supply)
    return np.maximum(unbalanced, natural + 0.5 * unbalanced) + both + balanced


def minimum_ventilation(floor_area: Value, bedrooms: Value) -> Value:
    """Whole-house ventilation that the standard asks for.

    Parameters
    ----------
    floor_area : Value
        Heated floor area. [ft2]
    bedrooms : Value
        Number of bedrooms. [1]

    Returns
    -------
    Value
        Flow. [cfm]

    References
    ----------
    ASHRAE 62.2-2013: 0.03 A + 7.5 (bedrooms + 1) (read in a secondary copy).
    """
    return 0.03 * floor_area + 7.5 * (bedrooms + 1.0)


def ventilation_shortfall(minimum: Value, infiltration: Value, fans: Value) -> Value:
    """Flow that is missing to the minimum, infiltration counted in full as for existing houses. [cfm]"""
    return np.maximum(minimum - infiltration - fans, 0.0)
