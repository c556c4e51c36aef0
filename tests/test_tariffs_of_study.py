"""Rates in a study: plain rates in other words change nothing, others agree in every place that counts money."""

import numpy as np
import pytest
from examples import example

from retrofit_lab.base.fuels import fuels
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.year import year_energy
from retrofit_lab.money.tariffs import NetMetering, Period, Tariff, Tier, day_shape
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.energy_attribution import who_saves
from retrofit_lab.study.plan_tables import lattice_of
from retrofit_lab.study.study import Study

HOUSE = example("wren_cottage").as_found
KEYS = ("attic_insulation", "central_heat_pump", "led_lamps", "higher_cooling_setting")
TOLD = {"as_of": "2026-03", "source": "rate sheet", "fixed": 13.0}
TIERS = (Tier(up_to=300.0, price=0.11), Tier(price=0.24))
SUMMER = Period(name="on peak", price=0.38, hours=(15.0, 20.0), days="weekdays", months=(6, 7, 8))
ALWAYS = Period(name="on peak", price=0.38, hours=(15.0, 20.0), days="weekdays")
SUN = NetMetering(made=(120.0, 180.0, 260.0, 320.0, 380.0, 400.0, 400.0, 360.0, 280.0, 200.0, 130.0, 100.0), credit=0.05)  # fmt: skip
RATES = {
    "tiers": Tariff(price=0.2, tiers=TIERS, **TOLD),
    "hours of all the year": Tariff(price=0.14, time_of_use=(ALWAYS,), **TOLD),
    "hours of summer": Tariff(price=0.14, time_of_use=(SUMMER,), **TOLD),
    "panels": Tariff(price=0.158, net_metering=SUN, **TOLD),
}
each_rate = pytest.mark.parametrize("name", RATES)


def study(tariff: Tariff) -> Study:
    return Study(HOUSE, terms=MoneyTerms(fuel_prices={"electricity": tariff}))


STUDIES = {name: study(tariff) for name, tariff in RATES.items()}


@pytest.mark.parametrize(
    "tariff",
    [
        Tariff(price=0.158, **TOLD),
        Tariff(price=9.0, tiers=(Tier(up_to=200.0, price=0.158), Tier(price=0.158)), **TOLD),
        Tariff(price=0.158, time_of_use=(Period(name="all", price=0.158, hours=(3.0, 9.0), months=(1, 5)),), **TOLD),
        Tariff(price=0.158, net_metering=NetMetering(made=(0.0,) * 12), **TOLD),
    ],
    ids=["plain", "tiers", "hours", "panels"],
)  # fmt: skip
def test_plain_price_in_other_words_changes_nothing(tariff: Tariff) -> None:
    usual, other = Study(HOUSE).plan(KEYS), study(tariff).plan(KEYS)
    assert other.saved == pytest.approx(usual.saved, rel=1e-9)
    assert other.before.cost == pytest.approx(usual.before.cost, rel=1e-9)
    assert other.net_savings == pytest.approx(usual.net_savings, rel=1e-9)
    assert other.before.cost_by_use == pytest.approx(usual.before.cost_by_use, rel=1e-9)


@each_rate
def test_sets_shares_account_and_costs_by_use_agree(name: str) -> None:
    here = STUDIES[name]
    result = here.plan(KEYS)
    assert result.saved == pytest.approx(result.before.cost - result.after.cost, abs=1e-9)
    shares, _ = here.energies.fair_shares(KEYS)
    assert sum(shares.values()) == pytest.approx(result.saved, abs=1e-9)
    sets = lattice_of(here, [(key,) for key in KEYS])
    assert sets.saving[-1] == pytest.approx(result.saved, abs=1e-9)
    assert sets.net_savings[-1] == pytest.approx(result.net_savings, abs=1e-6)
    assert who_saves(here, KEYS).whole.cost == pytest.approx(result.saved, abs=1e-9)
    for year in (result.before, result.after):
        assert sum(year.cost_by_use.values()) + year.fixed == pytest.approx(year.cost, abs=1e-6)


def test_tiers_of_the_study_are_those_of_its_months() -> None:
    year = year_energy(STUDIES["tiers"].house, STUDIES["tiers"].climate)
    use = sum(
        np.broadcast_to(v, (12,)) for (fuel, _), v in year.monthly.items() if fuel == "electricity"
    )
    month = use / fuels()["electricity"].heat_content
    bill = sum(0.11 * min(kwh, 300.0) + 0.24 * max(kwh - 300.0, 0.0) for kwh in month)
    gas = (
        sum(v.sum() for (fuel, _), v in year.monthly.items() if fuel == "natural_gas") / 1e5 * 1.42
    )
    fixed = 12 * (13.0 + 15.0)
    assert STUDIES["tiers"].plan(()).before.cost == pytest.approx(bill + gas + fixed, rel=1e-9)


def test_saving_in_the_upper_tier_is_worth_its_price() -> None:
    here = STUDIES["tiers"]
    result = here.plan(("led_lamps",))
    saved = result.before.fuel_total("electricity") - result.after.fuel_total("electricity")
    gas = 1.42 * (result.before.fuel_total("natural_gas") - result.after.fuel_total("natural_gas"))
    assert 0.11 * saved < result.saved - gas <= 0.24 * saved + 1e-9


def test_summer_peak_makes_cooling_dearer_and_leaves_winter_alone() -> None:
    usual = study(Tariff(price=0.14, **TOLD)).plan(()).before.cost_by_use
    peak = STUDIES["hours of summer"].plan(()).before.cost_by_use
    here = STUDIES["hours of summer"]
    months = year_energy(here.house, here.climate).monthly["electricity", "cooling"]
    # a quarter of a day's cooling falls from 3 to 8 in the afternoon, five days of seven
    dearer = (
        0.24 / 0.14 * months[5:8].sum() / months.sum() * day_shape("cooling")[15:20].sum() * 5 / 7
    )
    assert peak["cooling"] == pytest.approx(usual["cooling"] * (1 + dearer), rel=1e-9)
    assert peak["standby"] == pytest.approx(
        usual["standby"] * (1 + 0.24 / 0.14 * 0.25 * 5 / 24 * 5 / 7), rel=0.02
    )


@each_rate
def test_draws_without_doubt_are_the_point(name: str) -> None:
    here = STUDIES[name]
    advice = Advice(here)
    bills = advice.outcome(KEYS)
    assert bills.savings.shape == (advice.draws.count,)
    assert np.isfinite(bills.savings).all()


def test_own_price_carries_its_date_and_source() -> None:
    told = {row.fuel: row for row in STUDIES["tiers"].money.fuel_prices}
    assert (told["electricity"].origin, told["electricity"].tariff.as_of) == ("own", "2026-03")
    assert told["natural_gas"].origin == "house"


def test_price_that_nobody_gave_is_the_demos_with_its_date() -> None:
    unsaid = with_numbers(HOUSE, {"assumed": frozenset({"prices.electricity.price"})})
    told = {row.fuel: row for row in Study(unsaid).money.fuel_prices}
    assert told["electricity"].origin == "demo"
    assert told["electricity"].tariff.as_of == fuels()["electricity"].price_as_of
