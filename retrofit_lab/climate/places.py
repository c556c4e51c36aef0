"""Finds a place in the 50 states and DC by ZIP code, town or station number, and the weather that fits it there."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from retrofit_lab.base.shipped_files import data_path, read_rows
from retrofit_lab.climate.month_hours import warmer_hours
from retrofit_lab.climate.states import state_and_zip, state_of
from retrofit_lab.climate.stations import (
    Station,
    miles_between,
    nearest_stations,
    station_weather,
    stations,
)
from retrofit_lab.climate.weather import ClimateError, Weather
from retrofit_lab.physics.degree_days import cooling_degree_days, heating_degree_days
from retrofit_lab.texts.refusals import Sentence, told

LAPSE = 3.5
"""How much colder it is a thousand feet higher. [F] (usual lapse of the free air; practice of the trade)"""
MILES_PER_1000_FT = 30.0
"""A station 1,000 ft off in elevation is taken to be as unlike as one so many miles farther. (judgment,
held against what stations tell of one another in tests/climate/test_places.py) [mile]"""
SMALL = 0.05
"""Correction that is told as none. [F]"""
BASE = 65.0
OFFERED = 3
ONE_TOWN = 60.0
"""Stations of one name and state that lie farther apart than this are not of one town. [mile]"""
MOST_MATCHES = 8
MOST_LETTERS = 120
DC_ZIP = "20001"
LOWEST, HIGHEST = -300.0, 14_500.0

WAYS, OUTSIDE = "place.ways", "place.outside"
"""What a person can give, and where the country of the stations ends, as sentences."""
_ASKED = re.compile(
    r"^(?P<place>.+?)(?:\s+at\s+(?P<feet>-?[\d,.]+)\s*(?:ft|feet))?(?:\s+like\s+(?P<station>\S+))?$",
    re.IGNORECASE,
)
_ZIP = re.compile(r"^(\d{5})(?:-\d{4})?$")
_FOREIGN_CODE = re.compile(
    r"^[A-Z]\d[A-Z] ?\d[A-Z]\d$|^[A-Z]{1,2}\d[A-Z\d]? \d[A-Z]{2}$", re.IGNORECASE
)
_FAR_ZIPS = ("006", "007", "008", "009", "09", "340", "962", "963", "964", "965", "966", "969")
_BARE_STATE = re.compile(r"^(?P<name>.+)\s(?P<state>[A-Z]{2})$")
_SHORT = {"saint": "st", "fort": "ft", "mount": "mt"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a house stands: degrees north and east, elevation [ft].

    ``station`` is set where a station was named, and then its own weather is meant. ``notes`` say what
    was taken for what.
    """

    text: str
    latitude: float
    longitude: float
    elevation: float
    station: Station | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A station that a place may take: how far [mile], how much higher than the place [ft].

    ``warmer`` is what its temperatures are raised by for the place [F]; degree days to 65 F are those
    of the place, after that. ``word`` names the choice in a house file.
    """

    word: str
    station: Station
    miles: float
    higher: float
    warmer: float
    heating_degree_days: float
    cooling_degree_days: float


def find_place(text: str) -> Place:
    """Place of a ZIP code, an address, a station's town with its state, or a station number.

    ``at N ft`` may follow. Of an address only the ZIP code counts, or without one the town.

    Raises
    ------
    ClimateError
        When there is no such place, or more than one.
    """
    asked = _asked(text)
    place = _found(asked["place"].strip())
    if asked["feet"] is None:
        return place
    feet = _feet(asked["feet"], text)
    return replace(place, text=f"{place.text} at {feet:,.0f} ft", elevation=feet)


def place_weather(text: str) -> Weather:
    """Typical year of a place: the best of its nearest stations, or the one named by ``like STATION``.

    Raises
    ------
    ClimateError
        When there is no such place or station.
    """
    place, named = find_place(text), _asked(text)["station"]
    offer = _offer(place, station_numbered(named)) if named else best_offer(place)
    weather = station_weather(offer.station)
    if offer.station == place.station and not offer.warmer:
        return replace(weather, notes=place.notes)
    return replace(
        weather,
        key=text,
        name=told("place.weather_of", place=place.text, station=offer.station.place),
        latitude=place.latitude,
        longitude=place.longitude,
        elevation=place.elevation,
        temperature=weather.temperature + offer.warmer,
        hours=warmer_hours(weather.hours, offer.warmer),
        notes=(*place.notes, correction(place, offer)),
    )


def correction(place: Place, offer: Offer) -> Sentence:
    """Sentence that says how far off a station lies and what was corrected."""
    higher, warmer = round(offer.higher), offer.warmer
    level = "higher" if higher > 0 else "lower" if higher else "same_level"
    changed = "unchanged" if abs(warmer) < SMALL else "raised" if warmer > 0 else "lowered"
    return told(
        "place.correction", place=place.text, station=offer.station.place, miles=f"{offer.miles:.0f}",
        level=told(f"place.{level}", feet=f"{abs(higher):,}"), elevation=f"{place.elevation:,.0f}",
        changed=told(f"place.{changed}", degrees=f"{abs(warmer):.1f}"), lapse=f"{LAPSE:g}",
    )  # fmt: skip


def offers(place: Place, count: int = OFFERED) -> list[Offer]:
    """Nearest stations of a place, the nearest first."""
    near = nearest_stations(place.latitude, place.longitude, count)
    return [_offer(place, station) for station, _ in near]


def best_offer(place: Place) -> Offer:
    """Station whose weather a place takes when none is named: near, and of about its elevation."""
    if place.station is not None:
        return _offer(place, place.station)
    return min(
        offers(place),
        key=lambda offer: offer.miles + MILES_PER_1000_FT * abs(offer.higher) / 1000.0,
    )


def matches(text: str) -> list[Offer]:
    """What a person may mean who types this: stations around a ZIP code, or stations of that name.

    Empty where nothing fits yet. Words that name no place of a station are no error here.
    """
    text = text.strip()[:MOST_LETTERS]
    if re.match(r"\d", text):
        try:
            place = find_place(text)
        except ClimateError:
            return []
        return offers(place)
    name, state = _name_and_state(text)
    if len(_words(name)) < 3 or (state and state not in state_names()):
        return []
    found = _named(name, state, whole_words=False)[:MOST_MATCHES]
    return [_offer(_at(station), station) for station in found]


def station_numbered(number: str) -> Station:
    """Station of a number.

    Raises
    ------
    ClimateError
        When there is none.
    """
    for station in stations():
        if station.number == number:
            return station
    raise ClimateError(told("place.no_station", number=number, ways=told(WAYS)))


@cache
def state_names() -> dict[str, str]:
    """States and DC by their abbreviations."""
    return {row["abbreviation"]: row["name"] for row in read_rows("climates", "us_states.csv")}


def _asked(text: str) -> re.Match[str]:
    found = _ASKED.match(text.strip()) if len(text) <= MOST_LETTERS else None
    if found is None:
        raise ClimateError(told("place.empty", ways=told(WAYS)))
    return found


def _feet(digits: str, text: str) -> float:
    try:
        feet = float(digits.replace(",", ""))
    except ValueError:
        feet = np.nan
    if not LOWEST <= feet <= HIGHEST:
        low, high = f"{LOWEST:,.0f}", f"{HIGHEST:,.0f}"
        raise ClimateError(told("place.elevation", text=text, low=low, high=high))
    return feet


def _found(text: str) -> Place:
    code = _ZIP.match(text)
    if code:
        return _zip_place(code[1])
    if text.isdecimal():
        return _at(station_numbered(text)) if len(text) == 6 else _no_number(text)
    address = state_and_zip(text)
    if address and address[0] in state_names():
        return _of_address(text, *address)
    if _FOREIGN_CODE.match(text):
        raise ClimateError(told("place.not_a_zip", text=text, outside=told(OUTSIDE)))
    return _town(text)


def _of_address(text: str, state: str, code: str) -> Place:
    lies_in = state_of(code)
    if lies_in and lies_in != state:
        raise ClimateError(
            told("place.other_state", text=text, code=code, state=state, lies_in=lies_in)
        )
    return _zip_place(code)


def _no_number(text: str) -> Place:
    raise ClimateError(told("place.digits", text=text))


@cache
def _zip_points() -> NDArray[np.void]:
    points: NDArray[np.void] = np.load(data_path("climates", "us_zip_points.npy"))
    return points


def _zip_place(code: str) -> Place:
    if code.startswith(_FAR_ZIPS):
        raise ClimateError(told("place.far", code=code, outside=told(OUTSIDE)))
    points = _zip_points()
    row, notes = _zip_row(code, points["zip"])
    point = points[row]
    return Place(
        text=code,
        latitude=float(point["latitude_hundredth"]) / 100.0,
        longitude=float(point["longitude_hundredth"]) / 100.0,
        elevation=float(point["elevation_ft"]),
        notes=notes,
    )


def _zip_row(code: str, codes: NDArray[np.int32]) -> tuple[int, tuple[str, ...]]:
    """Row of a ZIP code, or of the nearest number with the same first three digits, which is told."""
    number = int(code)
    alike = np.flatnonzero(codes // 100 == number // 100)
    if not len(alike):
        raise ClimateError(told("place.no_zip", start=code[:3], ways=told(WAYS)))
    row = int(alike[np.argmin(np.abs(codes[alike] - number))])
    if codes[row] == number:
        return row, ()
    return row, (told("place.own_area", code=code, near=f"{codes[row]:05d}"),)


def _town(text: str) -> Place:
    name, state = _name_and_state(text)
    if not name:
        raise ClimateError(told("place.unknown", text=text, ways=told(WAYS)))
    if state and state not in state_names():
        raise ClimateError(told("place.no_state", text=text, state=state, outside=told(OUTSIDE)))
    if state == "DC":
        return replace(_zip_place(DC_ZIP), text="Washington, DC")
    found = _named(name, state)
    if not state:
        raise ClimateError(_which_state(text, found))
    if not found:
        raise ClimateError(told("place.no_town", name=name, state=state))
    return _of_several(name, state, found)


def _which_state(text: str, found: list[Station]) -> str:
    states = sorted({station.state for station in found})
    if not states:
        return told("place.no_climate", text=text, ways=told(WAYS))
    names = "; ".join(f'"{text.strip()}, {state}"' for state in states)
    return told("place.which_state", text=text, names=names)


def _of_several(name: str, state: str, found: list[Station]) -> Place:
    first, *others = found
    if not others:
        return _at(first)
    rest = "; ".join(f"{station.name} ({station.number})" for station in others[:MOST_MATCHES])
    latitudes, longitudes = np.array([(s.latitude, s.longitude) for s in others]).T
    if miles_between(first.latitude, first.longitude, latitudes, longitudes).max() > ONE_TOWN:
        named = f"{first.name} ({first.number})"
        raise ClimateError(told("place.apart", name=name, state=state, first=named, rest=rest))
    count = len(found)
    note = told("place.several", name=name, state=state, count=count, first=first.name, rest=rest)
    return replace(_at(first), notes=(note,))


def _at(station: Station) -> Place:
    return Place(
        text=station.place,
        latitude=station.latitude,
        longitude=station.longitude,
        elevation=station.elevation,
        station=station,
    )


def _offer(place: Place, station: Station) -> Offer:
    higher = station.elevation - place.elevation
    warmer = LAPSE * higher / 1000.0
    days = station_weather(station).temperature + warmer
    here = np.array([station.latitude]), np.array([station.longitude])
    itself = place.station == station
    return Offer(
        word=station.number if itself else f"{place.text} like {station.number}",
        station=station,
        miles=0.0 if itself else float(miles_between(place.latitude, place.longitude, *here)[0]),
        higher=higher,
        warmer=warmer,
        heating_degree_days=heating_degree_days(days, BASE),
        cooling_degree_days=cooling_degree_days(days, BASE),
    )


def _name_and_state(text: str) -> tuple[str, str]:
    """Name and state of ``Minneapolis, MN``, or at the end of an address.

    A written-out state is abbreviated, none is empty.
    """
    parts = [part.strip() for part in text.split(",")]
    name, state = parts[-2:] if len(parts) > 1 else (parts[0], "")
    bare = _BARE_STATE.match(name)
    if not state and bare and bare["state"] in state_names():
        return bare["name"].strip(), bare["state"]
    written = {full.lower(): short for short, full in state_names().items()}
    return name, written.get(state.lower(), state.upper())


def _named(name: str, state: str, *, whole_words: bool = True) -> list[Station]:
    """Stations whose place begins with a name: the very name first, then the largest kind of airport."""
    asked = _words(name) + (" " if whole_words else "")
    found = [
        station
        for station in stations()
        if state in ("", station.state)
        and any(f"{part} ".startswith(asked) for part in _parts(station))
    ]
    return sorted(
        found, key=lambda station: (_words(station.name) != asked.strip(), _kind(station))
    )


def _kind(station: Station) -> int:
    kinds = ("international", "intercontinental", "regional", "airport", "municipal")
    return next((n for n, kind in enumerate(kinds) if kind in station.name.lower()), len(kinds))


def _parts(station: Station) -> Iterator[str]:
    return (_words(part) for part in station.name.split("/"))


def _words(text: str) -> str:
    plain = re.sub(r"[^a-z0-9]+", " ", text.lower().replace("'", "")).split()
    return " ".join(_SHORT.get(word, word) for word in plain)
