"""What the form shows while a place is typed: stations that fit, as finished texts; what fits is found below."""

from typing import Any

from retrofit_lab.app.shared.weather_wording import told, told_by_itself
from retrofit_lab.app.walk.wording import WalkWords, walk_words
from retrofit_lab.climate.locating import ClimateError
from retrofit_lab.climate.places import LAPSE, Offer, best_offer, find_place, matches

Content = dict[str, Any]


def places_content(text: str, said: WalkWords | None = None) -> Content:
    """Matches of what is typed so far, each with the word that a house file takes, and a sentence about them."""
    offers, said = matches(text), said or walk_words()
    rows = _near(text, offers, said) if text[:1].isdecimal() and offers else _named(offers, said)
    return {"asked": text, "rows": rows, "told": _told(text, len(rows), said)}


def _named(offers: list[Offer], said: WalkWords) -> list[Content]:
    return [{"word": offer.word, "text": told_by_itself(offer, said.language)} for offer in offers]


def _near(text: str, offers: list[Offer], said: WalkWords) -> list[Content]:
    """Stations around a ZIP code; the one that it takes by itself needs no more than the code."""
    place = find_place(text)
    taken = best_offer(place).station
    return [
        {
            "word": place.text if offer.station == taken else offer.word,
            "text": said.say("place.taken", told=told(offer, said.language))
            if offer.station == taken
            else told(offer, said.language),
        }
        for offer in offers
    ]


def _told(text: str, count: int, said: WalkWords) -> str:
    by_code = text[:1].isdecimal()
    if count:
        some = said.say("place.one") if count == 1 else said.say("place.some", count=count)
        return said.say("place.near", told=some, degrees=f"{LAPSE:g}") if by_code else some
    if not by_code:
        return said.say("place.none") if len(text.strip()) > 2 else ""
    try:
        find_place(text)
    except ClimateError as error:
        return said.refusal(error)
    return ""
