"""How a weather station is told to a person: how far, how much higher, how cold; the numbers come from `climate`."""

from retrofit_lab.app.shared.words import words
from retrofit_lab.climate.places import Offer
from retrofit_lab.texts import LANGUAGES

PAGE = "weather"
ENGLISH = LANGUAGES[0]


def distance(offer: Offer, language: str = ENGLISH) -> str:
    """How far a station lies."""
    said = words(language, page=PAGE)
    if offer.miles < 0.5:
        return said.say("station.right_there")
    return said.say("station.away", miles=f"{offer.miles:.0f}")


def elevation(offer: Offer, language: str = ENGLISH) -> str:
    """How much higher or lower a station lies."""
    said, feet = words(language, page=PAGE), round(offer.higher)
    if not feet:
        return said.say("station.same")
    return said.say("station.higher" if feet > 0 else "station.lower", feet=f"{abs(feet):,}")


def degree_days(heating: float, cooling: float, language: str = ENGLISH) -> str:
    """Degree days of a place, to the nearest ten."""
    told = {"heating": f"{round(heating, -1):,.0f}", "cooling": f"{round(cooling, -1):,.0f}"}
    return words(language, page=PAGE).say("station.days", **told)


def told(offer: Offer, language: str = ENGLISH) -> str:
    """A station in one line, with its name first."""
    facts = (
        distance(offer, language),
        elevation(offer, language),
        degree_days(offer.heating_degree_days, offer.cooling_degree_days, language),
    )
    return f"{offer.station.place}: {', '.join(facts)}"


def told_by_itself(offer: Offer, language: str = ENGLISH) -> str:
    """A station that was found by its name in one line."""
    feet = f"{offer.station.elevation:,.0f}"
    height = words(language, page=PAGE).say("station.above_sea", feet=feet)
    days = degree_days(offer.heating_degree_days, offer.cooling_degree_days, language)
    return f"{offer.station.place}: {height}, {days}"
