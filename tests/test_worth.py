"""Worth of a plan by every measure: life-cycle cost, ratio, carbon and a loan agree with one another."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.tariffs import Tariff, Tier
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study.advice import Advice, LoanTerms
from retrofit_lab.study.study import Study

HOUSE = example("wren_cottage").as_found
PLAN = ("attic_insulation", "band_joist_foam", "duct_mastic")
TIERED = Tariff(price=0.2, tiers=(Tier(up_to=300.0, price=0.11), Tier(price=0.24)), fixed=13.0)


def study(**terms) -> Study:
    return Study(HOUSE, terms=MoneyTerms(**terms))


@pytest.mark.parametrize(
    "terms", [{}, {"escalation": {"natural_gas": 0.02}}, {"fuel_prices": {"electricity": TIERED}}]
)
def test_net_savings_are_the_difference_of_life_cycle_costs(terms) -> None:
    result = study(**terms).plan(PLAN)
    assert result.net_savings == pytest.approx(
        result.life_cycle_cost_before - result.life_cycle_cost, abs=1e-6
    )


def test_life_cycle_cost_of_nothing_is_that_of_the_bills() -> None:
    result = study().plan(())
    factor = (1.0 - 1.03**-20) / 0.03
    assert result.life_cycle_cost == pytest.approx(result.before.cost * factor)
    assert result.life_cycle_cost_before == result.life_cycle_cost


def test_ratio_of_what_costs_nothing_is_not_calculable() -> None:
    free = study().plan(("lower_heating_setting",))
    assert free.cost.likely == 0.0
    assert free.sir is None
    assert free.adjusted_internal_rate is None
    assert free.net_savings > 0.0


def test_carbon_is_valued_beside_the_plan_and_never_in_it() -> None:
    usual, priced = study().plan(PLAN), study(carbon_price=50.0).plan(PLAN)
    tons = (usual.before.co2 - usual.after.co2) / 1000.0
    assert usual.carbon_worth == 0.0
    assert priced.carbon_worth == pytest.approx(50.0 * tons * (1.0 - 1.03**-20) / 0.03)
    assert priced.net_savings == usual.net_savings


@pytest.mark.parametrize("terms", [{}, {"fuel_prices": {"electricity": TIERED}}])
def test_months_of_the_bills_add_to_the_year(terms) -> None:
    here = study(**terms)
    for plan, year in (((), here.plan(PLAN).before), (PLAN, here.plan(PLAN).after)):
        assert here.energies.bills_by_month(plan).sum() == pytest.approx(year.cost, rel=1e-9)


def test_loan_is_on_what_rebates_leave() -> None:
    rebate = Rebate(name="utility", percent=30.0)
    terms = LoanTerms(percent=7.0, years=10.0)
    usual, rebated = (Advice(study(rebates=r)).financed(PLAN, terms) for r in ((), (rebate,)))
    assert rebated.loan.principal == pytest.approx(0.7 * usual.loan.principal)
    assert rebated.added_cost == pytest.approx(0.7 * usual.added_cost)
    assert usual.by_month.saved[:12].sum() == pytest.approx(study().plan(PLAN).saved)
    assert usual.net_savings < study().plan(PLAN).net_savings


def test_winter_saves_more_than_summer() -> None:
    saved = Advice(study()).financed(PLAN, LoanTerms(percent=7.0, years=10.0)).by_month.saved[:12]
    assert saved[0] > 3 * abs(saved[4])


def test_nothing_to_borrow_is_refused() -> None:
    with pytest.raises(MoneyError, match="principal of the loan is 0"):
        Advice(study()).financed(("lower_heating_setting",), LoanTerms(percent=7.0, years=10.0))


def test_nominal_rate_of_the_terms() -> None:
    assert replace(
        MoneyTerms(), discount_rate=0.03, inflation=0.02
    ).nominal_discount_rate == pytest.approx(0.0506)
    assert np.isclose(MoneyTerms(inflation=0.0).nominal_discount_rate, MoneyTerms().discount_rate)
