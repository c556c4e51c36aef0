"""Places by ZIP code, town and station number, the stations that they are offered, and the correction for elevation."""

from dataclasses import replace

import numpy as np
import pytest

from retrofit_lab.climate.locating import find_climate, find_weather
from retrofit_lab.climate.places import (
    MILES_PER_1000_FT,
    best_offer,
    find_place,
    matches,
    offers,
    place_weather,
    state_names,
)
from retrofit_lab.climate.states import state_of
from retrofit_lab.climate.stations import miles_between, station_weather, stations
from retrofit_lab.climate.weather import ClimateError
from retrofit_lab.physics.degree_days import heating_degree_days


def test_a_zip_code_takes_a_near_station_and_says_so() -> None:
    climate = find_climate("55401")
    assert climate.name == "55401, weather of Minneapolis-St Paul international airport, MN"
    (note,) = climate.notes
    assert "7 miles away and 4 ft lower" in note
    assert "3.5 °F for each 1,000 ft" in note


def test_a_town_with_its_state_in_letters_or_written_out() -> None:
    short, full = find_place("St. Louis, MO"), find_place("saint louis, missouri")
    assert short.station == full.station
    assert short.station is not None
    assert short.station.place == "St Louis Lambert international airport, MO"
    assert "2 stations" in short.notes[0]
    assert "Spirit" in short.notes[0]


def test_a_town_without_the_comma() -> None:
    assert find_place("Fort Collins CO").station == find_place("Fort Collins, CO").station


@pytest.mark.parametrize(
    "address",
    ["123 Elm St, Duluth, MN 55802", "12345 Elm St Apt 4, Duluth MN 55802-1234", "1 Main St, Duluth, mn, 55802"],
)  # fmt: skip
def test_an_address_takes_its_zip_code_and_is_not_told_on(address: str) -> None:
    """Where people live stays with them: the sentences name the ZIP code alone."""
    climate, code = find_climate(address), find_climate("55802")
    assert climate.name == code.name
    assert climate.notes == code.notes
    assert "Elm" not in f"{climate.name}{climate.notes}"
    assert state_of(address) == "MN"


def test_an_address_without_a_zip_code_takes_its_town() -> None:
    assert find_place("123 Elm St, Duluth, MN").station == find_place("Duluth, MN").station


def test_a_station_number_keeps_its_own_days() -> None:
    weather = find_weather("726580")
    station = next(s for s in stations() if s.number == "726580")
    assert weather.temperature == pytest.approx(station_weather(station).temperature)
    assert weather.notes == ()


def test_one_of_the_three_can_be_named() -> None:
    first, second, third = offers(find_place("55401"))
    assert first.miles < second.miles < third.miles
    assert find_weather(third.word).name.endswith(third.station.place)


def test_elevation_is_corrected_and_can_be_given() -> None:
    estimated, given = find_place("80435"), find_place("80435 at 9,111 ft")
    assert estimated.elevation == pytest.approx(9111, abs=300)
    assert given.elevation == 9111.0
    low, high = place_weather("80435 at 8,111 ft"), place_weather("80435 at 9,111 ft")
    assert low.key != high.key
    same = [place_weather(f"80435 at {feet} ft like 724673") for feet in (8111, 9111)]
    assert same[0].temperature - same[1].temperature == pytest.approx(3.5)
    assert same[0].hours.groups - same[1].hours.groups == pytest.approx(3.5)
    assert same[0].hours.clock_temperature - same[1].hours.clock_temperature == pytest.approx(3.5)


def test_offers_hold_the_degree_days_of_the_place() -> None:
    place = find_place("80435")
    for offer in offers(place):
        days = find_weather(offer.word).temperature
        assert offer.heating_degree_days == pytest.approx(heating_degree_days(days, 65.0))
        assert offer.warmer == pytest.approx(0.0035 * (offer.station.elevation - place.elevation))


def test_a_zip_code_without_an_area_takes_the_nearest_number_and_tells() -> None:
    place = find_place("55499")
    assert place.notes == ("ZIP code 55499 has no area of its own; 55455 is used instead.",)
    assert place.text == "55499"


def test_the_district_of_columbia() -> None:
    weather = find_weather("Washington, DC")
    assert weather.name == "Washington, DC, weather of Washington DC Reagan airport, VA"
    assert find_weather("20001").temperature == pytest.approx(weather.temperature)


OUTSIDE = ("00901", "96910", "00802", "09011", "San Juan, PR", "Toronto, ON", "K1A 0B1", "SW1A 1AA")


@pytest.mark.parametrize("text", OUTSIDE)
def test_outside_the_states_it_says_how_to_give_weather(text: str) -> None:
    with pytest.raises(
        ClimateError, match=r"50 states and DC.*hourly typical year.*monthly normals"
    ):
        find_weather(text)


WRONG = {
    "Springfield": r"needs its state. Write \"Springfield, IL\"; \"Springfield, MO\"",
    "Minneapolis": r"needs its state. Write \"Minneapolis, MN\"",
    "Stillwater, MN": r"no weather station is in Stillwater, MN. Give the ZIP code",
    "San, CA": r"stations that lie far apart",
    "1 Elm St, Duluth, GA 55802": r"ZIP code 55802 is in MN, not in GA",
    "1 Elm St, Nowhere, MN": r"no weather station is in Nowhere, MN. Give the ZIP code",
    "5540": r"a ZIP code has five digits",
    "00100": r"no ZIP code begins with 001",
    "999999": r"there is no weather station 999999",
    "55401 like 1": r"there is no weather station 1\b",
    "55401 at 50,000 ft": r"-300 to 14,500 ft",
    "55401 at 1.2.3 ft": r"-300 to 14,500 ft",
    ", MN": r"is not a place",
    "": r"no place is given",
    "x" * 500: r"no place is given",
    "hill.epw": r"no weather file 'hill.epw'",
}


@pytest.mark.parametrize("text", WRONG, ids=lambda text: text[:20])
def test_what_cannot_be_found_is_told(text: str) -> None:
    with pytest.raises(ClimateError, match=WRONG[text]):
        find_weather(text)


def test_typing_shows_matches() -> None:
    assert [offer.station.state for offer in matches("minneap")] == ["MN", "MN"]
    assert len(matches("55401")) == 3
    assert len(matches("san")) == 8
    assert {offer.station.state for offer in matches("Portland, ME")} == {"ME"}
    for text in ("", "m", "5540", "00901", "zzz", "Portland, XX", "Portland,"):
        assert all(offer.station.name.startswith("Portland") for offer in matches(text))


def test_every_word_of_a_match_is_a_climate() -> None:
    for offer in (*matches("portland"), *matches("80435 at 9,111 ft"), *matches("99501")):
        assert find_climate(offer.word).degree_days.heating(65.0).sum() == pytest.approx(
            offer.heating_degree_days, abs=15
        )


def test_states_are_those_of_the_stations_and_dc() -> None:
    assert {station.state for station in stations()} == set(state_names()) - {"DC"}
    assert len(state_names()) == 51


def test_distance_of_a_degree_of_latitude_and_across_the_country() -> None:
    """A degree is 69.1 miles on this ball; New York to Los Angeles airports is 2,475 miles (memory)."""
    assert miles_between(40.0, -90.0, np.array([41.0]), np.array([-90.0])) == pytest.approx(
        69.1, abs=0.1
    )
    away = miles_between(40.64, -73.78, np.array([33.94]), np.array([-118.41]))
    assert away == pytest.approx(2475, rel=0.005)


def test_correction_brings_stations_of_other_elevation_nearer() -> None:
    """Each station, taken as a place without weather of its own, against its own days."""
    corrected, plain, nearest = [], [], []
    for station in stations()[::3]:
        place = replace(find_place(station.number), station=None)
        others = offers(place, 4)[1:]
        best = min(others, key=lambda o: o.miles + MILES_PER_1000_FT * abs(o.higher) / 1000.0)
        own = station.heating_degree_days
        if own < 2000 or abs(others[0].higher) < 500:
            continue
        corrected.append(abs(best.heating_degree_days / own - 1.0))
        plain.append(abs(others[0].station.heating_degree_days / own - 1.0))
        nearest.append(abs(others[0].heating_degree_days / own - 1.0))
    assert len(corrected) > 40
    assert np.mean(nearest) < 0.85 * np.mean(plain)
    assert np.mean(corrected) < np.mean(nearest)


def test_own_station_is_the_best_offer_of_a_named_one() -> None:
    assert best_offer(find_place("Fort Collins, CO")).station.name == "Fort Collins"
