"""Finds out what each column of a table of bills holds, from its heading; reads no cells."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from retrofit_lab.bills.reading.fuels import plain_fuel, plain_unit, usual_fuel

USED, SENT, MADE, NET = "used", "sent", "made", "net"
"""What a quantity is: used or taken from the grid, sent to the grid, made by panels, or taken less sent."""

_ROLES = (
    ("estimated", {"estimated", "est", "read type", "reading type", "type of read", "actual or estimated",
                   "estimated or actual", "read code", "read status"}),
    ("unit", {"unit", "units", "uom", "unit of measure"}),
    ("days", {"days", "billing days", "number of days", "days in period", "service days", "of days",
              "days of service", "# of days", "# days", "bill days", "days billed"}),
    ("fuel", {"fuel", "service", "commodity", "service type", "energy type", "type", "energy", "utility"}),
    ("meter", {"meter", "meter number", "meter no", "meter #", "meter id", "account", "account number", "premise",
               "service point", "service id", "meter name", "service agreement"}),
    ("multiplier", {"multiplier", "meter multiplier", "meter constant", "ct multiplier"}),
    ("month", {"month", "billing month", "bill month", "usage month", "mes"}),
    ("year", {"year"}),
    ("day", {"day"}),
    ("hour", {"hour", "hour ending", "hr", "he"}),
    ("start_time", {"start time", "from time", "begin time", "interval start time"}),
    ("end_time", {"end time", "to time", "interval end time"}),
    ("period", {"period", "billing period", "service period", "bill period", "service dates", "dates",
                "billing dates", "usage period"}),
    ("before", {"previous reading", "prior reading", "previous meter reading", "start reading", "last reading",
                "beginning reading", "opening reading", "previous index"}),
    ("reading", {"reading", "meter reading", "current reading", "register", "register reading", "index",
                 "present reading", "end reading", "current meter reading", "meter read", "cumulative reading",
                 "dial reading", "read", "closing reading", "meter index"}),
    ("start", {"start", "from", "begin", "beginning", "start date", "service from", "service start",
               "period start", "from date", "previous read", "previous read date", "begin date",
               "prior read date", "billing start", "start read date", "interval start", "usage start date",
               "start date time", "bill start date", "service start date", "desde", "inicio", "first day",
               "period start date", "billing period start", "read start", "starting"}),
    ("end", {"end", "to", "thru", "through", "date", "end date", "service to", "service end",
             "period end", "to date", "read date", "reading date", "meter read date", "delivery date",
             "delivered", "bill date", "current read date", "billing end", "date delivered",
             "end read date", "statement date", "usage date", "datetime", "date time", "timestamp",
             "date and time", "interval end", "time", "reading time", "hasta", "fecha", "date of delivery",
             "end date time", "bill end date", "service end date", "interval", "usage end date", "last day",
             "period end date", "billing period end", "invoice date", "ending"}),
)  # fmt: skip
_QUANTITY = {
    "usage", "use", "used", "quantity", "consumption", "volume", "energy used", "amount delivered",
    "quantity delivered", "consumed", "total usage", "billed usage", "units used", "consumo", "value",
    "import", "imported", "export", "exported", "net", "net usage", "generation", "generated", "net use",
}  # fmt: skip
_MONEY = {
    "cost", "costs", "charge", "charges", "amount", "due", "dollars", "price", "bill", "costo", "total", "usd",
}  # fmt: skip
_NOT_COST = {"balance", "payment", "payments", "paid", "credit", "date", "number", "id", "status"}
_RATES = {
    "per",
    "average",
    "avg",
    "mean",
    "rate",
    "demand",
    "kw",
    "/",
    "temperature",
    "temp",
    "degree",
}
_ELSEWHERE = {
    "previous", "prior", "last", "budget", "forecast", "projected", "neighbors", "similar", "goal", "baseline",
    "compared", "change", "percent", "difference", "target",
}  # fmt: skip
_TEXT = {"notes", "note", "comment", "comments", "remarks"}
_DIRECTIONS = (
    (NET, {"net"}),
    (SENT, {"export", "exported", "exports", "sent", "returned", "surplus", "outflow", "sold", "received"}),
    (MADE, {"generation", "generated", "production", "produced", "solar", "pv", "made"}),
)  # fmt: skip
_READINGS = {"reading", "register", "index", "cumulative"}
_FUEL_PARTS = {"natural", "heating", "fuel"}
_YEAR = re.compile(r"^20\d\d$")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityColumn:
    """A heading under which quantities stand: unit, fuel and direction that it names, if any.

    ``reading`` is whether they are readings of a meter that counts on; ``before`` the heading of the
    reading at the start; ``total`` whether the heading says that it is one.
    """

    heading: str
    unit: str = ""
    fuel: str = ""
    direction: str = USED
    reading: bool = False
    before: str = ""
    total: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CostColumn:
    """A heading under which dollars stand, for one fuel or for all; ``total`` whether it says so."""

    heading: str
    fuel: str = ""
    total: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Headings by what they hold: ``places`` by role."""

    places: dict[str, str] = field(default_factory=dict)
    quantities: tuple[QuantityColumn, ...] = ()
    costs: tuple[CostColumn, ...] = ()
    ignored: tuple[str, ...] = ()

    @property
    def has_dates(self) -> bool:
        """Whether some column says when."""
        return bool({"end", "month", "start", "period"} & self.places.keys())


def find_columns(headings: Iterable[str]) -> Columns:
    """What each of the headings of a table holds.

    A heading with a unit in it, such as ``Usage (ccf)`` or ``kwh``, holds quantities; one for a rate
    or a mean, such as ``therms per day``, is not needed and is listed under ``ignored``.
    """
    places: dict[str, str] = {}
    quantities: list[QuantityColumn] = []
    costs: list[CostColumn] = []
    ignored: list[str] = []
    for heading in headings:
        words = _words(heading)
        role = _role(words)
        if role and role not in places:
            places[role] = heading
        elif _is_cost(heading, words):
            total = bool({"total", "amount", "due"} & set(words))
            costs.append(CostColumn(heading=heading, fuel=_cost_fuel(words), total=total))
        elif (column := _quantity(heading, words)) is not None:
            quantities.append(column)
        elif heading.strip():
            ignored.append(heading)
    return _settled(places, _said_directions(quantities), costs, ignored)


def _settled(
    places: dict[str, str],
    quantities: list[QuantityColumn],
    costs: list[CostColumn],
    ignored: list[str],
) -> Columns:
    """Readings of a meter are needed only where no column says what was used."""
    readings = [column for column in quantities if column.reading]
    plain = [column for column in quantities if not column.reading]
    known = [places.pop(role) for role in ("reading", "before") if role in places]
    before = known.pop() if len(known) == 2 else ""
    if plain:
        ignored += [*(column.heading for column in readings), *known, *filter(None, [before])]
        readings = []
    elif known and not readings:
        words = _words(known[0])
        unit = next((u for u in map(plain_unit, words) if u), "")
        readings = [
            QuantityColumn(
                heading=known[0], unit=unit, fuel=usual_fuel(unit), reading=True, before=before
            )
        ]
    else:
        ignored += known
    return Columns(
        places=places,
        quantities=tuple(plain or readings),
        costs=tuple(costs),
        ignored=tuple(ignored),
    )


def _said_directions(columns: list[QuantityColumn]) -> list[QuantityColumn]:
    """``received`` is energy sent to the grid only beside a column for what was delivered."""
    if any("deliver" in column.heading.lower() for column in columns):
        return columns
    return [
        QuantityColumn(
            heading=c.heading, unit=c.unit, fuel=c.fuel, reading=c.reading, total=c.total
        )
        if "received" in c.heading.lower() and c.direction == SENT
        else c
        for c in columns
    ]


def _words(heading: str) -> list[str]:
    """Plain words of a heading: camel case is parted, brackets and underlines are spaces."""
    text = re.sub(r"(?<=[a-z]{2})(?=[A-Z])", " ", str(heading).replace("\ufeff", ""))
    text = text.replace("_", " ").lower().replace("m³", "m3").replace("ft³", "ft3")
    return re.findall(r"[a-záéíóúñ0-9#$]+|/", text)


def _role(words: Sequence[str]) -> str:
    plain = " ".join(word for word in words if word != "/")
    without = " ".join(
        w for w in words if w not in ("/", "date", "meter", "mm", "dd", "yyyy") or len(words) == 1
    )
    for role, names in _ROLES:
        if plain in names:
            return role
    return next((role for role, names in _ROLES[-2:] if without in names and "date" in words), "")


def _is_cost(heading: str, words: Sequence[str]) -> bool:
    known = set(words)
    if known & (_RATES | _TEXT | _NOT_COST | _ELSEWHERE) or "$/" in heading:
        return False
    if any(plain_unit(word) for word in words) or " ".join(words) in _QUANTITY:
        return False
    return bool("$" in heading or _MONEY & known or re.fullmatch(r"\w*bill", "".join(words)))


def _cost_fuel(words: Sequence[str]) -> str:
    plain = " ".join(words)
    return plain_fuel(plain) or plain_fuel(re.sub(r"bill|cost|charge", " ", plain))


def _quantity(heading: str, words: Sequence[str]) -> QuantityColumn | None:
    known = set(words)
    if known & (_RATES | _ELSEWHERE | _TEXT | _NOT_COST) or "$" in heading:
        return None
    unit = next((u for u in map(plain_unit, [*words, "".join(words)]) if u), "")
    rest = [word for word in words if not plain_unit(word) and word != "meter"]
    fuel = plain_fuel(" ".join(rest))
    named = [
        word for word in rest if not fuel or (plain_fuel(word) != fuel and word not in _FUEL_PARTS)
    ]
    if not unit and " ".join(named) not in {*_QUANTITY, ""}:
        return None
    if not unit and not named and not fuel:
        return None
    direction = next((way for way, names in _DIRECTIONS if names & known), USED)
    return QuantityColumn(
        heading=heading,
        unit=unit,
        fuel=fuel or usual_fuel(unit),
        direction=direction,
        reading=bool(known & _READINGS),
        total="total" in known,
    )


def years_as_columns(headings: Sequence[str]) -> tuple[str, ...]:
    """Headings that are years, as in a table with a row for each month."""
    return tuple(heading for heading in headings if _YEAR.match(heading.strip()))
