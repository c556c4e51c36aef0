"""The example houses with their invented bills: fitted, looked over, and never saving more than was billed."""

import pytest
from charts import check_chart
from examples import example

from retrofit_lab.advice import Advice
from retrofit_lab.bills.reading import read_bills
from retrofit_lab.house.file import load_house
from retrofit_lab.presentation.bill_panel import NO_BILLS
from retrofit_lab.presentation.panels import answered, panel_named
from retrofit_lab.presentation.shown_units import US, Telling
from retrofit_lab.reference_data import data_path
from retrofit_lab.study import Study
from retrofit_lab.values import InputError

PLAIN_US = Telling(titles={}, units=US)


@pytest.fixture(scope="module", params=["alder_street", "wren_cottage"])
def billed(request) -> Study:
    name = request.param
    house = load_house(data_path("houses", f"{name}.toml"))
    return Study(house, bills=str(data_path("bills", f"{name}.csv")))


def test_fitted_house_agrees_with_its_bills_in_every_fuel(billed: Study) -> None:
    for compared in billed.billed.fit.compared:
        assert abs(compared.criteria_after.nmbe) < 0.05
        assert compared.criteria_after.cv_rmse < 0.15
    assert billed.billed.fit.warnings == ()


def test_year_costs_what_the_bills_say(billed: Study) -> None:
    paid = sum(bill.cost for bill in billed.billed.bills.bills)
    assert billed.stack(()).before.cost == pytest.approx(paid, rel=0.04)


def test_no_set_saves_more_of_a_fuel_than_was_billed(billed: Study) -> None:
    everything = [k for k in billed.keys if not billed.offer(k).measure.excludes]
    result = billed.stack(everything)
    for fuel in {bill.fuel for bill in billed.billed.bills.bills}:
        used = sum(b.quantity for b in billed.billed.bills.bills if b.fuel == fuel)
        saved = result.before.fuel_total(fuel) - result.after.fuel_total(fuel)
        assert saved <= used * 1.05


def test_bills_make_the_year_surer(billed: Study) -> None:
    plain = Advice(example(billed.as_found.name.lower().replace(" ", "_")))
    ticked = ("attic_insulation", "duct_mastic")

    def width(advice: Advice) -> float:
        span = advice.how_sure(ticked).outcome.saving
        return (span.high - span.low) / span.middle

    assert width(Advice(billed)) < width(plain)


def test_panel_tells_agreement_and_end_uses(billed: Study) -> None:
    content = answered(panel_named("bills"), Advice(billed), billed.stack(()), {}, PLAIN_US)
    text = " ".join(content["sentences"])
    assert "off the bills" in text
    assert "moved farthest" in text
    assert any(row[0] == "heating" for row in content["table"]["rows"])
    figure = content["chart"]["figure"]
    assert len(figure["data"]) == 2
    check_chart(figure)


def test_without_bills_the_panel_says_how_to_give_them() -> None:
    study = example("alder_street")
    content = answered(panel_named("bills"), Advice(study), study.stack(()), {}, PLAIN_US)
    assert content["sentences"] == [NO_BILLS]


def test_missing_bills_name_the_file() -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    with pytest.raises(InputError, match=r"nowhere\.csv: there is no such file"):
        Study(house, bills="nowhere.csv")


def test_shipped_bills_are_read_without_a_problem() -> None:
    for name in ("alder_street", "wren_cottage"):
        assert read_bills(data_path("bills", f"{name}.csv")).problems == ()
