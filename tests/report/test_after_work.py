"""What comes after the work: the reading as typed, the record of finished jobs, and what is learned from it."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from examples import example
from reported import CHOSEN, content_of

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.fitting.splitting import Estimate
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.finished_jobs import (
    FinishedJob,
    finished_jobs,
    keep_jobs,
    record_beside,
    with_job,
)
from retrofit_lab.proposals.after_work import finished_job, reading_after
from retrofit_lab.proposals.bills_beside import CameRow
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.opening import learned_beside
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.learning import NOTHING, Learned, learned

NAME = "wren_cottage"
WREN = data_path("houses", "wren_cottage.toml")
JOB = FinishedJob(
    job="elm", checked="2026-05-01", worked_out=1000.0, usual=800.0, came=400.0, error=0.0
)


def test_a_reading_as_typed_in_the_field() -> None:
    """By hand: 2,400 cfm at 42 Pa are 2,400 x (50/42)^0.65 = 2,688 cfm at 50 Pa."""
    assert reading_after("1900 cfm", 0.65) == pytest.approx(1900.0)
    assert reading_after("2400 cfm at 42 Pa", 0.65) == pytest.approx(2688.0, abs=1.0)
    assert reading_after("2400 cfm @ 42 Pa", 0.65) == reading_after("2400 cfm at 42 Pa", 0.65)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("2400", "has no unit"),
        ("2400 cfm at 5 Pa", "must be 10 to 100"),
        ("2400 cfm at noon", "the reading after the work"),
    ],
)
def test_a_reading_that_cannot_be(text: str, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        reading_after(text, 0.65)


def test_one_job_moves_what_is_expected_by_as_much_as_it_is_sure() -> None:
    """By hand: weights 1/0.2^2 = 25 and 1/0.35^2 = 8.163; (25 + 8.163 x 0.5) / 33.163 = 0.877."""
    assert learned([]) == NOTHING
    one = learned([JOB])
    assert (one.jobs, one.share) == (1, 0.4)
    assert one.factor == pytest.approx(0.877, abs=5e-4)
    unsure = learned([replace(JOB, error=2000.0)])
    assert one.factor < unsure.factor < 1.0
    assert learned([JOB] * 12).spread < one.spread < NOTHING.spread
    assert learned([replace(JOB, worked_out=0.0, usual=0.0)]) == NOTHING


def test_the_record_comes_back_and_holds_each_job_once(tmp_path: Path) -> None:
    house = tmp_path / "jobs" / "oak" / "house.toml"
    path = record_beside(house)
    assert path == tmp_path / "jobs" / "finished_jobs.csv"
    assert finished_jobs(path) == ()
    path.parent.mkdir()
    jobs = with_job(with_job((), replace(JOB, came=1.0)), JOB)
    keep_jobs(path, jobs)
    assert finished_jobs(path) == (JOB,)
    assert learned_beside(house).jobs == 1
    assert learned_beside(tmp_path / "jobs" / "elm" / "house.toml") == NOTHING
    path.write_text(path.read_text().replace("400.00", "=1+1"), encoding="utf-8")
    with pytest.raises(HouseError, match=r"row 2, came: '=1\+1' is not an amount"):
        finished_jobs(path)
    path.write_text("a,b\n1,2\n", encoding="utf-8")
    with pytest.raises(HouseError, match="the first line must name the columns"):
        finished_jobs(path)


def test_what_was_learned_moves_every_number_that_is_shown() -> None:
    half = Learned(jobs=12, share=0.71, factor=0.5, spread=0.1)
    usual, taught = example(NAME), Study(load_house(WREN), learned=half)
    chosen = CHOSEN[NAME]
    before = RealHouses(usual).of_plan(usual.plan(chosen)).saving
    after = RealHouses(taught).of_plan(taught.plan(chosen)).saving
    assert after == pytest.approx(before / 2.0)
    drawn = (Advice(study).outcome(chosen).saving.middle for study in (usual, taught))
    first, second = drawn
    assert second == pytest.approx(first / 2.0, rel=0.01)
    assert taught.on_terms(taught.terms).case.learned == half


def test_the_report_says_it_in_words() -> None:
    half = Learned(jobs=12, share=0.71, factor=0.94, spread=0.1)
    page = report_html(replace(content_of(NAME), learned=half), words("en"))
    assert "last 12 finished jobs saved 71% of what was calculated" in page
    assert "count 6% less than usual" in page
    assert "finished job" not in report_html(content_of(NAME), words("en"))


def came(fuel: str, saved: float | None, promised: float) -> CameRow:
    found = saved and Estimate(value=saved, standard_error=10.0, low=saved - 13, high=saved + 13)
    return CameRow(fuel=fuel, before=None, after=None, saved=found or None, promised=promised)


def test_a_finished_job_counts_the_fuels_whose_bills_tell() -> None:
    study, result = example(NAME), content_of(NAME).result
    rows = [came("natural_gas", 60.0, 100.0), came("electricity", None, 900.0)]
    job = finished_job(study, result, rows, "wren", date(2026, 5, 1))
    assert job is not None
    price = next(r.tariff.price for r in study.money.fuel_prices if r.fuel == "natural_gas")
    assert job.worked_out == pytest.approx(100.0 * price)
    assert job.came == pytest.approx(60.0 * price)
    assert job.error == pytest.approx(10.0 * price)
    assert 0.3 < job.usual / job.worked_out < 1.0
    assert (
        finished_job(study, result, [came("electricity", None, 9.0)], "w", date(2026, 5, 1)) is None
    )
