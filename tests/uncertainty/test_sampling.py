"""Draws: inside legal bounds, as wide as declared, together where they share a cause, the same every time."""

from dataclasses import replace

import numpy as np
import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import number_at, numbers, parameter_at, with_numbers
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import offers_for
from retrofit_lab.uncertainty.sampling import (
    SAME_CAUSE,
    WHOLE,
    as_worked_out,
    draw,
    spreads,
)
from retrofit_lab.uncertainty.triangle import Triangle

FUELS = ("electricity", "natural_gas", "electricity")


def of(name: str):
    house, offers = offers_for(load_house(data_path("houses", f"{name}.toml")), catalog())
    return house, offers, draw(house, offers, FUELS)


ALDER, ALDER_OFFERS, DRAWS = of("alder_street")
both = pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])


@both
def test_every_number_stays_legal_and_keeps_its_value_in_the_middle(name: str) -> None:
    house, _, draws = of(name)
    assert draws.numbers
    for path, drawn in draws.numbers.items():
        rule, value = parameter_at(house, path), float(number_at(house, path))
        assert drawn.shape == (4096, 1)
        assert rule.legal_low <= drawn.min() < drawn.max() <= rule.legal_high, path
        if rule.legal_low < value < rule.legal_high:
            assert drawn.min() < value < drawn.max(), path


@both
def test_four_fifths_lie_in_the_declared_range(name: str) -> None:
    house, _, draws = of(name)
    for spread in spreads(house):
        drawn = draws.numbers[spread.path]
        share = np.mean(np.abs(drawn - spread.value) <= spread.half_range)
        room = min(spread.value - spread.rule.legal_low, spread.rule.legal_high - spread.value)
        if room > 3 * spread.half_range:
            assert share == pytest.approx(0.8, abs=0.002), spread.path
        else:
            assert share >= 0.8 - 0.002, spread.path


def test_assumed_numbers_are_spread_twice_as_wide() -> None:
    path = "ducts.flow"
    given = replace(ALDER, assumed=ALDER.assumed - {path})
    assumed = replace(ALDER, assumed=ALDER.assumed | {path})
    narrow = draw(given, (), ()).numbers[path].std()
    assert draw(assumed, (), ()).numbers[path].std() == pytest.approx(2 * narrow, rel=0.01)


def test_only_exact_whole_and_price_numbers_are_not_drawn() -> None:
    for path, value in numbers(ALDER):
        rule = parameter_at(ALDER, path)
        exact = rule.half_range(float(value)) == 0
        left_out = exact or rule.name in WHOLE or path.startswith("prices.")
        assert (path in DRAWS.numbers) != left_out, path


def test_one_cause_moves_all_its_numbers_together() -> None:
    first = DRAWS.numbers["surfaces.walls.gap_fraction"].ravel()
    second = DRAWS.numbers["surfaces.attic_floor.gap_fraction"].ravel()
    assert (np.argsort(first) == np.argsort(second)).all()
    other = DRAWS.numbers["surfaces.walls.r_label"].ravel()
    assert abs(np.corrcoef(first, other)[0, 1]) < 0.03
    supply, back = (DRAWS.numbers[f"ducts.{side}_leakage"].ravel() for side in ("supply", "return"))
    assert (np.argsort(supply) == np.argsort(back)).all()
    names = {parameter_at(ALDER, path).name for path, _ in numbers(ALDER)}
    assert set(SAME_CAUSE) <= names


def test_costs_stay_between_low_and_high_and_share_a_price_level() -> None:
    for offer, drawn in zip(ALDER_OFFERS, DRAWS.costs.T, strict=True):
        assert offer.cost_low - 1e-9 <= drawn.min()
        assert drawn.max() <= offer.cost_high + 1e-9
        mean = (offer.cost_low + offer.cost_likely + offer.cost_high) / 3
        assert drawn.mean() == pytest.approx(mean, rel=0.01)
    moving = DRAWS.costs[:, DRAWS.costs.std(axis=0) > 0]
    together = np.corrcoef(moving.T)[np.triu_indices(moving.shape[1], 1)]
    assert together.min() > 0.3
    assert together.max() < 0.7


def test_price_of_an_unpriced_fuel_is_spread_twice_as_wide() -> None:
    ratio = DRAWS.price_factors["natural_gas"].std() / DRAWS.price_factors["electricity"].std()
    assert ratio == pytest.approx(2.0, rel=0.02)
    assert DRAWS.price_factors["electricity"].mean() == pytest.approx(1.0, abs=1e-3)


def test_savings_come_about_as_in_real_houses_unless_asked_otherwise() -> None:
    assert DRAWS.realized.shape == (4096, len(ALDER_OFFERS))
    assert 0.1 <= DRAWS.realized.min() < DRAWS.realized.max() <= 1.1
    whole = as_worked_out(DRAWS)
    assert (whole.realized == 1.0).all()
    assert (whole.costs == DRAWS.costs).all()
    assert (whole.places == DRAWS.places).all()


def test_same_question_same_draws_and_the_first_ones_are_a_part() -> None:
    again = draw(ALDER, ALDER_OFFERS, FUELS)
    assert (again.places == DRAWS.places).all()
    few = DRAWS.part(0, 256)
    assert few.count == 256
    assert (few.numbers["leakage.flow"] == DRAWS.numbers["leakage.flow"][:256]).all()
    stratified = np.sort((few.places * 256).astype(int), axis=0)
    assert (stratified == np.arange(256)[:, None]).all()


def test_numbers_without_a_spread_give_draws_without_numbers() -> None:
    found = [s for s in spreads(with_numbers(ALDER, {"leakage.sites": ()})) if "sites" in s.path]
    assert found == []


@pytest.mark.parametrize("count", [0, 1, 1000])
def test_numbers_of_draws_that_are_no_power_of_two_are_refused(count: int) -> None:
    with pytest.raises(
        InputError, match=rf"{count} draws .* power of two, 4096 at most\. Use 4096"
    ):
        draw(ALDER, (), (), count=count)


def test_triangles_must_rise() -> None:
    with pytest.raises(InputError, match=r"1, 0\.7, 0\.4 must rise from low to high"):
        Triangle(low=1.0, likely=0.7, high=0.4)
    assert Triangle(low=2.0, likely=2.0, high=2.0).at(np.array([0.1, 0.9])).tolist() == [2.0, 2.0]
