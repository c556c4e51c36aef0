"""Bills as frozen records, with what is odd about each; reading and checking are done elsewhere."""

import json
from dataclasses import dataclass
from datetime import date

from retrofit_lab.base.values import FloatArray, InputError

KINDS = (
    "estimated", "gap", "overlap", "credit", "reversed", "duplicate", "dead_meter", "no_start",
    "no_quantity", "long", "missing_readings", "unreadable", "missing_meter",
)  # fmt: skip


class BillError(InputError):
    """Bills that cannot be read or used; names file, row, value, rule and way out."""


class BillQuestion(BillError):  # noqa: N818 - it asks, and is an error where no one can answer
    """Bills that can be read in two ways: what to answer under ``key``, and the choices in words."""

    def __init__(self, sentence: str, *, key: str, choices: tuple[tuple[str, str], ...]) -> None:
        super().__init__(sentence)
        self.key = key
        self.choices = choices


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """One bill, reading or delivery.

    ``end`` is the day of the later reading, the first that does not count any more; ``quantity`` is
    in the unit of the fuel [kWh, therm, gallon or cord]; ``cost`` [dollars] where it is known;
    ``row`` is the row of the file or of the typed grid, ``meter`` the meter where there are several.
    """

    fuel: str
    start: date
    end: date
    quantity: float
    cost: float | None = None
    estimated: bool = False
    row: int = 0
    meter: str = ""

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
    meter: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BillFiles:
    """Files of bills, a file with the temperatures of their days, and answers to what they leave open."""

    paths: tuple[str, ...] = ()
    weather: str = ""
    answers: tuple[tuple[str, str], ...] = ()

    def __bool__(self) -> bool:
        """Whether files of bills are named."""
        return bool(self.paths)

    @property
    def text(self) -> str:
        """The same as one text, for a process of its own."""
        return json.dumps([self.paths, self.weather, self.answers])

    @classmethod
    def of_text(cls, text: str) -> "BillFiles":
        """Files of a text made by `text`; none of an empty one."""
        if not text:
            return cls()
        paths, weather, answers = json.loads(text)
        return cls(paths=tuple(paths), weather=weather, answers=tuple(map(tuple, answers)))


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
    """All bills of some files or of a grid, with every problem that was found, row by row.

    ``notes`` say what was taken for granted and which columns were not needed; ``read`` tells each file
    back in one line; ``sent`` are bills of energy sent to the grid; ``set_aside`` are fuels
    whose bills are not what the house used, with the reason; nothing is fitted to them.
    """

    name: str
    bills: tuple[Bill, ...]
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    intervals: tuple[Intervals, ...] = ()
    read: tuple[str, ...] = ()
    sent: tuple[Bill, ...] = ()
    set_aside: tuple[tuple[str, str], ...] = ()

    @property
    def fuels(self) -> tuple[str, ...]:
        """Fuels on the bills, in the order of their names."""
        return tuple(sorted({bill.fuel for bill in self.bills}))

    def usable(self, fuel: str) -> tuple[Bill, ...]:
        """Bills of one fuel that no problem rules out, by date; none where the fuel is set aside."""
        return () if fuel in dict(self.set_aside) else self.sound(fuel)

    def sound(self, fuel: str) -> tuple[Bill, ...]:
        """Bills of one fuel that no problem rules out, by date, whatever they are of."""
        out = {
            (problem.meter, problem.row)
            for problem in self.problems
            if problem.fuel == fuel and not problem.used
        }
        mine = (b for b in self.bills if b.fuel == fuel and (b.meter, b.row) not in out)
        return tuple(sorted(mine, key=lambda bill: (bill.start, bill.end)))
