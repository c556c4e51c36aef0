"""What must hold in any house: order of ticks, substitutes, best sets, fair shares, and energy that stays energy.

Houses are drawn at random: any answers, numbers anywhere in their usual ranges, every shipped climate.
"""

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from random_houses import houses

from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.bills.reading.fuels import fuel_units
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.measures.catalog import measure_named
from retrofit_lab.model.year import year_energy
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

ROUNDING = 1e-12
HEATING = (
    ("wall_fill", "wall_sheathing", "new_windows", "storm_windows"),
    ("duct_mastic",),
    ("furnace_upgrade", "gas_boiler_upgrade", "oil_heater_upgrade"),
)
"""One of each acts on the heat that a burner makes: heat lost by the rooms / share delivered / efficiency."""
HOT_WATER = (
    ("shower_heads",),
    ("tap_aerators",),
    ("cold_wash",),
    ("tank_setpoint",),
    ("tank_wrap",),
    ("tankless_heater",),
)
"""The same for the hot water of a tank: water drawn and warmth of the tank / efficiency."""
some = settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])


def random_sets(study: Study, count: int, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return rng.random((count, len(study.keys))) < rng.random((count, 1))


def some_keys(data: st.DataObject, study: Study, most: int) -> list[str]:
    return data.draw(st.lists(st.sampled_from(study.keys), unique=True, max_size=most))


def without_rivals(study: Study, keys: Sequence[str]) -> list[str]:
    kept: list[str] = []
    for key in keys:
        if not study.case.conflict([*kept, key]):
            kept.append(key)
    return kept


@given(st.one_of(houses(), houses(anything_legal=True)), st.integers(0, 2**32 - 1))
@settings(deadline=None, max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_energy_is_finite_never_negative_and_savings_never_exceed_the_end_use(
    house: House, seed: int
) -> None:
    study = Study(house)
    masks = np.vstack([np.zeros(len(study.keys), dtype=bool), random_sets(study, 63, seed)])
    found = study.energy(masks)
    assert np.isfinite(found.energy).all()
    assert (found.energy >= 0.0).all()
    assert np.isfinite(found.ventilation).all()
    assert (found.ventilation >= 0.0).all()
    for end_use in {use for _, use in study.uses}:
        cost = found.energy[:, [use == end_use for _, use in study.uses]]
        saved = cost[0].sum() - cost.sum(axis=1)
        assert (saved <= cost[0].sum()).all(), end_use


@pytest.mark.parametrize(
    "change", [{"ducts.return_leakage": 0.6}, {"ducts.return_area": 900.0}, {"ducts.supply_r": 0.3}]
)
def test_ducts_that_lose_more_than_is_made_still_take_energy(change: dict[str, float]) -> None:
    answers = {"name": "Elm", "climate": "sand_point_ak", "roof": "rooms with knee walls"}
    house = starting_house(first_answers({**default_answers(), **answers}))
    small = with_numbers(house, {"fuel_heaters.furnace.capacity": 3000.0, **change})
    used = Study(small).plan(()).before
    assert used.energy["electricity", "blower"] > 0.0
    assert used.energy["natural_gas", "heating"] > 0.0


@given(houses(), st.data())
@some
def test_order_of_ticks_never_matters(house: House, data: st.DataObject) -> None:
    study = Study(house)
    ticked = without_rivals(study, some_keys(data, study, 6))
    shuffled = data.draw(st.permutations(ticked))
    assert study.plan(ticked) == study.plan(shuffled)


@given(houses(), st.data())
@some
def test_fair_shares_sum_to_the_whole(house: House, data: st.DataObject) -> None:
    study = Study(house)
    ticked = without_rivals(study, some_keys(data, study, 9))
    result = study.plan(ticked)
    shares, error = study.energies.fair_shares(ticked)
    assert error == 0.0
    assert sum(shares.values()) == pytest.approx(result.saved, rel=1e-9, abs=1e-9)
    energy = study.energy(np.array([study.mask(()), study.mask(ticked)])).energy
    by_use = (energy[0] - energy[1]) * study.money.prices
    fixed = result.before.fixed - result.after.fixed
    assert by_use.sum() + fixed == pytest.approx(result.saved, rel=1e-9, abs=1e-9)


@given(houses(), st.data(), st.sampled_from([150.0, 800.0, 3000.0, 12_000.0, float("inf")]))
@settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow])
def test_best_set_beats_greedy_and_equals_brute_force(
    house: House, data: st.DataObject, budget: float
) -> None:
    keys = some_keys(data, Study(house), 5)
    study = Study(house, measures=[measure_named(key) for key in Study(house).keys if key in keys])
    found = Advice(study).best(Limits(budget=budget))
    sets = all_plans(len(study.keys))
    worths = [worth_of(study, row, budget) for row in sets]
    assert found.net_savings == pytest.approx(max(worths), abs=1e-6)
    assert worth_of(study, study.mask(found.keys), budget) == pytest.approx(max(worths), abs=1e-6)
    assert found.net_savings >= worths[greedy(worths, sets, study)] - 1e-6


def worth_of(study: Study, row: np.ndarray, budget: float) -> float:
    """Net savings of one set, worked out by itself; minus infinity where it may not be chosen."""
    ticked = [key for key, on in zip(study.keys, row, strict=True) if on]
    needs = {n for key in ticked for n in study.offer(key).measure.needs if n in study.keys}
    if study.case.conflict(ticked) or not needs <= set(ticked):
        return -np.inf
    result = study.plan(ticked)
    return result.net_savings if result.cost.likely <= budget * (1 + 1e-9) else -np.inf


def greedy(worths: Sequence[float], sets: np.ndarray, study: Study) -> int:
    """Set that grows by the measure with the most net savings for each dollar, as long as that helps."""
    number = 0
    while True:
        gains = {
            (worths[number | 1 << i] - worths[number]) / max(study.money.costs[1, i], 1.0): i
            for i in range(sets.shape[1])
            if not number >> i & 1 and worths[number | 1 << i] > worths[number]
        }
        if not gains:
            return number
        number |= 1 << gains[max(gains)]


def substitutes(study: Study, groups: Sequence[Sequence[str]]) -> list[str]:
    firsts = (next((key for key in group if key in study.keys), "") for group in groups)
    return [key for key in firsts if key]


def saved_by_sets(study: Study, keys: Sequence[str], end_use: str, fuels: set[str]) -> np.ndarray:
    """Share of an end use that every set of some measures saves, in the order of set numbers."""
    masks = np.zeros((2 ** len(keys), len(study.keys)), dtype=bool)
    masks[:, [study.keys.index(key) for key in keys]] = all_plans(len(keys))
    columns = [use == end_use and fuel in fuels for fuel, use in study.uses]
    used = study.energy(masks).energy[:, columns].sum(axis=1)
    return (used[0] - used) / max(used[0], 1.0)


def check_substitutes(saved: np.ndarray, keys: Sequence[str]) -> None:
    """No pair gains from going together, and no measure saves more in a larger set."""
    count = len(keys)
    for small in range(2**count):
        for i in range(count):
            for j in range(count):
                if i == j or small >> i & 1 or small >> j & 1:
                    continue
                large = small | 1 << j
                added = saved[small | 1 << i] - saved[small]
                added_later = saved[large | 1 << i] - saved[large]
                assert added_later <= added + ROUNDING, (keys[i], keys[j], small)


@given(houses())
@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_measures_on_the_heat_of_a_burner_are_substitutes(house: House) -> None:
    study = Study(house)
    fuels = {heater.fuel for heater in house.fuel_heaters}
    keys = substitutes(study, HEATING)
    check_substitutes(saved_by_sets(study, keys, "heating", fuels), keys)


@given(houses())
@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_measures_on_the_hot_water_of_a_tank_are_substitutes(house: House) -> None:
    if any(tank.kind == "heat_pump" for tank in house.water_heaters):
        return
    study = Study(house)
    fuels = {fuel for fuel, use in study.uses if use == "hot_water"}
    keys = substitutes(study, HOT_WATER)
    saved = saved_by_sets(study, keys, "hot_water", fuels)
    saves = [key for i, key in enumerate(keys) if saved[1 << i] >= 0.0]
    check_substitutes(saved_by_sets(study, saves, "hot_water", fuels), saves)


@given(houses(), st.integers(0, 2**32 - 1))
@some
def test_sealed_air_leaks_of_one_house_never_gain_from_each_other_in_flow(
    house: House, seed: int
) -> None:
    """Leaks share what was measured: the flow that two seal together is no more than they do one by one."""
    study = Study(house)
    sealing = [key for key in study.keys if "seal" in {c.op for c in study.offer(key).changes}]
    first, second = np.random.default_rng(seed).choice(sealing, 2, replace=False)
    sets = [(), (first,), (second,), (first, second)]
    nothing, one, other, both = study.energy(np.array([study.mask(s) for s in sets])).ventilation
    assert nothing - both <= (nothing - one) + (nothing - other) + 1e-9 * nothing


def some_plan(study: Study, data: st.DataObject) -> list[str]:
    keys = data.draw(st.lists(st.sampled_from(study.keys), unique=True, min_size=1, max_size=9))
    return without_rivals(study, keys)


def hold_headline(study: Study, keys: Sequence[str]) -> None:
    """What a page shows as the likely saving lies in the range beside it, to half a dollar."""
    likely = RealHouses(study).of_plan(study.plan(keys)).saving
    drawn = Advice(study).outcome(keys).saving
    assert drawn.low - 0.5 <= likely <= drawn.high + 0.5


@given(houses(), st.data())
@settings(deadline=None, max_examples=8, suppress_health_check=[HealthCheck.too_slow])
def test_likely_saving_lies_in_its_range(house: House, data: st.DataObject) -> None:
    study = Study(house)
    hold_headline(study, some_plan(study, data))


@given(houses(), st.floats(0.6, 1.7), st.integers(0, 2**32 - 1), st.data())
@settings(deadline=None, max_examples=5, suppress_health_check=[HealthCheck.too_slow])
def test_likely_saving_lies_in_its_range_with_bills(
    house: House, factor: float, seed: int, data: st.DataObject
) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "bills.csv"
        path.write_text(bills_of(house, factor, seed), encoding="utf-8")
        study = Study(house, bills=str(path))
    hold_headline(study, some_plan(study, data))


def bills_of(house: House, factor: float, seed: int) -> str:
    """A bill of every fuel by month, off from the house by a factor and by chance."""
    year = year_energy(house, find_climate(house.site.climate))
    rng, lines = np.random.default_rng(seed), ["fuel,start,end,quantity,unit"]
    for fuel in sorted({fuel for fuel, _ in year.monthly}):
        use = fuel_months(year, fuel, 1)[0] * factor * (1.0 + 0.05 * rng.standard_normal(12))
        lines += [
            f"{fuel},2023-{month:02}-01,{2023 + month // 12}-{month % 12 + 1:02}-01,{amount:.3f},{fuel_units()[fuel]}"
            for month, amount in enumerate(use, start=1)
        ]
    return "\n".join(lines)
