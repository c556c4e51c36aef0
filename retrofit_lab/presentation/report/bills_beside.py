"""The bills of a house beside the model's year, fuel by fuel; reading bills belongs to the bills room."""

from dataclasses import dataclass
from pathlib import Path

from retrofit_lab.bills.checking import periods
from retrofit_lab.bills.reading import read_bills
from retrofit_lab.results import StackResult

WHOLE_YEAR = 330
"""Days that bills must cover before they are compared with a year. [day] (judgement)"""
YEAR = 365.0
FAR = 0.2
"""Difference between model and bills from which the reader is warned. [1] (judgement)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BillRow:
    """One fuel: days on bills, use scaled to a year, the model's year [unit/year], model against bills [1]."""

    fuel: str
    days: int
    billed: float
    modelled: float

    @property
    def difference(self) -> float:
        """How far the model is above the bills. [1]"""
        return self.modelled / self.billed - 1.0 if self.billed else 0.0

    @property
    def short(self) -> bool:
        """Whether the bills cover too little of a year."""
        return self.days < WHOLE_YEAR or self.billed <= 0

    @property
    def far(self) -> bool:
        """Whether model and bills differ enough for a warning."""
        return not self.short and abs(self.difference) > FAR


def bills_beside(path: Path, result: StackResult) -> tuple[BillRow, ...]:
    """Every fuel of a file of bills beside the model.

    Raises
    ------
    BillError
        When the file cannot be read.
    """
    found = read_bills(path)
    rows = []
    for fuel in found.fuels:
        whole = periods(found.usable(fuel))
        days = sum((period.end - period.start).days for period in whole)
        used = sum(period.quantity for period in whole)
        rows.append(
            BillRow(
                fuel=fuel,
                days=days,
                billed=used * YEAR / days if days else 0.0,
                modelled=result.before.fuel_total(fuel),
            )
        )
    return tuple(rows)
