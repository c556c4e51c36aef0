"""What the measures of the catalog do in many houses: all can apply, none saves what is not there."""

from functools import cache

import pytest
from examples import example
from house_variants import variants

from retrofit_lab.climate.daily_csv import site_rows
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.checking import number_problem
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import offers_for, price, with_offers
from retrofit_lab.study.study import Study

HOUSES = variants()
in_each_house = pytest.mark.parametrize("name", HOUSES)
in_each_climate = pytest.mark.parametrize("climate", site_rows())


@cache
def study(name: str, climate: str = "greensboro_nc") -> Study:
    return Study(HOUSES[name], find_climate(climate))


def test_every_measure_applies_somewhere() -> None:
    """One house is looked at in the heat too, where alone some measures are for, and one has a fan that never stops."""
    applied = {key for name in HOUSES for key in study(name).keys}
    applied |= set(study("attic ducts", "miami_fl").keys)
    applied |= set(example("prairie_commons").keys)
    assert applied == {measure.key for measure in catalog()}


@in_each_climate
@in_each_house
def test_nothing_saves_what_is_not_spent_and_only_marked_measures_cost(
    name: str, climate: str
) -> None:
    here = study(name, climate)
    result = here.plan(())
    for key, row in result.measures.items():
        assert row.alone < result.before.cost, key
        if not here.offer(key).measure.may_cost:
            assert row.alone > -0.5, key


@in_each_house
def test_no_end_use_falls_below_nothing(name: str) -> None:
    for key in study(name).keys:
        after = study(name).plan([key]).after
        for use, amount in after.energy.items():
            assert amount >= -1e-9, (key, use)


@in_each_house
def test_changed_numbers_stay_legal(name: str) -> None:
    house, offers = offers_for(HOUSES[name], catalog())
    for offer in offers:
        changed = with_offers(house, [offer], [True])
        for change in offer.changes:
            value = float(number_at(changed, change.path))
            assert number_problem(change.path, value, parameter_at(house, change.path)) is None


@in_each_house
def test_prices_rise_from_low_to_high_and_are_in_reach(name: str) -> None:
    for offer in study(name).offers:
        assert 0 <= offer.cost_low <= offer.cost_likely <= offer.cost_high < 60_000, offer.key
        assert offer.quantity > 0, offer.key


@pytest.mark.parametrize("measure", catalog(), ids=lambda measure: measure.key)
def test_price_grows_with_the_quantity_above_the_minimum(measure) -> None:
    cost = measure.cost
    assert price(cost, 0.0, cost.likely) >= cost.minimum
    large = cost.minimum / max(cost.likely, 1e-9) + 10.0
    one, two = price(cost, large, cost.likely), price(cost, 2 * large, cost.likely)
    assert two - one == pytest.approx(large * cost.likely)


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("gas furnace", {"furnace_upgrade", "central_heat_pump", "tankless_heater"}),
        ("gas boiler", {"gas_boiler_upgrade", "boiler_reset", "ductless_heat_pump"}),
        ("oil boiler", {"burner_tune_up", "oil_heater_upgrade", "boiler_reset"}),
        ("electric heaters", {"ductless_heat_pump"}),
        ("loose ducts", {"reconnect_ducts", "duct_mastic"}),
        ("everything", {"bath_fan_outdoors", "fireplace_damper", "attic_stair_cover", "pool_pump", "away_setback"}),
    ],
)  # fmt: skip
def test_measures_meet_their_house(name: str, keys: set[str]) -> None:
    assert keys <= set(study(name).keys)


def test_measures_for_another_heater_are_not_offered() -> None:
    assert "furnace_upgrade" not in study("oil furnace").keys
    assert "heat_pump_upgrade" not in study("gas furnace").keys
    assert "gas_boiler_upgrade" not in study("oil boiler").keys
    assert "reconnect_ducts" not in study("gas furnace").keys


def test_ductless_heat_pump_takes_two_thirds_of_an_electric_heaters_work() -> None:
    """Electric heaters give 3.412 Btu/Wh, the pump about three times that: a bit less than half is left."""
    before, after = (
        study("electric heaters").plan(keys).after.energy["electricity", "heating"]
        for keys in ([], ["ductless_heat_pump"])
    )
    assert after / before == pytest.approx(1 / 3 + (2 / 3) * 3.412 / 10.5, abs=0.06)


def test_central_heat_pump_leaves_no_gas_for_heat() -> None:
    after = study("gas furnace").plan(["central_heat_pump"]).after.energy
    assert after["natural_gas", "heating"] == pytest.approx(0.0, abs=1e-9)
    assert after["electricity", "heating"] > 1000


def test_reconnecting_ducts_leaves_mastic_something_to_do() -> None:
    result = study("loose ducts").plan(["reconnect_ducts", "duct_mastic"])
    assert result.lost_to_overlap > 0
    assert result.measures["duct_mastic"].now > 0
