"""The example houses with their invented bills: fitted, looked over, and never saving more than was billed."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from charts import check_chart
from examples import example

from retrofit_lab.app.page.asking import Asked
from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.page_content import page_content
from retrofit_lab.app.page.panels import answered, panel_named
from retrofit_lab.app.page.told import told
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.bills.fitting.period_weather import ActualDays, BillWeather
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.fuels import fuel_units
from retrofit_lab.bills.reading.record import Bill, BillFiles, BillSet
from retrofit_lab.climate.locating import find_climate, find_weather
from retrofit_lab.climate.monthly import monthly_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.house.readings import with_fitted_leakage
from retrofit_lab.model.year import year_energy
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.billed import weather_verdict
from retrofit_lab.study.study import Study


def asked(study: Study, ticked=()) -> Asked:
    """A question about a plan."""
    return Asked(
        advice=Advice(study), result=study.plan(ticked), real=RealHouses(study),
        told=told(study, "en", "us"), values={},
    )  # fmt: skip


@pytest.fixture(scope="module", params=["alder_street", "wren_cottage"])
def billed(request) -> Study:
    name = request.param
    house = load_house(data_path("houses", f"{name}.toml"))
    return Study(house, bills=str(data_path("bills", f"{name}.csv")))


def test_fitted_house_agrees_with_its_bills_in_every_fuel(billed: Study) -> None:
    for compared in billed.billed.fit.compared:
        assert abs(compared.criteria_after.nmbe) < 0.05
        assert compared.criteria_after.cv_rmse < 0.15
    assert not any(verdict.serious for verdict in billed.billed.fit.verdicts)
    assert "The house as described explains its bills" in " ".join(billed.billed.verdict)


def test_year_costs_what_the_bills_say(billed: Study) -> None:
    paid = sum(bill.cost for bill in billed.billed.bills.bills)
    assert billed.plan(()).before.cost == pytest.approx(paid, rel=0.04)


def test_no_set_saves_more_of_a_fuel_than_was_billed(billed: Study) -> None:
    everything = [k for k in billed.keys if not billed.offer(k).measure.excludes]
    result = billed.plan(everything)
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
    content = answered(panel_named("bills"), asked(billed), {})
    text = " ".join(content["sentences"])
    assert "off the electricity bills" in text
    assert "moved the most" in text
    assert any(row[0] == "Heating" for row in content["table"]["rows"])
    figure = content["chart"]["figure"]
    assert len(figure["data"]) == 2
    check_chart(figure)


def test_without_bills_the_panel_says_how_to_give_them() -> None:
    study = example("alder_street")
    content = answered(panel_named("bills"), asked(study), {})
    assert content["sentences"][0].startswith("No bills yet.")


def test_missing_bills_name_the_file() -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    with pytest.raises(InputError, match=r"nowhere\.csv: there is no such file"):
        Study(house, bills="nowhere.csv")


def test_shipped_bills_are_read_without_a_problem() -> None:
    for name in ("alder_street", "wren_cottage"):
        assert read_bills(data_path("bills", f"{name}.csv")).problems == ()


def made_file(path, house, factor=1.0, cost=None) -> str:
    """A year of bills that the model makes of a house, each fuel times a factor."""
    year = year_energy(house, find_climate(house.site.climate))
    lines = ["start,end,fuel,quantity,unit,cost"]
    days = [date(2023, month, 1) for month in range(1, 13)] + [date(2024, 1, 1)]
    for fuel in sorted({fuel for fuel, _ in year.monthly}):
        months = fuel_months(year, fuel, 1)[0] * factor
        if months.sum() > 0:
            lines += [
                f"{a},{b},{fuel.replace('_', ' ')},{use:.4f},{fuel_units()[fuel]},{cost(fuel, use) if cost else ''}"
                for a, b, use in zip(days, days[1:], months, strict=False)
            ]
    path.write_text("\n".join(lines), encoding="utf-8")
    return str(path)


WREN = load_house(data_path("houses", "wren_cottage.toml"))


def test_prices_are_those_of_the_bills_where_the_house_has_none(tmp_path) -> None:
    bare = replace(WREN, prices=())
    price = {"electricity": 0.23, "natural_gas": 1.71}
    file = made_file(
        tmp_path / "b.csv", WREN, cost=lambda fuel, use: f"{price[fuel] * use + 9.0:.4f}"
    )
    study = Study(bare, bills=file)
    assert {p.key: p.price for p in study.as_found.prices} == pytest.approx(price, rel=0.01)
    assert all(p.fixed == pytest.approx(9.0, rel=0.02) for p in study.as_found.prices)
    assert "as the bills charge" in " ".join(study.billed.verdict)
    own = Study(WREN, bills=file)
    assert own.as_found.prices == WREN.prices
    assert "The house file counts" in " ".join(own.billed.verdict)


@pytest.mark.parametrize("factor", [0.4, 0.8, 1.0])
def test_what_is_worked_out_lies_inside_its_range(tmp_path, factor: float) -> None:
    study = Study(WREN, bills=made_file(tmp_path / "b.csv", WREN, factor))
    ticked = ("attic_insulation", "wall_fill", "duct_mastic")
    span = Advice(study).outcome(ticked, worked_out=True).saving
    assert span.low <= study.plan(ticked).saved <= span.high


def test_forced_bills_move_nothing_and_are_told_first(tmp_path) -> None:
    study = Study(WREN, bills=made_file(tmp_path / "b.csv", WREN, 2.5))
    assert not study.billed.fit.used
    assert study.as_found == with_fitted_leakage(WREN)
    assert study.billed.verdict[0].startswith("The bills do not fit the house as described")
    said = told(study, "en", "us")
    page = page_content(said, study.plan(()), HouseDrawing(said).parts)
    assert page["bills"] == [study.billed.verdict[0]]


def test_measured_days_reach_the_fit(tmp_path) -> None:
    """Bills of a year that was colder all along: with its temperatures the house is found, without it is not."""
    weather = find_weather(WREN.site.climate)
    cold = replace(weather, temperature=weather.temperature - 4.0)
    year = year_energy(WREN, monthly_climate(cold))
    days = [date(2023, 1, 1) + timedelta(days=n) for n in range(365)]
    temperatures = tmp_path / "days.csv"
    rows = "\n".join(f"{d},{t:.2f}" for d, t in zip(days, cold.temperature, strict=True))
    temperatures.write_text(f"date,mean\n{rows}\n", encoding="utf-8")
    starts = [date(2023, month, 1) for month in range(1, 13)] + [date(2024, 1, 1)]
    lines = [
        f"{a},{b},{use:.3f}"
        for a, b, use in zip(
            starts, starts[1:], fuel_months(year, "natural_gas", 1)[0], strict=False
        )
    ]
    bills = tmp_path / "b.csv"
    bills.write_text("start,end,therms\n" + "\n".join(lines), encoding="utf-8")
    usual = year_energy(WREN, find_climate(WREN.site.climate)).annual("natural_gas", "heating")

    def off(weather_file: str) -> float:
        study = Study(WREN, bills=BillFiles(paths=(str(bills),), weather=weather_file))
        told = [v.key for v in study.billed.fit.verdicts if v.key.startswith("weather")]
        assert told == (["weather_whole"] if weather_file else [])
        fitted = year_energy(study.as_found, study.climate).annual("natural_gas", "heating")
        return abs(float(fitted / usual) - 1.0)

    assert off(str(temperatures)) < 0.04
    assert off("") > 1.5 * off(str(temperatures))


@pytest.mark.parametrize(
    ("first", "key", "serious", "share"),
    [
        (date(2022, 12, 20), "weather_whole", False, "100%"),
        (date(2023, 3, 2), "weather_part", False, "84%"),
        (date(2024, 6, 1), "weather_part", True, "0%"),
    ],
)
def test_a_weather_file_is_told_with_what_it_covers_of_the_bills(
    first: date, key: str, serious: bool, share: str
) -> None:
    days = ActualDays(name="days.csv", first=first, temperature=np.full(400, 50.0))
    weather = BillWeather(name="here", typical=np.full((12, 31), 50.0), actual=days)
    bill = Bill(fuel="propane", start=date(2023, 1, 1), end=date(2024, 1, 1), quantity=5.0, row=2)
    (found,) = weather_verdict(weather, BillSet(name="b", bills=(bill,)))
    assert (found.key, found.serious, found.values["share"]) == (key, serious, share)
    for language in ("en", "es"):
        assert f"days.csv, {'del ' if language == 'es' else ''}{first}" in found.sentence(language)
    assert not list(
        weather_verdict(replace(weather, actual=None), BillSet(name="b", bills=(bill,)))
    )
