"""Finds out what each column of a table of bills holds, from its heading; reads no cells."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from retrofit_lab.bills.fuels import plain_fuel, plain_unit, usual_fuel

_ROLES = (
    ("estimated", {"estimated", "est", "read type", "reading type", "type of read", "actual or estimated"}),
    ("unit", {"unit", "units", "uom", "unit of measure"}),
    ("days", {"days", "billing days", "number of days", "days in period", "service days"}),
    ("fuel", {"fuel", "service", "commodity", "service type", "energy type", "type", "energy"}),
    ("month", {"month", "billing month", "bill month"}),
    ("year", {"year"}),
    ("day", {"day"}),
    ("start", {"start", "from", "begin", "beginning", "start date", "service from", "service start",
               "period start", "from date", "previous read", "previous read date", "begin date",
               "prior read date", "billing start", "start read date"}),
    ("end", {"end", "to", "thru", "through", "date", "end date", "service to", "service end",
             "period end", "to date", "read date", "reading date", "meter read date", "delivery date",
             "delivered", "bill date", "current read date", "billing end", "date delivered",
             "end read date", "statement date"}),
)  # fmt: skip
_QUANTITY = {
    "usage", "use", "used", "quantity", "consumption", "volume", "energy used", "amount delivered",
    "quantity delivered", "consumed", "total usage", "billed usage", "units used",
}  # fmt: skip
_MONEY = {"cost", "costs", "charge", "charges", "amount", "due", "dollars", "price", "bill", "paid"}
_RATES = {"per", "average", "avg", "mean", "rate", "demand", "kw", "peak", "/"}
_TEXT = {"notes", "note", "comment", "comments", "remarks"}
_MEASURED = {"estimated", "actual", "read"}


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityColumn:
    """A heading under which quantities stand, with the unit and the fuel that it names, if any."""

    heading: str
    unit: str = ""
    fuel: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Headings by what they hold: ``places`` by role, ``costs`` by fuel, where the heading names one."""

    places: dict[str, str] = field(default_factory=dict)
    quantities: tuple[QuantityColumn, ...] = ()
    costs: dict[str, str] = field(default_factory=dict)
    ignored: tuple[str, ...] = ()


def find_columns(headings: Iterable[str]) -> Columns:
    """What each of the headings of a table holds.

    A heading with a unit in it, such as ``Usage (ccf)`` or ``kwh``, holds quantities; one for a rate
    or a mean, such as ``therms per day``, is not needed and is listed under ``ignored``.
    """
    places: dict[str, str] = {}
    quantities: list[QuantityColumn] = []
    costs: dict[str, str] = {}
    ignored: list[str] = []
    for heading in headings:
        words = _words(heading)
        role = _role(words)
        if role and role not in places:
            places[role] = heading
        elif _is_cost(heading, words):
            costs.setdefault(_cost_fuel(words), heading)
        elif (column := _quantity(heading, words)) is not None:
            quantities.append(column)
        else:
            ignored.append(heading)
    return Columns(
        places=places, quantities=_preferred(quantities), costs=costs, ignored=tuple(ignored)
    )


def _words(heading: str) -> list[str]:
    """Plain words of a heading: camel case is parted, brackets and underlines are spaces."""
    text = re.sub(r"(?<=[a-z]{2})(?=[A-Z])", " ", str(heading).replace("\ufeff", ""))
    return re.findall(r"[a-z0-9#$³]+|/", text.replace("_", " ").lower())


def _role(words: Sequence[str]) -> str:
    plain = " ".join(words)
    for role, names in _ROLES:
        if plain in names:
            return role
    return ""


def _is_cost(heading: str, words: Sequence[str]) -> bool:
    if set(words) & (_RATES | _TEXT) or "$/" in heading:
        return False
    return bool("$" in heading or _MONEY & set(words) or re.fullmatch(r"\w*bill", "".join(words)))


def _cost_fuel(words: Sequence[str]) -> str:
    plain = " ".join(words)
    return plain_fuel(plain) or plain_fuel(re.sub(r"bill|cost|charge", " ", plain))


def _quantity(heading: str, words: Sequence[str]) -> QuantityColumn | None:
    if set(words) & _RATES:
        return None
    unit = next((u for u in map(plain_unit, [*words, "".join(words)]) if u), "")
    rest = [word for word in words if not plain_unit(word)]
    fuel = plain_fuel(" ".join(rest))
    if not unit and " ".join(rest) not in _QUANTITY and not (fuel and len(rest) == 1):
        return None
    return QuantityColumn(heading=heading, unit=unit, fuel=fuel or usual_fuel(unit))


def _preferred(columns: Sequence[QuantityColumn]) -> tuple[QuantityColumn, ...]:
    """One column for each fuel, the first; a fuel stated twice in two units is one use, not two."""
    chosen: dict[str, QuantityColumn] = {}
    for column in columns:
        chosen.setdefault(column.fuel, column)
    return tuple(chosen.values())
