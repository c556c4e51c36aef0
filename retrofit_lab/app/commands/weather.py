"""The ``weather`` subcommand: which weather a place takes, and which other stations it may take."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from retrofit_lab.app.shared.weather_wording import degree_days, told
from retrofit_lab.climate.locating import find_climate, names_a_place
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.climate.places import BASE, LAPSE, Offer, Place, best_offer, find_place, offers


def add_weather(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    weather = commands.add_parser(
        "weather", help="show the weather of a ZIP code, a town, a station or a weather file"
    )
    weather.add_argument(
        "place",
        nargs="+",
        help='ZIP code, "Town, ST", station number, or anything else that "climate" of a house may be',
    )
    weather.set_defaults(run=show_weather)


def show_weather(options: argparse.Namespace) -> int:
    """Print the stations near a place and the weather that it takes; 0."""
    text = " ".join(options.place).strip()
    climate = find_climate(text)
    near = _near(text, find_place(text)) if names_a_place(text, Path()) else ()
    sys.stdout.write("\n".join([*_taken(text, climate), *near]) + "\n")
    return 0


def _taken(text: str, climate: MonthlyClimate) -> Iterator[str]:
    heating = climate.degree_days.heating(BASE).sum()
    cooling = climate.degree_days.cooling(BASE).sum()
    yield f"{climate.name}"
    yield f"  {degree_days(float(heating), float(cooling))}, both to {BASE:g} °F"
    yield (
        f"  {climate.design_heating:.0f} °F in the coldest 1% of hours, "
        f"{climate.design_cooling:.0f} °F in the hottest 1% (estimated from the typical year)"
    )
    yield f"  {climate.elevation_ft:,.0f} ft above sea level"
    for note in climate.notes:
        yield f"  {note}"
    yield f'In a house file: climate = "{text}"'


def _near(text: str, place: Place) -> Iterator[str]:
    yield ""
    yield f"The nearest stations, with degree days corrected to the place by {LAPSE:g} °F for each 1,000 ft:"
    if place.station is None:
        taken = best_offer(place).station
        for offer in offers(place):
            yield _line(offer, taken=offer.station == taken)
        yield f'To use another one, add it, as in climate = "{offers(place)[1].word}".'
        if " at " not in text:
            yield (
                f"The elevation of the place is estimated from the airfields near it. If you know better, write "
                f'climate = "{place.text} at {place.elevation:,.0f} ft".'
            )
        return
    for offer in offers(place):
        yield _line(offer, taken=offer.station == place.station)


def _line(offer: Offer, *, taken: bool) -> str:
    return f"{'*' if taken else ' '} {told(offer)} (station {offer.station.number})"
