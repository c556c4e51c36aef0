"""Bills are read from any sensible table or interval file, and everything odd is named row by row."""

import itertools
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_files import bills_from_rows, read_bills
from retrofit_lab.bills.reading.checking import periods
from retrofit_lab.bills.reading.fuels import heat_contents, to_fuel_unit
from retrofit_lab.bills.reading.record import BillError

YEAR = [date(2024, month, 8) for month in range(1, 13)] + [date(2025, 1, 8)]


def rows_of(quantities, heading="usage (kWh)", dates=YEAR):
    return [
        {"start": a.isoformat(), "end": b.isoformat(), heading: q}
        for a, b, q in zip(dates, dates[1:], quantities, strict=False)
    ]


def kinds(bill_set):
    return {(p.kind, p.row, p.used) for p in bill_set.problems}


def file_of(tmp_path, text, name="bills.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "fuel", "quantity"),
    [
        ("Start Date,End Date,kWh\n1/8/2024,2/7/2024,612", "electricity", 612.0),
        ("from;to;Usage (kWh);Cost ($)\n2024-01-08;2024-02-07;612;98.10", "electricity", 612.0),
        ("Read Date,Days,Therms\n2024-02-07,30,88.5", "natural_gas", 88.5),
        ("service start,service end,usage,unit,fuel\nJan 8 2024,Feb 7 2024,85,ccf,Natural gas", "natural_gas", 85 * 1.037),
        ("start,end,Gas Usage (Mcf)\n2024-01-08,2024-02-07,8.5", "natural_gas", 85 * 1.037),
        ("start,end,gas (MMBtu)\n2024-01-08,2024-02-07,8.5", "natural_gas", 85.0),
        ('start,end,propane gallons\n2024-01-08,2024-02-07,"1,120.5"', "propane", 1120.5),
        ("start,end,fuel,quantity\n2024-01-08,2024-02-07,heating oil,120 gal", "heating_oil", 120.0),
        ("start,end,wood (cords)\n2024-01-08,2024-02-07,1.5", "wood", 1.5),
        ("month,kWh\n2024-01,612", "electricity", 612.0),
        ("Month,Year,kWh\nJan,2024,612", "electricity", 612.0),
        ("start,end,usage (MWh)\n8.1.2024,7.2.2024,0.612", "electricity", 612.0),
    ],
)  # fmt: skip
def test_sensible_columns_and_units(tmp_path, text, fuel, quantity) -> None:
    (bill,) = read_bills(file_of(tmp_path, text)).bills
    assert bill.fuel == fuel
    assert bill.quantity == pytest.approx(quantity)
    assert bill.days in (30, 31)
    assert bill.row == 2


def test_two_fuels_in_one_row_and_columns_not_needed(tmp_path) -> None:
    text = (
        "start,end,kWh,therms,gas cost,thermsPerDay,average temperature\n"
        "2024-01-08,2024-02-07,612,88,120.5,2.9,38\n"
    )
    bills = read_bills(file_of(tmp_path, text))
    assert {b.fuel: b.quantity for b in bills.bills} == {"electricity": 612.0, "natural_gas": 88.0}
    assert {b.fuel: b.cost for b in bills.bills} == {"electricity": None, "natural_gas": 120.5}
    assert "thermsPerDay, average temperature" in bills.notes[0]


def test_notes_and_blank_lines_keep_the_row_numbers(tmp_path) -> None:
    text = "# a note\nstart,end,kWh\n2024-01-08,2024-02-07,612\n\n2024-02-07,2024-03-08,x\n"
    found = read_bills(file_of(tmp_path, text))
    assert kinds(found) == {("unreadable", 5, False)}
    assert "bills.csv, row 5: 'x' is not a number" in found.problems[0].sentence
    assert [bill.row for bill in found.bills] == [3]


def test_deliveries_at_odd_dates_fill_what_was_burned_before() -> None:
    rows = [
        {"delivery date": "2024-01-20", "gallons": 150},
        {"delivery date": "2024-03-02", "gallons": 180},
        {"delivery date": "2024-09-15", "gallons": 160},
    ]
    bills = bills_from_rows(rows, fuel="propane")
    assert [(b.start, b.end, b.quantity) for b in bills.usable("propane")] == [
        (date(2024, 1, 20), date(2024, 3, 2), 180.0),
        (date(2024, 3, 2), date(2024, 9, 15), 160.0),
    ]
    assert kinds(bills) == {("no_start", 1, False)}


def test_last_days_are_told_from_reading_days() -> None:
    rows = [
        {"start": "2024-01-01", "end": "2024-01-31", "kwh": 600},
        {"start": "2024-02-01", "end": "2024-02-29", "kwh": 500},
        {"start": "2024-03-01", "end": "2024-03-31", "kwh": 550},
    ]
    bills = bills_from_rows(rows)
    assert [b.days for b in bills.bills] == [31, 29, 31]
    assert not bills.problems
    assert "last day" in bills.notes[0]


def test_gap_overlap_and_reversed_dates_are_named() -> None:
    rows = rows_of([600] * 12)
    rows[3]["start"] = "2024-04-20"
    rows[6]["start"] = "2024-06-20"
    rows[8]["start"], rows[8]["end"] = rows[8]["end"], rows[8]["start"]
    found = bills_from_rows([row | {"usage (kWh)": 600 + n} for n, row in enumerate(rows)])
    assert {("gap", 4, True), ("overlap", 7, False), ("reversed", 9, False)} <= kinds(found)
    assert {b.row for b in found.usable("electricity")} == set(range(1, 13)) - {7, 9}


def test_credit_duplicate_and_dead_meter_are_named() -> None:
    rows = rows_of([600, 610, 620, -50, 500, 0, 480, 480, 480, 470, 460, 450])
    found = bills_from_rows([*rows, rows[1]])
    assert ("credit", 4, False) in kinds(found)
    assert ("duplicate", 13, False) in kinds(found)
    assert ("dead_meter", 6, False) in kinds(found)
    assert ("dead_meter", 9, True) in kinds(found)
    assert len(found.bills) == 13


def test_cost_credit_keeps_the_quantity() -> None:
    rows = [{"start": "2024-01-01", "end": "2024-02-01", "kwh": 500, "amount due": "(12.50)"}]
    found = bills_from_rows(rows)
    assert found.bills[0].cost == -12.5
    assert kinds(found) == {("credit", 1, True)}
    assert found.usable("electricity")


def test_estimates_are_joined_with_the_next_reading_and_the_last_is_left_out() -> None:
    rows = [row | {"read type": "A"} for row in rows_of(range(500, 620, 10))]
    rows[4]["read type"] = rows[5]["read type"] = rows[11]["read type"] = "Estimated"
    found = bills_from_rows(rows)
    assert {("estimated", 5, True), ("estimated", 6, True), ("estimated", 12, False)} == kinds(
        found
    )
    joined = [p for p in periods(found.usable("electricity")) if len(p.rows) > 1]
    assert [(p.rows, p.quantity) for p in joined] == [((5, 6, 7), 540 + 550 + 560)]


def test_an_empty_quantity_is_named_and_the_gap_too() -> None:
    rows = rows_of([600.0 + n for n in range(12)])
    rows[5]["usage (kWh)"] = ""
    assert kinds(bills_from_rows(rows)) == {("no_quantity", 6, False), ("gap", 7, True)}


@given(st.permutations(range(12)))
@settings(deadline=None, max_examples=30)
def test_row_order_does_not_matter(order) -> None:
    rows = rows_of([600.0 + n for n in range(12)])
    rows[3]["start"] = "2024-04-20"
    rows[8]["start"], rows[8]["end"] = rows[8]["end"], rows[8]["start"]
    one = bills_from_rows(rows)
    other = bills_from_rows([rows[place] for place in order])
    plain = [(b.start, b.end, b.quantity) for b in one.usable("electricity")]
    assert [(b.start, b.end, b.quantity) for b in other.usable("electricity")] == plain
    assert sorted(p.kind for p in other.problems) == sorted(p.kind for p in one.problems)


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_a_bill_in_two_parts_is_one_period(data) -> None:
    """Pieces of more than five days find their other half; shorter ones may go to a short neighbor."""
    place = data.draw(st.integers(0, 11))
    start, end = YEAR[place], YEAR[place + 1]
    cut = data.draw(st.integers(6, (end - start).days - 6))
    middle = date.fromordinal(start.toordinal() + cut)
    share = data.draw(st.floats(0.0, 1.0))
    rows = rows_of([500.0 + 10 * n for n in range(12)])
    whole = periods(bills_from_rows(rows).usable("electricity"))
    amount = rows[place]["usage (kWh)"]
    parts = [
        {"start": start, "end": middle, "usage (kWh)": amount * share},
        {"start": middle, "end": end, "usage (kWh)": amount * (1 - share)},
    ]
    if 0 in (parts[0]["usage (kWh)"], parts[1]["usage (kWh)"]):
        return  # no use at all is a dead meter
    split = periods(
        bills_from_rows([*rows[:place], *parts, *rows[place + 1 :]]).usable("electricity")
    )
    assert [(p.start, p.end) for p in split] == [(p.start, p.end) for p in whole]
    assert [p.quantity for p in split] == pytest.approx([p.quantity for p in whole])


@given(st.floats(0.1, 5000), st.sampled_from(["kWh", "MMBtu", "therm", "GJ"]))
@settings(deadline=None, max_examples=40)
def test_units_of_heat_agree(amount, unit) -> None:
    row = {"start": "2024-01-01", "end": "2024-02-01"}
    ours = bills_from_rows([row | {f"gas ({unit})": amount}]).bills[0].quantity
    btu = {"kWh": 3412.14, "MMBtu": 1e6, "therm": 1e5, "GJ": 947_817.0}[unit]
    assert ours == pytest.approx(amount * btu / heat_contents()["natural_gas"])


def test_every_unit_has_its_fuel() -> None:
    assert to_fuel_unit(1, "mcf", "natural_gas") == pytest.approx(
        10 * to_fuel_unit(1, "ccf", "natural_gas")
    )
    assert to_fuel_unit(3.785412, "l", "propane") == pytest.approx(1.0, rel=1e-5)
    with pytest.raises(InputError, match="electricity is not measured in 'gal'"):
        to_fuel_unit(1, "gal", "electricity")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("start,end,kWh\n2024-01-01,soon,5", r"row 2: 'soon' is not a date; write it as"),
        ("start,end,kWh\n1024-01-01,2024-02-01,5", r"row 2: the year of '1024-01-01' is 1024"),
        ("start,end,kWh\n2024-01-01,2024-02-01,12 apples", r"'12 apples' is not a number"),
        ("start,end,usage\n2024-01-01,2024-02-01,12", "fuel of 'usage' is not named"),
        (
            "start,end,fuel,usage\n2024-01-01,2024-02-01,gas,12",
            "12 has no unit; write it in the heading",
        ),
        ("start,end,fuel,usage (gal)\n2024-01-01,2024-02-01,coal,12", "'coal' is not a fuel"),
        ("start,end\n2024-01-01,2024-02-01", "no column holds a quantity"),
        ("kWh\n12", "no column holds the end date or the month"),
        ("start,end,kWh\n2024-01-01,2024-02-01,1,512", "more cells than headings"),
        ("start,end,kWh,kWh\n2024-01-01,2024-02-01,1,2", "'kWh' appears twice"),
        ("start,end,kWh,est\n2024-01-01,2024-02-01,1,maybe", "neither estimated nor actual"),
        ("start,end,kWh\n2024-01-01,2024-02-01,1e9", "no number|more than any house"),
        ("start,end,kWh\n2024-01-01,,7", "the date is missing"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(tmp_path, text, message) -> None:
    with pytest.raises(BillError, match=message) as caught:
        read_bills(file_of(tmp_path, text))
    assert "bills.csv" in str(caught.value)


def test_every_unreadable_row_is_told_at_once(tmp_path) -> None:
    bad = "\n".join(f"2024-01-01,soon{n % 25},5" for n in range(30))
    with pytest.raises(BillError) as caught:
        read_bills(file_of(tmp_path, f"start,end,kWh\n{bad}"))
    assert str(caught.value).count("\n") == 20
    assert "and 10 more rows" in str(caught.value)


def test_empty_missing_and_too_large_files(tmp_path, monkeypatch) -> None:
    for text, message in (
        ("", "the file is empty"),
        ("\n\n", "the file is empty"),
        ("start,end,kWh\n", r"headings \(start, end, kWh\) but no bills below them"),
    ):
        with pytest.raises(BillError, match=message):
            read_bills(file_of(tmp_path, text))
    with pytest.raises(BillError, match="no such file"):
        read_bills(tmp_path / "none.csv")
    monkeypatch.setattr("retrofit_lab.bills.reading.tables.MOST_BYTES", 3)
    with pytest.raises(BillError, match="larger than 3 bytes"):
        read_bills(file_of(tmp_path, "start,end,kWh\n"))


def feed(readings, *, uom=72, power=0, extra="", body=""):
    blocks = "".join(
        f"<IntervalReading>{cost}<timePeriod><duration>{seconds}</duration><start>{start}</start></timePeriod>"
        f"<value>{value}</value>{quality}</IntervalReading>"
        for start, seconds, value, cost, quality in readings
    )
    return (
        f'<?xml version="1.0"?>{extra}<feed xmlns="http://www.w3.org/2005/Atom"><entry><content>'
        f'<LocalTimeParameters xmlns="http://naesb.org/espi"><tzOffset>-18000</tzOffset></LocalTimeParameters>'
        f'</content></entry><entry><content><ReadingType xmlns="http://naesb.org/espi">'
        f"<commodity>1</commodity><powerOfTenMultiplier>{power}</powerOfTenMultiplier><uom>{uom}</uom></ReadingType>"
        f'</content></entry><entry><content><IntervalBlock xmlns="http://naesb.org/espi">{blocks}'
        f"</IntervalBlock></content></entry>{body}</feed>"
    )


JANUARY = 1_704_085_200  # 2024-01-01 00:00 at five hours behind universal time


def hours(count, value=500, quality=""):
    return [(JANUARY + 3600 * n, 3600, value, "", quality) for n in range(count)]


def test_interval_feed_becomes_months(tmp_path) -> None:
    path = file_of(tmp_path, feed(hours(24 * (31 + 29 + 3))), "meter.xml")
    bills = read_bills(path)
    assert [(b.start, b.end, b.quantity) for b in bills.usable("electricity")] == [
        (date(2024, 1, 1), date(2024, 2, 1), pytest.approx(31 * 12.0)),
        (date(2024, 2, 1), date(2024, 3, 1), pytest.approx(29 * 12.0)),
    ]
    assert ("missing_readings", 3, False) in kinds(bills)
    assert bills.intervals[0].quantity.sum() == pytest.approx(63 * 12.0)


@pytest.mark.parametrize("zone", ["nan", "inf", "1e308", "-99999999999", "junk", ""])
def test_clock_of_no_place_counts_as_not_said(tmp_path, zone: str) -> None:
    text = feed(hours(24 * 40)).replace("-18000", zone)
    (first,) = read_bills(file_of(tmp_path, text, "meter.xml")).usable("electricity")
    assert (first.start, first.end) == (date(2024, 1, 1), date(2024, 2, 1))


def test_interval_feed_scale_units_cost_and_quality(tmp_path) -> None:
    day = [
        (
            JANUARY + 86400 * n,
            86400,
            3,
            "<cost>450000</cost>",
            "<ReadingQuality><quality>8</quality></ReadingQuality>",
        )
        for n in range(31)
    ]
    (bill,) = read_bills(file_of(tmp_path, feed(day, uom=169, power=-1), "gas.xml")).bills
    assert bill.quantity == pytest.approx(31 * 0.3 * 1e5 / 3412.14)  # commodity says electricity
    assert bill.cost == pytest.approx(31 * 4.5)
    assert bill.estimated


def test_billing_periods_in_a_feed_keep_their_dates(tmp_path) -> None:
    readings = [(JANUARY + 86400 * (7 + 30 * n), 86400 * 30, 600_000, "", "") for n in range(3)]
    bills = read_bills(file_of(tmp_path, feed(readings), "billing.xml"))
    assert [(b.start, b.days, b.quantity) for b in bills.bills] == [
        (date(2024, 1, 8), 30, 600.0), (date(2024, 2, 7), 30, 600.0), (date(2024, 3, 8), 30, 600.0),
    ]  # fmt: skip


@given(st.permutations(range(0, 31 * 24, 24)))
@settings(deadline=None, max_examples=10)
def test_order_of_readings_and_repeated_blocks_do_not_matter(tmp_path_factory, order) -> None:
    readings = [(JANUARY + 3600 * n, 86400, 1000 + n, "", "") for n in range(0, 31 * 24, 24)]
    folder = tmp_path_factory.mktemp("feeds")
    one = read_bills(file_of(folder, feed(readings), "one.xml")).bills
    shuffled = [readings[place // 24] for place in order]
    other = read_bills(file_of(folder, feed([*shuffled, *shuffled[:5]]), "two.xml")).bills
    assert [b.quantity for b in other] == pytest.approx([b.quantity for b in one])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (feed(hours(3), extra='<!DOCTYPE feed [<!ENTITY a "aaaa">]>'), "document type"),
        (feed(hours(3), extra='<!DOCTYPE feed SYSTEM "http://x.invalid/x.dtd">'), "document type"),
        (feed(hours(3)).replace("<value>500", "<value>&a;"), "not readable XML"),
        (feed(hours(3))[:-20], "not readable XML"),
        (feed([]), "no interval readings"),
        (feed(hours(3), uom=38), r"unit code \(uom\) is 38; must be one of"),
        (feed(hours(3)).replace("<value>500", "<value>lots"), "value is 'lots'; must be a number"),
        (feed(hours(3)).replace("<value>500", "<value>inf"), "must be finite"),
        (feed(hours(3), power=99), "powerOfTenMultiplier is 99"),
        (feed([(JANUARY, -5, 1, "", "")]), "duration is -5 s; must be above 0"),
        (feed([(-5, 3600, 1, "", "")]), "outside 1970 to 2100"),
        ("<a>" * 100 + "</a>" * 100, "too deep"),
        ("<feed/>", "no ReadingType"),
    ],
)  # fmt: skip
def test_harmful_or_broken_feeds_are_refused(tmp_path, text, message) -> None:
    with pytest.raises(BillError, match=message) as caught:
        read_bills(file_of(tmp_path, text, "meter.xml"))
    assert "meter.xml" in str(caught.value)


def test_a_document_type_cannot_hide_in_another_encoding(tmp_path) -> None:
    text = feed(hours(3), extra='<!DOCTYPE feed [<!ENTITY a "aaaa">]>')
    for encoding in ("utf-16", "cp037"):
        path = tmp_path / f"{encoding}.xml"
        path.write_bytes(text.replace('"1.0"', f'"1.0" encoding="{encoding}"').encode(encoding))
        with pytest.raises(BillError, match=r"document type|not readable XML"):
            read_bills(path)


def test_too_many_elements_are_refused(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("retrofit_lab.bills.reading.guarded_xml.MOST_ELEMENTS", 10)
    with pytest.raises(BillError, match="too many elements"):
        read_bills(file_of(tmp_path, feed(hours(30)), "meter.xml"))


def test_days_of_a_year_of_bills_add_up() -> None:
    whole = periods(bills_from_rows(rows_of(range(600, 612))).usable("electricity"))
    assert sum(p.days for p in whole) == 366
    assert all(a.end == b.start for a, b in itertools.pairwise(whole))
