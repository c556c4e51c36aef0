"""Sentences on why two measures overlap or help each other, from the mechanisms that they touch."""

from collections.abc import Iterable

_REASONS: tuple[tuple[frozenset[str], str, str], ...] = (
    (
        frozenset({"heating_load", "heating_equipment"}),
        "The less heat the house needs, the less a better heater has left to save.",
        "",
    ),
    (
        frozenset({"cooling_load", "cooling_equipment"}),
        "The less cooling the house needs, the less a better cooler has left to save.",
        "",
    ),
    (
        frozenset({"ducts", "heating_equipment"}),
        "Tighter ducts leave less heat to make, so a better heater has less left to save.",
        "",
    ),
    (
        frozenset({"ducts", "basement_boundary"}),
        "In a warmer basement the ducts lose less, so working on them saves less.",
        "In a colder basement the ducts lose more, so working on them saves more.",
    ),
    (
        frozenset({"ducts", "heating_load"}),
        "When the house needs less heat, less heat goes through the ducts to be lost.",
        "",
    ),
    (
        frozenset({"thermostat", "heating_load"}),
        "A house that loses less has less to save when it is turned down, and cools off more slowly.",
        "",
    ),
    (
        frozenset({"thermostat", "heating_equipment"}),
        "Turning down saves heat that a better heater would have made more cheaply anyway.",
        "",
    ),
    (
        frozenset({"hot_water_draw", "hot_water_equipment"}),
        "The less hot water you draw, the less a better water heater has left to save.",
        "",
    ),
    (
        frozenset({"hot_water_standby", "hot_water_equipment"}),
        "A better water heater makes the heat that the tank loses more cheaply.",
        "",
    ),
    (
        frozenset({"hot_water_standby"}),
        "A cooler tank loses less, so wrapping it saves less.",
        "",
    ),
    (
        frozenset({"plug_gain", "heating_equipment"}),
        "",
        "The heating makes up for the heat of the old lamps and sets; a better heater does so more cheaply.",
    ),
    (
        frozenset({"plug_gain", "heating_load"}),
        "With less waste heat from lamps and sets the heating season changes, and with it what insulation saves.",
        "With less waste heat from lamps and sets the house needs heat longer, so insulation saves more.",
    ),
    (
        frozenset({"air_leakage"}),
        "The less air passes through the house, the less there is left to stop.",
        "",
    ),
    (
        frozenset({"heating_load"}),
        "Both shorten the heating season; the second finds it shorter already.",
        "",
    ),
)
OVERLAP = "Both work on the same heat, so part of the saving is counted twice when they are looked at alone."
HELP = "Each leaves the other more to save."


def reason(first: Iterable[str], second: Iterable[str], overlap: float) -> str:
    """Plain sentence on why two measures save less, or more, together than one by one.

    Parameters
    ----------
    first, second : iterable of str
        Mechanism tags of the two measures.
    overlap : float
        Savings one by one less savings together; positive where they overlap. [any]
    """
    a, b = set(first), set(second)
    for tags, overlapping, helping in _REASONS:
        sentence = overlapping if overlap > 0 else helping
        if sentence and _joined(a, b, tags):
            return sentence
    return OVERLAP if overlap > 0 else HELP


def _joined(a: set[str], b: set[str], tags: frozenset[str]) -> bool:
    if len(tags) == 1:
        return tags <= a and tags <= b
    one, other = sorted(tags)
    return (one in a and other in b) or (other in a and one in b)
