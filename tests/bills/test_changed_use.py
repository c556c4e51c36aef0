"""Series of bills are parted where use changed and freed of single odd bills; weather alone parts nothing."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from synthetic_bills import Truth, bills_of, measured, reading_days, typical

from retrofit_lab.bills.fitting.bill_prices import bill_prices
from retrofit_lab.bills.fitting.changed_use import WORTH_TELLING, as_they_stand
from retrofit_lab.bills.fitting.degree_day_fit import KINDS
from retrofit_lab.bills.fitting.events import likeliest_event
from retrofit_lab.bills.fitting.splitting import FUEL_KINDS, split_periods
from retrofit_lab.bills.reading.record import Bill, BillSet

OLD, NEW = Truth(heating_slope=0.25), Truth(heating_slope=0.17)


def kept(periods, weather=None):
    weather = weather or measured()
    split = split_periods(periods, "natural_gas", weather, FUEL_KINDS)
    return as_they_stand([split], weather)[0]


def two_years(noise: float = 0.1, first: Truth = OLD, second: Truth = NEW):
    days = reading_days(24)
    before = bills_of(first, measured(), days[:13], noise=noise)
    return [*before, *bills_of(second, measured(), days[12:], noise=noise, seed=1)]


def test_only_bills_after_new_equipment_are_used() -> None:
    found = kept(two_years())
    assert abs((found.change.day - date(2023, 1, 9)).days) <= 95  # mild months tell little apart
    assert found.change.sure
    assert found.split.periods[0].start == found.change.day
    true = float(NEW.use(measured().normal_year()).sum())
    assert found.split.normal_year.value == pytest.approx(true, rel=0.05)


def test_too_few_bills_after_a_change_stand_for_nothing() -> None:
    found = kept(two_years()[:18])
    assert found.change is not None
    assert not found.change.enough_after
    assert found.split.periods == ()


def test_nothing_changes_where_only_the_weather_does() -> None:
    parted = sum(
        (one := kept(bills_of(OLD, measured(seed=seed), reading_days(24), noise=0.2, seed=seed), measured(seed=seed))).change is not None
        and one.change.sure
        for seed in range(20)
    )  # fmt: skip
    assert parted <= 1


def test_years_of_other_weather_that_nobody_knows_are_no_change() -> None:
    """Bills of three years with a mild or cold one among them, split by the typical year alone."""
    told = 0
    for seed in range(20):
        rng = np.random.default_rng(seed)
        off = np.repeat(rng.normal(0.0, 1.5, 3), 12) + rng.normal(0.0, 2.5, 36)
        days = reading_days(36)
        made = [
            bills_of(OLD, shifted(float(degrees)), days[n : n + 2], noise=0.2, seed=seed)[0]
            for n, degrees in enumerate(off)
        ]
        told += kept(made, typical()).change is not None
    assert told <= 1


def shifted(degrees: float):
    """Every day of a typical year warmer by some degrees."""
    return replace(typical(), typical=typical().typical + degrees)


def two_fuels(away: int | None = None):
    """A year of gas and power, with use of both cut in one month. [one split a fuel]"""
    power = Truth(base_load=12.0, heating_slope=0.0, cooling_slope=0.8)
    made = []
    for fuel, truth, kinds in (("natural_gas", OLD, FUEL_KINDS), ("electricity", power, KINDS)):
        bills = bills_of(truth, measured(), reading_days(12), noise=0.3, fuel=fuel)
        if away is not None:
            bills[away] = replace(bills[away], quantity=0.65 * bills[away].quantity)
        made.append(split_periods(bills, fuel, measured(), kinds))
    return made


def test_both_fuels_together_show_what_neither_shows_alone() -> None:
    together = likeliest_event(two_fuels(7), measured())
    alone = [likeliest_event([split], measured()).chance for split in two_fuels(7)]
    assert together.kind == "odd"
    assert together.chance > 0.6
    assert max(alone) < WORTH_TELLING
    assert likeliest_event(two_fuels(), measured()).chance < WORTH_TELLING


def test_no_year_of_unknown_weather_takes_less_heat_and_less_cold() -> None:
    """A warm year may be all there is to less heat and more cold; only new equipment takes less of both."""

    def odds(cold: float) -> float:
        power = Truth(base_load=12.0, heating_slope=0.0, cooling_slope=0.8)
        made = []
        for fuel, truth, after, kinds in (
            ("natural_gas", OLD, replace(OLD, heating_slope=0.7 * OLD.heating_slope), FUEL_KINDS),
            ("electricity", power, replace(power, cooling_slope=cold * power.cooling_slope), KINDS),
        ):
            days, parts = reading_days(36), {"noise": 0.3, "fuel": fuel}
            bills = [
                *bills_of(truth, typical(), days[:25], **parts),
                *bills_of(after, typical(), days[24:], seed=1, **parts),
            ]
            made.append(split_periods(bills, fuel, typical(), kinds))
        event = likeliest_event(made, typical())
        assert event.kind == "change"
        return event.chance / (1.0 - event.chance)

    assert odds(0.7) > 1.5 * odds(1.3)


def test_a_month_away_is_left_out_and_named() -> None:
    periods = bills_of(OLD, measured(), reading_days(12), noise=0.1)
    away = replace(periods[2], quantity=0.3 * periods[2].quantity)
    found = kept([*periods[:2], away, *periods[3:]])
    assert [one.period for one in found.odd] == [away]
    assert found.odd[0].share == pytest.approx(-0.7, abs=0.05)
    assert away not in found.split.periods


def test_good_bills_are_all_kept() -> None:
    left_out = [
        len(kept(bills_of(OLD, measured(seed=s), reading_days(12), noise=0.2, seed=s), measured(seed=s)).odd)
        for s in range(20)
    ]  # fmt: skip
    assert sum(left_out) <= 1


def test_unknown_weather_needs_a_larger_change() -> None:
    small = two_years(second=Truth(heating_slope=0.22))
    assert kept(small).change is not None
    unknown = kept(small, typical())
    assert unknown.change is None or not unknown.change.sure


def priced(cost) -> BillSet:
    use = np.array([980, 870, 760, 640, 560, 690, 890, 940])
    starts = [date(2024, month, 1) for month in range(1, 10)]
    bills = [
        Bill(fuel="electricity", start=a, end=b, quantity=float(q), cost=float(cost(q, (b - a).days)), row=n)
        for n, (a, b, q) in enumerate(zip(starts, starts[1:], use, strict=False), 1)
    ]  # fmt: skip
    return BillSet(name="made", bills=tuple(bills))


def test_price_and_fixed_charge_are_told_apart() -> None:
    (found,) = bill_prices(priced(lambda use, days: 0.17 * use + 12.0 * days / 30.4375))
    assert found.price == pytest.approx(0.17)
    assert found.fixed == pytest.approx(12.0)
    assert not found.average


def test_dollars_that_follow_no_line_are_shared_out() -> None:
    bills = priced(lambda use, days: 140.0)
    (found,) = bill_prices(bills)
    assert found.average
    assert found.price == pytest.approx(8 * 140.0 / 6330)
    assert bill_prices(replace(bills, set_aside=(("electricity", "net"),))) == ()
