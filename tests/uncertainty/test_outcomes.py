"""Ranges: every draw is the model's own answer, the same draws before and after, and the counts by hand."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.fitted_measures import with_offers
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.advice import setting_of
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty import outcomes
from retrofit_lab.uncertainty.outcomes import (
    Setting,
    drawn_bills,
    measure_outcomes,
    plan_outcome,
    span,
)
from retrofit_lab.uncertainty.sampling import Draws, as_worked_out, draw

FIVE = ("band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap")


def example(name: str) -> tuple[Study, Setting, Draws]:
    study = Study(load_house(data_path("houses", f"{name}.toml")))
    setting = setting_of(study)
    drawn = draw(study.house, study.offers, [fuel for fuel, _ in study.uses])
    return study, setting, as_worked_out(drawn)


EXAMPLES = {name: example(name) for name in ("alder_street", "wren_cottage")}
names = st.sampled_from(sorted(EXAMPLES))
both = pytest.mark.parametrize("name", sorted(EXAMPLES))


def exactly(draws: Draws) -> Draws:
    """The same draws with nothing uncertain but the costs."""
    factors = {fuel: np.ones(draws.count) for fuel in draws.price_factors}
    return replace(draws, numbers={}, price_factors=factors)


@both
def test_without_spread_the_range_is_the_point(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    outcome = plan_outcome(setting, study.mask(FIVE), exactly(draws.part(0, 4)))
    saved = study.plan(FIVE).saved
    assert outcome.savings == pytest.approx(np.full(4, saved))
    assert outcome.saving.low == outcome.saving.high == pytest.approx(saved)


@given(names, st.integers(0, 4095), st.integers(0, 2**31))
@settings(deadline=None, max_examples=15)
def test_every_draw_is_what_the_model_says_of_that_house(name: str, k: int, seed: int) -> None:
    study, setting, draws = EXAMPLES[name]
    mask = np.random.default_rng(seed).random(len(study.keys)) < 0.3
    house = with_numbers(study.house, {p: float(v[k, 0]) for p, v in draws.numbers.items()})
    year = year_energy(with_offers(house, study.offers, mask.tolist()), study.climate)
    used = {fuel for fuel, use in study.uses if float(year.annual(fuel, use)) > 0}
    fixed = sum(12 * float(price.fixed) for price in house.prices if price.key in used)
    scales = dict(zip(study.uses, study.case.scales.tolist(), strict=True))
    bill = fixed + sum(
        float(year.annual(fuel, use)) * scales[fuel, use] * price * draws.price_factors[fuel][k]
        for (fuel, use), price in zip(study.uses, study.money.prices, strict=True)
    )
    start = max(0, k - 3)
    rows = np.array([np.zeros_like(mask), mask])
    found = drawn_bills(setting, rows, draws.part(start, start + 8))[1, k - start]
    assert found == pytest.approx(bill, rel=1e-9)


@both
def test_chunks_do_not_matter(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    study, setting, draws = EXAMPLES[name]
    rows = np.array([study.mask(()), study.mask(FIVE), study.mask(FIVE[:2])])
    whole = drawn_bills(setting, rows, draws.part(0, 64))
    monkeypatch.setattr(outcomes, "ROWS", 21)
    assert drawn_bills(setting, rows, draws.part(0, 64)) == pytest.approx(whole, rel=1e-12)


@both
def test_doing_nothing_saves_exactly_nothing(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    outcome = plan_outcome(setting, study.mask(()), draws.part(0, 64))
    assert (outcome.savings == 0.0).all()
    assert outcome.payback == span(np.zeros(2))
    assert outcome.pays_back == 1.0


@both
def test_point_lies_well_inside_the_range(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    outcome, point = plan_outcome(setting, study.mask(FIVE), draws), study.plan(FIVE)
    assert outcome.saving.low < point.saved < outcome.saving.high
    assert outcome.cost.low < point.cost.likely < outcome.cost.high
    assert outcome.saving.middle == pytest.approx(point.saved, rel=0.1)
    inside = (outcome.savings >= outcome.saving.low) & (outcome.savings <= outcome.saving.high)
    assert inside.mean() == pytest.approx(0.8, abs=0.001)


@both
def test_same_draws_make_differences_sharper_than_bills(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    bills = drawn_bills(setting, np.array([study.mask(()), study.mask(FIVE)]), draws.part(0, 512))
    apart = np.sqrt(bills[0].var() + bills[1].var())
    assert (bills[0] - bills[1]).std() < 0.5 * apart


@both
def test_measures_are_differences_of_stacks_over_the_same_draws(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    found = measure_outcomes(setting, study.mask(FIVE), draws, count=16)
    assert list(found) == list(study.keys)
    few = draws.part(0, 16)
    more, less = (*FIVE, "led_lamps"), FIVE[1:]
    rows = np.array([study.mask(FIVE), study.mask(more), study.mask(less)])
    bills = drawn_bills(setting, rows, few)
    assert found["led_lamps"].savings == pytest.approx(bills[0] - bills[1])
    assert found[FIVE[0]].savings == pytest.approx(bills[2] - bills[0])


@both
def test_chance_of_paying_back_by_hand(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    key = "attic_insulation"
    outcome = plan_outcome(setting, study.mask([key]), draws.part(0, 256))
    cost = draws.costs[:256, study.keys.index(key)]
    payback = cost / outcome.savings
    life = study.offer(key).measure.life.years
    assert outcome.pays_back == pytest.approx(np.mean(payback <= life))
    assert outcome.payback == span(payback)
    free = replace(draws.part(0, 256), costs=np.zeros_like(draws.costs[:256]))
    assert plan_outcome(setting, study.mask([key]), free).payback.high == 0.0
    dear = replace(draws.part(0, 256), costs=100 * draws.costs[:256])
    assert plan_outcome(setting, study.mask([key]), dear).pays_back == 0.0


def real(study: Study) -> Draws:
    return draw(study.house, study.offers, [fuel for fuel, _ in study.uses])


@both
def test_one_measure_brings_just_its_own_share(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    for key in ("attic_insulation", "led_lamps"):
        mask, place = study.mask([key]), study.keys.index(key)
        whole = plan_outcome(setting, mask, draws.part(0, 64)).savings
        some = real(study).part(0, 64)
        came = plan_outcome(setting, mask, some).savings
        assert came == pytest.approx(np.where(whole > 0, whole * some.realized[:, place], whole))
        added = measure_outcomes(setting, study.mask(()), some, count=64)[key].savings
        assert added == pytest.approx(came)


@both
def test_a_set_brings_the_shares_of_its_measures_by_what_they_save_alone(name: str) -> None:
    """By hand, from three sets worked out one by one."""
    study, setting, draws = EXAMPLES[name]
    keys = ("attic_insulation", "night_setback")
    some, mask = real(study).part(0, 64), study.mask(keys)
    alone = {key: study.plan([key]).saved for key in keys}
    shares = {key: some.realized[:, study.keys.index(key)] for key in keys}
    expected = sum(alone[key] * shares[key] for key in keys) / sum(alone.values())
    whole = plan_outcome(setting, mask, draws.part(0, 64)).savings
    assert plan_outcome(setting, mask, some).savings == pytest.approx(whole * expected, rel=1e-6)


def test_payback_without_a_saving_is_endless_and_spans_hold_it() -> None:
    endless = span(np.array([1.0, 2.0, np.inf, np.inf, np.inf]))
    assert (endless.low, endless.middle, endless.high) == (1.0, np.inf, np.inf)


@both
def test_fewer_draws_for_single_measures_find_nearly_the_same_ends(name: str) -> None:
    study, setting, draws = EXAMPLES[name]
    few = measure_outcomes(setting, study.mask(FIVE), draws)
    for key in FIVE:
        rest = [k for k in FIVE if k != key]
        bills = drawn_bills(setting, np.array([study.mask(rest), study.mask(FIVE)]), draws)
        many = span(bills[0] - bills[1])
        width = many.high - many.low
        assert few[key].saving.low == pytest.approx(many.low, abs=0.15 * width), key
        assert few[key].saving.high == pytest.approx(many.high, abs=0.15 * width), key
