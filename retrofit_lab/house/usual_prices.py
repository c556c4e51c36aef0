"""What energy costs where no one said: the mean of the state where an open table has it, else the nation's figure."""

from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.climate.states import state_of


@dataclass(frozen=True, slots=True)
class UsualPrice:
    """Price of one unit of a fuel [dollars], its date, and where it was read."""

    price: float
    as_of: str
    source: str


def usual_price(fuel: str, climate: str) -> UsualPrice:
    """Price that stands in for one that no one gave.

    Parameters
    ----------
    fuel : str
        Key of the fuel.
    climate : str
        Where the house stands, as its file says it: a ZIP code, a town with its state, or a file.

    Examples
    --------
    >>> usual_price("electricity", "04401").as_of
    '2023'
    """
    found = _by_state().get((state_of(climate), fuel))
    demo = fuels()[fuel]
    return found or UsualPrice(demo.demo_price, demo.price_as_of, demo.price_source)


@cache
def _by_state() -> dict[tuple[str, str], UsualPrice]:
    return {
        (row["state"], row["fuel"]): UsualPrice(
            float(row["price_dollars_per_unit"]), row["as_of"], row["source"]
        )
        for row in read_rows("state_prices.csv")
    }
