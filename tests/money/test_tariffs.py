"""Rates by hours, by tiers and with a credit for panels: by hand, and what must hold of any of them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money import tariffs
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.tariffs import (
    NetMetering,
    Period,
    Tariff,
    Tier,
    day_shape,
    hourly_price,
)

MONTHS = st.lists(st.floats(0, 3000), min_size=12, max_size=12).map(np.array)


def month_charges(tariff: Tariff, used: np.ndarray) -> float:
    return tariffs.month_charges(tariff, used).sum()


TIERS = (Tier(up_to=500.0, price=0.10), Tier(up_to=1000.0, price=0.15), Tier(price=0.30))
MADE = (100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 600.0, 500.0, 400.0, 300.0, 200.0, 100.0)


def test_tiers_by_hand() -> None:
    used = np.zeros(12)
    used[:3] = 400.0, 800.0, 1200.0
    expected = 40.0 + (50.0 + 45.0) + (50.0 + 75.0 + 60.0)
    assert month_charges(Tariff(price=9.0, tiers=TIERS), used) == pytest.approx(expected)


def test_same_use_costs_more_where_it_is_bunched_in_a_month() -> None:
    even, bunched = np.full(12, 600.0), np.zeros(12)
    bunched[0] = 7200.0
    tariff = Tariff(price=0.1, tiers=TIERS)
    assert month_charges(tariff, bunched) > month_charges(tariff, even)


@given(MONTHS)
@settings(deadline=None, max_examples=50)
def test_tiers_of_one_price_are_a_plain_price(used: np.ndarray) -> None:
    same = Tariff(price=0.2, tiers=(Tier(up_to=300.0, price=0.2), Tier(price=0.2)))
    assert month_charges(same, used) == pytest.approx(0.2 * used.sum())


@given(MONTHS, st.floats(0, 1))
@settings(deadline=None, max_examples=50)
def test_last_unit_costs_the_price_of_its_tier(used: np.ndarray, share: float) -> None:
    tariff, less = Tariff(price=0.1, tiers=TIERS), used * share
    saved = month_charges(tariff, used) - month_charges(tariff, less)
    assert 0.10 * (used - less).sum() - 1e-6 <= saved <= 0.30 * (used - less).sum() + 1e-6


def test_credit_by_hand() -> None:
    used = np.full(12, 350.0)
    by_month = Tariff(price=0.2, net_metering=NetMetering(made=MADE, credit=0.05))
    taken = sum(max(350.0 - made, 0.0) for made in MADE)
    over = sum(max(made - 350.0, 0.0) for made in MADE)
    assert month_charges(by_month, used) == pytest.approx(0.2 * taken - 0.05 * over)


def test_carried_credit_lowers_later_months_by_hand() -> None:
    carried = Tariff(price=0.2, net_metering=NetMetering(made=MADE, credit=0.05, carry=True))
    # January to March lack 250, 150 and 50; of the 900 left from April to September 50, 150 and 250 are used later
    assert month_charges(carried, np.full(12, 350.0)) == pytest.approx(0.2 * 450.0 - 0.05 * 450.0)


@given(MONTHS)
@settings(deadline=None, max_examples=50)
def test_carrying_never_costs_more_where_the_credit_is_below_the_price(used: np.ndarray) -> None:
    bill = {
        carry: month_charges(
            Tariff(price=0.2, net_metering=NetMetering(made=MADE, credit=0.05, carry=carry)), used
        )
        for carry in (False, True)
    }
    assert bill[True] <= bill[False] + 1e-9


def test_panels_that_make_nothing_change_nothing() -> None:
    used = np.linspace(100.0, 900.0, 12)
    dark = Tariff(price=0.2, tiers=TIERS, net_metering=NetMetering(made=(0.0,) * 12, credit=0.1))
    assert month_charges(dark, used) == pytest.approx(
        month_charges(Tariff(price=0.2, tiers=TIERS), used)
    )


def test_hours_by_hand_for_an_even_use() -> None:
    peak = Period(name="on peak", price=0.40, hours=(16.0, 20.0), days="weekdays")
    price = hourly_price(Tariff(price=0.10, time_of_use=(peak,)), "standby")
    assert price == pytest.approx(np.full(12, 0.10 + 0.30 * (4 / 24) * (5 / 7)))


def test_hours_past_midnight_and_seasons() -> None:
    night = Period(name="night", price=0.04, hours=(22.5, 6.0), months=(1, 2, 12))
    price = hourly_price(Tariff(price=0.10, time_of_use=(night,)), "standby")
    low = 0.10 - 0.06 * 7.5 / 24
    assert price == pytest.approx([low, low, *[0.10] * 9, low])


def test_first_period_of_an_hour_holds() -> None:
    first = Period(name="a", price=0.5, hours=(0.0, 24.0), days="weekdays")
    again = Period(name="b", price=9.0, hours=(0.0, 24.0), days="weekdays")
    price = hourly_price(Tariff(price=0.1, time_of_use=(first, again)), "lighting")
    assert price == pytest.approx(np.full(12, 0.5 * 5 / 7 + 0.1 * 2 / 7))


@pytest.mark.parametrize(
    "use", ["heating", "cooling", "blower", "hot_water", "lighting", "appliances", "standby"]
)
def test_every_day_has_one_day_of_use(use: str) -> None:
    assert day_shape(use).sum() == pytest.approx(1.0)
    assert (day_shape(use) > 0).all()


def test_lights_burn_in_the_evening_and_coolers_run_in_the_afternoon() -> None:
    evening = Tariff(price=0.0, time_of_use=(Period(name="e", price=1.0, hours=(18.0, 23.0)),))
    afternoon = Tariff(price=0.0, time_of_use=(Period(name="a", price=1.0, hours=(13.0, 18.0)),))
    assert hourly_price(evening, "lighting")[0] > 2 * hourly_price(evening, "standby")[0]
    assert hourly_price(afternoon, "cooling")[0] > 1.4 * hourly_price(afternoon, "standby")[0]


@pytest.mark.parametrize(
    ("tariff", "words"),
    [
        ({"tiers": TIERS[::-1]}, "tiers must rise"),
        ({"tiers": TIERS[:2]}, "the last must have no up_to"),
        ({"net_metering": NetMetering(made=(1.0,))}, "must have twelve numbers"),
        (
            {"tiers": TIERS, "time_of_use": (Period(name="a", price=1.0, hours=(0.0, 1.0)),)},
            "beside tiers.*each at the price of the tier.*each at the mean price of its hours",
        ),
        (
            {
                "net_metering": NetMetering(made=(1.0,) * 12),
                "time_of_use": (Period(name="a", price=1.0, hours=(0.0, 1.0)),),
            },
            "beside net_metering.*without what the panels make; or net_metering at the mean price",
        ),
    ],
)
def test_impossible_rates_are_refused(tariff, words: str) -> None:
    with pytest.raises(MoneyError, match=words):
        Tariff(price=0.1, **tariff)
