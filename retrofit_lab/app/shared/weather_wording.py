"""How a weather station is told to a person: how far, how much higher, how cold; the numbers come from `climate`."""

from retrofit_lab.climate.places import Offer


def distance(offer: Offer) -> str:
    """How far a station lies."""
    return f"{offer.miles:.0f} miles away" if offer.miles >= 0.5 else "right there"


def elevation(offer: Offer) -> str:
    """How much higher or lower a station lies."""
    feet = round(offer.higher)
    if not feet:
        return "at the same elevation"
    return f"{abs(feet):,} ft {'higher' if feet > 0 else 'lower'}"


def degree_days(heating: float, cooling: float) -> str:
    """Degree days of a place, to the nearest ten."""
    return f"{round(heating, -1):,.0f} heating and {round(cooling, -1):,.0f} cooling degree days"


def told(offer: Offer) -> str:
    """A station in one line, with its name first."""
    facts = (
        distance(offer),
        elevation(offer),
        degree_days(offer.heating_degree_days, offer.cooling_degree_days),
    )
    return f"{offer.station.place}: {', '.join(facts)}"


def told_by_itself(offer: Offer) -> str:
    """A station that was found by its name in one line."""
    days = degree_days(offer.heating_degree_days, offer.cooling_degree_days)
    return f"{offer.station.place}: {offer.station.elevation:,.0f} ft above sea level, {days}"
