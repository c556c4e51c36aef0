"""Shipped typical years against published climate: degree days, design temperatures, energy-code zones, normals."""

import csv
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import spearmanr

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.file import load_house
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.study import Study

HERE = Path(__file__).parent
HOUSE = load_house(data_path("houses", "wren_cottage.toml"))

ZONES = {
    "Miami, FL": 1, "Honolulu, HI": 1, "Houston, TX": 2, "Phoenix, AZ": 2, "Tampa, FL": 2,
    "New Orleans, LA": 2, "Atlanta, GA": 3, "Las Vegas, NV": 3, "Dallas, TX": 3,
    "Los Angeles, CA": 3, "San Francisco, CA": 3, "Memphis, TN": 3, "El Paso, TX": 3,
    "Baltimore, MD": 4, "Albuquerque, NM": 4, "Seattle, WA": 4, "Nashville, TN": 4,
    "St Louis, MO": 4, "Kansas City, MO": 4, "Boise, ID": 5, "Chicago, IL": 5, "80302": 5,
    "Boston, MA": 5, "Des Moines, IA": 5, "Pittsburgh, PA": 5, "Minneapolis, MN": 6,
    "Burlington, VT": 6, "Helena, MT": 6, "Milwaukee, WI": 6, "Duluth, MN": 7,
    "International Falls, MN": 7, "Fairbanks, AK": 8,
}  # fmt: skip
"""Climate zones of the International Energy Conservation Code by county.

Miami, Houston, Phoenix, Atlanta, Los Angeles, Las Vegas, San Francisco, Baltimore, Albuquerque, Seattle,
Chicago and Boulder (80302) stand for their zones in the Department of Energy's guide to climate regions (read,
in a public copy of its table); the others are from memory.
"""

NORMALS = {
    "Minneapolis, MN": [15.6, 20.8, 32.8, 47.5, 59.1, 68.8, 73.8, 71.2, 62.0, 48.9, 33.7, 19.7],
    "Chicago, IL": [23.8, 27.7, 37.9, 48.9, 59.1, 68.9, 74.0, 72.4, 64.6, 52.5, 40.3, 27.7],
    "Boston, MA": [29.0, 31.7, 38.3, 48.1, 58.0, 67.7, 73.6, 72.1, 64.9, 54.4, 44.8, 34.7],
    "Denver, CO": [30.7, 32.5, 40.4, 47.4, 57.1, 67.4, 74.2, 72.5, 63.4, 50.9, 38.3, 30.0],
    "Atlanta, GA": [43.3, 47.2, 54.3, 61.9, 70.1, 77.1, 80.0, 79.2, 73.6, 63.2, 54.0, 45.3],
    "Seattle, WA": [42.0, 43.4, 46.5, 50.3, 56.0, 61.0, 65.7, 66.1, 61.3, 53.3, 46.2, 40.6],
}
"""Monthly mean temperatures, NOAA normals 1981-2010 of the airport stations (memory). [F]"""


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def off(column: str, sum_of: Callable[[MonthlyClimate], float], least: float) -> np.ndarray:
    """Relative differences from published degree days, where those are at least so many."""
    return np.array(
        [
            sum_of(find_climate(row["place"])) / float(row[column]) - 1.0
            for row in rows("published_degree_days.csv")
            if float(row[column]) >= least
        ]
    )


def test_heating_degree_days_of_sixty_places() -> None:
    wrong = np.abs(off("heating", lambda c: float(c.degree_days.heating(65.0).sum()), 1.0))
    assert len(wrong) >= 60
    assert (wrong <= 0.10).mean() >= 27 / 30
    assert wrong.max() <= 0.15


def test_cooling_degree_days_where_it_is_hot() -> None:
    wrong = np.abs(off("cooling", lambda c: float(c.degree_days.cooling(65.0).sum()), 1500.0))
    assert len(wrong) >= 15
    assert (wrong <= 0.10).mean() >= 0.9
    assert wrong.max() <= 0.15


def test_heating_degree_days_of_seattle_tacoma() -> None:
    """Normals 1981-2010 are 4697 (seattle.gov, read)."""
    days = find_climate("Seattle, WA").degree_days.heating(65.0).sum()
    assert days == pytest.approx(4697, rel=0.05)


def design_differences() -> tuple[np.ndarray, np.ndarray]:
    heating, cooling = [], []
    for row in rows("published_design_temperatures.csv"):
        climate = find_climate(row["station"])
        heating.append(climate.design_heating - (float(row["heating_99_percent_C"]) * 1.8 + 32))
        cooling.append(climate.design_cooling - (float(row["cooling_1_percent_C"]) * 1.8 + 32))
    return np.abs(heating), np.abs(cooling)


def test_design_temperatures_of_stations() -> None:
    """One typical year knows the hot end well; of the coldest nights it has fewer than thirty years have.

    Nine of the 58 heating temperatures, six of them in valleys of the mountain West, lie 4 to 8 F off.
    """
    heating, cooling = design_differences()
    assert len(heating) >= 50
    assert (cooling <= 4.0).sum() >= len(cooling) - 1
    assert (heating <= 4.0).mean() >= 0.8
    assert heating.mean() <= 2.5
    assert heating.max() <= 8.5


def heat(place: str) -> float:
    """Energy that heats the example house there in a year. [Btu]"""
    year = year_energy(HOUSE, find_climate(place))
    return float(year.annual("natural_gas", "heating"))


def test_one_house_ranks_as_the_zones_of_the_energy_code() -> None:
    assert len(ZONES) >= 30
    order = spearmanr(list(ZONES.values()), [heat(place) for place in ZONES])
    assert order.statistic >= 0.9


def saving_of_attic_insulation(climate: MonthlyClimate) -> float:
    result = Study(HOUSE, climate).plan(("attic_insulation",))
    return result.before.cost - result.after.cost


@pytest.mark.parametrize("place", NORMALS)
def test_published_normals_save_as_the_typical_year(tmp_path: Path, place: str) -> None:
    lines = [f"{month + 1},{mean}" for month, mean in enumerate(NORMALS[place])]
    (tmp_path / "normals.csv").write_text("\n".join(["month,mean", *lines]), encoding="utf-8")
    normals = find_climate(f"normals.csv like {place}", str(tmp_path))
    typical = saving_of_attic_insulation(find_climate(place))
    assert saving_of_attic_insulation(normals) == pytest.approx(typical, rel=0.05)


LENT = {"Minneapolis, MN": "726584", "Chicago, IL": "725340", "Boston, MA": "725098", "Atlanta, GA": "722195"}  # fmt: skip


@pytest.mark.parametrize("place", LENT)
def test_days_lent_by_another_station_save_as_its_own(tmp_path: Path, place: str) -> None:
    """Twelve means of a place, with days and hours of a station beside it."""
    climate = find_climate(place)
    lines = [f"{month + 1},{mean:.2f}" for month, mean in enumerate(climate.temperature)]
    (tmp_path / "means.csv").write_text("\n".join(["month,mean", *lines]), encoding="utf-8")
    lent = find_climate(f"means.csv like {LENT[place]}", str(tmp_path))
    typical = saving_of_attic_insulation(climate)
    assert saving_of_attic_insulation(lent) == pytest.approx(typical, rel=0.05)
