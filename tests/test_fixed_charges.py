"""Fixed charges in a study: a plan that ends a fuel's last use saves them, everywhere in the same amount."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.base.sums import over_last
from retrofit_lab.measures.catalog import catalog, measure_named
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.savings.explaining import ENDS as TOGETHER
from retrofit_lab.savings.explaining import general
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.energy_attribution import who_saves
from retrofit_lab.study.plan_tables import lattice_of
from retrofit_lab.study.study import Study

MONTHLY = 15.0
"""Fixed charge of gas in the example house. [dollars/month]"""
KEYS = (
    "attic_insulation",
    "band_joist_foam",
    "central_heat_pump",
    "led_lamps",
    "tap_aerators",
    "duct_mastic",
)


def house(water_by: str, fixed: float = MONTHLY):
    """Wren cottage with gas for heat alone, or for hot water too."""
    found = example("wren_cottage").as_found
    heater = replace(found.water_heaters[0], fuel=water_by, flue_loss=0.0)
    prices = [replace(p, fixed=fixed) if p.key == "natural_gas" else p for p in found.prices]
    return replace(found, water_heaters=(heater,), prices=tuple(prices), bills="")


ENDS, STAYS = Study(house("electricity")), Study(house("natural_gas"))
FREE = Study(house("electricity", 0.0))


def test_charge_ends_with_the_last_use_and_not_before() -> None:
    assert ENDS.plan(KEYS).after.fuel_total("natural_gas") == 0.0
    for study, ended in ((ENDS, 12 * MONTHLY), (STAYS, 0.0)):
        result = study.plan(KEYS)
        assert result.before.fixed - result.after.fixed == pytest.approx(ended)
        assert result.saved == pytest.approx(result.before.cost - result.after.cost)
    less_heat = ENDS.plan([key for key in KEYS if key != "central_heat_pump"])
    assert less_heat.before.fixed == less_heat.after.fixed


def test_saving_grows_by_the_charge_alone() -> None:
    for keys in ((), KEYS[:2], KEYS[:3], KEYS):
        ended = 12 * MONTHLY if "central_heat_pump" in keys else 0.0
        with_charge, without = ENDS.plan(keys), FREE.plan(keys)
        assert with_charge.saved - without.saved == pytest.approx(ended, abs=1e-9)
        share = with_charge.measures["central_heat_pump"].share
        assert share - without.measures["central_heat_pump"].share == pytest.approx(ended, abs=1e-9)


def test_shares_sets_account_and_single_results_agree() -> None:
    result = ENDS.plan(KEYS)
    shares, error = ENDS.energies.fair_shares(KEYS)
    assert error == 0.0
    assert sum(shares.values()) == pytest.approx(result.saved, abs=1e-9)
    sets = lattice_of(ENDS, [(key,) for key in KEYS])
    places = {key: ENDS.keys.index(key) for key in KEYS}
    for number in range(len(sets.cost)):
        keys = [key for i, key in enumerate(KEYS) if number >> i & 1]
        alone = ENDS.energy(ENDS.mask(keys)[None])
        saved = ENDS.energies.single.cost[0] - alone.cost[0]
        assert sets.saving[number] == pytest.approx(saved, abs=1e-9)
    assert sorted(places.values()) == list(places.values()) or sets.masks.shape[1] == len(KEYS)
    assert sets.saving[-1] == pytest.approx(result.saved, abs=1e-9)
    assert sets.net_savings[-1] == pytest.approx(result.net_savings, abs=1e-6)
    account = who_saves(ENDS, KEYS)
    assert account.whole.cost == pytest.approx(result.saved, abs=1e-9)


def test_best_set_counts_the_charge() -> None:
    found = Advice(ENDS).best(Limits(), "saving")
    assert found.saving == pytest.approx(ENDS.plan(found.keys).saved, abs=1e-6)


def test_draws_hold_the_charge_whole_whatever_comes_about_of_the_rest() -> None:
    advice, free = Advice(ENDS), Advice(FREE)
    gained = (
        advice.outcome(["central_heat_pump"]).savings - free.outcome(["central_heat_pump"]).savings
    )
    np.testing.assert_allclose(gained, 12 * MONTHLY, atol=1e-6)


def test_charges_of_many_sets_are_those_of_each() -> None:
    masks = np.array([ENDS.mask(KEYS[:count]) for count in range(len(KEYS) + 1)])
    found = ENDS.energy(masks)
    assert found.cost.tolist() == over_last(found.charges).tolist()
    assert found.cost[0] - found.cost[-1] == pytest.approx(ENDS.plan(KEYS).saved, abs=1e-9)


def test_two_that_end_a_fuel_only_together_are_told_so() -> None:
    # a gas furnace and a gas tank; one measure ends each
    tank = measure_named("heat_pump_tank")
    (adds,) = tank.adds
    indoors = replace(adds, item={**adds.item, "place": "house"})
    any_tank = replace(tank, key="any_tank", only_if=(), adds=(indoors,))
    here = Study(house("natural_gas"), measures=[*catalog(), any_tank])
    result = here.plan(("central_heat_pump", "any_tank"))
    assert result.before.fixed - result.after.fixed == pytest.approx(12 * MONTHLY)
    (pair,) = result.overlaps
    assert pair.lost < 0
    assert pair.why == general("otherwise", TOGETHER)
    assert here.plan(("central_heat_pump", "attic_insulation")).overlaps[0].why != pair.why
