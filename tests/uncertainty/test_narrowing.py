"""What to measure: shares of known sums, and a range that does narrow as promised once a number is known."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import qmc

from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.study.advice import setting_of
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.narrowing import (
    BEYOND_A_VISIT,
    NAMED_ITEMS,
    variance_shares,
    what_to_measure,
)
from retrofit_lab.uncertainty.outcomes import plan_outcome
from retrofit_lab.uncertainty.sampling import SAME_CAUSE, draw

PLACES = qmc.Sobol(4, rng=np.random.default_rng(2)).random_base2(12)


@given(st.lists(st.floats(-5, 5), min_size=3, max_size=3).filter(lambda c: sum(map(abs, c)) > 1))
@settings(deadline=None, max_examples=30)
def test_sums_split_by_the_squares_of_their_parts(slopes: list[float]) -> None:
    squares = np.square(slopes)
    found = variance_shares(PLACES, PLACES[:, :3] @ np.array(slopes))
    assert found[:3] == pytest.approx(squares / squares.sum(), abs=0.01)
    assert found[3] < 0.01


def test_shares_know_no_unit_and_no_direction() -> None:
    result = PLACES[:, 0] ** 2 + PLACES[:, 1]
    shares = variance_shares(PLACES, result)
    assert variance_shares(PLACES, 7.0 - 3.0 * result) == pytest.approx(shares)
    assert variance_shares(1.0 - PLACES, result) == pytest.approx(shares, abs=1e-3)


def test_what_never_varies_has_no_shares() -> None:
    assert (variance_shares(PLACES, np.full(len(PLACES), 5.0)) == 0).all()


@pytest.fixture(
    scope="module",
    params=[
        ("alder_street", ("attic_insulation", "led_lamps", "heat_pump_upgrade")),
        ("wren_cottage", ("attic_insulation", "furnace_upgrade", "duct_mastic")),
    ],
    ids=["alder", "wren"],
)
def case(request: pytest.FixtureRequest):
    name, ticked = request.param
    study = Study(load_house(data_path("houses", f"{name}.toml")))
    setting = setting_of(study)
    draws = draw(study.house, study.offers, [fuel for fuel, _ in study.uses])
    return setting, study.mask(ticked), draws


def test_knowing_the_named_input_narrows_the_range_as_promised(case) -> None:
    setting, mask, draws = case
    outcome = plan_outcome(setting, mask, draws)
    named = what_to_measure(setting.house, draws, outcome.savings)
    assert len(named) == 2
    assert named[0].share >= named[1].share > 0
    before = outcome.saving.high - outcome.saving.low
    for one in named:
        known = {}
        for path in draws.numbers:
            name = parameter_at(setting.house, path).name
            if SAME_CAUSE.get(name, name) == one.cause:
                known[path] = np.full((draws.count, 1), float(number_at(setting.house, path)))
        after = plan_outcome(setting, mask, replace(draws, numbers={**draws.numbers, **known}))
        narrower = 1.0 - (after.saving.high - after.saving.low) / before
        assert narrower == pytest.approx(one.narrower, abs=0.05)
        assert narrower > 0


def test_few_places_are_named_and_what_no_visit_settles_is_left_out(case) -> None:
    setting, mask, draws = case
    savings = plan_outcome(setting, mask, draws).savings
    named = what_to_measure(setting.house, draws, savings, most=99)
    owners = (number_at(setting.house, path.rpartition(".")[0]) for path in draws.numbers)
    labels = {getattr(owner, "label", "") for owner in owners}
    assert all(len(one.places) <= NAMED_ITEMS for one in named)
    assert any(one.places for one in named)
    assert all(set(one.places) <= labels for one in named)
    assert not {one.cause for one in named} & BEYOND_A_VISIT


def test_prices_are_asked_for_only_where_the_house_gives_none(case) -> None:
    setting, _, draws = case
    fuel = next(iter(draws.price_factors))
    savings = draws.price_factors[fuel]
    named = what_to_measure(setting.house, draws, savings, most=99)
    assert f"price.price.{fuel}" not in [one.cause for one in named]
    unpriced = replace(setting.house, prices=())
    (first,) = what_to_measure(unpriced, draws, savings, most=1)
    assert first.cause == f"price.price.{fuel}"


def test_names_beyond_a_visit_are_declared() -> None:
    assert set(parameters()) >= BEYOND_A_VISIT
