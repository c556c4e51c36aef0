"""What jobs cost elsewhere lies within what the catalog says that they cost, in dollars of the same year."""

import pytest
from checks import outside

from retrofit_lab.measures.catalog import measure_named
from retrofit_lab.measures.fitted_measures import price

CONSUMER_PRICES = {
    2009: 214.5, 2018: 251.1, 2019: 255.7, 2020: 258.8, 2021: 271.0, 2022: 292.7, 2023: 304.7, 2025: 322.0,
}  # fmt: skip
"""Consumer price index of all cities by year, 1982 to 1984 as 100. (memory)"""
SURVEY = "yearly survey of what remodelers charge, as trade papers quote it (read)"
OUTLOOK = "lighting table of the residential model of the federal energy outlook of 2025 (read)"
GUIDE = "consumer cost guide of 2023 (read)"
REBATES = "clean energy agency of Massachusetts on its rebates of 2018 and 2019, supplemental systems (read)"
JOBS = (
    ("new_windows", 150.0, 17_641.0, 2020, f"ten vinyl windows of 3 by 5 ft; {SURVEY}"),
    ("new_windows", 150.0, 19_385.0, 2021, f"ten vinyl windows of 3 by 5 ft; {SURVEY}"),
    ("new_windows", 15.0 * 10, 8_000.0, 2023, f"ten double-pane windows at the low end; {GUIDE}"),
    ("new_doors", 20.0, 1_471.0, 2018, f"a steel entry door of 3-0 by 6-8; {SURVEY}"),
    ("new_doors", 20.0, 1_826.0, 2019, f"a steel entry door of 3-0 by 6-8; {SURVEY}"),
    ("new_doors", 20.0, 2_082.0, 2021, f"a steel entry door of 3-0 by 6-8; {SURVEY}"),
    ("led_lamps", 10.0, 36.6, 2022, f"ten bulbs of 2025; {OUTLOOK}"),
    ("fluorescent_to_led", 10.0, 106.8, 2022, f"ten tubes of 2025; {OUTLOOK}"),
    ("ductless_heat_pump", 24_000.0, 7_800.0, 2019, f"3,900 dollars a ton; {REBATES}"),
    ("heat_pump_tank", 1.0, 4_200.0, 2025, "average in a consumer cost guide of 2025 (read)"),
    ("tank_wrap", 1.0, 35.0, 2009, "the dearest in a guide of 2009 that quotes the federal one (read)"),
)  # fmt: skip


@pytest.mark.parametrize(("key", "quantity", "dollars", "year", "source"), JOBS)
@outside("prices of jobs as published, each with its source")
def test_published_price_lies_within_our_range(
    key: str, quantity: float, dollars: float, year: int, source: str
) -> None:
    cost = measure_named(key).cost
    low, high = (price(cost, quantity, each) for each in (cost.low, cost.high))
    today = dollars * CONSUMER_PRICES[cost.year] / CONSUMER_PRICES[year]
    assert low <= today <= high, source


def test_a_range_is_narrow_enough_to_say_something() -> None:
    for key, quantity, *_ in JOBS:
        cost = measure_named(key).cost
        assert price(cost, quantity, cost.high) <= 6.0 * price(cost, quantity, cost.low), key
