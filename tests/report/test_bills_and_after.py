"""Bills beside the model, and what came after the work beside what was promised."""

import re
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from examples import example

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.bills.fitting.period_weather import bill_weather
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.climate.locating import find_weather
from retrofit_lab.command import main
from retrofit_lab.house.file import load_house
from retrofit_lab.proposals.bills_beside import BillRow, bills_beside, splits, what_came
from retrofit_lab.proposals.content import Maker, report_content
from retrofit_lab.proposals.contractors import scopes
from retrofit_lab.proposals.recommend import order_of
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

WREN = data_path("houses", "wren_cottage.toml")
TICK = ("wall_fill", "attic_insulation")
FIRST = date(2024, 1, 4)
WEATHER = bill_weather(find_weather("greensboro_nc"))


def write_bills(path: Path, base: float, slope: float, noise: float = 0.0) -> Path:
    """Monthly gas bills of a house that takes so much a day and so much a degree below 62 F."""
    lines = ["start,end,fuel,quantity,unit"]
    draws = np.random.default_rng(4).normal(1.0, noise, 12)
    for month in range(12):
        start = FIRST + timedelta(days=30 * month)
        end = start + timedelta(days=30)
        degrees = np.maximum(62.0 - WEATHER.between(start, end), 0.0).sum()
        lines.append(
            f"{start},{end},natural_gas,{(30 * base + slope * degrees) * draws[month]:.3f},therm"
        )
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def split_file(path: Path, weather=WEATHER):
    return splits(read_bills(path), weather)


def normal_year(base: float, slope: float) -> float:
    return 365 * base + slope * np.maximum(62.0 - WEATHER.normal_year(), 0.0).sum()


def billed_study(path: Path) -> Study:
    return Study(load_house(WREN), bills=str(path))


def test_bills_stand_beside_the_model_on_the_same_days(tmp_path: Path) -> None:
    path = write_bills(tmp_path / "b.csv", base=0.5, slope=0.21, noise=0.02)
    study = billed_study(path)
    found = bills_beside(study.billed)
    row = found.rows[0]
    total = sum(bill.quantity for bill in read_bills(path).bills)
    assert (row.fuel, row.days) == ("natural_gas", 360)
    assert row.billed == pytest.approx(total)
    assert abs(row.fitted - row.billed) < abs(row.stated - row.billed)
    assert found.moved
    assert found.file == "b.csv"


def test_what_was_measured_is_shown_as_measured(tmp_path: Path) -> None:
    study = billed_study(write_bills(tmp_path / "b.csv", base=0.5, slope=0.21))
    content = report_content(study, TICK, Maker(made_on=FIRST))
    assert float(study.as_found.leakage.flow) != 1900.0
    assert content.leakage[0] == 1900.0
    shown = {row.rule.name: row.value for row in content.numbers}
    assert shown["leakage.flow"] == 1900.0
    assert shown["size.floor_area"] == 1080.0
    pages = scopes(study, content.proposal.steps, content.result.cautions)
    task = next(t for p in pages for t in p.tasks if t.step.key == "attic_insulation")
    assert task.offer.quantity == 1072.0
    assert task.targets[0].now == 13.0


def test_far_from_the_bills_gives_a_warning() -> None:
    def row(fitted: float) -> BillRow:
        return BillRow(fuel="natural_gas", days=360, billed=900.0, stated=1200.0, fitted=fitted)

    assert row(1000.0).far
    assert not row(950.0).far
    assert row(1000.0).difference == pytest.approx(1 / 9)


def test_too_few_bills_are_named(tmp_path: Path) -> None:
    path = write_bills(tmp_path / "b.csv", base=0.5, slope=0.21)
    with path.open("a", encoding="utf-8") as file:
        file.write("2024-01-04,2024-02-03,electricity,700,kWh\n")
    found = bills_beside(billed_study(path).billed)
    assert {row.fuel for row in found.rows} | {fuel for fuel, _ in found.short} == {
        "natural_gas",
        "electricity",
    }


def test_ranges_are_narrower_with_bills(tmp_path: Path) -> None:
    path = write_bills(tmp_path / "b.csv", base=0.5, slope=0.21, noise=0.02)
    with_bills = order_of(Advice(billed_study(path)), TICK)
    without = order_of(Advice(Study(billed_study(path).as_found)), TICK)

    def width(order) -> float:
        return order.saving.high - order.saving.low

    assert width(with_bills) < width(without)


def test_what_came_is_the_difference_of_usual_years(tmp_path: Path) -> None:
    before = split_file(write_bills(tmp_path / "b.csv", 0.4, 0.2, noise=0.03))
    after = split_file(write_bills(tmp_path / "a.csv", 0.4, 0.12, noise=0.03))
    row = what_came(before, after, example("wren_cottage").plan(TICK))[0]
    assert row.saved.low < normal_year(0.4, 0.2) - normal_year(0.4, 0.12) < row.saved.high
    assert row.saved.standard_error >= max(row.before.standard_error, row.after.standard_error)
    missing = what_came({}, after, example("wren_cottage").plan(TICK))[0]
    assert missing.saved is None


def run(folder: Path, *arguments: str, bills: bool = True) -> str:
    text = WREN.read_text(encoding="utf-8")
    if bills:
        text = text.replace("note =", 'bills = "bills.csv"\nnote =', 1)
    (folder / "w.toml").write_text(text, encoding="utf-8")
    house = str(folder / "w.toml")
    assert (
        main(
            [
                "report",
                "--no-page",
                house,
                "--out",
                str(folder),
                "--plan",
                ",".join(TICK),
                *arguments,
            ]
        )
        == 0
    )
    page = (folder / "report.html").read_text(encoding="utf-8")
    page = re.sub(r"<(script|style).*?</\1>", "", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_report_shows_bills_and_what_came(tmp_path: Path) -> None:
    write_bills(tmp_path / "bills.csv", 0.4, 0.2, noise=0.02)
    later = write_bills(tmp_path / "later.csv", 0.4, 0.19, noise=0.02)
    text = run(tmp_path, "--bills-after", str(later), "--leakage-after", "1700 cfm")
    assert "bills.csv: read 12 gas bills" in text
    assert "To match the bills, these numbers moved the most" in text
    assert "and used a typical year" in text
    assert "Measured after the work: 1,700 cfm." in text
    assert "you saved less than promised" in text


def test_daily_temperatures_of_the_bills_are_used(tmp_path: Path) -> None:
    write_bills(tmp_path / "bills.csv", 0.4, 0.2)
    later = str(write_bills(tmp_path / "later.csv", 0.4, 0.15))
    days = [FIRST + timedelta(days=n) for n in range(365)]
    heat = WEATHER.between(days[0], days[-1] + timedelta(days=1)) - 6.0
    rows = [f"{day},{t:.1f}" for day, t in zip(days, heat, strict=True)]
    (tmp_path / "days.csv").write_text("date,mean F\n" + "\n".join(rows), encoding="utf-8")
    usual = run(tmp_path, "--bills-after", later)
    colder = run(tmp_path, "--bills-after", later, "--weather", str(tmp_path / "days.csv"))
    assert "and used a typical year" not in colder

    def before(text: str) -> float:
        found = re.search(r"Promised\s+natural gas\s+([\d,]+) \(", text)
        return float(found[1].replace(",", ""))

    assert before(colder) < 0.9 * before(usual)


@pytest.mark.parametrize(
    ("reading", "sentence"),
    [
        ("1900", "has no unit"),
        ("20 kg", "the reading after the work"),
        ("5 cfm", "must be 50 to 30000"),
    ],
)
def test_reading_that_cannot_be(tmp_path: Path, reading: str, sentence: str, capsys) -> None:
    arguments = [
        "report",
        "--no-page",
        str(WREN),
        "--out",
        str(tmp_path),
        "--leakage-after",
        reading,
    ]
    assert main(arguments) == 2
    assert sentence in capsys.readouterr().err


def test_bills_that_are_missing_are_named(tmp_path: Path, capsys) -> None:
    text = WREN.read_text(encoding="utf-8").replace("note =", 'bills = "gone.csv"\nnote =', 1)
    (tmp_path / "w.toml").write_text(text, encoding="utf-8")
    assert main(["report", "--no-page", str(tmp_path / "w.toml"), "--out", str(tmp_path)]) == 2
    assert "gone.csv: there is no such file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "The house as described explains its bills"),
        ("es", "La casa como se describió explica sus recibos"),
    ],
)
def test_the_first_page_says_whether_house_and_bills_agree(tmp_path: Path, language, words) -> None:
    source = data_path("bills", "wren_cottage.csv").read_text(encoding="utf-8")
    (tmp_path / "bills.csv").write_text(source, encoding="utf-8")
    run(tmp_path, "--language", language)
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    summary = page.partition('<section id="summary">')[2].partition("</section>")[0]
    assert words in summary
