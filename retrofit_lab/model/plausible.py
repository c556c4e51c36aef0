"""What a described house uses for its floor area, held against a survey of measured homes; both numbers are told."""

from retrofit_lab.house.oddity import Oddity
from retrofit_lab.house.place import place_in
from retrofit_lab.house.usual import usual_use_per_area
from retrofit_lab.model.year import YearEnergy

BTU_PER_KBTU = 1000.0


def unlikely_use(year: YearEnergy) -> tuple[Oddity, ...]:
    """Use per floor area of one house, where eight in ten houses in such a climate use less or more.

    Parameters
    ----------
    year : YearEnergy
        Year of one house, not of many at once.

    Returns
    -------
    tuple of Oddity
        Empty where the use is usual; else one with both numbers and what to look at. [kBtu/ft2]

    References
    ----------
    ``data/use_per_area.csv``: RECS 2015, measured homes.

    Examples
    --------
    The same energy in a tenth of the floor is told:

    >>> small = replace(house, size=replace(house.size, floor_area=house.size.floor_area / 10.0))
    >>> len(unlikely_use(year_energy(small, climate)))
    1
    """
    house = year.parts.house
    used = sum(float(year.annual(fuel, use)) for fuel, use in year.monthly)
    intensity = used / float(house.size.floor_area) / BTU_PER_KBTU
    low, high = usual_use_per_area(place_in(year.parts.climate).heating_degree_days)
    if low <= intensity <= high:
        return ()
    both = {
        "used": f"{intensity:.0f}",
        "floor": f"{house.size.floor_area:,.0f}",
        "low": f"{low:.0f}",
        "high": f"{high:.0f}",
    }
    return (Oddity("size.floor_area", "use_high" if intensity > high else "use_low", both),)
