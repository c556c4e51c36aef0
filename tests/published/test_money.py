"""Present worth, ratios, returns and paybacks against federal definitions and printed factors."""

import numpy as np
import numpy_financial as npf
import pytest
from checks import Check, assert_check, outside

from retrofit_lab.base.fuels import fuels
from retrofit_lab.money.factors import (
    modified_uniform_present_value,
    nominal_rate,
    real_rate,
    single_present_value,
    uniform_present_value,
)
from retrofit_lab.money.pricing import PricedFuel, charges_for
from retrofit_lab.money.purchase import Anyway, Purchases, Visit
from retrofit_lab.money.tariffs import Tariff, Tier
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.money.worth import (
    adjusted_internal_rate,
    cost_factors_over_life,
    discounted_payback,
    net_savings,
    residual_share,
    savings_to_investment_ratio,
    simple_payback,
)

HB135 = "NIST Handbook 135 worked factors, as quoted in a public repository"
YEARS = np.arange(1.0, 31.0)
BACK_IN_10_58 = 100.0 * uniform_present_value(0.05, YEARS) / uniform_present_value(0.05, 10.58)
"""Present worth of yearly savings that pay 100 dollars back in 10.58 years at 5 %. [dollars]"""
CITY = "bill examples of a city's electric utility (Seymour), lines rounded to a cent"
IDAHO = "example of tiered prices of an electric utility in Idaho, lines rounded to a cent"


def month_of_bill(kwh: float, fixed: float, *blocks: tuple[float, float]) -> float:
    """Bill of one month at a rate in blocks, each given by its end and its price. [dollars]"""
    tiers = tuple(Tier(up_to=end, price=price) for end, price in blocks)
    tariff, use = Tariff(price=0.0, fixed=fixed, tiers=tiers), ("electricity", "standby")
    month = kwh * fuels()["electricity"].heat_content
    charges = charges_for(
        (use,), [PricedFuel(fuel=use[0], tariff=tariff, origin="own")], lambda: lambda _: month
    )
    return float(charges.bills_by_month(np.array([12.0 * month]), lambda _: month)[0, 0])


CHECKS = [
    Check("money", "SPV 3 %, 15 years", HB135, "read", 0.642, lambda: single_present_value(0.03, 15), 5e-4,
          "three digits"),
    Check("money", "UPV 3 %, 15 years", HB135, "read", 11.94, lambda: uniform_present_value(0.03, 15), 5e-3,
          "two decimals"),
    Check("money", "UPV* 3 %, 2 %, 15 years", HB135, "read", 13.89,
          lambda: modified_uniform_present_value(0.03, 0.02, 15), 5e-3, "two decimals"),
    Check("money", "UPV* 3 %, 2 %, 5 years", HB135, "read", 4.8562,
          lambda: modified_uniform_present_value(0.03, 0.02, 5), 5e-5, "four decimals"),
    Check("money", "UPV* where rate and rise are equal", "limit of the formula", "common practice, no source",
          10.0, lambda: modified_uniform_present_value(0.03, 0.03, 10), 1e-9, "limiting case"),
    Check("money", "UPV at rate 0", "limit of the formula", "common practice, no source", 10.0,
          lambda: uniform_present_value(0.0, 10), 1e-9, "limiting case"),
    Check("money", "UPV 10 %, 5 years", "reference page of a business language, UniformSeriesPV(10,5)",
          "read", 3.790786769408448, lambda: uniform_present_value(0.10, 5), 1e-12, "printed in full"),
    Check("money", "30,000 a year for 30 years at 8 %", "engineering economy textbook example", "read",
          337_733.5, lambda: 30_000 * uniform_present_value(0.08, 30), 0.05, "printed to a tenth"),
    Check("money", "return with all cost at the start", "10 CFR 436.22 and numpy-financial", "read",
          float(npf.mirr([-100.0] + [250.0 / uniform_present_value(0.05, 10)] * 10, 0.05, 0.05)),
          lambda: adjusted_internal_rate(2.5, 0.05, 10), 1e-12, "same definition"),
    Check("money", "work of 600 dollars whose savings are worth 900", "10 CFR 436.20: present worth of savings less that of costs", "read",
          300.0, lambda: net_savings(900.0, 600.0), 1e-9, "exact"),
    Check("money", "1,000 dollars that save 250 a year", "10 CFR 436.23: years until savings equal the investment, without interest", "read",
          4.0, lambda: simple_payback(1000.0, 250.0), 1e-9, "exact"),
    Check("money", "discounted payback, whole years", "10.58 and 11 years in the two readings", "memory",
          11.0, lambda: discounted_payback(100.0, BACK_IN_10_58, whole_years=True), 1e-9, "whole years"),
    Check("money", "discounted payback, interpolated", "10.58 and 11 years in the two readings", "memory",
          10.58, lambda: discounted_payback(100.0, BACK_IN_10_58, whole_years=False), 0.02,
          "linear inside the year"),
    Check("money", "nominal rate of 3.0 % real and 0.9 % inflation",
          "federal discount rates for 2010, announcement of March 15, 2010", "read", 4.0,
          lambda: 100 * nominal_rate(0.030, 0.009), 0.12, "three rates, each rounded to a tenth of a percent"),
    Check("money", "real rate of 4.0 % nominal and 0.9 % inflation",
          "federal discount rates for 2010, announcement of March 15, 2010", "read", 3.0,
          lambda: 100 * real_rate(0.040, 0.009), 0.12, "three rates, each rounded to a tenth of a percent"),
    Check("money", "bill of 1,200 kWh in three blocks", CITY, "read", 169.85,
          lambda: month_of_bill(1200, 7.5, (250, 0.149), (700, 0.134), (np.inf, 0.1296)), 0.01, "rounded lines"),
    Check("money", "bill of 2,000 kWh in four blocks", CITY, "read", 275.13,
          lambda: month_of_bill(2000, 7.5, (250, 0.149), (700, 0.134), (1250, 0.1325), (np.inf, 0.1296)), 0.01,
          "rounded lines"),
    Check("money", "energy of 2,225 kWh in three tiers", IDAHO, "read", 213.30,
          lambda: month_of_bill(2225, 0.0, (800, 0.088958), (2000, 0.098073), (np.inf, 0.108615)), 0.01,
          "rounded lines"),
    Check("money", "residual of a 15-year item after 25 years", "NIST Handbook 135, straight line", "read",
          1.0 / 3.0, lambda: residual_share(15.0, 25), 1e-9, "exact"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


@pytest.mark.parametrize("years", [1, 5, 10, 15, 20, 25, 30])
def test_uniform_factor_is_the_explicit_sum(years: int) -> None:
    rate, rise = 0.03, 0.01
    total = sum((1 + rise) ** t / (1 + rate) ** t for t in range(1, years + 1))
    assert modified_uniform_present_value(rate, rise, years) == pytest.approx(total, rel=1e-12)


def test_life_equal_to_period_costs_once() -> None:
    assert sum(cost_factors_over_life(20.0, 20, 0.03)) == pytest.approx(1.0)


def test_cost_at_zero_rate_is_the_period_over_the_life() -> None:
    assert sum(cost_factors_over_life(8.0, 20, 0.0)) == pytest.approx(20 / 8)
    assert sum(cost_factors_over_life(25.0, 20, 0.0)) == pytest.approx(20 / 25)


def test_limits_of_ratio_and_payback() -> None:
    assert np.isnan(savings_to_investment_ratio([10.0, 0.0, -5.0], [0.0, 0.0, 0.0])).all()
    assert np.isnan(adjusted_internal_rate(savings_to_investment_ratio(0.0, 0.0), 0.03, 20))
    assert simple_payback(100.0, 0.0) == np.inf
    assert simple_payback(0.0, 10.0) == 0.0
    worth = 2.0 * uniform_present_value(0.03, YEARS)
    assert discounted_payback(100.0, worth, whole_years=True) == np.inf
    assert discounted_payback(0.0, worth, whole_years=False) == 0.0
    assert adjusted_internal_rate(-2.0, 0.03, 20) == -1.0


@outside("NIST Handbook 135, worked by hand")
def test_first_and_later_purchases_by_hand() -> None:
    first, later = cost_factors_over_life(8.0, 20, 0.03)
    assert first == 1.0
    assert later == pytest.approx(1.03**-8 + 1.03**-16 - 0.5 * 1.03**-20)
    first, later = cost_factors_over_life(25.0, 20, 0.03)
    assert first == pytest.approx(1.0 - 0.2 * 1.03**-20)
    assert later == 0.0


@outside("visits and purchases worked by hand")
def test_shared_visits_and_needless_purchases_by_hand() -> None:
    """A visit of 200 in a price of 1,000, of 300 in 800 and of 100 in 500; a heater of 3,000 that must be bought."""
    visit = Visit(measures=("a", "b", "c"), setups=(200.0, 300.0, 100.0))
    heater = Anyway(price=3000.0, life=20.0, measures=("d", "e"))
    bought = Purchases(
        keys=("a", "b", "c", "d", "e"), lives=np.full(5, 20.0), terms=MoneyTerms(), anyway=(heater,), visits=(visit,)
    )  # fmt: skip
    all_of_it = np.array([1000.0, 800.0, 500.0, 5000.0, 4000.0])
    two = np.array([1000.0, 800.0, 0.0, 5000.0, 0.0])
    left = bought.left_to_pay(all_of_it)
    assert left == pytest.approx([1000 - 200 * 0.5, 800 - 300 * 0.5, 500 - 100 * 0.5, 5000, 4000])
    assert bought.left_to_pay(two) == pytest.approx([1000 - 200 * 0.4, 800 - 300 * 0.4, 0, 5000, 0])
    assert bought.first_cost(two) == pytest.approx(1000 + 800 + 5000 - 200)
    assert bought.present_cost(two) == pytest.approx(1000 + 800 + 5000 - 200 - 3000)
    assert bought.avoided(two) == pytest.approx(3000)
    assert bought.extra_parts(all_of_it)[3:] == pytest.approx([5000 - 1500, 4000 - 1500])
    assert bought.needless(two)[1] == pytest.approx(3000 / 20)
    added = bought.first_cost_added(all_of_it, np.array([True, False, False, False, False]))
    assert added == pytest.approx([1000, 800 - 200, 500 - 100, 5000, 4000])


def test_discounted_payback_at_zero_rate_is_simple_payback() -> None:
    worth = 40.0 * YEARS
    assert discounted_payback(100.0, worth, whole_years=False) == pytest.approx(2.5)
    assert discounted_payback(100.0, worth, whole_years=True) == 3.0
