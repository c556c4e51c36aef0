"""Turns rows of cells with any sensible headings into bills; files are opened in reading.py."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from retrofit_lab.bills.cells import (
    MONTH_FORMS,
    date_form,
    read_date,
    read_estimated,
    read_number,
    text_of,
)
from retrofit_lab.bills.columns import Columns, QuantityColumn, find_columns
from retrofit_lab.bills.drafts import Draft, bill_set
from retrofit_lab.bills.fuels import (
    fuel_names,
    fuel_units,
    plain_fuel,
    plain_unit,
    to_fuel_unit,
    usual_fuel,
)
from retrofit_lab.bills.record import BillError, BillSet
from retrofit_lab.values import InputError

MOST_ROWS = 20_000
MOST_PROBLEMS_NAMED = 20
MOST_QUANTITY = 1e7


def bills_from_rows(
    rows: Iterable[Mapping[str, object]],
    *,
    name: str = "typed bills",
    fuel: str = "",
    unit: str = "",
    first_row: int = 1,
) -> BillSet:
    """Bills of a grid of rows with any sensible headings.

    A row needs an end date (or a month) and a quantity; without a start date it runs from the end of
    the row before, as meter readings and deliveries do.

    Parameters
    ----------
    rows : iterable of mapping
        Cells by heading: text, numbers or dates.
    name : str
        What messages call the grid.
    fuel, unit : str
        Used where neither heading nor cell says them.
    first_row : int
        Number of the first row in messages.

    Raises
    ------
    BillError
        With every unreadable cell: file, row, value, rule and way out.
    """
    table = [(number, row) for number, row in enumerate(rows, start=first_row) if _is_filled(row)]
    if len(table) > MOST_ROWS:
        raise BillError(f"{name}: {len(table):,} rows; at most {MOST_ROWS:,} are read. Give fewer.")
    if not table:
        return BillSet(name=name, bills=(), notes=(f"{name}: there are no bills in it.",))
    columns = _with_needed(find_columns(dict.fromkeys(h for _, row in table for h in row)), name)
    reading = _Reading(name, columns, _known_fuel(fuel, name), _known_unit(unit, name))
    return reading.bill_set(table)


@dataclass(frozen=True, slots=True)
class _Reading:
    """One pass over a table; ``fuel`` and ``unit`` stand in where nothing else says them."""

    name: str
    columns: Columns
    fuel: str
    unit: str

    def bill_set(self, table: Sequence[tuple[int, Mapping[str, object]]]) -> BillSet:
        forms = self.forms(table)
        drafts: list[Draft] = []
        refused: list[str] = []
        for number, row in table:
            for column in self.columns.quantities:
                try:
                    drafts.append(self.draft(number, row, column, forms))
                except InputError as error:
                    refused.append(f"{self.name}, row {number}: {error}.")
        if refused:
            more = len(refused) - MOST_PROBLEMS_NAMED
            tail = [f"{self.name}: and {more} more rows like these."] if more > 0 else []
            raise BillError("\n".join(dict.fromkeys(refused[:MOST_PROBLEMS_NAMED] + tail)))
        unused = ", ".join(self.columns.ignored)
        notes = [f"{self.name}: not needed were the columns {unused}."] if unused else []
        return bill_set(self.name, drafts, notes)

    def forms(self, table: Sequence[tuple[int, Mapping[str, object]]]) -> dict[str, str]:
        places = self.columns.places
        texts = {
            role: [text_of(row.get(places[role])) for _, row in table]
            for role in ("start", "end", "month")
            if role in places
        }
        return {
            role: date_form(column, MONTH_FORMS) if role == "month" else date_form(column)
            for role, column in texts.items()
        }

    def draft(
        self,
        number: int,
        row: Mapping[str, object],
        column: QuantityColumn,
        forms: Mapping[str, str],
    ) -> Draft:
        text = text_of(row.get(column.heading))
        start, end = self.dates(row, forms)
        value, written = read_number(text) if text else (None, "")
        fuel = self.fuel_of(row, column, written)
        if value is not None:
            value = self.in_fuel_unit(value, written or column.unit, row, fuel)
        cost = self.cost_cell(row, fuel)
        return Draft(
            fuel=fuel,
            start=start,
            end=end,
            quantity=value,
            cost=read_number(cost)[0] if cost else None,
            estimated=read_estimated(self.cell(row, "estimated")),
            row=number,
        )

    def cost_cell(self, row: Mapping[str, object], fuel: str) -> str:
        """Cost of this fuel; a total over several fuels is the cost of none of them."""
        total = self.columns.costs.get("") if len(self.columns.quantities) == 1 else None
        heading = self.columns.costs.get(fuel) or total
        return text_of(row.get(heading)) if heading else ""

    def cell(self, row: Mapping[str, object], role: str) -> str:
        place = self.columns.places.get(role)
        return text_of(row.get(place)) if place else ""

    def fuel_of(self, row: Mapping[str, object], column: QuantityColumn, written: str) -> str:
        said = self.cell(row, "fuel")
        if said:
            fuel = plain_fuel(said)
            if not fuel:
                raise InputError(
                    f"'{said}' is no fuel; use one of {', '.join(fuel_names().values())}"
                )
            return fuel
        if self.fuel and len(self.columns.quantities) == 1:
            return self.fuel
        fuel = column.fuel or usual_fuel(written or plain_unit(self.cell(row, "unit")))
        if not fuel:
            raise InputError(
                f"the fuel of '{column.heading}' is not said; add a column 'fuel' or choose the fuel"
            )
        return fuel

    def in_fuel_unit(self, value: float, unit: str, row: Mapping[str, object], fuel: str) -> float:
        said = self.cell(row, "unit")
        plain = unit or plain_unit(said)
        if said and not plain_unit(said):
            raise InputError(f"'{said}' is no unit; use for example {fuel_units()[fuel]}")
        if not plain and not self.unit:
            raise InputError(
                f"{value:g} has no unit; write it in the heading, such as 'usage ({fuel_units()[fuel]})'"
            )
        amount = to_fuel_unit(value, plain or self.unit, fuel)
        if abs(amount) > MOST_QUANTITY:
            raise InputError(
                f"{value:g} is more than any house uses; must be below {MOST_QUANTITY:g}. Look for a wrong unit"
            )
        return amount

    def dates(
        self, row: Mapping[str, object], forms: Mapping[str, str]
    ) -> tuple[date | None, date]:
        end_text = self.cell(row, "end")
        if not end_text:
            return self.month(row, forms)
        end = read_date(end_text, forms["end"])
        start_text, days = self.cell(row, "start"), self.cell(row, "days")
        if start_text:
            return read_date(start_text, forms["start"]), end
        return (end - timedelta(days=round(read_number(days)[0])) if days else None), end

    def month(
        self, row: Mapping[str, object], forms: Mapping[str, str]
    ) -> tuple[date | None, date]:
        month, year, day = (self.cell(row, role) for role in ("month", "year", "day"))
        if not month:
            raise InputError("the date is missing; give the end date or the month of the bill")
        if year and day:
            days = self.cell(row, "days")
            end = read_date(f"{_whole(year):04d}-{_whole(month):02d}-{_whole(day):02d}", "%Y-%m-%d")
            return (end - timedelta(days=_whole(days)) if days else None), end
        first = _month_named(month, year) if year else read_date(month, forms["month"])
        first = first.replace(day=1)
        return first, (first + timedelta(days=32)).replace(day=1)


def _is_filled(row: Mapping[str, object]) -> bool:
    return any(text_of(cell) for cell in row.values())


def _with_needed(columns: Columns, name: str) -> Columns:
    if not columns.quantities:
        raise BillError(
            f"{name}: no column holds a quantity; found {', '.join(columns.ignored) or 'dates only'}. "
            f"Name one with its unit, such as 'usage (kWh)' or 'therms'."
        )
    if not {"end", "month"} & columns.places.keys():
        raise BillError(
            f"{name}: no column holds the end date or the month of the bills. "
            f"Name one 'end date', 'read date', 'delivery date' or 'month'."
        )
    return columns


def _known_fuel(fuel: str, name: str) -> str:
    key = fuel if fuel in fuel_names() else plain_fuel(fuel)
    if fuel and not key:
        raise BillError(
            f"{name}: '{fuel}' is no fuel; use one of {', '.join(fuel_names().values())}."
        )
    return key


def _known_unit(unit: str, name: str) -> str:
    plain = plain_unit(unit)
    if unit and not plain:
        raise BillError(f"{name}: '{unit}' is no unit; use kWh, therm, ccf, gallon, MMBtu or cord.")
    return plain


def _month_named(month: str, year: str) -> date:
    form = "%Y-%m" if month.isdigit() else ("%Y-%b" if len(month) == 3 else "%Y-%B")
    return read_date(f"{_whole(year):04d}-{month.zfill(2)}", form)


def _whole(text: str) -> int:
    return round(read_number(text)[0])
