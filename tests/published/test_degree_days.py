"""Degree days of the shipped sites and of a published station against independent sums."""

import numpy as np
import pytest
from checks import Check, assert_check

from retrofit_lab.climate.daily_csv import shipped_weather
from retrofit_lab.physics.degree_days import (
    cooling_degree_days,
    heating_degree_days,
)

FILES = "typical-year files of pvlib 0.16.1, summed independently"
LAURIER_BASE_65 = [1320, 1034, 860, 535, 295, 123, 32, 41, 225, 595, 944, 1222]
LAURIER_COOLING = [0, 0, 0, 0, 7, 42, 146, 118, 17, 0, 0, 0]
LENGTH = [31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
WRCC = "Western Regional Climate Center, station 454549, 1910-86"


def one_day(high: float, low: float) -> np.ndarray:
    return np.array([(high + low) / 2.0])


def heating(site: str, base: float) -> float:
    return heating_degree_days(shipped_weather(site).temperature, base)


CHECKS = [
    Check("degree days", "high 65, low 31, base 50", "WRCC page footer", "read", 2.0,
          lambda: heating_degree_days(one_day(65, 31), 50.0), 1e-12, "exact"),
    Check("degree days", "high 95, low 51, base 60, cooling", "WRCC page footer", "read", 13.0,
          lambda: cooling_degree_days(one_day(95, 51), 60.0), 1e-12, "exact"),
    Check("degree days", "high 60, low 40, base 65", "WRCC page footer", "read", 15.0,
          lambda: heating_degree_days(one_day(60, 40), 65.0), 1e-12, "exact"),
    *(
        Check("degree days", f"Greensboro, base {base}", FILES, "read", hdd,
              lambda base=base: heating("greensboro_nc", base), 0.3, "our file keeps three decimals")
        for base, hdd in {65.0: 3875.8, 60.0: 2878.9, 55.0: 2034.2, 50.0: 1381.0}.items()
    ),
    *(
        Check("degree days", f"Sand Point, base {base}", FILES, "read", hdd,
              lambda base=base: heating("sand_point_ak", base), 0.3, "our file keeps three decimals")
        for base, hdd in {65.0: 9140.6, 60.0: 7315.6, 55.0: 5508.8, 50.0: 3896.5}.items()
    ),
    Check("degree days", "Miami, base 65", FILES, "read", 129.7,
          lambda: heating("miami_fl", 65.0), 0.1, "our file keeps three decimals"),
    Check("degree days", "Miami, cooling base 65", FILES, "read", 4059.0,
          lambda: cooling_degree_days(shipped_weather("miami_fl").temperature, 65.0), 0.3,
          "our file keeps three decimals"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
