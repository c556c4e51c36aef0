"""Prices that nobody gave: of the state where a table has them, with date and source, else the nation's."""

from dataclasses import replace

import pytest
from examples import example

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.climate.places import best_offer, find_place, state_names
from retrofit_lab.climate.states import state_of
from retrofit_lab.house.usual_prices import usual_price
from retrofit_lab.money.pricing import priced_fuels
from retrofit_lab.money.reading_tariffs import tariff_from_table, tariffs_problems
from retrofit_lab.money.tariffs import Tariff
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.proposals.content import fuel_prices
from retrofit_lab.study.study import Study

ZIPS = (
    "04401", "02108", "06103", "10001", "19103", "21224", "23220", "27401", "30303", "33101", "35203", "37203",
    "43004", "48201", "53711", "55401", "58102", "65101", "70112", "73102", "75201", "80202", "83702", "87102",
    "89101", "94103", "97201", "98101", "99501", "96813",
)  # fmt: skip


def test_states_of_zip_codes_are_those_of_the_stations_there() -> None:
    off = [code for code in ZIPS if best_offer(find_place(code)).station.state != state_of(code)]
    assert not off


@pytest.mark.parametrize(("place", "state"), [("Miami, FL", "FL"), ("2023.csv", ""), ("00601", "")])
def test_a_place_that_does_not_tell_its_state_has_none(place: str, state: str) -> None:
    assert state_of(place) == state


def test_every_row_is_of_a_state_with_its_source() -> None:
    rows = list(read_rows("state_prices.csv"))
    assert {row["state"] for row in rows} <= set(state_names()) | {"DC"}
    assert len(rows) >= 50
    for row in rows:
        assert 0.08 < float(row["price_dollars_per_unit"]) < 0.45
        assert row["source"]
        assert row["as_of"]


def test_a_state_stands_before_the_nation_and_a_given_price_before_both() -> None:
    """Maine 27.42 cents in 2023 (Electric Power Annual, read); Wyoming could not be read."""
    assert usual_price("electricity", "04401").price == 0.2742
    assert usual_price("electricity", "82001").price == fuels()["electricity"].demo_price
    assert usual_price("propane", "04401").price == fuels()["propane"].demo_price
    house = replace(example("millpond_hill").as_found, prices=())
    (row,) = priced_fuels(house, MoneyTerms(), ["electricity"])
    assert (row.tariff.price, row.tariff.as_of, row.origin) == (0.2742, "2023", "demo")


def test_carbon_that_someone_gave_stands_before_the_nation_a_price_file_first() -> None:
    house = example("wren_cottage").as_found
    usual = fuels()["electricity"].co2

    def saved(told: float | None, own: float | None = None) -> tuple[float, bool, float]:
        prices = tuple(
            replace(row, co2=told) if row.key == "electricity" else row for row in house.prices
        )
        tariff = Tariff(price=0.158, as_of="2026", source="rate sheet", co2=own)
        terms = MoneyTerms(fuel_prices={"electricity": tariff} if own else {})
        study = Study(replace(house, prices=prices), terms=terms)
        row = next(row for row in fuel_prices(study) if row.fuel == "electricity")
        result = study.plan(("led_lamps",))
        used = sum(kwh for (fuel, _), kwh in result.before.energy.items() if fuel == "electricity")
        return row.carbon, row.carbon_given, result.before.co2 - row.carbon * used

    (nation, asked, others), told, own = saved(None), saved(0.1), saved(0.1, 0.7)
    assert (nation, asked) == (usual, False)
    assert told[:2] == (0.1, True)
    assert own[:2] == (0.7, True)
    assert told[2] == pytest.approx(others)
    assert own[2] == pytest.approx(others)


@pytest.mark.parametrize(("co2", "wrong"), [(0.35, ()), (-1, ("fuels.electricity.co2 is -1",))])
def test_carbon_of_a_price_file(co2: float, wrong: tuple[str, ...]) -> None:
    table = {"price": 0.2, "as_of": "2026", "source": "bill", "co2": co2}
    told = list(tariffs_problems({"electricity": table}))
    assert [sentence.split(";")[0] for sentence in told] == list(wrong)
    if not wrong:
        assert tariff_from_table(table).co2 == co2
