"""Shares of end uses: they add up, carry their ranges, and stand beside the usual ones."""

import pytest
from fitted_houses import CLIMATE, HOUSES, RANGES, WEATHER, billed, true_house

from retrofit_lab.bills.fitting.end_use import USUAL, end_use_table
from retrofit_lab.bills.fitting.house_fit import fit_house
from retrofit_lab.model.year import END_USES, year_energy

either = pytest.mark.parametrize("name", HOUSES)


def drawn(name: str, seed: int = 4):
    fit = fit_house(
        HOUSES[name],
        CLIMATE[name],
        billed(true_house(name, seed), name),
        WEATHER[name],
        RANGES[name],
    )
    return fit, end_use_table(fit.house, CLIMATE[name], fit.drawn_numbers(300))


@either
def test_shares_add_to_one_and_energy_to_the_year(name: str) -> None:
    fit, table = drawn(name)
    year = year_energy(fit.house, CLIMATE[name])
    assert sum(row.share for row in table) == pytest.approx(1.0)
    assert sum(row.energy for row in table) == pytest.approx(
        sum(float(year.annual(*use)) for use in year.monthly)
    )
    assert [row.share for row in table] == sorted((row.share for row in table), reverse=True)
    assert {row.end_use for row in table} <= set(END_USES)


@either
def test_ranges_hold_the_likely_share(name: str) -> None:
    _, table = drawn(name)
    for row in table:
        width = row.share_high - row.share_low
        assert width > 0
        assert row.share_low - 0.5 * width <= row.share <= row.share_high + 0.5 * width
        assert row.energy_low < row.energy_high


def test_without_draws_there_are_no_ranges() -> None:
    table = end_use_table(HOUSES["wren_cottage"], CLIMATE["wren_cottage"], {})
    assert all(row.share_low == row.share == row.share_high for row in table)


def test_cost_shares_count_electricity_dearer() -> None:
    house, climate = HOUSES["wren_cottage"], CLIMATE["wren_cottage"]
    energy = {row.end_use: row.share for row in end_use_table(house, climate, {})}
    cost = {
        row.end_use: row.share
        for row in end_use_table(
            house, climate, {}, {"electricity": 0.16 / 3412, "natural_gas": 1.4 / 1e5}
        )
    }
    assert cost["lighting"] > 2 * energy["lighting"]
    assert cost["heating"] < energy["heating"]


def test_usual_shares_are_marked_and_unusual_ones_found() -> None:
    assert all(0 < usual.low < usual.high < 1 for usual in USUAL.values())
    assert {usual.mark for usual in USUAL.values()} == {"common practice, no source"}
    assert (USUAL["hot_water"].low, USUAL["hot_water"].high) == (0.10, 0.15)
    assert (USUAL["lighting"].low, USUAL["lighting"].high) == (0.10, 0.20)
    rows = {
        row.end_use: row
        for row in end_use_table(HOUSES["wren_cottage"], CLIMATE["wren_cottage"], {})
    }
    assert rows["heating"].is_unusual
    assert not rows["blower"].is_unusual
