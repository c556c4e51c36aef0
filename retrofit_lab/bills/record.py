"""Bills as frozen records, with what is odd about each; reading and checking are done elsewhere."""

from dataclasses import dataclass
from datetime import date

from retrofit_lab.values import FloatArray, InputError

KINDS = (
    "estimated", "gap", "overlap", "credit", "reversed", "duplicate", "dead_meter", "no_start",
    "no_quantity", "long", "missing_readings",
)  # fmt: skip


class BillError(InputError):
    """Bills that cannot be read or used; names file, row, value, rule and way out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """One bill, reading or delivery.

    ``end`` is the day of the later reading, the first that does not count any more; ``quantity`` is
    in the unit of the fuel [kWh, therm, gallon or cord]; ``cost`` [dollars] where it is known;
    ``row`` is the row of the file or of the typed grid.
    """

    fuel: str
    start: date
    end: date
    quantity: float
    cost: float | None = None
    estimated: bool = False
    row: int = 0

    @property
    def days(self) -> int:
        """Days that the bill covers; not above zero when its dates are reversed."""
        return (self.end - self.start).days


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something odd about one row: its kind (one of `KINDS`), a sentence, and whether the row is used."""

    kind: str
    fuel: str
    row: int
    sentence: str
    used: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Intervals:
    """Meter readings of less than a day.

    ``start`` holds local clock time as seconds since 1970, shape (readings,) [s]; ``hours`` their
    length [h]; ``quantity`` in the unit of the fuel.
    """

    fuel: str
    start: FloatArray
    hours: FloatArray
    quantity: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class BillSet:
    """All bills of one file or grid, with every problem that was found, row by row.

    ``notes`` say what was taken for granted and which columns were not needed.
    """

    name: str
    bills: tuple[Bill, ...]
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    intervals: tuple[Intervals, ...] = ()

    @property
    def fuels(self) -> tuple[str, ...]:
        """Fuels on the bills, in the order of their names."""
        return tuple(sorted({bill.fuel for bill in self.bills}))

    def usable(self, fuel: str) -> tuple[Bill, ...]:
        """Bills of one fuel that no problem rules out, by date."""
        out = {
            problem.row for problem in self.problems if problem.fuel == fuel and not problem.used
        }
        mine = (bill for bill in self.bills if bill.fuel == fuel and bill.row not in out)
        return tuple(sorted(mine, key=lambda bill: (bill.start, bill.end)))
