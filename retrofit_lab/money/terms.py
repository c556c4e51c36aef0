"""On what terms money is counted: discount rate, study period, price rises, rebates."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from retrofit_lab.base.fuels import fuels
from retrofit_lab.money.factors import nominal_rate
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.tariffs import Tariff
from retrofit_lab.texts.refusals import told

RATE_RANGE = (0.0, 0.25)
PERIOD_RANGE = (1, 40)
ESCALATION_RANGE = (-0.1, 0.2)
INFLATION_RANGE = (-0.02, 0.15)
CARBON_RANGE = (0.0, 5000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyTerms:
    """Terms of a study; the discount rate and price rises are real, above general inflation.

    ``rebates`` are taken off the first purchase in their order; see `retrofit_lab.money.rebates`.
    ``fuel_prices`` stand in place of the prices of the house, fuel by fuel.
    ``replaced_anyway`` are paths of equipment, such as ``"fuel_heaters.furnace"``, that must be replaced
    whatever is decided: the house is then counted with its like, and a measure that takes its place by the
    difference. ``inflation`` [1/year] matters only where dollars of the day are paid, as on a loan. ``carbon_price``
    [dollars/metric ton] values what a plan keeps from the air, beside its net savings and never in them.

    References
    ----------
    The default rate is the floor of 10 CFR 436.14(a)(2), 3 % above inflation, where the yearly federal rate
    has stood while Treasury yields were low (rule read; which rate holds this year could not be read). The
    period of 20 years is judgment within the 40 of 42 USC 8254 (read). No price rise above inflation:
    10 CFR 436.14(b) takes yearly projections by region, which could not be read; that of 2025 lets a kWh cost 7 %
    less in 2050 than in 2024, as a trade paper quotes it (read). Inflation of 2 %: the long-run goal of the Federal
    Reserve (memory).
    """

    discount_rate: float = 0.03
    period_years: int = 20
    escalation: Mapping[str, float] = field(default_factory=dict)
    cost_factor: float = 1.0
    inflation: float = 0.02
    carbon_price: float = 0.0
    rebates: tuple[Rebate, ...] = ()
    fuel_prices: Mapping[str, Tariff] = field(default_factory=dict)
    replaced_anyway: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _within("discount rate", self.discount_rate, *RATE_RANGE)
        _within("study period", self.period_years, *PERIOD_RANGE)
        _within("cost factor", self.cost_factor, 0.2, 5.0)
        _within("inflation", self.inflation, *INFLATION_RANGE)
        _within("carbon price", self.carbon_price, *CARBON_RANGE)
        for fuel in (*self.escalation, *self.fuel_prices):
            if fuel not in fuels():
                raise MoneyError(told("terms.no_fuel", fuel=fuel, known=", ".join(fuels())))
        for fuel, rise in self.escalation.items():
            _within(told("terms.rise", fuel=fuel), rise, *ESCALATION_RANGE)

    @property
    def nominal_discount_rate(self) -> float:
        """Discount rate for dollars of the day. [1/year]"""
        return float(nominal_rate(self.discount_rate, self.inflation))


def _within(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise MoneyError(
            told("terms.within", name=name, value=f"{value:g}", low=f"{low:g}", high=f"{high:g}")
        )
