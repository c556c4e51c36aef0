"""What the form shows while a place is typed: stations that fit, as finished texts; what fits is found below."""

from typing import Any

from retrofit_lab.app.shared.weather_wording import told, told_by_itself
from retrofit_lab.app.walk import wording
from retrofit_lab.climate.locating import ClimateError
from retrofit_lab.climate.places import LAPSE, Offer, best_offer, find_place, matches

Content = dict[str, Any]


def places_content(text: str) -> Content:
    """Matches of what is typed so far, each with the word that a house file takes, and a sentence about them."""
    offers = matches(text)
    rows = _near(text, offers) if text[:1].isdecimal() and offers else _named(offers)
    return {"asked": text, "rows": rows, "told": _told(text, len(rows))}


def _named(offers: list[Offer]) -> list[Content]:
    return [{"word": offer.word, "text": told_by_itself(offer)} for offer in offers]


def _near(text: str, offers: list[Offer]) -> list[Content]:
    """Stations round a ZIP code; the one that it takes by itself needs no more than the code."""
    place = find_place(text)
    taken = best_offer(place).station
    return [
        {
            "word": place.text if offer.station == taken else offer.word,
            "text": wording.station(told(offer), taken=offer.station == taken),
        }
        for offer in offers
    ]


def _told(text: str, count: int) -> str:
    by_code = text[:1].isdecimal()
    if count:
        return wording.near(count, LAPSE) if by_code else wording.matches(count)
    if not by_code:
        return wording.NO_PLACE if len(text.strip()) > 2 else ""
    try:
        find_place(text)
    except ClimateError as error:
        return str(error)
    return ""
