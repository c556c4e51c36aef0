"""The ``weather`` subcommand: which weather a place takes, and which other stations it may take."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from retrofit_lab.app.shared.weather_wording import degree_days, told
from retrofit_lab.climate.locating import find_climate, names_a_place
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.climate.places import BASE, LAPSE, Offer, Place, best_offer, find_place, offers
from retrofit_lab.texts.english_only import sentence


def add_weather(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    weather = commands.add_parser("weather", help=sentence("commands_weather.show_weather"))
    weather.add_argument(
        "place",
        nargs="+",
        help=sentence("commands_weather.zip_code"),
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
    yield sentence(
        "commands_weather.design",
        design_heating=f"{climate.design_heating:.0f}",
        design_cooling=f"{climate.design_cooling:.0f}",
    )
    yield sentence("commands_weather.ft_above", elevation_ft=f"{climate.elevation_ft:,.0f}")
    for note in climate.notes:
        yield f"  {note}"
    yield sentence("commands_weather.house_file", text=text)


def _near(text: str, place: Place) -> Iterator[str]:
    yield ""
    yield sentence("commands_weather.nearest_stations", lapse=f"{LAPSE:g}")
    if place.station is None:
        taken = best_offer(place).station
        for offer in offers(place):
            yield _line(offer, taken=offer.station == taken)
        yield sentence("commands_weather.use_another", word=offers(place)[1].word)
        if " at " not in text:
            yield sentence(
                "commands_weather.elevation_place",
                text=place.text,
                elevation=f"{place.elevation:,.0f}",
            )
        return
    for offer in offers(place):
        yield _line(offer, taken=offer.station == place.station)


def _line(offer: Offer, *, taken: bool) -> str:
    return f"{'*' if taken else ' '} {told(offer)} (station {offer.station.number})"
