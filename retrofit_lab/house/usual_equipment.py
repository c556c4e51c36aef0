"""The kind of air conditioner and water heater that most houses like this one have; not their ratings and sizes."""

from retrofit_lab.house.place import Place

NO_SUMMER, SHORT_SUMMER = 300.0, 600.0
"""Cooling degree days below which most houses have no air conditioner, and below which most old ones make do with
window units. [F day] In every second home of the Residential Energy Consumption Survey 2015 (microdata, read) 72 %
have none below 300. From 300 to 600 half of those built before 1970 have window units and 59 % of the others a
central one, and beyond 600 a central one is the most frequent in both."""
OLD = 1970.0
"""Houses built before were rarely built with ducts to cool them. [year]"""
WATER_LIKE_HEAT = {
    "gas furnace": "gas tank",
    "gas boiler": "gas tank",
    "propane furnace": "propane tank",
}
"""Water heaters that most houses with this heating have: RECS 2015 tables HC1.6 and HC8.6 (read) have the fuel of
the rooms in 86 % of homes with gas and in 45 % with oil; propane is judgment. All others have an electric tank."""


def usual_cooling(heating: str, year_built: float, place: Place) -> str:
    """Answer to what cools the house, where nobody gave it.

    Parameters
    ----------
    heating : str
        Answer to what heats it. A heat pump cools by itself, and rooms without ducts have window units.
    year_built : float
        [year]
    place : Place
        Degree days of the place.

    Returns
    -------
    str
        One of the answers to that question.

    Examples
    --------
    >>> usual_cooling("gas furnace", 1985.0, Place(7000.0, 800.0))
    'central'
    >>> usual_cooling("gas boiler", 1985.0, Place(7000.0, 800.0))
    'window units'
    >>> usual_cooling("gas furnace", 1985.0, Place(5000.0, 150.0))
    'none'
    """
    days = place.cooling_degree_days
    if heating == "heat pump" or days < NO_SUMMER:
        return "none"
    has_ducts = "furnace" in heating and (year_built >= OLD or days >= SHORT_SUMMER)
    return "central" if has_ducts else "window units"


def usual_hot_water(heating: str) -> str:
    """Answer to what heats the water, where nobody gave it.

    Examples
    --------
    >>> usual_hot_water("gas furnace")
    'gas tank'
    >>> usual_hot_water("heat pump")
    'electric tank'
    """
    return WATER_LIKE_HEAT.get(heating, "electric tank")
