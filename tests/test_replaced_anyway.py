"""Equipment that must be replaced anyway counts by the difference, once, and only when someone says so."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.catalog import MeasureError, catalog
from retrofit_lab.measures.replacing import equipment, likes, with_likes
from retrofit_lab.measures.selecting import select
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.money.worth import cost_factors_over_life
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.plan_tables import lattice_of
from retrofit_lab.study.study import Study

WREN = replace(example("wren_cottage").as_found, bills="")
FURNACE = "fuel_heaters.furnace"
COOLER = "air_conditioners.air_conditioner"
USUAL = Study(WREN)


def study(*paths: str) -> Study:
    return Study(WREN, terms=MoneyTerms(replaced_anyway=paths))


def like_price(path: str) -> float:
    return equipment(WREN)[path].price


def present(path: str) -> float:
    like = equipment(WREN)[path]
    return like.price * sum(cost_factors_over_life(like.life, 20, 0.03))


def test_upgrade_counts_by_the_difference() -> None:
    # a cooler at the least rating that is sold: its like uses as much, so only the purchase differs
    (least,) = [like.least for like in likes() if like.key == "air_conditioner"]
    house = with_numbers(WREN, {f"{COOLER}.seer": least})
    assert with_likes(house, [COOLER]) == house
    usual, anyway = (
        Study(house, terms=MoneyTerms(replaced_anyway=paths)).plan(["air_conditioner_upgrade"])
        for paths in ((), (COOLER,))
    )
    assert anyway.saved == pytest.approx(usual.saved)
    assert anyway.net_savings - usual.net_savings == pytest.approx(present(COOLER))
    extra = anyway.cost.likely - like_price(COOLER)
    assert anyway.payback == pytest.approx(extra / anyway.saved)
    assert anyway.cost == usual.cost
    assert anyway.payback < usual.payback


def test_one_measure_that_takes_two_places_avoids_both_once() -> None:
    both = study(FURNACE, COOLER)
    sets = both.money.purchases
    keys = ("central_heat_pump", "attic_insulation")
    bought = both.money.prices_of(both.mask(keys))
    assert sets.avoided(bought) == pytest.approx(like_price(FURNACE) + like_price(COOLER))
    assert sets.avoided(both.money.prices_of(both.mask(keys[1:]))) == 0.0


@pytest.mark.parametrize("paths", [(FURNACE,), (COOLER,), (FURNACE, COOLER)])
def test_life_cycle_costs_sets_and_single_results_agree(paths) -> None:
    here = study(*paths)
    keys = ("furnace_upgrade", "air_conditioner_upgrade", "attic_insulation")
    result = here.plan(keys)
    assert result.net_savings == pytest.approx(
        result.life_cycle_cost_before - result.life_cycle_cost, abs=1e-6
    )
    nothing = here.plan(())
    assert nothing.life_cycle_cost == pytest.approx(nothing.life_cycle_cost_before)
    assert nothing.net_savings == 0.0
    sets = lattice_of(here, [(key,) for key in keys])
    assert sets.net_savings[-1] == pytest.approx(result.net_savings, abs=1e-6)
    for at, key in enumerate(keys):
        without = sets.net_savings[7 & ~(1 << at)]
        assert result.measures[key].net_savings == pytest.approx(
            result.net_savings - without, abs=1e-5
        )


def test_house_is_then_counted_with_the_like_of_what_goes() -> None:
    here = study(FURNACE)
    (least,) = [like.least for like in likes() if like.key == "gas_furnace"]
    old = float(WREN.fuel_heaters[0].efficiency)
    assert float(here.house.fuel_heaters[0].efficiency) == pytest.approx(max(old, least))
    assert here.plan(()).before.cost <= USUAL.plan(()).before.cost


def test_best_set_takes_what_pays_by_the_difference() -> None:
    found = Advice(study(COOLER)).best(Limits())
    assert found.net_savings == pytest.approx(study(COOLER).plan(found.keys).net_savings, abs=1e-6)


def test_age_is_a_suggestion_and_changes_nothing_by_itself() -> None:
    old = replace(WREN, fuel_heaters=(replace(WREN.fuel_heaters[0], made="about 1998"),))
    here = Study(old)
    (due,) = here.case.due
    assert (due.path, due.made, due.age) == (FURNACE, 1998, 28.0)
    assert "replaced_anyway" in due.sentence
    assert here.money.purchases.anyway == ()
    assert (
        here.plan(("furnace_upgrade",)).net_savings == USUAL.plan(("furnace_upgrade",)).net_savings
    )
    assert Study(old, terms=MoneyTerms(replaced_anyway=(FURNACE,))).case.due == ()
    assert (
        Study(replace(WREN, fuel_heaters=(replace(WREN.fuel_heaters[0], made="2015"),))).case.due
        == ()
    )


def test_unknown_equipment_is_refused_with_what_there_is() -> None:
    with pytest.raises(
        MeasureError, match=r"no equipment 'furnace' in this house; known are fuel_heaters\.furnace"
    ):
        study("furnace")


@pytest.mark.parametrize("row", read_rows("like_for_like.csv"), ids=lambda row: row["key"])
def test_price_of_the_like_is_below_that_of_better_equipment(row) -> None:
    assert 0 < float(row["low"]) <= float(row["likely"]) <= float(row["high"])
    assert 5 <= float(row["life"]) <= 30


@pytest.mark.parametrize("measure", [m for m in catalog() if m.replaces], ids=lambda m: m.key)
def test_what_a_measure_replaces_can_be_named(measure) -> None:
    known = {like.where.split("[")[0] for like in likes()}
    for text in measure.replaces:
        select(WREN, text)
        assert text.split("[")[0] in known


def test_rows_of_sets_are_those_of_each() -> None:
    here = study(FURNACE, COOLER)
    masks = np.array(
        [here.mask(()), here.mask(("furnace_upgrade",)), here.mask(("central_heat_pump",))]
    )
    prices = here.money.prices_of(masks)
    together = here.money.purchases.present_cost(prices)
    assert together.tolist() == [float(here.money.purchases.present_cost(row)) for row in prices]


def test_draws_count_the_difference_too() -> None:
    keys = ["air_conditioner_upgrade"]
    house = with_numbers(WREN, {f"{COOLER}.seer": 14.0})
    usual, anyway = (
        Advice(Study(house, terms=MoneyTerms(replaced_anyway=paths))).outcome(keys)
        for paths in ((), (COOLER,))
    )
    assert anyway.cost == usual.cost
    assert (anyway.savings == usual.savings).all()
    assert anyway.payback.middle < 0.5 * usual.payback.middle
    assert anyway.pays_back >= usual.pays_back
