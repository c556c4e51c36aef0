"""What is taken where nobody said what cools the house or heats its water, against the homes of the survey."""

from collections import Counter

import pytest
from homes import Home, homes
from rebuilding import COOLING, MIDDLE_YEAR

import retrofit_lab as rl
from retrofit_lab.house.place import Place
from retrofit_lab.house.usual_equipment import OLD, usual_cooling

SUMMERS = {
    "none": (0.0, 300.0),
    "short": (300.0, 600.0),
    "long": (600.0, 1800.0),
    "hot": (1800.0, 9999.0),
}


def most_have(wanted: list[Home]) -> str:
    """The answer of most of the homes that no number was chosen by."""
    counted: Counter[str] = Counter()
    for home in wanted:
        counted[COOLING[home.cooling]] += round(home.weight)
    return counted.most_common(1)[0][0]


@pytest.mark.parametrize("old", [True, False], ids=("old", "newer"))
@pytest.mark.parametrize("summer", SUMMERS)
def test_cooling_is_what_most_homes_of_such_a_place_have(summer: str, old: bool) -> None:
    low, high = SUMMERS[summer]
    alike = [
        home
        for home in homes()
        if home.shown
        and low <= home.cooling_degree_days < high
        and (MIDDLE_YEAR[home.built] < OLD) is old
    ]
    assert len(alike) >= 10
    place = Place(5000.0, 0.5 * (low + high))
    assert usual_cooling("gas furnace", 1955.0 if old else 1995.0, place) == most_have(alike)


@pytest.mark.parametrize(
    ("heating", "fuel"),
    [("gas boiler", "natural_gas"), ("propane furnace", "propane"), ("heat pump", "electricity")],
)
def test_water_is_heated_by_what_heats_the_rooms(heating: str, fuel: str) -> None:
    house = rl.start(year_built=1952, floor_area=1400, heating=heating, climate="55401").house
    assert {tank.fuel for tank in house.water_heaters} == {fuel}


def test_a_house_of_few_answers_is_cooled_where_others_are() -> None:
    def cooled(place: str) -> float:
        used = rl.start(year_built=1985, floor_area=1400, climate=place).energy().table()
        return float(used.loc["cooling", "electricity [kWh/year]"])

    assert cooled("Phoenix, AZ") > 0.0
    assert cooled("Seattle, WA") == 0.0
